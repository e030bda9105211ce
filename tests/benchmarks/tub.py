"""Costs of the wheel tub as ratios, all in this one run: python tests/benchmarks/tub.py

Processor time, not wall time, the median of several, after one run to warm up.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT)]

import tubs  # noqa: E402

from parts import load  # noqa: E402
from parts.kinds.wheel_tub.config import WheelTub  # noqa: E402
from parts.kinds.wheel_tub.layout import Tub, lay_out_tub  # noqa: E402
from parts.kinds.wheel_tub.sweeps import sweeps_of  # noqa: E402
from parts.trade.axle import Independent, Kingpin, Steered, Stops, SwingArm, Wheel  # noqa: E402
from parts.trade.axle.standard import standard_poses  # noqa: E402
from parts.trade.gear import Gear  # noqa: E402
from parts.trade.sweep import clearances, least  # noqa: E402

RUNS = 5
TOLERANCE = 0.1  # mm that the sweep may miss
FREE: dict[str, Any] = {
    "disc_face": None, "band_radius": None, "band_center": None, "side_clearance": 25,
    "crown_clearance": 30,
}  # fmt: skip
FRONT: dict[str, Any] = {"disc_face": 480, "band_radius": 520, "band_center": [0, 400]}
ARCH = {"x": 0, "z": 331, "radius": 400, "lip": 15}


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
    sweep(lay_out_tub(config, config.right, job.bench, "right"))
    kinds()


def sweep(tub: Tub) -> None:
    """Each surface by itself, against a grid fine enough that no pose between is further than the
    tolerance off; and all of them side by side."""
    wheel, motion = tub.gear.wheel, tub.motion
    poses = np.array([tub.gear.travels(pose) for pose in tub.gear.poses])
    many = np.random.default_rng(1).uniform(motion.low, motion.high, (500, len(motion.low)))
    rates = motion.rates[0] + wheel.reach * motion.rates[1]
    dense = float(np.prod(np.ceil((motion.high - motion.low) * rates / (2 * TOLERANCE))))
    alone, grids = 0.0, 0.0
    for surface, faces in tub.room.surfaces.items():
        found = least(wheel, motion, faces, TOLERANCE, poses)
        cost = seconds(lambda faces=faces: least(wheel, motion, faces, TOLERANCE, poses))
        each = seconds(lambda faces=faces: clearances(wheel, motion, faces, many)) / len(many)
        row(f"sweep to {surface}, a pose of {found.poses}", cost / found.poses,
            "a clearance among 500", each)  # fmt: skip
        row(f"sweep to {surface}", cost, f"a dense grid of {dense:.0f} poses", dense * each)
        alone, grids = alone + cost, grids + dense * each
    told = sweeps_of(tub)
    looked = sum(one.poses for one in told.least.values())
    cost = seconds(lambda: sweeps_of(tub))
    row("all surfaces side by side, with ±", cost, "each by itself", alone)
    row(f"the same, a pose of {looked}", cost / looked, "a pose each by itself", alone / looked)
    row("the same", cost, "dense grids", grids)


def kinds() -> None:
    """Other styles, surrounds and axles against a welded tub on a live axle, one hand each."""
    welded = seconds(lambda: tubs.made())
    row("one hand, welded, live axle", welded, "one second", 1.0)
    for what, act in (
        ("tabs", lambda: tubs.made(style="tabs")),
        ("formed", lambda: tubs.made(style="formed", edge_radius=25, disc_face=590)),
        ("sized by the sweep", lambda: tubs.made(side={"rail": []}, **FREE)),
        ("formed and sized", lambda: tubs.made(
            side={"rail": []}, style="formed", edge_radius=25, **FREE)),
        ("an arch in the body side", lambda: tubs.made(side={"arch": ARCH})),
        ("straight up and down", lambda: tubs.made(on=tubs.bench(tubs.gear("straight")))),
        ("trailing arms", lambda: tubs.made(on=tubs.bench(arms(500, 300, 500, 700)))),
        ("semi-trailing arms", lambda: tubs.made(on=tubs.bench(arms(400, 250, 500, 700)))),
        ("swing axle", lambda: tubs.made(on=tubs.bench(arms(60, 60, -60, 60)))),
        ("front, straight up, steered", lambda: tubs.made(
            on=tubs.bench(steered("straight")), **FRONT)),
        ("front, live axle, steered", lambda: tubs.made(on=tubs.bench(steered("links")), **FRONT)),
        ("front, sized by the sweep", lambda: tubs.made(
            on=tubs.bench(steered("links")), side={"rail": []}, **FREE)),
    ):  # fmt: skip
        row(f"one hand: {what}", seconds(act), "welded, live axle", welded)


def arms(inner_ahead: float, inner: float, outer_ahead: float, outer: float) -> Gear:
    """Wheels on arms whose pivots lie ahead of them and `inner` and `outer` from the middle."""
    wheels = Wheel((0, -760, 331)), Wheel((0, 760, 331))
    carried = [
        SwingArm((-inner_ahead, side * inner, 331), (-outer_ahead, side * outer, 331))
        for side in (-1, 1)
    ]
    return replace(tubs.gear("straight"), axle=Independent(*wheels, *carried))


def steered(kind: str) -> Gear:
    """A front axle with 60 of travel each way and 20 degrees of lock."""
    pins = [Kingpin((-5.0, s * 690.0, 200.0), (15.0, s * 650.0, 460.0)) for s in (-1, 1)]
    stops = Stops(60, 60, 20)
    axle = Steered(tubs.axle_of(kind), *pins)
    return replace(tubs.gear(kind, 60, 60), axle=axle, stops=stops, poses=standard_poses(stops))


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
