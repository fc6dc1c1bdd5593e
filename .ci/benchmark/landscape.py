#!/usr/bin/env python3
"""Makes a seeded landscape for the benchmark, block by block: the same seed and
side give the same cells, whatever the block. Nothing here resembles a real place.

usage: landscape.py FOLDER [--side 10000] [--seed 7] [--species 12]

Writes cover.tif (12 classes, 10 m, UTM 31N), height.tif (float32, 30 m, another
CRS, so that it has to be aligned), wetlands.gpkg and ranges.gpkg (polygons),
roads.gpkg (lines) and tussock.yaml.
"""
import argparse
import os

import numpy as np
from osgeo import gdal, ogr, osr

gdal.UseExceptions()
CELL = 10.0
WEST, NORTH = 400000.0, 6300000.0
CLASSES = ["dry_heath", "wet_heath", "rock_barren", "fen", "bog", "open_water",
           "broadleaf", "conifer", "scrub", "rough_grass", "arable", "built"]
BLOCK = 2048


def waves(rng, lengths, per_octave=3):
    """Random plane waves: a height field that can be asked for anywhere."""
    out = []
    for length in lengths:
        for _ in range(per_octave):
            angle = rng.uniform(0, 2 * np.pi)
            k = 2 * np.pi / (length * rng.uniform(0.8, 1.25))
            out.append((k * np.cos(angle), k * np.sin(angle), rng.uniform(0, 2 * np.pi), length))
    total = sum(w[3] for w in out)
    return [(kx, ky, phase, length / total) for kx, ky, phase, length in out]


def field(ws, x, y):
    """The sum of waves at columns x and rows y; roughly -1 to 1."""
    out = np.zeros((len(y), len(x)), np.float32)
    for kx, ky, phase, weight in ws:
        # sin(a + b) by parts: one sine a column and a row, not one a cell
        a, b = kx * x, ky * y + phase
        out += np.float32(weight) * (np.outer(np.cos(b), np.sin(a)) + np.outer(np.sin(b), np.cos(a))).astype(np.float32)
    return out


def create(path, cols, rows, kind, srs, affine, options):
    ds = gdal.GetDriverByName("GTiff").Create(path, cols, rows, 1, kind,
                                              ["TILED=YES", "BIGTIFF=IF_SAFER"] + options)
    ds.SetGeoTransform(affine)
    ds.SetProjection(srs.ExportToWkt())
    return ds


def blocks(cols, rows):
    for row in range(0, rows, BLOCK):
        for col in range(0, cols, BLOCK):
            yield col, row, min(BLOCK, cols - col), min(BLOCK, rows - row)


def cover(folder, side, srs, rng):
    wet, rock, wood = (waves(rng, [24000, 6000, 1500, 400]) for _ in range(3))
    ds = create(f"{folder}/cover.tif", side, side, gdal.GDT_Byte, srs, (WEST, CELL, 0, NORTH, 0, -CELL),
                ["COMPRESS=ZSTD", "ZSTD_LEVEL=1"])
    band = ds.GetRasterBand(1)
    band.SetNoDataValue(255)
    band.SetCategoryNames(CLASSES)
    for col, row, w, h in blocks(side, side):
        x, y = (col + np.arange(w)) * CELL, (row + np.arange(h)) * CELL
        a, b, c = field(wet, x, y), field(rock, x, y), field(wood, x, y)
        code = ((a > 0.1) * 1 + (b > 0.15) * 2 + (c > 0.1) * 4 + ((a + b) > 0.35) * 4).astype(np.uint8) % 12
        code[(a > 0.42)] = 5
        code[(c < -0.45)] = 11
        band.WriteArray(code, col, row)


