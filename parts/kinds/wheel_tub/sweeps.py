"""The tyre swept against a laid-out tub: by pose, over all travel, with its ±."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from parts.kinds.wheel_tub.envelope import least_of, looked_at, swept
from parts.kinds.wheel_tub.layout import Tub
from parts.trade.axle import Travels
from parts.trade.sweep import Least, Surface, Wheel, clearances

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
    """

    least: dict[str, Least]
    plus_minus: dict[str, float]
    poses: tuple[AtPose, ...]

    @property
    def tightest(self) -> str:
        """The surface that comes nearest."""
        return min(self.least, key=lambda name: self.least[name].clearance)


def sweeps_of(tub: Tub) -> Sweeps:
    """The tyre against every surface of the tub, in the named poses and between them."""
    wheel, surfaces = tub.gear.wheel, tub.room.surfaces
    travels = np.array([tub.gear.travels(pose) for pose in tub.gear.poses])
    seeds = np.vstack([travels, looked_at(tub.motion, GRID)])
    found = {
        name: clearances(wheel, tub.motion, those, seeds) for name, those in surfaces.items()
    }
    poses = tuple(
        AtPose(pose, {name: float(gaps[i]) for name, (gaps, _) in found.items()})
        for i, pose in enumerate(tub.gear.poses)
    )
    least = {}
    for name, (gaps, where) in found.items():
        worst = int(gaps.argmin())
        if gaps[worst] <= 0:  # contact is certain: how deep it is at the worst does not matter
            least[name] = Least(
                float(gaps[worst]), seeds[worst], where[worst], np.inf, len(seeds)
            )
        else:
            least[name] = swept(wheel, tub.motion, surfaces[name], seeds[[worst]])
    spread = {
        name: float(np.hypot(_spread(tub, surfaces[name], one), tub.errors.get(name, 0.0)))
        for name, one in least.items()
    }
    return Sweeps(least, spread, poses)


def _spread(tub: Tub, surfaces: tuple[Surface, ...], at: Least) -> float:
    """95 % half width of a least clearance from the gear's errors: each by itself, at that pose,
    added as squares."""
    gear, wheel = tub.gear, tub.gear.wheel
    (center,), (axis,) = tub.motion.at(at.travels[None, :])
    ways = {"across": (0, 1, 0), "fore-aft": (1, 0, 0), "height": (0, 0, 1)}
    shifts = [gear.spread[name] * np.array(way) for name, way in ways.items()]
    centers = center + np.array([np.zeros(3), *shifts])
    gaps = least_of(surfaces, wheel, centers, np.tile(axis, (len(centers), 1)))
    changes = list(gaps[1:] - gaps[0])
    for name, column in (("width", 0), ("diameter", 1)):
        rings = wheel.rings.copy()
        side = np.sign(rings[:, 0]) if column == 0 else 1.0
        rings[:, column] += side * gear.spread[name] / 2
        other = least_of(surfaces, Wheel(rings), center[None], axis[None])
        changes.append(other[0] - gaps[0])
    return float(np.sqrt(np.sum(np.square(changes))))

