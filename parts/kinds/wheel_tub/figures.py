"""The numbers of a wheel tub: least clearances, the tyres that would fit, shape, rolling data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import ceil, isfinite

import numpy as np
from numpy.typing import NDArray

from parts.kinds.wheel_tub.blanks import Cut
from parts.kinds.wheel_tub.config import WheelTub
from parts.kinds.wheel_tub.cures import sizes_that_fit
from parts.kinds.wheel_tub.layout import Tub
from parts.kinds.wheel_tub.path import rise_over_chord
from parts.kinds.wheel_tub.sweeps import Sweeps
from parts.report import Figure
from parts.sheet import measure
from parts.sheet.fold import Folded
from parts.sheet.loop import box
from parts.trade.gear import Gear
from parts.trade.sweep import Least

Floats = NDArray[np.float64]
CHORD = 300.0  # mm, of the straight edge laid on the roll
SAME_TRAVEL = 0.5  # mm or degrees that a pose may be off one with a name and still be told by it
TRAVEL = "computed from the tyre's travel"
SHAPE = "computed from band and floors"
BLANK = "computed from the blank"
FOLD_AFTER = "roll first, then fold the flange outward"


def hand_figures(
    config: WheelTub, tub: Tub, sweeps: Sweeps, wishes: Mapping[str, float]
) -> Iterator[Figure]:
    """The numbers of one hand's tub, what limits first."""
    yield from _least(tub, sweeps, wishes)
    yield from _largest_tyre(tub, sweeps, wishes)
    yield from _shape(config, tub)


def tyre_figures(gear: Gear) -> Iterator[Figure]:
    """Tyre and wheel as measured, and the largest tyre that may carry this size."""
    size = gear.size
    for name, one in (
        ("tyre diameter", size.diameter),
        ("tyre width", size.width),
        ("tyre diameter, greatest of its size", size.greatest_diameter),
        ("tyre width, greatest of its size", size.greatest_width),
    ):
        yield Figure(name, one.value, "mm", one.source, one.plus_minus)


def limits_in_words(tub: Tub, sweeps: Sweeps, wishes: Mapping[str, float]) -> Iterator[str]:
    """What the tyre comes nearest to and, where that is another thing, what leaves least to spare
    over its wish."""
    nearest = sweeps.tightest
    scarce = min(sweeps.least, key=lambda name: sweeps.least[name].clearance - wishes[name])
    found = sweeps.least[nearest]
    if found.clearance <= 0:
        by = f"{-found.clearance:.1f} mm or more"
        yield f"the tyre hits the {nearest} by {by}, {_pose(tub, found)}"
        return
    yield f"the {nearest} limits: {_gap(tub, sweeps, nearest, wishes)}"
    if scarce != nearest:
        yield f"least over its wish leaves the {scarce}: {_gap(tub, sweeps, scarce, wishes)}"


def _gap(tub: Tub, sweeps: Sweeps, name: str, wishes: Mapping[str, float]) -> str:
    found = sweeps.least[name]
    return (
        f"{found.clearance:.1f} ± {sweeps.plus_minus[name]:.1f} mm for {wishes[name]:g} wished, "
        f"{_pose(tub, found)}"
    )


def may_miss_in_words(sweeps: Iterable[Sweeps]) -> Iterator[str]:
    """How much the least clearances may be missed by, of all hands together."""
    missed = [
        found.may_miss
        for one in sweeps
        for found in one.least.values()
        if isfinite(found.may_miss)  # it is not where the tyre hits something
    ]
    if missed:
        yield (
            "least clearances hold over all travel: between the poses looked at they may be "
            f"{ceil(100 * max(missed)) / 100:.2f} mm less"
        )


def pose_words(gear: Gear, travels: Floats) -> str:
    """A pose by its name where it has one, else by its travels."""
    for pose in gear.poses:
        if np.abs(gear.travels(pose) - travels).max() < SAME_TRAVEL:
            return pose.name
    steer = f", steer {travels[2]:+.0f}°" if len(travels) > 2 else ""
    return f"left wheel {travels[0]:+.0f}, right {travels[1]:+.0f} mm{steer}"


def _pose(tub: Tub, at: Least) -> str:
    return pose_words(tub.gear, at.travels)


