"""What would cure a clearance, and what it would then touch; and which tyres would fit."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from parts.kinds.wheel_tub.envelope import looked_at
from parts.kinds.wheel_tub.layout import Tub
from parts.kinds.wheel_tub.path import NoBand
from parts.kinds.wheel_tub.room import Room
from parts.kinds.wheel_tub.sweeps import Sweeps
from parts.trade.gear import Gear
from parts.trade.sweep import (
    TOLERANCE,
    Least,
    Together,
    Wheel,
    clearances_to,
    leasts,
    lowest,
)
from parts.trade.tyre import TyreSize, standard_sizes, tyre_size
from parts.trade.tyre.section import section_of
from parts.trade.tyre.standard import rim_seat

Floats = NDArray[np.float64]
GRID = 3  # poses along each travel that a change is looked at in, besides the worst ones
NEAR = 80.0  # mm by which another tyre's width or diameter may differ to be looked at
MOST_PROVED = 3  # of the sizes that fit in the poses looked at, swept until one is proved
RIM_SPREAD_IN = 1.5  # inches between a tyre's measuring rim and the rim fitted; common practice


@dataclass(frozen=True, slots=True)
class Change:
    """What one change does: `gains` to every least clearance, positive is more room; and
    `clearance`, what each then is."""

    name: str
    gains: dict[str, float]
    clearance: dict[str, float]

    @property
    def tightest(self) -> str:
        """The surface that then comes nearest."""
        return min(self.clearance, key=lambda name: self.clearance[name])


def cures(tub: Tub, sweeps: Sweeps) -> Iterator[Change]:
    """What each change would do to the clearance to every surface: in the poses where something
    came nearest, in the named ones, and in a grid of them."""
    gear, motion = tub.gear, tub.motion
    worst = [found.travels for found in sweeps.least.values()]
    named = [gear.travels(pose) for pose in gear.poses]
    looked = np.unique(np.vstack([worst, named, looked_at(motion, GRID)]).round(6), axis=0)
    low, high = motion.low, motion.high
    wheels = np.array([1.0, 1.0, *[0.0] * (len(low) - 2)])  # steer is no travel of a wheel
    moved = {
        "bump stop 10 mm lower": (np.minimum(looked, high - 10.0 * wheels), 0.0),
        "droop 10 mm less": (np.maximum(looked, low + 10.0 * wheels), 0.0),
        "offset 5 less (wheel outboard)": (looked, 5.0),
        "offset 5 more (wheel inboard)": (looked, -5.0),
    }
    poses = [(looked, 0.0), *moved.values()]
    at = [motion.at(travels) for travels, _ in poses]
    axes = np.array([axes for _, axes in at])
    centers = np.array([c + out * a for (c, a), (_, out) in zip(at, poses, strict=True)])
    told = sweeps.together.least_of_each(gear.wheel, centers, axes)
    gaps = [dict(zip(sweeps.least, row, strict=True)) for row in told.tolist()]
    reshaped = {name: changed.surfaces for name, changed in _reshaped(tub)}
    sets = Together.of([those for one in reshaped.values() for those in one.values()])
    (told,) = sets.least_of_each(gear.wheel, centers[:1], axes[:1])
    after = iter(told.tolist())
    for name, one in reshaped.items():
        yield _change(name, gaps[0], gaps[0] | {key: next(after) for key in one})
    for name, moved_gaps in zip(moved, gaps[1:], strict=True):
        yield _change(name, gaps[0], moved_gaps)


def _reshaped(tub: Tub) -> Iterator[tuple[str, Room]]:
    """The tub's own metal and the body round it, for every change of disc or band."""
    room = replace(tub.room, rail=None, others={})
    path, face = room.path, room.disc_face
    p, q = path.center
    back = 5.0 * room.local.p(1.0)
    for name, center, radius, disc in (
        ("disc 5 mm inboard", (p, q), path.radius, face - 5.0),
        ("band radius 5 mm more", (p, q), path.radius + 5.0, face),
        ("band centre 5 mm rearward", (p + back, q), path.radius, face),
        ("band centre 5 mm up", (p, q + 5.0), path.radius, face),
    ):
        with suppress(NoBand):  # no band can be drawn there
            yield name, room.shaped(tub.shape(center, radius), disc)


def _change(name: str, base: dict[str, float], after: dict[str, float]) -> Change:
    return Change(name, {key: after[key] - base[key] for key in base}, after)


