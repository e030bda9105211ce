"""Least distances between straight edges in space."""

from __future__ import annotations

import numpy as np

from parts.place import Vector
from parts.trade.swing.curves import Floats


def segment_distances(
    a: Vector, b: Vector, starts: Vector, ends: Vector
) -> tuple[Floats, Floats, Floats]:
    """Distance (n,) from the edge a-b to each of n edges, and the fraction along either.

    Nearest square across both where that falls within them, else at an end of one.

    >>> far = np.array([[5.0, -1, 3]]), np.array([[5.0, 1, 3]])
    >>> [float(x[0]) for x in segment_distances(np.zeros(3), np.array([10.0, 0, 0]), *far)]
    [3.0, 0.5, 0.5]
    """
    run, other = b - a, ends - starts
    apart = starts - a
    size, sizes = run @ run, (other * other).sum(axis=1)
    lean = other @ run
    flat = size * sizes - lean * lean
    safe = np.where(flat > 1e-12 * size * sizes, flat, np.inf)
    f = (apart @ run * sizes - (apart * other).sum(axis=1) * lean) / safe
    g = (apart @ run * lean - (apart * other).sum(axis=1) * size) / safe
    square = (f >= 0) & (f <= 1) & (g >= 0) & (g <= 1)
    choices = [(np.where(square, f, 0.0), np.where(square, g, 0.0))]
    for end in (0.0, 1.0):
        on_other = ((a + end * run - starts) * other).sum(axis=1) / sizes
        choices.append((np.full(len(starts), end), np.clip(on_other, 0.0, 1.0)))
        on_run = (starts + end * other - a) @ run / size
        choices.append((np.clip(on_run, 0.0, 1.0), np.full(len(starts), end)))
    fs, gs = np.array([c[0] for c in choices]), np.array([c[1] for c in choices])
    off = a + fs[:, :, None] * run - starts - gs[:, :, None] * other
    distance = np.linalg.norm(off, axis=2)
    best, row = distance.argmin(axis=0), np.arange(len(starts))
    return distance[best, row], fs[best, row], gs[best, row]
