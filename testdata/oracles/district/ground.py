"""The ground of a project: its grid, rasters and vector layers, read with GDAL
and the json module. Arrays are padded on every side, since measures look beyond
the grid: rasters have nothing there, features may lie there.

Coordinates of features are in cells of the padded array: u to the right and v
down from its corner, so that the cell (row, col) is [col, col+1) by [row, row+1).
"""
import csv
import json
import os

import numpy as np
import yaml
from osgeo import gdal, osr

gdal.UseExceptions()
PAD = 242  # cells: the greatest reach of the district's measures, 6 km of 25 m, and two


class Ground:
    def __init__(self, folder):
        self.folder = folder
        with open(f"{folder}/tussock.yaml", encoding="utf-8") as f:
            self.project = yaml.safe_load(f)
        area = self.project["area"]
        self.date = np.datetime64(area["date"])
        grid = area["grid"]
        self.cell = float(grid["cell"])
        self.west, south, east, self.north = grid["extent"]
        self.cols, self.rows = round((east - self.west) / self.cell), round((self.north - south) / self.cell)
        self.shape = (self.rows, self.cols)
        self.inner = (slice(PAD, PAD + self.rows), slice(PAD, PAD + self.cols))
        self.padded = (self.rows + 2 * PAD, self.cols + 2 * PAD)
        self.wkt, self.to_grid = transform_to(grid["crs"])
        self.kept = {}
        self.flooded = self.counted = 0  # discs that a barrier cuts, records that shape a map

    def once(self, key, make):
        """What is dear to make is made once."""
        if key not in self.kept:
            self.kept[key] = make()
        return self.kept[key]

    def raster(self, name):
        """A raster that lies on the grid: float64, NaN where it has no data."""
        def read():
            ds = gdal.Open(f"{self.folder}/{self.project['layers'][name]['source']}")
            want = (self.west, self.cell, 0, self.north, 0, -self.cell)
            assert ds.GetGeoTransform() == want and (ds.RasterYSize, ds.RasterXSize) == self.shape, name
            band = ds.GetRasterBand(1)
            values = band.ReadAsArray().astype(float)
            nodata = band.GetNoDataValue()
            if nodata is not None and not np.isnan(nodata):
                values[values == nodata] = np.nan
            return values
        return self.once(("raster", name), read)

    def class_codes(self, name):
        """The names of a raster's classes and their codes."""
        def read():
            ds = gdal.Open(f"{self.folder}/{self.project['layers'][name]['source']}")
            ds.GetMetadata()  # GDAL reads the file beside a raster only when asked for this first
            names = ds.GetRasterBand(1).GetRasterCategoryNames()
            return {n: code for code, n in enumerate(names) if n}
        return self.once(("classes", name), read)

    def pad(self, values, fill):
        out = np.full(self.padded, fill, dtype=values.dtype)
        out[self.inner] = values
        return out

    def features(self, name):
        """The features of a layer: [(attributes, kind, lines)], lines in cells."""
        return self.once(("features", name), lambda: self.geojson(self.project["layers"][name]["source"]))

    def geojson(self, source):
        with open(f"{self.folder}/{source}", encoding="utf-8") as f:
            collection = json.load(f)
        return [(f["properties"], *self.lines(f["geometry"])) for f in collection["features"]]

    def lines(self, geometry):
        """What a geometry is made of: 'point', 'line' or 'area', and its lines or
        rings. The rings of all parts of an area lie in one list: even-odd."""
        kind, at = geometry["type"], geometry["coordinates"]
        plain = {"Point": ("point", lambda: [[at]]), "LineString": ("line", lambda: [at]),
                 "MultiLineString": ("line", lambda: at), "Polygon": ("area", lambda: at),
                 "MultiPolygon": ("area", lambda: [ring for part in at for ring in part])}
        what, runs = plain[kind]
        return what, [self.place(run) for run in runs()]

    def place(self, lonlat):
        """Longitudes and latitudes in cells of the padded array."""
        x, y = np.array(self.to_grid.TransformPoints([p[:2] for p in lonlat]))[:, :2].T
        return np.column_stack(((x - self.west) / self.cell + PAD, (self.north - y) / self.cell + PAD))

    def table(self, path):
        with open(path, encoding="utf-8", newline="") as f:
            return list(csv.DictReader(f))

    def species(self):
        """The species' profiles in the order of the project."""
        for entry in self.project["species"]:
            with open(os.path.join(self.folder, entry["file"]), encoding="utf-8") as f:
                yield yaml.safe_load(f)


def transform_to(crs):
    """From WGS 84, longitude first, to the grid's reference system."""
    to, wgs84 = osr.SpatialReference(), osr.SpatialReference()
    to.SetFromUserInput(crs)
    wgs84.ImportFromEPSG(4326)
    for s in (to, wgs84):
        s.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
    return to.ExportToWkt(), osr.CoordinateTransformation(wgs84, to)
