"""Sums over the cells whose centres lie within a radius of a cell's centre, and
what of such a disc can be reached."""
import numpy as np
from scipy import ndimage

from ground import PAD

SIDES = ndimage.generate_binary_structure(2, 1)  # a flood goes through the sides of cells


def chords(radius, cell):
    """[(rows down, columns to either side)] of the disc dx² + dy² ≤ (radius/cell)²."""
    r = radius / cell + 1e-9
    return [(dy, int(np.sqrt(r * r - dy * dy))) for dy in range(-int(r), int(r) + 1)]


def disc_cells(radius, cell):
    return sum(2 * half + 1 for _, half in chords(radius, cell))


def disc_sum(values, shape, spans):
    """The sums of a padded array over spans around each cell of the grid: spans
    are (rows down, first column, last column), seen from the cell."""
    running = np.zeros((values.shape[0], values.shape[1] + 1))
    np.cumsum(values, axis=1, out=running[:, 1:])
    rows, cols = shape
    out = np.zeros(shape)
    for dy, first, last in spans:
        line = running[PAD + dy:PAD + dy + rows]
        out += line[:, PAD + last + 1:PAD + last + 1 + cols]
        out -= line[:, PAD + first:PAD + first + cols]
    return out


def around(values, shape, radius, cell):
    return disc_sum(values, shape, [(dy, -half, half) for dy, half in chords(radius, cell)])


def greatest_around(values, radius, cell, pad):
    """The greatest of an array, NaN left out, over discs; the array sticks out by
    pad cells. Unknown where fewer than 60 % of a disc's cells are known."""
    rows, cols = values.shape[0] - 2 * pad, values.shape[1] - 2 * pad
    known = np.isfinite(values)
    filled, count = np.where(known, values, -np.inf), np.zeros((rows, cols))
    best = np.full((rows, cols), -np.inf)
    for dy, half in chords(radius, cell):
        for dx in range(-half, half + 1):
            part = (slice(pad + dy, pad + dy + rows), slice(pad + dx, pad + dx + cols))
            np.maximum(best, filled[part], out=best)
            count += known[part]
    return np.where(count >= 0.6 * disc_cells(radius, cell), best, np.nan)


def reached_sum(values, barrier, shape, radius, cell):
    """Sums over discs of what a flood from the centre reaches, through the sides of
    cells and inside the disc, without entering a barrier; the centre is open.
    Only discs that hold a barrier, and anything to sum, are flooded."""
    out = around(values, shape, radius, cell)
    cut = (around(barrier.astype(float), shape, radius, cell) > 0.5) & (out > 0)
    k = int(radius / cell + 1e-9)
    disc = np.zeros((2 * k + 1, 2 * k + 1), bool)
    for dy, half in chords(radius, cell):
        disc[k + dy, k - half:k + half + 1] = True
    cells = np.argwhere(values)
    held = values[cells[:, 0], cells[:, 1]]
    for row, col in np.argwhere(cut):
        open_ground = disc & ~barrier[row + PAD - k:row + PAD + k + 1, col + PAD - k:col + PAD + k + 1]
        open_ground[k, k] = True
        labels, _ = ndimage.label(open_ground, SIDES)
        seen = cells - (row + PAD - k, col + PAD - k)
        near = (np.abs(seen - k) <= k).all(axis=1)
        out[row, col] = held[near][labels[seen[near, 0], seen[near, 1]] == labels[k, k]].sum()
    return out, int(cut.sum())
