"""The map of pivots against dense sampling, in this one run: python tests/benchmarks/swing.py

Dense sampling of equal accuracy turns the lid by steps in which no point that matters moves more
than twice 0.01 mm, and asks shapely for the distance at each; its cost is told by a few pivots.
"""

from __future__ import annotations

import sys
import time
from itertools import pairwise
from pathlib import Path

import numpy as np
import shapely

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from swings import demo, fine, turned  # noqa: E402

from parts.sheet.loop import polygon  # noqa: E402
from parts.trade.swing import pivot_map  # noqa: E402
from parts.trade.swing.exact import least_over_swing  # noqa: E402
from parts.trade.swing.flattened import flattened  # noqa: E402
from parts.trade.swing.witness import proved_floors  # noqa: E402

TOLERANCE = 0.01
SAMPLED = 4  # pivots sampled densely
ROOM = ((-110.0, -38.0), (-40.0, -38.0), (-40.0, -8.0), (-110.0, -8.0))


def main() -> None:
    section = demo(radius=3)
    flat = flattened(section)
    times: list[tuple[int, float, float]] = []
    for count in (125, 500, 2000, 8000):
        side = round(count**0.5)
        pivots = np.array(
            [(u, v) for u in np.linspace(-110, -40, side) for v in np.linspace(-38, -8, side)]
        )
        start = time.perf_counter()
        found = least_over_swing(flat, pivots)
        solved = time.perf_counter() - start
        floors = proved_floors(flat, pivots, found.distance, TOLERANCE)
        times.append((len(pivots), solved, time.perf_counter() - start))
        assert (found.distance - floors).max() <= TOLERANCE
        if count == 2000:
            ratio = dense_seconds(pivots) / (times[-1][2] / len(pivots))
    for (few, _, before), (count, solved, both) in pairwise(times):
        print(
            f"{count} pivots: {solved:.2f} s solved, {both:.2f} s solved and proved; "
            f"{count / few:.1f} times the pivots take {both / before:.1f} times as long"
        )
    print(f"{(found.distance > 0).mean():.0%} of the pivots clear")
    print(f"dense sampling to {TOLERANCE} mm takes {ratio:.0f} times as long as solved and proved")
    start = time.perf_counter()
    whole = pivot_map(section, polygon(ROOM), 3.0)
    spent = time.perf_counter() - start
    print(f"a whole map with contours, {len(whole.pivots)} pivots: {spent:.2f} s")


def dense_seconds(pivots: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
    """Seconds to sample one pivot densely, with the lid's edge only."""
    section = demo(radius=3)
    edge = fine(section.moving[0].curves, 8)
    fixed = shapely.multilinestrings(
        [shapely.linestrings(fine(item.curves, 8)) for item in section.fixed]
    )
    shapely.prepare(fixed)
    start = time.perf_counter()
    for u, v in pivots[:: len(pivots) // SAMPLED][:SAMPLED]:
        lever = np.hypot(edge[:, 0] - u, edge[:, 1] - v).max()
        steps = int(np.radians(section.opening_deg) * lever / (2 * TOLERANCE)) + 1
        angles = np.linspace(0, section.opening_deg, steps)
        shapely.distance(fixed, shapely.linestrings(turned(edge, (u, v), angles))).min()
    return (time.perf_counter() - start) / SAMPLED


if __name__ == "__main__":
    main()
