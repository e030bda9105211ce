"""What stands round a tub: the tyre in its poses, all that it sweeps, the rail beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parts.kinds.wheel_tub.config import Hand, TubSide
from parts.kinds.wheel_tub.local import OUTWARD
from parts.place import Vector, unit
from parts.scenery import Lines, Revolved, Scenery
from parts.trade.axle import LEFT, RIGHT
from parts.trade.gear import Gear
from parts.trade.sweep.swept import swept_skin

RIDE = "ride"
ALIKE = 0.5  # mm and hundredths of a radian by which two places of a wheel are one to the eye
STATIONS, MESH = 12, 4  # rings round all that a tyre sweeps; points of a ring to a line across
TURN_RAD = 0.3  # by which a tyre's outline turns from one ring to the next that is drawn
ARCH_STEPS = 48  # straight lines to a wheel opening


@dataclass(frozen=True, eq=False)
class Swept:
    """One hand for the eye: what was measured round it, and the travels at which the tyre comes
    nearest to each surface."""

    hand: Hand
    side: TubSide
    nearest: Mapping[str, NDArray[np.float64]]


def scenery(gear: Gear, hands: tuple[Swept, ...]) -> Iterator[Scenery]:
    """The tyre at ride, nearest to each surface and in every named pose, and its envelope."""
    for one in hands:
        yield from _tyres(gear, one)
        yield Scenery(
            "tyre, all it sweeps", "tyre",
            _net(swept_skin(gear.wheel, gear.motion(one.hand), STATIONS)), one.hand,
        )  # fmt: skip
        yield from _surround(one)


def _net(skin: NDArray[np.float64]) -> Lines:
    """Rings round a skin (m, n, 3), and lines across it."""
    rings = (np.concatenate([ring, ring[:1]]) for ring in skin[1:-1])
    across = (skin[:, i] for i in range(0, skin.shape[1], MESH))
    return Lines((*rings, *across))


def _tyres(gear: Gear, one: Swept) -> Iterator[Scenery]:
    """At ride and in every named pose, then nearest to each surface; two places of the wheel that
    are one to the eye are one tyre with both names."""
    side = RIGHT if one.hand == "right" else LEFT
    places = [
        (pose.name, at.wheels[side].origin, at.wheels[side].turn[:, 1])
        for pose, at in zip(gear.poses, gear.posed, strict=True)
    ]
    motion = gear.motion(one.hand)
    for name, travels in one.nearest.items():
        (center,), (axis,) = motion.at(travels)
        places.append((f"nearest to the {name}", center, axis))
    shown: list[tuple[list[str], Vector, Vector]] = []
    for name, center, axis in places:
        known = next((told for told in shown if _alike(center, axis, *told[1:])), None)
        if known is None:
            shown.append(([name], center, axis))
        else:
            known[0].append(name)
    outline = _fewer(gear.section.rings())
    for names, center, axis in shown:
        form = Revolved(outline, center, unit(axis))
        yield Scenery(f"tyre, {'; '.join(names)}", "tyre", form, one.hand, RIDE not in names)


def _fewer(rings: NDArray[np.float64]) -> NDArray[np.float64]:
    """The points of an outline (n, 2) at which it has turned enough for the eye, and its ends."""
    way = np.unwrap(np.arctan2(*np.diff(rings, axis=0).T[::-1]))
    kept, last = [0], way[0]
    for i in range(1, len(rings) - 1):
        if abs(way[i] - last) >= TURN_RAD or i == int(rings[:, 1].argmax()):
            kept.append(i)
            last = way[i]
    return np.asarray(rings[[*kept, len(rings) - 1]])


def _alike(center: Vector, axis: Vector, other: Vector, other_axis: Vector) -> bool:
    off = float(np.abs(center - other).max())
    return off < ALIKE and float(np.abs(axis - other_axis).max()) < ALIKE / 100


def _surround(one: Swept) -> Iterator[Scenery]:
    """The rail's outer face and the wheel opening, as measured."""
    out = OUTWARD[one.hand]
    stations = sorted(one.side.rail, key=lambda station: station.x)
    if stations:
        lean = [np.tan(np.radians(s.lean)) * (s.bottom - s.top) for s in stations]
        top = np.array([[s.x, out * s.outer, s.top] for s in stations])
        bottom = np.array(
            [[s.x, out * (s.outer + by), s.bottom] for s, by in zip(stations, lean, strict=True)]
        )
        ends = tuple(np.array([a, b]) for a, b in zip(top, bottom, strict=True))
        yield Scenery("rail, outer face", "fixed", Lines((top, bottom, *ends)), one.hand)
    arch, side = one.side.arch, one.side.body_side
    if arch is not None and side.y is not None:
        turn = np.linspace(0.0, 2 * np.pi, ARCH_STEPS + 1)
        up = arch.z + arch.radius * np.sin(turn)
        along = arch.x + arch.radius * np.cos(turn)
        lean, toe = (np.tan(np.radians(angle.value)) for angle in (side.lean, side.toe))
        across = side.y + lean * (side.height - up) + toe * along
        yield Scenery(
            "wheel opening", "fixed", Lines((np.column_stack([along, out * across, up]),)),
            one.hand,
        )  # fmt: skip
