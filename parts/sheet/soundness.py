"""Whether a blank is drawn soundly: closed, clear of itself, and fit to be folded.

Everything here refuses. What a sound blank may still be too tight for (a hole near a bend, a
flange too short for the die) is another matter, checked elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import isfinite

from parts.report import Finding, Severity
from parts.sheet.blank import Bend, Blank
from parts.sheet.curve import (
    SAME_POINT,
    Arc,
    Curve,
    Point,
    at_words,
    boxes_near,
    curve_distance,
    distance,
)
from parts.sheet.fold import Folded, Unsound, fold
from parts.sheet.loop import Loop, area, box, contains, loop_distance, self_meetings

TOUCHING = 1e-3  # mm; cuts nearer than a micrometre touch: they would leave no metal between
SOURCE = "plane geometry"


def unsound(blank: Blank) -> Iterator[Finding]:
    """Every reason why the blank cannot be cut and folded; none for a sound blank.

    The bends are only looked at once the outline and the openings are sound.

    >>> from parts.sheet.loop import circle, polygon
    >>> from parts.sheet.blank import Cutout
    >>> plate = polygon([(0, 0), (40, 0), (40, 30), (0, 30)])
    >>> list(unsound(Blank(2, plate, (Cutout("drain", circle((20, 15), 8)),), (), (5, 5))))
    []
    >>> near = Blank(2, plate, (Cutout("drain", circle((4, 15), 8)),), (), (30, 5))
    >>> print(next(unsound(near)))
    refused: drain at (0.000, 15.000): it runs into the edge; needs metal all round the opening -
    move it inward or make it smaller [plane geometry]
    """
    yield from fold_or_findings(blank)[1]


def fold_or_findings(blank: Blank) -> tuple[Folded | None, tuple[Finding, ...]]:
    """The folded blank and no findings, or None and the reasons."""
    if findings := tuple(_numbers(blank)):
        return None, findings
    if findings := tuple(_drawn(blank)):
        return None, findings
    try:
        return fold(blank), ()
    except Unsound as reason:
        return None, (_from_fold(reason),)


def _refused(where: str, found: str, needed: str, remedy: str) -> Finding:
    return Finding(Severity.REFUSES, where, found, needed, remedy, SOURCE)


def _from_fold(reason: Unsound) -> Finding:
    found, _, remedy = str(reason).partition(": ")
    needed = "bends that run from edge to edge of the metal and keep clear of one another"
    return _refused("bends", found, needed, remedy)


def _numbers(blank: Blank) -> Iterator[Finding]:
    """Numbers that are no numbers, and a thickness that is none."""
    if not (isfinite(blank.thickness) and blank.thickness > 0):
        yield _refused(
            "thickness", f"{blank.thickness:g} mm", "more than 0 mm", "give the sheet's thickness"
        )
    if not _finite(blank.base):
        yield _not_a_number("base")
    for name, loop in _named_loops(blank):
        if not all(map(_curve_finite, loop)):
            yield _not_a_number(name)
    for bend in blank.bends:
        if not _bend_finite(bend):
            yield _not_a_number(f"bend {bend.name}")


def _not_a_number(where: str) -> Finding:
    return _refused(
        where,
        "a coordinate or size that is no number",
        "finite numbers",
        "look for a division by zero or the root of a negative in what was measured",
    )


def _finite(p: Point) -> bool:
    return isfinite(p[0]) and isfinite(p[1])


def _curve_finite(curve: Curve) -> bool:
    ends = _finite(curve.start) and _finite(curve.end)
    if isinstance(curve, Arc):
        return ends and _finite(curve.center) and isfinite(curve.sweep)
    return ends


def _bend_finite(bend: Bend) -> bool:
    sizes = (bend.turn_deg, bend.radius, bend.allowance)
    return _finite(bend.start) and _finite(bend.end) and all(map(isfinite, sizes))


def _named_loops(blank: Blank) -> Iterator[tuple[str, Loop]]:
    yield "outline", blank.outline
    for cutout in blank.cutouts:
        yield cutout.name, cutout.loop


def _drawn(blank: Blank) -> Iterator[Finding]:
    whole = True
    for name, loop in _named_loops(blank):
        for finding in _loop(name, loop, anticlockwise=loop is blank.outline):
            whole = False
            yield finding
    if whole:
        yield from _openings_in_outline(blank)
        yield from _openings_clear(blank)
        if not contains([blank.outline], blank.base):
            yield _refused(
                f"base at {at_words(blank.base)}",
                "it lies off the metal",
                "a point in the region that stays put",
                "choose one inside the outline",
            )


def _loop(name: str, loop: Loop, anticlockwise: bool) -> Iterator[Finding]:
    """One closed cut, by itself; later checks wait for earlier ones."""
    if not loop:
        yield _refused(name, "no curves", "a closed cut", "draw it")
        return
    if findings := [*_curves(name, loop), *_joints(name, loop)]:
        yield from findings
        return
    if findings := _crossed(name, loop):
        yield from findings
        return
    if (area(loop) > 0) != anticlockwise:
        way = "anticlockwise" if anticlockwise else "clockwise"
        yield _refused(
            name, "it runs the wrong way round", f"a cut that runs {way}", "turn it round"
        )


def _curves(name: str, loop: Loop) -> Iterator[Finding]:
    for curve in loop:
        if curve.length < TOUCHING:
            yield _refused(
                f"{name} at {at_words(curve.start)}",
                f"a cut {curve.length:.6f} mm long",
                f"at least {TOUCHING:g} mm",
                "leave it out and join its neighbours",
            )
        elif isinstance(curve, Arc) and distance(curve.at(1.0), curve.end) > 2 * SAME_POINT:
            yield _refused(
                f"{name} at {at_words(curve.end)}",
                f"an arc that stops {distance(curve.at(1.0), curve.end):.6f} mm from its end",
                "an end on the arc's own circle",
                "work the centre and the sweep out again",
            )


def _joints(name: str, loop: Loop) -> Iterator[Finding]:
    for i, curve in enumerate(loop):
        after = loop[(i + 1) % len(loop)]
        gap = distance(curve.end, after.start)
        if gap > SAME_POINT:
            yield _refused(
                f"{name} at {at_words(curve.end)}",
                f"open by {gap:.6f} mm",
                "a closed cut",
                f"run it on to {at_words(after.start)}",
            )


def _crossed(name: str, loop: Loop) -> list[Finding]:
    points = self_meetings(loop) + list(_pinches(loop))
    if abs(area(loop)) < TOUCHING**2 and not points:
        points = [loop[0].start]
    distinct: list[Point] = []
    for p in points:
        if all(distance(p, q) > 2 * TOUCHING for q in distinct):
            distinct.append(p)
    return [
        _refused(
            f"{name} at {at_words(p)}",
            "it crosses or touches itself",
            "one clear run round the metal",
            "move the cuts that meet there apart",
        )
        for p in distinct
    ]


def _pinches(loop: Loop) -> Iterator[Point]:
    """Where cuts that are not neighbours come nearer than a touch."""
    boxes = [curve.box() for curve in loop]
    count = len(loop)
    for i, j in combinations(range(count), 2):
        if j - i in (1, count - 1) or not boxes_near(boxes[i], boxes[j], TOUCHING):
            continue
        gap, p, _ = curve_distance(loop[i], loop[j])
        if gap < TOUCHING:
            yield p


def _openings_in_outline(blank: Blank) -> Iterator[Finding]:
    for cutout in blank.cutouts:
        met = loop_distance(cutout.loop, blank.outline, TOUCHING)
        if met is not None:
            yield _refused(
                f"{cutout.name} at {at_words(met[2])}",
                "it runs into the edge",
                "metal all round the opening",
                "move it inward or make it smaller",
            )
        elif not contains([blank.outline], cutout.loop[0].start):
            yield _refused(
                f"{cutout.name} at {at_words(cutout.loop[0].start)}",
                "it lies off the metal",
                "an opening inside the outline",
                "check where it is measured from",
            )


def _openings_clear(blank: Blank) -> Iterator[Finding]:
    boxes = {id(cutout): box(cutout.loop) for cutout in blank.cutouts}
    for one, other in combinations(blank.cutouts, 2):
        if not boxes_near(boxes[id(one)], boxes[id(other)], TOUCHING):
            continue
        met = loop_distance(one.loop, other.loop, TOUCHING)
        if met is not None:
            where, found = met[1], f"it runs into {other.name}"
        elif contains([other.loop], one.loop[0].start):
            where, found = one.loop[0].start, f"it lies inside {other.name}"
        elif contains([one.loop], other.loop[0].start):
            where, found = other.loop[0].start, f"{other.name} lies inside it"
        else:
            continue
        yield _refused(
            f"{one.name} at {at_words(where)}",
            found,
            "metal between openings",
            "move them apart or cut one opening of both",
        )
