"""The tyre swept against a laid-out tub: by pose, over all travel, with its ±."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parts.kinds.wheel_tub.envelope import looked_at
from parts.kinds.wheel_tub.layout import Tub
from parts.report import Finding, Severity
from parts.trade.axle import Travels
from parts.trade.sweep import (
    MOST_POSES,
    TOLERANCE,
    Least,
    Together,
    Wheel,
    clearances_to,
    leasts,
    lowest,
)

Floats = NDArray[np.float64]
GRID = 4  # poses along each travel that are looked at before the sweep, besides the named ones


@dataclass(frozen=True, slots=True)
class AtPose:
    """Clearances in one named pose, by surface."""

    pose: Travels
    clearance: dict[str, float]

    @property
    def tightest(self) -> str:
        """The surface that comes nearest."""
        return min(self.clearance, key=lambda name: self.clearance[name])


@dataclass(frozen=True, eq=False)
class Sweeps:
    """Everything known of the clearances of one tub.

    `least` over all travel, `plus_minus` of it by surface, `poses` in the named poses. Where the
    tyre meets a surface in a pose that was looked at, `may_miss` is infinite: it may be deeper.
    `together` holds the surfaces as sets, in the order of `least`.
    """

    least: dict[str, Least]
    plus_minus: dict[str, float]
    poses: tuple[AtPose, ...]
    together: Together

    @property
    def tightest(self) -> str:
        """The surface that comes nearest."""
        return min(self.least, key=lambda name: self.least[name].clearance)


def sweeps_or_findings(tub: Tub) -> tuple[Sweeps | None, tuple[Finding, ...]]:
    """The sweeps, or None and the refusal of every surface whose clearance cannot be proved."""
    try:
        return sweeps_of(tub), ()
    except Unproved as no:
        return None, tuple(_refusal(name) for name in no.surfaces)


class Unproved(ValueError):
    """Surfaces, by name, whose clearance took more poses than are sensible."""

    def __init__(self, surfaces: Sequence[str]) -> None:
        super().__init__(f"the clearance to {', '.join(surfaces)} takes too many poses to prove")
        self.surfaces = surfaces


def _refusal(name: str) -> Finding:
    return Finding(
        Severity.REFUSES, f"tyre to {name}",
        f"its least clearance over all travel could not be proved to {TOLERANCE:g} mm in "
        f"{MOST_POSES} poses",
        "a motion smooth enough, and a travel short enough, to be followed between poses",
        "measure links and pivots again where the axle twists or shifts much; or give a shorter "
        "bump, droop or lock, with stops to match",
        "the tyre swept over all travel",
    )  # fmt: skip


def sweeps_of(tub: Tub) -> Sweeps:
    """The tyre against every surface of the tub, in the named poses and between them. Raises
    Unproved."""
    wheel, surfaces = tub.gear.wheel, tub.room.surfaces
    together = Together.of(list(surfaces.values()))
    travels = np.array([tub.gear.travels(pose) for pose in tub.gear.poses])
    seeds = np.vstack([travels, looked_at(tub.motion, GRID)])
    gaps, feet = clearances_to(wheel, tub.motion, together, seeds)
    count = together.count
    told = leasts(
        wheel, tub.motion, together, lowest(seeds, gaps, feet), [TOLERANCE] * count, [0.0] * count
    )
    found = {name: one for name, one in zip(surfaces, told, strict=True) if isinstance(one, Least)}
    if len(found) < count:
        raise Unproved([name for name in surfaces if name not in found])
    poses = tuple(
        AtPose(pose, dict(zip(surfaces, row.tolist(), strict=True)))
        for pose, row in zip(tub.gear.poses, gaps, strict=False)
    )
    return Sweeps(found, _spreads(tub, together, found), poses, together)


def _spreads(tub: Tub, together: Together, found: Mapping[str, Least]) -> dict[str, float]:
    """95 % half widths of least clearances from the errors of gear and surround: each by itself,
    at that pose, added as squares."""
    gear, wheel = tub.gear, tub.gear.wheel
    ways = {"across": (0, 1, 0), "fore-aft": (1, 0, 0), "height": (0, 0, 1)}
    shifts = np.array([np.zeros(3), *(gear.spread[name] * np.array(ways[name]) for name in ways)])
    centers, axes = tub.motion.at(np.array([one.travels for one in found.values()]))
    own = np.where(np.eye(len(found), dtype=bool), np.inf, -np.inf)  # each at its own pose

    def changed(wheel: Wheel, shift: Floats) -> Floats:
        gaps, _ = together.clearance(wheel, centers + shift, axes, own)
        return np.diagonal(gaps)

    gaps = [changed(wheel, shift) for shift in shifts]
    for name, column in (("width", 0), ("diameter", 1)):
        rings = wheel.rings.copy()
        side = np.sign(rings[:, 0]) if column == 0 else 1.0
        rings[:, column] += side * gear.spread[name] / 2
        gaps.append(changed(Wheel(rings), shifts[0]))
    spreads = np.linalg.norm(np.array(gaps[1:]) - gaps[0], axis=0)
    return {
        name: float(np.hypot(spread, tub.errors.get(name, 0.0)))
        for name, spread in zip(found, spreads, strict=True)
    }
