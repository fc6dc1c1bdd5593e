#!/usr/bin/env python3
"""The overlay of a benchmark landscape by an independent path: GDAL's warper with
exact transforms, GDAL's rasteriser and slope, scipy's exact distance transform,
numpy. Compares the habitat rasters of a finished `tussock map` cell by cell and
prints, as JSON, the share of cells within 1e-6, 1e-4 and 1e-2 and the greatest
difference of each species.

usage: overlay.py LANDSCAPE SURFACES   (the folder of surfaces.json)
"""
import json
import os
import subprocess
import sys
import tempfile

import numpy as np
from osgeo import gdal
from scipy import ndimage

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "../../.ci/benchmark"))
import yaml_lite  # noqa: E402

gdal.UseExceptions()
MARGIN = 201  # cells: the greatest reach of the landscape's measures, and one


def run(*command):
    subprocess.run([str(c) for c in command], check=True, stdout=subprocess.DEVNULL)


def read(path):
    ds = gdal.Open(path)
    return ds.ReadAsArray()


def measures(land, grid, work):
    """Every measure on the grid grown by the margin, in float64."""
    west, south, east, north = grid["extent"]
    cell = grid["cell"]
    grown = [west - MARGIN * cell, south - MARGIN * cell, east + MARGIN * cell, north + MARGIN * cell]
    extent = ["-te", *grown, "-tr", cell, cell]
    run("gdalwarp", "-q", "-et", 0, "-t_srs", grid["crs"], *extent, "-r", "bilinear", "-dstnodata", -9999,
        f"{land}/height.tif", f"{work}/height.tif")
    run("gdaldem", "slope", "-q", f"{work}/height.tif", f"{work}/slope.tif")
    run("gdalwarp", "-q", "-et", 0, *extent, "-r", "near", "-dstnodata", 255, f"{land}/cover.tif", f"{work}/cover.tif")
    cover = read(f"{work}/cover.tif")
    out = {"height": read(f"{work}/height.tif").astype(float), "slope": read(f"{work}/slope.tif").astype(float), "cover": cover,
           "barrens": distance(cover == 2, cell, 1000)}
    for name, key, limit in (("wetlands", "wetland", 2000), ("roads", "road", 1000)):
        # distance is to the nearest cell that any part of the feature touches
        run("gdal_rasterize", "-q", "-at", "-burn", 1, *extent, "-ot", "Byte", f"{land}/{name}.gpkg", f"{work}/{name}.tif")
        out[key] = distance(read(f"{work}/{name}.tif") == 1, cell, limit)
    inner = (slice(MARGIN, -MARGIN), slice(MARGIN, -MARGIN))
    return {name: values[inner] for name, values in out.items()}


def distance(mask, cell, limit):
    return np.minimum(ndimage.distance_transform_edt(~mask) * cell, limit)


def habitat(species, inputs, classes):
    log = 0
    for r in species["requisites"]:
        rating = 0
        for c in r["criteria"]:
            if "table" in c:
                table = np.array([c["table"][n] for n in classes] + [np.nan] * (256 - len(classes)))
                s = table[inputs["cover"]]
            else:
                xs, ys = np.array(c["curve"]).T
                s = np.interp(inputs[c["id"]], xs, ys)
            rating = rating + c["weight"] * np.maximum(s, 0.01)
        log = log + r["weight"] * np.log(rating)
    return np.exp(log)


def main():
    land, surfaces = sys.argv[1:3]
    project = yaml_lite.load(f"{land}/tussock.yaml")
    cover = gdal.Open(f"{land}/cover.tif")
    cover.GetMetadata()
    classes = cover.GetRasterBand(1).GetRasterCategoryNames()
    files = {s["id"]: s["files"]["habitat"] for s in json.load(open(f"{surfaces}/surfaces.json"))["species"]}
    with tempfile.TemporaryDirectory() as work:
        inputs = measures(land, project["grid"], work)
    report = {}
    for species in project["species"]:
        ours = read(f"{surfaces}/{files[species['id']]}").astype(float)
        theirs = habitat(species, inputs, classes)
        known = np.isfinite(ours) & np.isfinite(theirs)
        off = np.abs(ours - theirs)[known]
        report[species["id"]] = {
            "cells": int(known.sum()), "known_by_one_only": int((np.isfinite(ours) != np.isfinite(theirs)).sum()),
            "within_1e-6": float((off <= 1e-6).mean()), "within_1e-4": float((off <= 1e-4).mean()),
            "within_1e-2": float((off <= 1e-2).mean()), "greatest": float(off.max())}
    print(json.dumps(report))


main()