@dataclass(frozen=True, slots=True)
class Fits:
    """Standard sizes that clear every wish in the poses looked at: how many, and the widest and
    tallest of them that do so over all travel."""

    count: int
    widest: TyreSize | None
    tallest: TyreSize | None


def sizes_that_fit(tub: Tub, sweeps: Sweeps, wishes: Mapping[str, float]) -> Fits:
    """Which standard sizes for the rim fitted would clear every wish as the tub is, with a
    square shoulder; sizes near the present one are looked at."""
    looked = np.array([one.travels for one in sweeps.least.values()])
    fitting: list[tuple[TyreSize, Wheel]] = []
    failing: list[Wheel] = []
    for size in _sizes_near(tub.gear):
        wheel = Wheel(section_of(size).rings())
        if any(_beyond(one, wheel) <= 0 for one in failing):
            continue  # it holds one that does not fit
        if any(_beyond(wheel, one) <= 0 for _, one in fitting) or _clears(
            tub, sweeps, wheel, looked, wishes
        ):
            fitting.append((size, wheel))
        else:
            failing.append(wheel)
    proved: dict[int, bool] = {}

    def first(by: Callable[[TyreSize], float]) -> TyreSize | None:
        order = sorted(range(len(fitting)), key=lambda i: by(fitting[i][0]), reverse=True)
        for i in order[:MOST_PROVED]:
            size, wheel = fitting[i]
            if i not in proved:
                proved[i] = _proved(tub, sweeps, wheel, looked, wishes)
            if proved[i]:
                return size
        return None

    widest = first(lambda size: size.design_width.value)
    return Fits(len(fitting), widest, first(lambda size: size.design_diameter.value))


def _beyond(wheel: Wheel, other: Wheel) -> float:
    """How far a tyre stands out of another; 0 or less where it lies within it."""
    return float(other.off_outline(wheel.outline[:, 0], wheel.outline[:, 1]).max())


def _clears(
    tub: Tub, sweeps: Sweeps, wheel: Wheel, looked: Floats, wishes: Mapping[str, float]
) -> bool:
    """Whether a tyre keeps every wish in the poses where the present one came nearest."""
    wished = np.array([wishes[name] for name in sweeps.least])
    limit = np.tile(wished, (len(looked), 1))
    gaps, _ = sweeps.together.clearance(wheel, *tub.motion.at(looked), limit)
    return bool((gaps == np.inf).all())


def _proved(
    tub: Tub, sweeps: Sweeps, wheel: Wheel, looked: Floats, wishes: Mapping[str, float]
) -> bool:
    """Whether a tyre keeps every wish over all travel: where it stands out of the present one by
    more than the spare, by sweeps. Where there is room to spare, half of it is tolerance enough.
    """
    out = max(_beyond(wheel, tub.gear.wheel), 0.0)
    doubted = [
        name
        for name, found in sweeps.least.items()
        if found.clearance - found.may_miss - wishes[name] < out
    ]
    if not doubted:
        return True
    together = Together.of([tub.room.surfaces[name] for name in doubted])
    known = lowest(looked, *clearances_to(wheel, tub.motion, together, looked))
    wished = [wishes[name] for name in doubted]
    spare = [(one.clearance - wish) / 2 for one, wish in zip(known, wished, strict=True)]
    told = leasts(
        wheel, tub.motion, together, known, [max(TOLERANCE, half) for half in spare],
        [wish - TOLERANCE / 2 for wish in wished],
    )  # fmt: skip
    return all(
        isinstance(found, Least) and found.clearance - found.may_miss >= wish - TOLERANCE / 2
        for found, wish in zip(told, wished, strict=True)
    )


def _sizes_near(gear: Gear) -> Iterator[TyreSize]:
    present = gear.size
    seats: dict[float, float] = {}
    for designation in standard_sizes():
        code = designation.rim_code
        if code not in seats:
            seats[code], _ = rim_seat(code)
        if abs(seats[code] - present.rim_diameter) > 1:
            continue
        size = tyre_size(designation, gear.rim_width_in)
        if (
            abs(size.measuring_rim_in - gear.rim_width_in) <= RIM_SPREAD_IN
            and abs(size.design_width.value - present.width.value) <= NEAR
            and abs(size.design_diameter.value - present.diameter.value) <= NEAR
        ):
            yield size
