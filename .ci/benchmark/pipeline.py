#!/usr/bin/env python3
"""The same job as `tussock build` on the benchmark's landscape, done as a
competent person does it today: GDAL's utilities on two processes, numpy for the
overlay, and the tile cutter that comes with GDAL. Prints seconds by stage as
JSON, and keeps its suitability of the first species for a comparison.

usage: pipeline.py LANDSCAPE OUT [--tiled N]   cut tiles for the first N species only
"""
import argparse
import json
import os
import subprocess
import time

import numpy as np
import yaml_lite
from osgeo import gdal

gdal.UseExceptions()
GTIFF = ["-co", "TILED=YES", "-co", "COMPRESS=ZSTD", "-co", "ZSTD_LEVEL=1"]
seconds = {}


def timed(stage, *command):
    start = time.time()
    subprocess.run([str(c) for c in command], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    seconds[stage] = seconds.get(stage, 0) + time.time() - start


def shared(src, out, grid):
    west, south, east, north = grid["extent"]
    extent = ["-te", west, south, east, north, "-tr", grid["cell"], grid["cell"]]
    timed("align", "gdalwarp", "-q", "-overwrite", "-t_srs", grid["crs"], *extent, "-r", "bilinear", "-multi",
          "-wo", "NUM_THREADS=2", *GTIFF, f"{src}/height.tif", f"{out}/height.tif")
    timed("slope", "gdaldem", "slope", "-q", "-compute_edges", f"{out}/height.tif", f"{out}/slope.tif", *GTIFF)
    for name in ("wetlands", "roads"):
        touch = ["-at"] if name == "roads" else []
        timed("rasterise", "gdal_rasterize", "-q", *touch, "-burn", 1, *extent, "-ot", "Byte", *GTIFF,
              f"{src}/{name}.gpkg", f"{out}/{name}.tif")
        timed("proximity", "gdal_proximity.py", "-q", "-distunits", "GEO", "-ot", "Float32", *GTIFF,
              f"{out}/{name}.tif", f"{out}/far_{name}.tif")
    timed("proximity", "gdal_proximity.py", "-q", "-values", 2, "-distunits", "GEO", "-ot", "Float32", *GTIFF,
          f"{src}/cover.tif", f"{out}/far_barrens.tif")


def rating(criterion, inputs):
    name = {"barrens": "far_barrens", "wetland": "far_wetlands", "road": "far_roads"}.get(criterion["id"], criterion["id"])
    if "table" in criterion:
        return criterion["table"][inputs[name]]
    xs, ys = np.array(criterion["curve"]).T
    return np.maximum(np.interp(inputs[name], xs, ys), 0.01)


def overlay(src, out, species, index):
    timed("range", "gdal_rasterize", "-q", "-burn", 1, "-where", f"species='{species['scientific']}'",
          *extent_of(f"{src}/cover.tif"), "-ot", "Byte", *GTIFF, f"{src}/ranges.gpkg", f"{out}/range.tif")
    start = time.time()
    names = ["height", "slope", "far_wetlands", "far_roads", "far_barrens"]
    rasters = {n: gdal.Open(f"{out}/{n}.tif") for n in names}
    like = rasters["cover"] = gdal.Open(f"{src}/cover.tif")
    documented = gdal.Open(f"{out}/range.tif")
    results = []
    for kind in ("habitat", "suitability", "standing"):
        ds = gdal.GetDriverByName("GTiff").Create(f"{out}/{kind}.tif", like.RasterXSize, like.RasterYSize, 1,
                                                  gdal.GDT_Byte, ["TILED=YES", "COMPRESS=ZSTD", "ZSTD_LEVEL=1"])
        ds.SetGeoTransform(like.GetGeoTransform())
        ds.SetProjection(like.GetProjection())
        ds.GetRasterBand(1).SetNoDataValue(255)
        results.append(ds)
    side = 512
    for row in range(0, like.RasterYSize, side):
        h = min(side, like.RasterYSize - row)
        inputs = {n: b.ReadAsArray(0, row, like.RasterXSize, h) for n, b in rasters.items()}
        log = 0
        for r in species["requisites"]:
            log = log + r["weight"] * np.log(sum(c["weight"] * rating(c, inputs) for c in r["criteria"]))
        habitat = np.rint(np.exp(log) * 200).astype(np.uint8)
        inside = documented.ReadAsArray(0, row, like.RasterXSize, h) == 1
        results[0].GetRasterBand(1).WriteArray(habitat, 0, row)
        results[1].GetRasterBand(1).WriteArray(np.where(inside, habitat, 255).astype(np.uint8), 0, row)
        results[2].GetRasterBand(1).WriteArray(np.where(inside, 0, 6).astype(np.uint8), 0, row)
    del results, ds  # closes the files
    seconds["overlay"] = seconds.get("overlay", 0) + time.time() - start
    for kind in ("habitat", "suitability", "standing"):
        resampling = "MODE" if kind == "standing" else "AVERAGE"
        timed("cog", "gdal_translate", "-q", "-of", "COG", "-co", "COMPRESS=DEFLATE", "-co", "NUM_THREADS=2",
              "-co", f"OVERVIEW_RESAMPLING={resampling}", f"{out}/{kind}.tif", f"{out}/{index:03d}-{kind}.tif")


def extent_of(path):
    ds = gdal.Open(path)
    a = ds.GetGeoTransform()
    return ["-te", a[0], a[3] + a[5] * ds.RasterYSize, a[0] + a[1] * ds.RasterXSize, a[3], "-tr", a[1], -a[5]]


def tiles(out, index):
    ramp = f"{out}/ramp.txt"
    with open(ramp, "w") as f:
        f.write("0 250 240 220\n40 220 200 160\n80 170 150 110\n120 110 100 80\n160 50 50 60\n200 20 20 40\nnv 0 0 0 0\n")
    timed("colour", "gdaldem", "color-relief", "-q", "-alpha", "-nearest_color_entry", f"{out}/{index:03d}-suitability.tif", ramp,
          f"{out}/colour.tif", *GTIFF)
    timed("tiles", "gdal2tiles.py", "-q", "-z", "6-14", "-r", "near", "-w", "none", "--processes=2", f"{out}/colour.tif",
          f"{out}/tiles-{index:03d}")


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("landscape")
    parser.add_argument("out")
    parser.add_argument("--tiled", type=int, default=None)
    a = parser.parse_args()
    os.makedirs(a.out, exist_ok=True)
    project = yaml_lite.load(f"{a.landscape}/tussock.yaml")
    shared(a.landscape, a.out, project["grid"])
    cover = gdal.Open(f"{a.landscape}/cover.tif")
    cover.GetMetadata()  # GDAL 3.6 reads the names beside a GeoTIFF only after this
    classes = cover.GetRasterBand(1).GetRasterCategoryNames()
    cut = 0
    for index, species in enumerate(project["species"]):
        for r in species["requisites"]:
            for c in r["criteria"]:
                if "table" in c:
                    c["table"] = np.array([max(c["table"][n], 0.01) for n in classes])
        overlay(a.landscape, a.out, species, index)
        if a.tiled is None or index < a.tiled:
            tiles(a.out, index)
            cut += 1
    print(json.dumps({"seconds": seconds, "species": len(project["species"]), "species_tiled": cut}))


main()