def _least(tub: Tub, sweeps: Sweeps, wishes: Mapping[str, float]) -> Iterator[Figure]:
    for name, found in sorted(sweeps.least.items(), key=lambda item: item[1].clearance):
        said = [_pose(tub, found), f"wished {wishes[name]:g}"]
        if found.clearance <= 0:
            said.append("contact, elsewhere perhaps deeper")
        if name == "body side" and tub.room.arch is None:
            said.append("wall taken as closed: give `arch`")
        yield Figure(
            f"least clearance to {name}", found.clearance, "mm", "; ".join(said),
            sweeps.plus_minus[name],
        )  # fmt: skip


def _shape(config: WheelTub, tub: Tub) -> Iterator[Figure]:
    path, local = tub.room.path, tub.room.local
    yield Figure("disc face from the centre plane", tub.room.disc_face, "mm",
                 _origin(config.disc_face))  # fmt: skip
    if tub.room.standoff > 0:
        yield Figure("band stays off the disc's face by", tub.room.standoff, "mm",
                     "clear of the round between them")  # fmt: skip
    at = _origin(config.band_center)
    yield Figure("band centre X", local.p(path.center[0]) + 0.0, "mm", at)
    yield Figure("band centre Z", path.center[1], "mm", at)
    yield Figure("band inside radius", path.radius, "mm", _origin(config.band_radius))
    yield Figure("roll: turn", path.roll_deg, "deg", SHAPE)
    yield Figure("roll: length on the blank", path.roll, "mm", "on the middle of the sheet")
    yield Figure(
        f"roll: rise inside over a chord of {CHORD:.0f}",
        rise_over_chord(path.radius, CHORD), "mm", "R - sqrt(R^2 - (c/2)^2)",
    )  # fmt: skip
    ends = tuple(zip(local.ends, (path.first, path.last), strict=True))
    for name, end in ends:
        yield Figure(f"{name} end: flat from roll to fold", end.leg, "mm", "left flat by the roll")
    for name, end in ends:
        yield Figure(f"{name} end: turn of the fold", end.turn_deg, "deg", FOLD_AFTER)
    yield Figure("band: length of the blank", path.length, "mm", "flanges, folds, legs and roll")
    if config.seam is not None:
        first = next(cut for cut in tub.cuts if cut.name.startswith("band"))
        low, _, high, _ = box(first.blank.outline)
        yield Figure(f"seam, from the {local.ends[0]} end", high - low, "mm", "along the blank")
    if tub.spun is not None:
        yield Figure("formed disc: blank radius by length", tub.spun.by_length, "mm",
                     "approximate: a trial decides")  # fmt: skip
        yield Figure("formed disc: blank radius by equal area", tub.spun.by_area, "mm",
                     "approximate, Pappus: a trial decides")  # fmt: skip
        yield Figure("formed disc: shrink of the rim", 100 * tub.spun.shrink, "%", "approximate")


def _origin(given: object) -> str:
    """Where a size comes from: the job, where it is given there."""
    return TRAVEL if given is None else "given"


def _largest_tyre(tub: Tub, sweeps: Sweeps, wishes: Mapping[str, float]) -> Iterator[Figure]:
    """How many standard sizes would fit the tub as it is, the widest and the tallest of them."""
    fits = sizes_that_fit(tub, sweeps, wishes)
    source = "of sizes near this one, square shoulder, swept; UN R30 / ISO 4000-1"
    yield Figure("standard sizes that keep every wish", fits.count, "", source)
    if fits.widest is not None:
        yield Figure(f"widest of them, {fits.widest.designation}: width",
                     fits.widest.design_width.value, "mm", source)  # fmt: skip
    if fits.tallest is not None:
        yield Figure(f"tallest of them, {fits.tallest.designation}: diameter",
                     fits.tallest.design_diameter.value, "mm", source)  # fmt: skip


def cut_figures(tub: Tub, cut: Cut, folded: Folded) -> Iterator[Figure]:
    """The numbers of one blank."""
    width, height = measure.blank_box(folded)
    yield Figure("blank, along", width, "mm", BLANK)
    yield Figure("blank, across", height, "mm", BLANK)
    yield Figure("blank, area", measure.blank_area(folded), "mm2", BLANK)
    density = tub.rack.stock.material.density_kg_m3
    yield Figure("mass", measure.mass_kg(folded, density), "kg", f"volume, at {density:g} kg/m3")
