"""The measures, from their definitions: each gives a number, or a class code, for
every cell of the grid, NaN where it is unknown."""
import numpy as np
from scipy import ndimage

import discs
import shapes
from ground import PAD


def value(g, term, _):
    return g.raster(term["layer"])


def known_around(g, layer, radius):
    """How many of a disc's cells are known, NaN where fewer than 60 %."""
    def count():
        known = g.pad(np.isfinite(g.raster(layer)).astype(float), 0.0)
        n = discs.around(known, g.shape, radius, g.cell).round()
        return np.where(n >= 0.6 * discs.disc_cells(radius, g.cell), n, np.nan)
    return g.once(("known", layer, radius), count)


def share(g, term, _):
    codes = g.class_codes(term["layer"])
    weights = np.zeros(256)
    for name, weight in term["classes"].items():
        weights[codes[name]] = weight
    cover = g.pad(np.nan_to_num(g.raster(term["layer"])), 0.0).astype(np.uint8)
    return discs.around(weights[cover], g.shape, term["radius"], g.cell) / known_around(g, term["layer"], term["radius"])


def edge(g, term, _):
    """Metres of side between the classes a and b, per hectare of known ground."""
    codes = g.class_codes(term["layer"])
    cover = g.pad(np.nan_to_num(g.raster(term["layer"])), 0.0).astype(int)
    a, b = (np.isin(cover, [codes[n] for n in term[key]]) for key in ("a", "b"))
    east, south = np.zeros(g.padded), np.zeros(g.padded)
    east[:, :-1] = (a[:, :-1] & b[:, 1:]) | (b[:, :-1] & a[:, 1:])
    south[:-1] = (a[:-1] & b[1:]) | (b[:-1] & a[1:])
    chords = discs.chords(term["radius"], g.cell)
    half = dict(chords)
    sides = discs.disc_sum(east, g.shape, [(dy, -h, h - 1) for dy, h in chords if h > 0])
    both = [(dy, min(h, half[dy + 1])) for dy, h in chords if dy + 1 in half]
    sides += discs.disc_sum(south, g.shape, [(dy, -h, h) for dy, h in both])
    return g.cell * sides / (known_around(g, term["layer"], term["radius"]) * g.cell ** 2 / 10_000)


def distance(g, term, _):
    """From cell centre to cell centre of the nearest target, at most the limit."""
    targets = term.get("to", [term])
    member, blind = np.zeros(g.padded, bool), np.ones(g.shape, bool)
    for target in targets:
        if "classes" not in target:
            member |= touched_by(g, target["layer"])
            blind[:] = False
            continue
        codes = g.class_codes(target["layer"])
        cover = g.raster(target["layer"])
        is_class = np.isin(cover, [codes[n] for n in target["classes"]])
        if "where" in target:
            is_class &= holds(g, target["where"])
        member |= g.pad(is_class, False)
        blind &= np.isnan(cover)
    limit = term.get("limit", term["curve"][-1][0])
    away = ndimage.distance_transform_edt(~member)[g.inner] * g.cell if member.any() else np.full(g.shape, np.inf)
    return np.where(blind, np.nan, np.minimum(away, limit))


def holds(g, condition):
    values = g.raster(condition["layer"])
    return (values >= condition.get("from", -np.inf)) & (values <= condition.get("to", np.inf))


def touched_by(g, layer, keep=lambda attributes: True):
    mask = np.zeros(g.padded, bool)
    for attributes, kind, lines in g.features(layer):
        if keep(attributes):
            mask[shapes.touched(kind, lines, g.padded)] = True
    return mask


def density(g, term, _):
    """Features per km² of the disc, each at its centroid."""
    assert term.get("by", "count") == "count"

    def measure():
        counts = np.zeros(g.padded)
        for _, kind, lines in g.features(term["layer"]):
            col, row = np.floor(shapes.centroid(kind, lines)).astype(int)
            if 0 <= row < g.padded[0] and 0 <= col < g.padded[1]:
                counts[row, col] += 1
        barrier = np.zeros(g.padded, bool)
        if "barrier" in term:
            field = g.project["layers"][term["barrier"]["layer"]]["traffic"]
            barrier = touched_by(g, term["barrier"]["layer"], lambda a: a[field] >= term["barrier"]["from"])
        sums, flooded = discs.reached_sum(counts, barrier, g.shape, term["radius"], g.cell)
        g.flooded += flooded
        return sums / (discs.disc_cells(term["radius"], g.cell) * g.cell ** 2 / 1e6)
    return g.once(("density", term["layer"], term["radius"], str(term.get("barrier"))), measure)


def road_pressure(g, term, _):
    """The greatest of (1 − e^(−c·V))·max(0, 1 − d/effect) over the roads: every
    touched cell with its busiest road presses on the cells around it."""
    field = g.project["layers"][term["layer"]]["traffic"]
    busiest = np.zeros(g.padded)
    for attributes, kind, lines in g.features(term["layer"]):
        at = shapes.touched(kind, lines, g.padded)
        busiest[at] = np.maximum(busiest[at], attributes[field])
    rows, cols = np.nonzero(busiest)
    strength = 1 - np.exp(-term["c"] * busiest[rows, cols])
    pressure = np.zeros(g.padded)
    for dy, half in discs.chords(term["effect"], g.cell):
        for dx in range(-half, half + 1):
            ok = (rows + dy >= 0) & (rows + dy < g.padded[0]) & (cols + dx >= 0) & (cols + dx < g.padded[1])
            at = rows[ok] + dy, cols[ok] + dx
            felt = strength[ok] * (1 - np.hypot(dx, dy) * g.cell / term["effect"])
            pressure[at] = np.maximum(pressure[at], felt)
    return pressure[g.inner]


def records(g, term, species):
    """c/(c + half), c = Σ w·(1 − (d/r)²) over the species' records that may shape a
    map, w = age/(1 + (u/r)²): age 1 up to ten years before the reference date, 0.5
    up to 25, counted in years of 365.25 days from the earliest day it may have been."""
    assert "effort" not in term
    c = np.zeros(g.shape)
    x, y = np.arange(g.cols) + PAD + 0.5, np.arange(g.rows) + PAD + 0.5
    r = term["radius"] / g.cell
    for row in g.cleaned:
        if row["scientificName"] != species["scientific"] or row["use"] != "fine" or row["occurrenceStatus"] == "absent":
            continue
        day = (row["eventDate"].split("/")[0] + "-01-01")[:10].replace("T", "-")
        years = (g.date - np.datetime64(day, "D")).astype(int) / 365.25
        u = float(row["coordinateUncertaintyInMeters"]) / term["radius"]
        weight = (years <= 10 or 0.5 * (years <= 25)) / (1 + u * u)
        at = g.place([[float(row["decimalLongitude"]), float(row["decimalLatitude"])]])[0]
        g.counted += int(weight > 0)
        c += weight * np.maximum(1 - ((x - at[0]) ** 2 + (y[:, None] - at[1]) ** 2) / r ** 2, 0)
    return c / (c + term["half"])
