"""Flat pictures as data: the side view, the paper model at full size, the map of pivots."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise
from math import atan2, hypot, radians

from parts.kinds.hinge_bracket.config import Hand, HingeBracket
from parts.kinds.hinge_bracket.figures import told
from parts.kinds.hinge_bracket.layout import Hung
from parts.kinds.hinge_bracket.made import ARM, Made, outlines
from parts.kinds.hinge_bracket.pivot import Sought
from parts.kinds.hinge_bracket.section import fence
from parts.kinds.hinge_bracket.swings import Swung
from parts.part import Shape, Sketch
from parts.sheet.curve import Curve, Line, Point, arc
from parts.sheet.loop import moved
from parts.trade.swing import FOLD, SKIN, Outline, opened

BACK, UP = "mm back from the lid's front edge", "mm up from the lid's top"
PAPER_BACK = 200.0  # mm of lid behind its front edge that a paper model needs, or to past the arm
STOP = "stop: a place, no piece"
ARC_PAST = 10.0  # mm of paper past the arm


def sketches(config: HingeBracket, hung: Hung, made: Mapping[Hand, Made]) -> Iterator[Sketch]:
    """The side view of each hinge, its paper model, and the map where a pivot was looked for;
    `made` is the metal of each hand."""
    for one in told(hung):
        name = "" if hung.alike else f", {one.hand}"
        yield _side_view(config, hung, one, made[one.hand], name)
        yield _at_hinge(config, one, made[one.hand], name)
        yield from _paper(config, one, made[one.hand], name)
    if hung.sought is not None:
        yield pivots(config, hung.sought, hung.pivot)


def _side_view(
    config: HingeBracket, hung: Hung, one: Swung, made: Made, name: str
) -> Sketch:
    shapes = [_fixed(item) for item in one.around.fixed]
    shapes += [_metal(item) for item in one.around.carried]
    points = [("pivot", one.pivot), ("nearest, on the lid", one.clear.from_point),
              ("nearest, on what stays", one.clear.to_point)]  # fmt: skip
    if one.arm is not None:
        shapes.append(_metal(one.arm.outline))
        shapes.append(_turned(one.arm.outline, one.pivot, config.opening))
        shapes.append(_path("way of the arm's outside", _furthest(one.arm.outline, one.pivot),
                            one.pivot, config.opening))  # fmt: skip
    shapes += list(_pieces(made))
    shapes += [_turned(item, one.pivot, config.opening) for item in one.around.carried]
    corners: tuple[tuple[str, Point], ...] = (
        ("edge's top", (0.0, 0.0)), ("edge's bottom", (0.0, -config.lid.fold.value)),
        ("latch edge", (config.lid.depth, 0.0)),
    )  # fmt: skip
    for what, corner in corners:
        shapes.append(_path(f"way of the {what}", corner, one.pivot, config.opening))
    rooms = (("room for the pivot", config.pivot_room), ("room for the arm", config.arm_room))
    for what, border in rooms:
        if border is not None:
            shapes.append(Shape(what, "room", fence(border), True))
    if one.stop is not None:
        points.append((STOP, one.stop.at))
    hanging = hung.hanging
    if hanging.hung is not None:
        on_lid, on_body = (
            hanging.in_lid_axes(p) for p in (hanging.hung.mounts.lid, hanging.hung.mounts.body)
        )
        points += [("strut on the lid", on_lid), ("strut on the body", on_body)]
        lifted = opened(on_lid, one.pivot, config.opening)
        shapes.append(Shape("strut, lid shut", "metal", (Line(on_body, on_lid),)))
        shapes.append(Shape("strut, lid open", "path", (Line(on_body, lifted),)))
    return Sketch(
        f"side view{name}", BACK, UP, tuple(shapes), tuple(points),
        f"lid shut and opened by {config.opening:g}°",
    )  # fmt: skip


def _at_hinge(config: HingeBracket, one: Swung, made: Made, name: str) -> Sketch:
    """The same, near by: what is at the hinge, and where the lid comes nearest."""
    shapes = [_fixed(item) for item in one.around.fixed]
    shapes += [_metal(item) for item in one.around.carried if item.name == FOLD]
    shapes.append(_skin(config, _short(config, one)))
    if one.arm is not None:
        shapes.append(_metal(one.arm.outline))
    shapes += [shape for shape in _pieces(made) if not shape.name.startswith("strut")]
    shapes.append(_path("way of the lid's nearest point", one.clear.on_lid, one.pivot,
                        config.opening))  # fmt: skip
    points = [("pivot", one.pivot), ("nearest, on the lid", one.clear.from_point),
              ("nearest, on what stays", one.clear.to_point)]  # fmt: skip
    if one.stop is not None:
        points.append((STOP, one.stop.at))
    return Sketch(
        f"at the hinge{name}", BACK, UP, tuple(shapes), tuple(points),
        f"lid shut; nearest when opened by {one.clear.angle_deg:.1f}°",
    )  # fmt: skip


def _short(config: HingeBracket, one: Swung) -> float:
    """How far back the lid is drawn where only its hinge matters."""
    back = PAPER_BACK
    if one.arm is not None:
        back = max(back, max(p.end[0] for p in one.arm.outline.curves) + ARC_PAST)
    return min(back, config.lid.depth)


def _paper(config: HingeBracket, one: Swung, made: Made, name: str) -> Iterator[Sketch]:
    """Two sheets at full size, to be pinned together at the pivot and swung by hand. The lower
    one shows the way of the lid's edge, the body bracket and the stop."""
    pin = (("pivot: a pin through both sheets", one.pivot),)
    stays = [_fixed(item) for item in one.around.fixed]
    stays += [shape for shape in _pieces(made) if shape.name.startswith("body bracket")]
    bottom = (0.0, -config.lid.fold.value)
    stays.append(_path("way of the edge's bottom", bottom, one.pivot, config.opening))
    points = list(pin)
    if one.stop is not None:
        points.append((STOP, one.stop.at))
    yield Sketch(
        f"paper model{name}: what stays", BACK, UP, tuple(stays), tuple(points),
        "lay this sheet down; pin the other on it at the pivot and swing it", True,
    )  # fmt: skip
    moving = [_metal(item) for item in one.around.carried if item.name != SKIN]
    if one.arm is not None:
        moving += [_metal(one.arm.outline), _bridge(config)]
    moving.append(_skin(config, _short(config, one)))
    yield Sketch(
        f"paper model{name}: what swings", BACK, UP, tuple(moving), pin,
        f"cut it out in one round {FOLD}, skin, bridge and arm; it opens by {config.opening:g}°",
        True,
    )  # fmt: skip


