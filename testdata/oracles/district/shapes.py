"""Lines and rings in cells: which cells they touch, what lies inside, how far a
place is from them."""
import numpy as np


def touched(kind, lines, shape):
    """Rows and columns of the cells of an array that a feature touches."""
    cells = [line_cells(line) for line in lines]
    if kind == "area":  # a cell that the boundary does not touch is in or out as its centre is
        cells.append(centres_inside(lines))
    cells = np.unique(np.concatenate(cells), axis=0)
    rows, cols = cells[:, 0], cells[:, 1]
    keep = (rows >= 0) & (rows < shape[0]) & (cols >= 0) & (cols < shape[1])
    return rows[keep], cols[keep]


def line_cells(line):
    """The cells of a line: it is cut wherever it meets a side between cells, and
    each piece lies in the cell of its middle."""
    cells = [np.floor(line[:, ::-1])]
    for a, b in zip(line[:-1], line[1:]):
        cuts = [np.array([0.0, 1.0])]
        for i in (0, 1):
            if a[i] != b[i]:
                low, high = sorted((a[i], b[i]))
                cuts.append((np.arange(np.ceil(low), np.floor(high) + 1) - a[i]) / (b[i] - a[i]))
        t = np.sort(np.concatenate(cuts))
        middle = (t[1:] + t[:-1])[t[1:] > t[:-1]] / 2
        cells.append(np.floor(a + middle[:, None] * (b - a))[:, ::-1])
    return np.concatenate(cells).astype(int)


def centres_inside(rings):
    """Row and column of the cells whose centres lie in an area (even-odd)."""
    low = np.floor(np.min([r.min(axis=0) for r in rings], axis=0)).astype(int)
    high = np.ceil(np.max([r.max(axis=0) for r in rings], axis=0)).astype(int)
    u, v = np.meshgrid(np.arange(low[0], high[0]) + 0.5, np.arange(low[1], high[1]) + 0.5)
    rows, cols = np.nonzero(inside(rings, u, v))
    return np.column_stack((rows + low[1], cols + low[0]))


def inside(rings, u, v):
    odd = np.zeros(u.shape, bool)
    for ring in rings:
        for (u0, v0), (u1, v1) in zip(ring, np.roll(ring, -1, axis=0)):
            if v0 != v1:
                crosses = (v0 <= v) != (v1 <= v)
                odd ^= crosses & (u < u0 + (v - v0) * (u1 - u0) / (v1 - v0))
    return odd


def boundary_distance(lines, u, v):
    """How far places are from the nearest point of some lines."""
    least = np.full(u.shape, np.inf)
    for line in lines:
        for (u0, v0), (u1, v1) in zip(line[:-1], line[1:]):
            du, dv = u1 - u0, v1 - v0
            length = du * du + dv * dv
            if length == 0:
                continue
            pu, pv = u - u0, v - v0
            t = np.clip((pu * du + pv * dv) / length, 0, 1)
            pu -= t * du
            pv -= t * dv
            np.minimum(least, pu * pu + pv * pv, out=least)
    return np.sqrt(least)


def centroid(kind, lines):
    """The centre of gravity of a point or an area, as (u, v)."""
    if kind == "point":
        return lines[0][0]
    assert kind == "area", kind
    total, moment = 0.0, np.zeros(2)
    corner = lines[0][0]
    for ring in lines:  # holes run the other way round, as RFC 7946 wants
        p = ring - corner
        q = np.roll(p, -1, axis=0)
        cross = p[:, 0] * q[:, 1] - q[:, 0] * p[:, 1]
        total += cross.sum() / 2
        moment += ((p + q) * cross[:, None]).sum(axis=0) / 6
    return corner + moment / total
