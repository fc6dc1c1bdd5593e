#!/usr/bin/env python3
"""Prints what the benchmark measured as a table of ratios.

usage: report.py FOLDER   with ours.time, ours.log, theirs.time, theirs.json, land, pipe
"""
import json
import re
import sys

import numpy as np
from osgeo import gdal

gdal.UseExceptions()
work = sys.argv[1]


def usage(name):
    text = open(f"{work}/{name}.time").read()
    clock = re.search(r"wall clock\) time.*: ([\d:.]+)", text).group(1).split(":")
    wall = sum(float(part) * 60 ** i for i, part in enumerate(reversed(clock)))
    cpu = sum(float(re.search(rf"{kind} time \(seconds\): ([\d.]+)", text).group(1)) for kind in ("User", "System"))
    return wall, cpu, int(re.search(r"Maximum resident set size \(kbytes\): (\d+)", text).group(1)) / 1024


def stages():
    last = {}
    for line in open(f"{work}/ours.log"):
        try:
            entry = json.loads(line)
            last[entry["stage"]] = entry["seconds"]
        except (ValueError, KeyError):
            continue
    return last


def agreement():
    """Cells of the first species' habitat that agree within one step of 0.005."""
    files = json.load(open(f"{work}/land/out/staff/surfaces.json"))["species"][0]["files"]
    ours = gdal.Open(f"{work}/land/out/staff/{files['habitat']}")
    theirs = gdal.Open(f"{work}/pipe/000-habitat.tif")
    equal = close = total = 0
    for row in range(0, ours.RasterYSize, 1024):
        h = min(1024, ours.RasterYSize - row)
        a = ours.ReadAsArray(0, row, ours.RasterXSize, h).astype(int)
        b = theirs.ReadAsArray(0, row, ours.RasterXSize, h).astype(int)
        known = (a != 255) & (b != 255)
        total += known.sum()
        equal += (known & (a == b)).sum()
        close += (known & (np.abs(a - b) <= 1)).sum()
    return equal / total, close / total


ours, theirs = usage("ours"), usage("theirs")
report = json.load(open(f"{work}/theirs.json"))
seconds, species, tiled = report["seconds"], report["species"], report["species_tiled"]
missing = (seconds["tiles"] + seconds["colour"]) * (species - tiled) / tiled
whole = theirs[0] + missing
print(f"{'':32}{'wall s':>10}{'CPU s':>10}{'peak MB':>10}")
print(f"{'tussock build':32}{ours[0]:10.1f}{ours[1]:10.1f}{ours[2]:10.0f}")
print(f"{'utilities and numpy':32}{whole:10.1f}{theirs[1]:10.1f}{theirs[2]:10.0f}")
if missing:
    print(f"  tiles were cut for {tiled} of {species} species; {missing:.1f} s were added at the same rate")
print(f"\nratio end to end                {whole / ours[0]:10.1f}")
print(f"ratio without their COG step    {(whole - seconds['cog']) / ours[0]:10.1f}")
print("\nours by stage:    ", ", ".join(f"{k} {v:.1f} s" for k, v in stages().items()))
print("theirs by stage:  ", ", ".join(f"{k} {v:.1f} s" for k, v in seconds.items()))
equal, close = agreement()
print(f"\nhabitat of the first species: {equal:.2%} of cells equal, {close:.2%} within one step of 0.005")
print("  (their proximity and their warped heights are approximate)")