def height(folder, side, rng):
    """On a grid of its own: 30 m, Lambert azimuthal equal area."""
    utm, laea = srs_of(32631), srs_of(3035)
    to = osr.CoordinateTransformation(utm, laea)
    span = side * CELL
    corners = [to.TransformPoint(WEST + dx * span, NORTH - dy * span)[:2] for dx in (0, .5, 1) for dy in (0, .5, 1)]
    x0 = np.floor((min(c[0] for c in corners) - 600) / 30) * 30
    y1 = np.ceil((max(c[1] for c in corners) + 600) / 30) * 30
    cols = int((max(c[0] for c in corners) + 600 - x0) // 30)
    rows = int((y1 - min(c[1] for c in corners) + 600) // 30)
    ws = waves(rng, [40000, 12000, 3000, 800])
    ds = create(f"{folder}/height.tif", cols, rows, gdal.GDT_Float32, laea, (x0, 30, 0, y1, 0, -30),
                ["COMPRESS=ZSTD", "ZSTD_LEVEL=1", "PREDICTOR=3"])
    band = ds.GetRasterBand(1)
    for col, row, w, h in blocks(cols, rows):
        x, y = x0 + (col + np.arange(w)) * 30.0, y1 - (row + np.arange(h)) * 30.0
        band.WriteArray(120 + 140 * field(ws, x, y), col, row)


def srs_of(code):
    srs = osr.SpatialReference()
    srs.ImportFromEPSG(code)
    srs.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
    return srs


def blob(rng, x, y, radius, points=24):
    """A star-shaped polygon that cannot cross itself."""
    angle = np.linspace(0, 2 * np.pi, points, endpoint=False)
    r = radius * rng.uniform(0.6, 1.3, points)
    ring = ogr.Geometry(ogr.wkbLinearRing)
    for px, py in zip(x + r * np.cos(angle), y + r * np.sin(angle)):
        ring.AddPoint_2D(float(px), float(py))
    ring.CloseRings()
    polygon = ogr.Geometry(ogr.wkbPolygon)
    polygon.AddGeometry(ring)
    return polygon


def vector(path, name, kind, fields, rows):
    if os.path.exists(path):
        os.remove(path)
    ds = ogr.GetDriverByName("GPKG").CreateDataSource(path)
    layer = ds.CreateLayer(name, srs_of(32631), kind)
    for field_name, field_kind in fields:
        layer.CreateField(ogr.FieldDefn(field_name, field_kind))
    layer.StartTransaction()
    for geometry, values in rows:
        feature = ogr.Feature(layer.GetLayerDefn())
        feature.SetGeometry(geometry)
        for key, value in values.items():
            feature.SetField(key, value)
        layer.CreateFeature(feature)
    layer.CommitTransaction()


def line(rng, span):
    x, y, heading = rng.uniform(0, span), rng.uniform(0, span), rng.uniform(0, 2 * np.pi)
    out = ogr.Geometry(ogr.wkbLineString)
    for _ in range(60):
        out.AddPoint_2D(WEST + x, NORTH - y)
        heading += rng.normal(0, 0.2)
        x, y = x + 250 * np.cos(heading), y + 250 * np.sin(heading)
    return out


def project(folder, side, species, values, rng):
    def curve(lo, hi, rising):
        a, b = (0.02, 1) if rising else (1, 0.02)
        return f"[[{lo:g}, {a}], [{hi:g}, {b}]]"

    out = ["area:", "  name: Benchmark", "  date: 2026-01-01",
           "  grid:", "    crs: EPSG:32631", f"    cell: {CELL:g}",
           f"    extent: [{WEST:g}, {NORTH - side * CELL:.0f}, {WEST + side * CELL:.0f}, {NORTH:.0f}]",
           "layers:",
           "  cover: {source: cover.tif, kind: classes, resample: nearest}",
           "  height: {source: height.tif, kind: quantity, unit: m, resample: bilinear}",
           "  wetlands: {source: wetlands.gpkg, layer: wetlands, kind: features, burn: centre}",
           "  roads: {source: roads.gpkg, layer: roads, kind: features, burn: touch}",
           "ranges: [{source: ranges.gpkg, layer: ranges, fields: {species: species, status: status, year: year, author: author, scale: scale}}]",
           "species:"]
    for i in range(species):
        w = rng.uniform(0.2, 0.8)
        table = ", ".join(f"{c}: {rng.uniform(0.02, 1):.2f}" for c in CLASSES)
        out += [f"  - id: s{i:03d}", f"    name: Species {i}", f"    scientific: Species s{i:03d}",
                "    rule: geometric", "    source: assumption", "    range: {edge: 2000}",
                "    requisites:",
                "      - id: cover", "        weight: 0.5", "        criteria:",
                f"          - {{id: cover, weight: {w:.2f}, measure: value, layer: cover, table: {{{table}}}, source: assumption}}",
                f"          - {{id: barrens, weight: {1 - w:.2f}, measure: distance, layer: cover, classes: [rock_barren], limit: 1000, curve: {curve(0, rng.uniform(300, 900), False)}, source: assumption}}",
                "      - id: water", "        weight: 0.3", "        criteria:",
                f"          - {{id: wetland, weight: 0.6, measure: distance, layer: wetlands, limit: 2000, curve: {curve(0, rng.uniform(500, 1900), False)}, source: assumption}}",
                f"          - {{id: height, weight: 0.4, measure: value, layer: height, curve: {curve(rng.uniform(20, 60), rng.uniform(150, 220), i % 2 == 0)}, source: assumption}}",
                "      - id: quiet", "        weight: 0.2", "        criteria:",
                f"          - {{id: slope, weight: 0.5, measure: slope, layer: height, curve: {curve(0, rng.uniform(2, 8), i % 3 == 0)}, source: assumption}}",
                f"          - {{id: road, weight: 0.5, measure: distance, layer: roads, limit: 1000, curve: {curve(0, rng.uniform(100, 900), True)}, source: assumption}}"]
    out += [f"output: {{folder: out, values: {values}, tiles: {{format: [pmtiles], size: 256, min_zoom: 6, max_zoom: 14}}}}", ""]
    with open(f"{folder}/tussock.yaml", "w") as f:
        f.write("\n".join(out))


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder")
    parser.add_argument("--side", type=int, default=10000)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--species", type=int, default=12)
    parser.add_argument("--values", default="bytes", choices=["bytes", "floats"])
    a = parser.parse_args()
    os.makedirs(a.folder, exist_ok=True)
    rng = np.random.default_rng(a.seed)
    span = a.side * CELL
    share = (a.side / 10000) ** 2
    cover(a.folder, a.side, srs_of(32631), rng)
    height(a.folder, a.side, rng)
    vector(f"{a.folder}/wetlands.gpkg", "wetlands", ogr.wkbPolygon, [],
           ((blob(rng, WEST + rng.uniform(0, span), NORTH - rng.uniform(0, span), rng.uniform(40, 400)), {})
            for _ in range(max(int(4000 * share), 20))))
    vector(f"{a.folder}/roads.gpkg", "roads", ogr.wkbLineString, [],
           ((line(rng, span), {}) for _ in range(max(int(300 * share), 4))))
    ranges = [("species", ogr.OFTString), ("status", ogr.OFTString), ("year", ogr.OFTInteger),
              ("author", ogr.OFTString), ("scale", ogr.OFTInteger)]
    vector(f"{a.folder}/ranges.gpkg", "ranges", ogr.wkbPolygon, ranges,
           ((blob(rng, WEST + rng.uniform(.3, .7) * span, NORTH - rng.uniform(.3, .7) * span, .35 * span, 90),
             dict(species=f"Species s{i:03d}", status="extant", year=2024, author="benchmark", scale=100000))
            for i in range(a.species)))
    project(a.folder, a.side, a.species, a.values, rng)


main()
