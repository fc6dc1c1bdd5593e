#!/usr/bin/env python3
"""The maps of a project by an independent path: everything is worked out again
from tussock.yaml and species/*.yaml with PyYAML, GDAL, numpy and scipy, from the
definitions of the measures, and compared, cell by cell, with the rasters of a
finished `tussock map --audience staff` whose values are floats. It knows what the
invented district asks for, and stops at anything else.

usage: district.py FOLDER SURFACES RECORDS   (SURFACES: the folder of surfaces.json;
RECORDS: what `tussock records --audience staff --out` wrote, for which record may
shape a map)

Prints JSON: by species what was compared and what differs.
"""
import json
import sys
import time

import numpy as np
from osgeo import gdal

from ground import PAD, Ground
from model import Model

BREAK = 1e-6  # nearer to a class break than this, a class may go either way


def read(path):
    return gdal.Open(path).ReadAsArray()


def compare(g, model, name, files, breaks):
    ours = {plane: read(files[plane]) for plane in files}
    S, (shown, standing) = model.habitat[name], model.published(name)
    rows, cols = np.nonzero(ours["standing"] != standing)
    margin = model.ranges[name].margin(rows + PAD, cols + PAD) * g.cell
    same = ours["standing"] == standing
    out = {"cells": S.size, "unknown": int(np.isnan(S).sum()), "shown": int(np.isfinite(shown).sum()),
           "mean_here": float(np.nanmean(S)), "mean_map": float(np.nanmean(ours["habitat"].astype(float))),
           "standing_differs": len(rows), "standing_margin": float(margin.max(initial=0))}
    for plane, theirs in (("habitat", S), ("suitability", np.where(same, shown, ours["suitability"]))):
        a = ours[plane].astype(float)
        off = np.abs(a - theirs)
        out[plane] = {"greatest": float(np.nanmax(off)), "alone": int((np.isnan(a) != np.isnan(theirs)).sum())}
    near = np.min([np.abs(shown - b) for b in breaks], axis=0) < BREAK
    kind = np.where(np.isnan(shown), 255, np.digitize(np.nan_to_num(shown), breaks))
    out["classes_at_breaks"] = int(near.sum())
    out["class_differs"] = int((same & ~near & (kind != ours["class"])).sum())
    return out


def main():
    folder, surfaces, kept = sys.argv[1:4]
    start = time.time()
    g = Ground(folder)
    g.cleaned = g.table(kept)
    model = Model(g)
    with open(f"{surfaces}/surfaces.json", encoding="utf-8") as f:
        made = json.load(f)
    report = {}
    for s in made["species"]:
        files = {plane: f"{surfaces}/{path}" for plane, path in s["files"].items()}
        report[s["id"]] = compare(g, model, s["id"], files, made["class_breaks"])
    print(json.dumps({"seconds": time.time() - start, "flooded": g.flooded, "records": g.counted, "species": report}))


main()
