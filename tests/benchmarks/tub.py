"""Costs of the wheel tub as ratios, all in this one run: python tests/benchmarks/tub.py

Processor time, not wall time, the median of several, after one run to warm up.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from parts import load
from parts.kinds.wheel_tub.config import WheelTub
from parts.kinds.wheel_tub.envelope import swept
from parts.kinds.wheel_tub.layout import lay_out_tub
from parts.trade.sweep import clearances

ROOT = Path(__file__).parents[2]
RUNS = 5
TOLERANCE = 0.1  # mm that the sweep may miss


def main(path: Path) -> None:
    job = load(path)
    name = next(n for n in job.names if job.file.parts[n].kind == "wheel_tub")
    mounts = [n for n in job.names if job.file.parts[n].kind == "bumper_mount"]
    both = seconds(lambda: load(path).part(name))
    row("check of both tubs, job read afresh", both, "one second", 1.0)
    if mounts:
        row("check of both tubs", both, "of both bumper mounts",
            seconds(lambda: load(path).part(mounts[0])))  # fmt: skip
    config = job.file.parts[name]
    assert isinstance(config, WheelTub)
    assert config.right is not None
    tub = lay_out_tub(config, config.right, job.bench, "right")
    wheel, motion = tub.gear.wheel, tub.motion
    poses = np.array([tub.gear.travels(pose) for pose in tub.gear.poses])
    many = np.random.default_rng(1).uniform(motion.low, motion.high, (500, len(motion.low)))
    rates = motion.rates[0] + wheel.reach * motion.rates[1]
    for surface, faces in tub.room.surfaces.items():
        found = swept(wheel, motion, faces, poses, TOLERANCE)
        cost = seconds(lambda faces=faces: swept(wheel, motion, faces, poses, TOLERANCE))
        each = seconds(lambda faces=faces: clearances(wheel, motion, faces, many)) / len(many)
        row(f"sweep to {surface}, a pose of {found.poses}", cost / found.poses,
            "a clearance among 500", each)  # fmt: skip
        # a grid fine enough that no pose between is further than the tolerance off
        dense = float(np.prod(np.ceil((motion.high - motion.low) * rates / (2 * TOLERANCE))))
        row(f"sweep to {surface}", cost, f"a dense grid of {dense:.0f} poses", dense * each)


def seconds(act: Callable[[], object]) -> float:
    """Median processor time, after one run to warm up."""
    act()
    times = []
    for _ in range(RUNS):
        start = time.process_time()
        act()
        times.append(time.process_time() - start)
    return statistics.median(times)


def row(what: str, cost: float, against: str, other: float) -> None:
    print(f"{what:<44}{cost:9.4f} s  is {cost / other:10.5f} x  {against} ({other:.4f} s)")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "configs" / "tin_wren.toml")
