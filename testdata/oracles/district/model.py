"""From measures to suitability: curves, tables, requisites, multipliers, range."""
import numpy as np

import discs
import measures
import nearby
from ground import PAD
from ranges import FACTOR, HISTORIC, EDGE, NOT_ASSESSED, OUTSIDE, VAGRANT, Range

MEASURES = {"value": measures.value, "share": measures.share, "edge": measures.edge, "distance": measures.distance,
            "density": measures.density, "road pressure": measures.road_pressure, "records": measures.records,
            "nearby best": nearby.nearby_best}
TERM_KEYS = {"id", "weight", "measure", "layer", "source", "curve", "table", "classes", "radius", "a", "b", "to", "limit",
             "barrier", "c", "effect", "strength", "half", "fade", "score", "species"}


class Model:
    """All species of a project, in its order: prey before those that eat it."""

    def __init__(self, g):
        self.g, self.habitat, self.ranges = g, {}, {}
        for species in g.species():
            self.ranges[species["id"]] = Range(g, species)
            self.habitat[species["id"]] = self.evaluate(species)

    def evaluate(self, s):
        """The geometric mean of the requisites times the multipliers."""
        assert s["rule"] == "geometric" and s["missing"] == "unknown" and not s.get("exclusions"), s["id"]
        logs, weights = 0.0, 0.0
        for requisite in s["requisites"]:
            rating, total = 0.0, 0.0
            for term in requisite["criteria"]:
                rating = rating + term["weight"] * np.maximum(self.rate(term, s), s["floor"])
                total += term["weight"]
            logs = logs + requisite["weight"] * np.log(rating / total)
            weights += requisite["weight"]
        S = np.exp(logs / weights)
        for term in s.get("multipliers", []):
            S = S * self.rate(term, s)
        return S

    def rate(self, term, species):
        assert not set(term) - TERM_KEYS, sorted(set(term) - TERM_KEYS)
        reach = max(term.get(key, 0) for key in ("radius", "limit", "effect"))
        if term["measure"] == "distance":
            reach = max(reach, term["curve"][-1][0])
        assert reach / self.g.cell + 2 <= PAD, "the padding is too narrow"
        if term["measure"] == "species":
            measured = self.prey(term)
        else:
            measured = MEASURES[term["measure"]](self.g, term, species)
        if "strength" in term:
            return 1 - term["strength"] * measured
        if "table" in term:
            codes = self.g.class_codes(term["layer"])
            ratings = np.full(257, np.nan)
            for name, rating in term["table"].items():
                ratings[codes[name]] = rating
            return ratings[np.where(np.isnan(measured), 256, measured).astype(int)]
        if "curve" in term:
            return np.interp(measured, *np.array(term["curve"], float).T)
        return measured

    def prey(self, term):
        """The greatest suitability, within its range, of any of some species in the
        disc around a cell: 0 where the range shows nothing."""
        n = int(term["radius"] / self.g.cell + 1e-9)
        best = None
        for name in term["species"]:
            offer = np.full((self.g.rows + 2 * n, self.g.cols + 2 * n), np.nan)
            offer[n:-n, n:-n] = self.habitat[name]
            standing = self.ranges[name].standing[PAD - n:PAD + self.g.rows + n, PAD - n:PAD + self.g.cols + n]
            offer[np.isin(standing, (OUTSIDE, EDGE, HISTORIC, VAGRANT))] = 0
            near = discs.greatest_around(offer, term["radius"], self.g.cell, n)
            best = near if best is None else np.maximum(best, near)  # NaN where either is
        return best

    def published(self, name):
        """Suitability and standing as a map for people shows them."""
        S, standing = self.habitat[name], self.ranges[name].standing[self.g.inner].copy()
        shown = np.full(self.g.shape, np.nan)
        for at, factor in FACTOR.items():
            shown[standing == at] = S[standing == at] * factor
        standing[np.isnan(S) & ~np.isin(standing, (OUTSIDE, EDGE, VAGRANT))] = NOT_ASSESSED
        return shown, standing
