"""Whether a blank can be cut well: holes, slots and webs against the sheet's thickness."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import pi

from parts.report import Finding
from parts.sheet.blank import Blank, Cutout
from parts.sheet.corner import SMOOTH, turn_at
from parts.sheet.curve import Arc, Curve, Point, at_words, boxes_near, curve_distance
from parts.sheet.loop import Loop, box, directions, loop_distance, moved
from parts.sheet.shop import SLACK, Limit, Shop, limits, shortfall, shown

FACING = -0.6  # cosine; walls whose normals turn further apart than this face each other
ROUND = 0.75 * pi  # radians; an arc that turns further is a round end as wide as its circle


def cuttable(blank: Blank, shop: Shop, round_corners: bool = False) -> Iterator[Finding]:
    """Every reason why the blank cannot be cut well, one a place, in the blank's order.

    Openings by their size first, then to the edge, then to each other, then the outline. A limit
    that the shop states refuses; those of common practice say themselves what they do.
    `round_corners` asks for rounds on the outside corners of a part that is handled.

    >>> from parts.sheet.loop import circle, polygon
    >>> plate = polygon([(0, 0), (60, 0), (60, 40), (0, 40)])
    >>> small = Blank(5, plate, (Cutout("pin", circle((30, 20), 4)),), (), (5, 5))
    >>> print(next(cuttable(small, Shop())))
    note: pin: hole 4.00 mm across; needs 5.00 mm (t) - widen it by 1 mm, or mark its
    centre and drill it [common practice of cutting services]
    """
    t = blank.thickness
    hole = limits("hole diameter", t, stated=shop.least_hole)
    slot = limits("slot width", t, stated=shop.least_slot)
    web = limits("web", t, stated=shop.least_gap)
    for cutout in blank.cutouts:
        yield from _size(cutout, hole, slot)
        yield from _tongue(cutout.name, cutout.loop, web)
    yield from _to_edge(blank, limits("hole to edge", t, stated=shop.least_gap))
    yield from _webs(blank, web)
    yield from _tongue("outline", blank.outline, web)
    yield from _inlet(blank.outline, slot)
    if round_corners:
        yield from _corners(blank.outline, limits("outside corner", t))


def _said(
    where: str, what: str, found: float, against: tuple[Limit, ...], change: str
) -> Iterator[Finding]:
    """The finding for a length that is too short, if it is; `change` holds a {} for how much."""
    short = shortfall(found, against)
    if short:
        limit = short.limit
        remedy = change.format(f"{short.by:g} mm")
        yield Finding(
            limit.severity, where, what.format(shown(found)), str(limit), remedy, limit.source
        )


def _size(
    cutout: Cutout, hole: tuple[Limit, ...], slot: tuple[Limit, ...]
) -> Iterator[Finding]:
    circle = cutout.round_hole
    if circle is not None:
        change = "widen it by {}, or mark its centre and drill it"
        yield from _said(cutout.name, "hole {} across", 2 * circle.radius, hole, change)
        return
    width = opening_width(cutout.loop)
    yield from _said(cutout.name, "opening {} wide", width, slot, "widen it by {}")


def opening_width(loop: Loop) -> float:
    """Width of an opening (clockwise) at its narrowest, between walls that face each other.

    Walls that meet in a corner are left out: a corner may be as sharp as it likes.

    >>> from parts.sheet.loop import slot
    >>> round(opening_width(slot((0, 0), 30, 8, 25)), 6)
    8.0
    """
    widths = [2 * c.radius for c in loop if isinstance(c, Arc) and c.sweep < -ROUND]
    for angle_deg in directions(loop):
        x0, y0, x1, y1 = box(moved(loop, turn_deg=-angle_deg))
        widths += [x1 - x0, y1 - y0]
    least = min(widths)
    facing = [gap for gap, _, _ in _facing(loop, least, metal_between=False)]
    return min([least, *facing])


def _facing(
    loop: Loop, within: float, metal_between: bool
) -> Iterator[tuple[float, Point, Point]]:
    """Pairs of a loop's walls that face each other nearer than `within`: gap and both points.

    Metal lies on the left of a loop; `metal_between` tells which side of the walls is meant.
    """
    boxes = [curve.box() for curve in loop]
    count = len(loop)
    for i, j in combinations(range(count), 2):
        if j - i in (1, count - 1) or not boxes_near(boxes[i], boxes[j], within):
            continue
        gap, p, q = curve_distance(loop[i], loop[j])
        if gap > within or gap < SLACK:
            continue
        (ax, ay), (bx, by) = _left(loop[i], p), _left(loop[j], q)
        ahead = (q[0] - p[0]) * ax + (q[1] - p[1]) * ay
        if ax * bx + ay * by < FACING and (ahead > 0) == metal_between:
            yield gap, p, q


def _left(curve: Curve, p: Point) -> Point:
    dx, dy = curve.tangent(curve.nearest_fraction(p))
    return (-dy, dx)


def _tongue(name: str, loop: Loop, web: tuple[Limit, ...]) -> Iterator[Finding]:
    """Metal that stands too thin between two walls of one cut."""
    pairs = _facing(loop, max(limit.least for limit in web), metal_between=True)
    least = min(pairs, key=lambda pair: pair[0], default=None)
    if least is not None:
        where = f"{name} at {at_words(least[1], 2)}"
        yield from _said(where, "{} of metal between its cuts", least[0], web, "widen it by {}")


def _inlet(outline: Loop, slot: tuple[Limit, ...]) -> Iterator[Finding]:
    """A notch from the edge that is narrower than a slot may be."""
    pairs = _facing(outline, max(limit.least for limit in slot), metal_between=False)
    least = min(pairs, key=lambda pair: pair[0], default=None)
    if least is not None:
        where = f"notch at {at_words(least[1], 2)}"
        yield from _said(where, "{} wide", least[0], slot, "widen it by {}")


def _to_edge(blank: Blank, edge: tuple[Limit, ...]) -> Iterator[Finding]:
    within = max(limit.least for limit in edge)
    for cutout in blank.cutouts:
        met = loop_distance(cutout.loop, blank.outline, within)
        if met is not None:
            what = "{} from the edge of the blank"
            yield from _said(cutout.name, what, met[0], edge, "move it in by {}")


def _webs(blank: Blank, web: tuple[Limit, ...]) -> Iterator[Finding]:
    """Metal between two openings; only those whose boxes are near are measured."""
    within = max(limit.least for limit in web)
    boxes = [box(cutout.loop) for cutout in blank.cutouts]
    by_left = sorted(range(len(boxes)), key=lambda i: boxes[i][0])
    near: list[tuple[int, int]] = []
    for n, i in enumerate(by_left):
        for j in by_left[n + 1 :]:
            if boxes[j][0] > boxes[i][2] + within:
                break
            if boxes_near(boxes[i], boxes[j], within):
                near.append((min(i, j), max(i, j)))
    for i, j in sorted(near):
        one, other = blank.cutouts[i], blank.cutouts[j]
        met = loop_distance(one.loop, other.loop, within)
        if met is not None:
            where, change = f"{one.name} and {other.name}", "move them apart by {}"
            yield from _said(where, "{} of metal between them", met[0], web, change)


def _corners(outline: Loop, least: tuple[Limit, ...]) -> Iterator[Finding]:
    """Outside corners that are sharp, or rounded by too little."""
    for i, curve in enumerate(outline):
        if isinstance(curve, Arc) and curve.sweep > SMOOTH:
            where = f"corner at {at_words(curve.at(0.5), 2)}"
            yield from _said(where, "round of {}", curve.radius, least, "widen it by {}")
        if turn_at(outline, i) > SMOOTH:
            where = f"corner at {at_words(curve.end, 2)}"
            yield from _said(where, "sharp, a round of {}", 0.0, least, "round it by {}")
