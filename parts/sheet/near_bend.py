"""What lies on or near a bend: reliefs at its ends, and openings that it would pull oval."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from parts.place import Vector
from parts.report import Finding, Severity
from parts.sheet.bend_side import BendSide, End, is_rolled, own_axes
from parts.sheet.bent import beyond, rolled
from parts.sheet.blank import Bend, Blank, Cutout
from parts.sheet.curve import SAME_POINT, Line, at_words
from parts.sheet.loop import box, contains, loop_distance
from parts.sheet.shop import SLACK, Limit, Shortfall, limits, shortfall, shown, tenths_up

FLUSH = 1e-3  # mm; a relief no deeper than this is none


def reliefs(side: BendSide, thickness: float) -> Iterator[Finding]:
    """Ends of the bend beside which flat metal stands: a notch must part them.

    How deep a notch runs is seen half a thickness beside the bend's end, or at the middle of a
    narrower notch. A cut that runs straight through the start of the bend needs no notch.
    """
    wide, deep = limits("relief width", thickness), limits("relief depth", thickness)
    for span in side.spans:
        for x, way in ((span[0], -1), (span[1], 1)):
            where = f"bend {side.bend.name}, its end at {at_words(side.on_blank((x, 0.0)), 2)}"
            gap, goes_on = side.gap(x, way)
            column = x + way * min(gap, thickness) / 2
            depth = side.relief_depth(column)
            narrow = None if goes_on else shortfall(gap, wide)
            shallow = shortfall(depth, deep)
            if shallow and side.runs_through((x, 0.0), (column, depth)):
                shallow = None
            if shallow and depth <= FLUSH:
                yield Finding(
                    Severity.REFUSES,
                    where,
                    "no relief: an edge meets it where the bend starts",
                    f"a notch {wide[0]} wide that runs past the start of the bend",
                    f"cut a notch {tenths_up(wide[0].least):g} mm wide and "
                    f"{tenths_up(deep[0].least):g} mm past the start of the bend",
                    wide[0].source,
                )
            elif narrow:
                yield _short_relief(where, f"a relief {shown(gap)} wide", "widen", narrow)
            elif shallow:
                found = f"a relief {shown(depth)} past the start of the bend"
                yield _short_relief(where, found, "deepen", shallow)


def _short_relief(where: str, found: str, verb: str, short: Shortfall) -> Finding:
    limit = short.limit
    return Finding(
        limit.severity, where, found, str(limit), f"{verb} it by {short.by:g} mm", limit.source
    )


def openings(
    blank: Blank, sides: tuple[BendSide, ...], die_v: float, short: tuple[float, ...]
) -> Iterator[Finding]:
    """Openings on a bend, openings near one (each beside its worst bend), and notches.

    `sides` are those of `bend_sides`; `die_v` 0 leaves out the limit that goes by the die.
    `short` has a height for each bend: a notch that comes nearer is told of as a short flange.
    """
    t = blank.thickness
    pressed = [side for side in sides if not is_rolled(side.bend, t)]
    near = {side.number: _near_limits(side.bend, t, die_v) for side in pressed}
    for cutout in blank.cutouts:
        crossed = sorted({side.number for side in pressed if _crosses(cutout, side)})
        for number in crossed:
            yield _crossing(cutout, blank.bends[number], t)
        if crossed:
            continue
        worst: tuple[float, Shortfall, BendSide] | None = None
        for side in pressed:
            found = _gap(blank, cutout, side, max(limit.least for limit in near[side.number]))
            miss = None if found is None else shortfall(found, near[side.number])
            if found is not None and miss and (worst is None or miss.by > worst[1].by):
                worst = (found, miss, side)
        if worst is not None:
            found, miss, side = worst
            yield _too_close(cutout.name, f"edge {shown(found)}", side.bend, miss)
    for side in pressed:
        yield from _notches(side, near[side.number], short[side.number])


def _near_limits(bend: Bend, t: float, die_v: float) -> tuple[Limit, ...]:
    """Least distances from the tangent line: 2t + R, and V/2 less half the bend."""
    middle = limits("hole to middle of bend", t, die_v=die_v)
    return limits("hole to bend", t, bend.radius) + tuple(
        replace(
            limit,
            least=limit.least - bend.allowance / 2,
            rule=f"{limit.rule} from the middle of the bend",
        )
        for limit in middle
    )


def _tangent_lines(side: BendSide) -> tuple[Line, ...]:
    return tuple(
        Line(side.on_blank((low, 0.0)), side.on_blank((high, 0.0))) for low, high in side.spans
    )


def _gap(blank: Blank, cutout: Cutout, side: BendSide, within: float) -> float | None:
    """Distance from an opening to where the bend starts, through metal; None if it is more."""
    met = loop_distance(cutout.loop, _tangent_lines(side), within)
    if met is None:
        return None
    gap, p, q = met
    between = [(p[0] + f * (q[0] - p[0]), p[1] + f * (q[1] - p[1])) for f in (0.25, 0.5, 0.75)]
    return gap if all(contains([blank.outline], point) for point in between) else None


def _crosses(cutout: Cutout, side: BendSide) -> bool:
    """Whether an opening meets the line where the bend starts, or lies in the bend."""
    if not side.spans:
        return False
    if loop_distance(cutout.loop, _tangent_lines(side), SAME_POINT) is not None:
        return True
    x, y = own_axes(side.bend, side.which, cutout.loop)[0].start
    return side.spans[0][0] < x < side.spans[-1][1] and -side.bend.allowance < y < 0


def _crossing(cutout: Cutout, bend: Bend, t: float) -> Finding:
    """An opening on a bend, and what a caliper will read across it on either face."""
    x0, low, x1, high = box(own_axes(bend, 1, cutout.loop))
    low, high, middle = low + bend.allowance, high + bend.allowance, (x0 + x1) / 2
    d, n = bend.along, bend.across

    def bent(ahead: float, w: float) -> Vector:
        p = (
            bend.start[0] + middle * d[0] + ahead * n[0],
            bend.start[1] + middle * d[1] + ahead * n[1],
        )
        if ahead <= 0:
            return np.array([*p, w])
        if ahead < bend.allowance:
            return rolled(bend, t, p, w)
        return beyond(bend, t).apply([*p, w])

    back, drawn = (float(np.linalg.norm(bent(high, w) - bent(low, w))) for w in (0.0, t))
    return Finding(
        Severity.MENTIONS,
        cutout.name,
        f"it lies on bend {bend.name}; cut {high - low:.2f} mm across the bend",
        "openings clear of the bend, where their shape matters",
        f"once bent it will measure {drawn:.2f} mm straight across on the drawn face and "
        f"{back:.2f} on the back; drill it after bending if that will not do",
        "geometry of the bend; the stretch of the metal round the opening comes on top",
    )


def _too_close(where: str, what: str, bend: Bend, short: Shortfall) -> Finding:
    limit = short.limit
    return Finding(
        limit.severity,
        where,
        f"{what} from where bend {bend.name} starts",
        str(limit),
        f"move it away by {short.by:g} mm, or cut it after bending",
        limit.source,
    )


def _notches(side: BendSide, near: tuple[Limit, ...], told: float) -> Iterator[Finding]:
    """Notches from an edge that end near the bend or in it."""
    top = max(limit.least for limit in near)
    for span in side.spans:
        for end in side.notches(span, top):
            short = shortfall(end.height, near)
            if short and end.height >= told - SLACK:
                yield _too_close(_notch(side, end), f"bottom {shown(end.height)}", side.bend, short)
    for end in side.notches_in_bend():
        yield Finding(
            Severity.MENTIONS,
            _notch(side, end),
            f"its bottom lies in bend {side.bend.name}",
            "notches that end clear of the bend or run right through it",
            f"end it {tenths_up(top - end.height):g} mm sooner, or cut it after bending",
            near[0].source,
        )


def _notch(side: BendSide, end: End) -> str:
    return f"notch at {at_words(side.on_blank(end.at), 2)}"
