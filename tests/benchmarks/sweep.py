"""Cost of the swept clearance against a dense sampling that misses no more, in this one run:
python tests/benchmarks/sweep.py"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from sweeps import MOTIONS, TYRE, tub  # noqa: E402

from parts.trade.sweep import Wheel, clearances, least, motion  # noqa: E402

MISS = 0.1
SAMPLE = 20_000


def sweep_ratio() -> float:
    """How many times dearer the plain grid is: one disc, one band, one skin, two travels of 180.

    So that no pose between two of the grid is over MISS lower, its steps are MISS over the rates.
    The grid's cost is that of a random share of its poses.
    """
    wheel, surfaces = Wheel(TYRE), list(tub().values())
    pose, ends = MOTIONS["live"]
    m = motion(pose, -ends, ends, wheel.reach)
    found = least(wheel, m, surfaces, MISS)
    swept = seconds(lambda: least(wheel, m, surfaces, MISS))
    each = sum(seconds(lambda s=s: least(wheel, m, [s], MISS)) for s in surfaces)
    moves, turns = m.rates
    steps = MISS / len(ends) / (moves + wheel.reach * turns) * 2
    grid = float(np.prod((m.high - m.low) / steps))
    travels = np.random.default_rng(0).uniform(m.low, m.high, (SAMPLE, len(ends)))
    dense = seconds(lambda: clearances(wheel, m, surfaces, travels), 3) * grid / SAMPLE
    print(f"least of all three    {swept:9.4f} s  {found.poses} poses, ± {found.may_miss:.3f} mm")
    print(f"each of the three     {each:9.4f} s")
    print(f"plain grid            {dense:9.1f} s  {grid:.3g} poses: {dense / swept:.3g} x")
    return dense / swept


def seconds(act: Callable[[], object], runs: int = 7) -> float:
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        act()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


if __name__ == "__main__":
    sweep_ratio()
