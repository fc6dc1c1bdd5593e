"""The best feature near by: max of score × fade(distance)."""
import numpy as np

import shapes
from ground import PAD


def nearby_best(g, term, _):
    """All terms of the project are taken together: distances are the dear part."""
    assert "barrier" not in term
    return g.once(("nearby", term["layer"]), lambda: together(g, term["layer"]))[as_key(term)]


def as_key(term):
    return str((term["fade"], term["score"]))


def together(g, layer):
    terms = {as_key(t): t for p in g.species() for r in p["requisites"] for t in r["criteria"]
             if t["measure"] == "nearby best" and t["layer"] == layer}
    out = {key: np.zeros(g.shape) for key in terms}
    reach = max(t["fade"][-1][0] for t in terms.values()) / g.cell
    for attributes, kind, lines in g.features(layer):
        corners = np.concatenate(lines) - PAD
        low = np.maximum(np.floor(corners.min(axis=0) - reach).astype(int), 0)
        high = np.minimum(np.ceil(corners.max(axis=0) + reach).astype(int), [g.cols, g.rows])
        if (high <= low).any():
            continue
        part = (slice(low[1], high[1]), slice(low[0], high[0]))
        metres = distances(kind, lines, low, high) * g.cell
        for key, term in terms.items():
            best = out[key][part]
            np.maximum(best, score(term["score"], attributes) * fade(term["fade"], metres), out=best)
    return out


def distances(kind, lines, low, high):
    """From the centres of the cells of a box to a feature, 0 inside an area."""
    u = np.broadcast_to(np.arange(low[0], high[0]) + PAD + 0.5, (high[1] - low[1], high[0] - low[0]))
    v = np.broadcast_to((np.arange(low[1], high[1]) + PAD + 0.5)[:, None], u.shape)
    if kind == "point":
        return np.hypot(u - lines[0][0][0], v - lines[0][0][1])
    away = shapes.boundary_distance(lines, u, v)
    if kind == "area":
        cells = shapes.centres_inside(lines) - [low[1] + PAD, low[0] + PAD]
        here = ((cells >= 0) & (cells < away.shape)).all(axis=1)
        away[cells[here, 0], cells[here, 1]] = 0
    return away


def fade(knots, metres):
    xs, ys = np.array(knots, float).T
    return np.where(metres <= xs[-1], np.interp(metres, xs, ys), 0)


def score(rule, attributes):
    """The geometric mean of the attributes' ratings; those that say nothing are
    left out. 0 where none says anything: the feature does not count."""
    assert rule["combine"] == "geometric"
    total, weights = 0.0, 0.0
    for field, how in rule["attributes"].items():
        given = attributes.get(field)
        rating = None
        if given is not None and "table" in how:
            rating = how["table"].get(str(given))
        elif given is not None:
            rating = np.interp(float(given), *np.array(how["curve"], float).T)
        if rating is not None:
            total += how.get("weight", 1) * np.log(rating)
            weights += how.get("weight", 1)
    return np.exp(total / weights) if weights else 0.0