def _pieces(made: Made) -> Iterator[Shape]:
    """What the section sees of the pieces beside the arm, and of the arm's return."""
    for cut in made.metal.cuts:
        for outline in outlines(cut.name, cut.side_view):
            if outline.name != ARM:
                yield Shape(outline.name, "metal", outline.curves, True)


def _bridge(config: HingeBracket) -> Shape:
    """Paper that joins the arm to the lid, where the lid's frame and the pad are."""
    (u, v), (p, q) = config.arm.pad
    low = -config.lid.skin
    return Shape("bridge of paper", "metal", fence([(u, v), (p, q), (p, low), (u, low)]), True)


def _skin(config: HingeBracket, back: float) -> Shape:
    """The lid's skin, cut short to fit on paper."""
    t, start = config.lid.skin, max(config.lid.edge_radius, config.lid.skin)
    corners: list[Point] = [(start, 0.0), (back, 0.0), (back, -t), (start, -t)]
    return Shape(SKIN, "metal", fence(corners), True)


def pivots(config: HingeBracket, sought: Sought, pivot: Point | None) -> Sketch:
    """The room for the pivot with lines of equal clearance, and that of hub and neck."""
    assert config.pivot_room is not None
    shapes = [Shape("room for the pivot", "room", fence(config.pivot_room), True)]
    lines = [(f"clears by {contour.level:.1f} mm", contour) for contour in sought.map.contours]
    for name, contour in (*lines, ("up to here hub and neck have room", sought.for_neck)):
        for run in contour.runs:
            curves = tuple(Line(a, b) for a, b in pairwise(run))
            shapes.append(Shape(name, "room", curves, run[0] == run[-1]))
    points = (("best pivot", pivot),) if pivot is not None else ()
    return Sketch(
        "where the pivot may be", BACK, UP, tuple(shapes), points,
        f"{len(sought.map.pivots)} pivots, each proved",
    )  # fmt: skip


def _fixed(item: Outline) -> Shape:
    return Shape(item.name, "fixed", item.curves, item.closed)


def _metal(item: Outline) -> Shape:
    return Shape(item.name, "metal", item.curves, item.closed)


def _turned(item: Outline, pivot: Point, opening_deg: float) -> Shape:
    """The outline with the lid open; it is drawn as a way that it goes, not as metal."""
    here = moved(item.curves, (-pivot[0], -pivot[1]))
    curves = moved(moved(here, turn_deg=opening_deg), pivot)
    return Shape(f"{item.name}, lid open", "path", curves, item.closed)


def _path(name: str, start: Point, pivot: Point, opening_deg: float) -> Shape:
    """The arc that a point runs through."""
    du, dv = start[0] - pivot[0], start[1] - pivot[1]
    return Shape(name, "path", (arc(pivot, hypot(du, dv), atan2(dv, du), radians(opening_deg)),))


def _furthest(item: Outline, pivot: Point) -> Point:
    """The corner of an outline furthest from the pivot."""
    return max(_ends(item.curves), key=lambda p: hypot(p[0] - pivot[0], p[1] - pivot[1]))


def _ends(curves: Iterable[Curve]) -> Iterator[Point]:
    return (curve.start for curve in curves)
