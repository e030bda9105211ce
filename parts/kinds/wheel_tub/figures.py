"""The numbers of a wheel tub: clearances by pose, shape, rolling data, what would cure what."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from parts.kinds.wheel_tub.blanks import Cut
from parts.kinds.wheel_tub.cures import cures, sizes_that_fit
from parts.kinds.wheel_tub.layout import Tub
from parts.kinds.wheel_tub.path import rise_over_chord
from parts.kinds.wheel_tub.sweeps import Sweeps
from parts.report import Figure
from parts.sheet import measure
from parts.sheet.fold import Folded
from parts.sheet.loop import box

CHORD = 300.0  # mm, of the straight edge laid on the roll
LEAST_GAIN = 0.5  # mm; what a change does by less is not told
SWEPT = "tyre swept over all travel"
LOOKED = "tyre in the worst poses and a grid of others"
GEOMETRY = "computed from the tyre's travel"


def tub_figures(tub: Tub, sweeps: Sweeps, wishes: Mapping[str, float]) -> Iterator[Figure]:
    """The numbers of one hand's tub, what limits first."""
    yield from _least(sweeps, wishes)
    for pose in sweeps.poses:
        for name, gap in pose.clearance.items():
            word = "clearance to" if name != pose.tightest else "tightest, clearance to"
            yield Figure(f"{pose.pose.name}: {word} {name}", gap, "mm", GEOMETRY)
    yield from _cures(tub, sweeps)
    yield from _largest_tyre(tub, sweeps, wishes)
    yield from _tyre(tub)
    yield from _motion(tub)
    yield from _shape(tub)


def _least(sweeps: Sweeps, wishes: Mapping[str, float]) -> Iterator[Figure]:
    for name, found in sorted(sweeps.least.items(), key=lambda item: item[1].clearance):
        steer = f", steer {found.travels[2]:+.0f}°" if len(found.travels) > 2 else ""
        further = f"between the poses looked at it may be {found.may_miss:.2f} less"
        if found.clearance <= 0:
            further = "contact: in other poses it may be deeper"
        yield Figure(
            f"least clearance to {name}",
            found.clearance,
            "mm",
            f"wished {wishes[name]:g}; with the left wheel at {found.travels[0]:+.0f}, the right "
            f"at {found.travels[1]:+.0f} mm{steer}; {further}",
            sweeps.plus_minus[name],
        )


def _cures(tub: Tub, sweeps: Sweeps) -> Iterator[Figure]:
    for change in cures(tub, sweeps):
        for name, gain in change.gains.items():
            if abs(gain) >= LEAST_GAIN:
                word = "gains" if gain > 0 else "loses"
                yield Figure(f"if {change.name}: {name} {word}", abs(gain), "mm", LOOKED)
        yield Figure(
            f"if {change.name}: tightest is then {change.tightest}",
            change.clearance[change.tightest], "mm", LOOKED,
        )  # fmt: skip


def _tyre(tub: Tub) -> Iterator[Figure]:
    size = tub.gear.size
    for name, one in (
        ("tyre diameter", size.diameter),
        ("tyre width", size.width),
        ("tyre diameter, greatest of its size", size.greatest_diameter),
        ("tyre width, greatest of its size", size.greatest_width),
    ):
        yield Figure(name, one.value, "mm", one.source, one.plus_minus)


def _motion(tub: Tub) -> Iterator[Figure]:
    for pose, at in zip(tub.gear.poses, tub.gear.posed, strict=True):
        yield Figure(f"{pose.name}: axle shifts rearward", at.shift_back, "mm", "links")
        yield Figure(f"{pose.name}: axle shifts right", at.shift_right, "mm", "links")
        yield Figure(f"{pose.name}: roll", at.roll_deg, "deg", "links")
        if at.worst_residual > 0.01:
            yield Figure(f"{pose.name}: links out of length by", at.worst_residual, "mm",
                         "least squares")  # fmt: skip


def _shape(tub: Tub) -> Iterator[Figure]:
    path, local = tub.room.path, tub.room.local
    yield Figure("disc face from the centre plane", tub.room.disc_face, "mm", GEOMETRY)
    if tub.room.standoff > 0:
        yield Figure("band stays off the disc's face by", tub.room.standoff, "mm",
                     "clear of the round between them")  # fmt: skip
    yield Figure("band centre X", local.p(path.center[0]), "mm", GEOMETRY)
    yield Figure("band centre Z", path.center[1], "mm", GEOMETRY)
    yield Figure("band inside radius", path.radius, "mm", GEOMETRY)
    yield Figure("roll: turn", path.roll_deg, "deg", GEOMETRY)
    yield Figure("roll: length on the blank", path.roll, "mm", "on the middle of the sheet")
    yield Figure(
        f"roll: rise inside over a chord of {CHORD:.0f}",
        rise_over_chord(path.radius, CHORD), "mm", "R - sqrt(R^2 - (c/2)^2)",
    )  # fmt: skip
    for name, end in zip(local.ends, (path.first, path.last), strict=True):
        yield Figure(f"band {name} end: left flat by the roll, to the fold", end.leg, "mm",
                     "roll first, then fold the flange outward")  # fmt: skip
        yield Figure(f"band {name} end: turn of the fold", end.turn_deg, "deg", GEOMETRY)
    yield Figure("band: length of the blank", path.length, "mm", "flanges, folds, legs and roll")
    for number, notch in enumerate(tub.notches, 1):
        low, _, high, top = box(notch)
        yield Figure(f"rail notch {number}: starts along the band", max(low, 0.0), "mm",
                     f"from the blank's {local.ends[0]} end")  # fmt: skip
        yield Figure(f"rail notch {number}: ends", min(high, path.length), "mm", GEOMETRY)
        yield Figure(f"rail notch {number}: depth", top, "mm", GEOMETRY)
    if tub.spun is not None:
        yield Figure("formed disc: blank radius by length", tub.spun.by_length, "mm",
                     "approximate: a trial decides")  # fmt: skip
        yield Figure("formed disc: blank radius by equal area", tub.spun.by_area, "mm",
                     "approximate, Pappus: a trial decides")  # fmt: skip
        yield Figure("formed disc: shrink of the rim", 100 * tub.spun.shrink, "%", "approximate")


def _largest_tyre(tub: Tub, sweeps: Sweeps, wishes: Mapping[str, float]) -> Iterator[Figure]:
    """How many standard sizes would fit the tub as it is, the widest and the tallest of them."""
    fits = sizes_that_fit(tub, sweeps, wishes)
    source = "UN R30 / ISO 4000-1 design size with a square shoulder, swept"
    yield Figure("standard tyres near this one that clear every wish", fits.count, "", source)
    if fits.widest is not None:
        yield Figure(f"widest of them, {fits.widest.designation}: width",
                     fits.widest.design_width.value, "mm", source)  # fmt: skip
    if fits.tallest is not None:
        yield Figure(f"tallest of them, {fits.tallest.designation}: diameter",
                     fits.tallest.design_diameter.value, "mm", source)  # fmt: skip


def cut_figures(tub: Tub, cut: Cut, folded: Folded) -> Iterator[Figure]:
    """The numbers of one blank."""
    width, height = measure.blank_box(folded)
    yield Figure("blank, along", width, "mm", GEOMETRY)
    yield Figure("blank, across", height, "mm", GEOMETRY)
    yield Figure("blank, area", measure.blank_area(folded), "mm2", GEOMETRY)
    density = tub.rack.stock.material.density_kg_m3
    yield Figure("mass", measure.mass_kg(folded, density), "kg", f"volume, at {density:g} kg/m3")
