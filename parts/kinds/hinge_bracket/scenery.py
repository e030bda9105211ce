"""What stands round a hinge: the lid shut, nearest and open, what stays, the pivot, the struts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise
from math import atan2, ceil, degrees, hypot, radians

import numpy as np

from parts.kinds.hinge_bracket.axes import lid_place, middle_edge
from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.layout import Hung
from parts.kinds.hinge_bracket.section import GUTTER, SEAL_FREE
from parts.kinds.hinge_bracket.struts import strut_y
from parts.kinds.hinge_bracket.swings import Swung
from parts.place import Place, Vector
from parts.scenery import Extruded, Lines, Role, Scenery, axis_line, line
from parts.sheet.curve import Arc, Curve, Point, arc
from parts.trade.swing import FOLD, SKIN, Outline, opened

LOCAL = 60.0  # mm of a thing beside one hinge that are drawn, along the axis
STEP_DEG = 12.0  # of a curve to a straight line, for the eye
ALIKE_DEG = 0.5
HALF_WAY = 0.5


def scenery(config: HingeBracket, hung: Hung, arm_thickness: float) -> Iterator[Scenery]:
    """The lid at its angles, the surround, the axis, the arms open and the struts."""
    for one, low, high, hand in _runs(config, hung):
        for angle, words, aside in _angles(config, one):
            for item in one.around.carried:
                if item.name in (FOLD, SKIN):
                    yield _drawn_out(
                        f"lid, {words}: {item.name}", "lid", one.place, item,
                        (low, high), hand, (one.pivot, angle), aside,
                    )  # fmt: skip
        for item in one.around.fixed:
            if item.name in (GUTTER, SEAL_FREE) or item.name.startswith("panel"):
                yield _drawn_out(item.name, "fixed", one.place, item, (low, high), hand)
    for one in hung.hinges:
        yield from _at_hinge(config, one, arm_thickness)
    yield from _axis(config, hung)
    yield from _struts(config, hung)


def _runs(
    config: HingeBracket, hung: Hung
) -> Iterator[tuple[Swung, float, float, str]]:
    """Each section with the Y from and to which it is drawn out, and its hand; one for the whole
    width where both hinges are alike."""
    half = config.lid.width / 2
    if hung.alike:
        yield hung.hinges[0], -half, half, ""
        return
    for one in hung.hinges:
        low, high = (0.0, half) if one.hand == "right" else (-half, 0.0)
        yield one, low, high, one.hand


def _angles(config: HingeBracket, one: Swung) -> Iterator[tuple[float, str, bool]]:
    """Angle, its name, and whether it is put aside."""
    least, most = one.clear.angle_deg, config.opening
    yield 0.0, "shut", False
    if ALIKE_DEG < least < most - ALIKE_DEG:
        yield least, f"{least:.1f}° (nearest)", False
    yield most * HALF_WAY, f"{most * HALF_WAY:.0f}°", True
    yield most, f"open {most:g}°", False


def _at_hinge(config: HingeBracket, one: Swung, arm_thickness: float) -> Iterator[Scenery]:
    """Things beside one hinge, and its arm with the lid open."""
    y = float(one.place.origin[1])
    span = (y - LOCAL / 2, y + LOCAL / 2)
    wide = (GUTTER, SEAL_FREE)
    for item in one.around.fixed:
        if item.name not in wide and not item.name.startswith(("panel", "seal")):
            yield _drawn_out(item.name, "fixed", one.place, item, span, one.hand)
    for item in one.around.carried:
        if item.name not in (FOLD, SKIN):
            yield _drawn_out(item.name, "lid", one.place, item, span, one.hand)
    if one.arm is not None:
        yield _drawn_out(
            "arm, lid open", "lid", one.place, one.arm.outline,
            (y - arm_thickness / 2, y + arm_thickness / 2), one.hand,
            (one.pivot, config.opening),
        )  # fmt: skip


def _axis(config: HingeBracket, hung: Hung) -> Iterator[Scenery]:
    """The pivot's axis, and the way of the lid's latch edge."""
    place, half = _middle(config), config.lid.width / 2
    at, y = place.apply([hung.pivot[0], 0.0, hung.pivot[1]]), np.array([0.0, 1.0, 0.0])
    yield Scenery("hinge axis", "fixed", axis_line(at, y, half))
    corner = (config.lid.depth, 0.0)
    du, dv = corner[0] - hung.pivot[0], corner[1] - hung.pivot[1]
    way = arc(hung.pivot, hypot(du, dv), atan2(dv, du), radians(config.opening))
    run = place.apply(_in_space(_points([way])))
    ways = tuple(run + side * half * y for side in (-1.0, 1.0))
    yield Scenery("way of the latch edge", "lid", Lines(ways))


def _struts(config: HingeBracket, hung: Hung) -> Iterator[Scenery]:
    hanging = hung.hanging
    if hanging.hung is None or config.struts is None:
        return
    place, mounts = _middle(config), hanging.hung.mounts
    on_lid, on_body = (hanging.in_lid_axes(p) for p in (mounts.lid, mounts.body))
    for one in hung.hinges:
        out = 1.0 if one.hand == "right" else -1.0
        y = out * strut_y(config.struts, one.side.y)
        body = place.apply([on_body[0], 0.0, on_body[1]]) + np.array([0.0, y, 0.0])
        for angle, words in ((0.0, "shut"), (config.opening, "open")):
            u, v = opened(on_lid, hung.pivot, angle)
            lid = place.apply([u, 0.0, v]) + np.array([0.0, y + out * mounts.aside, 0.0])
            yield Scenery(f"strut, lid {words}", "lid", line(body, lid), one.hand)


def _middle(config: HingeBracket) -> Place:
    """Lid axes in the vehicle's centre plane."""
    x, z = middle_edge(config)
    return lid_place(config.lid, x, 0.0, z)


def _drawn_out(
    name: str, role: Role, place: Place, item: Outline, span: tuple[float, float], hand: str,
    turned: tuple[Point, float] | None = None, aside: bool = False,
) -> Scenery:  # fmt: skip
    """An outline of the section, opened about a pivot by an angle, from one Y to another."""
    points = _points(item.curves)
    if turned is not None:
        pivot, angle = turned
        points = np.array([opened((u, v), pivot, angle) for u, v in points.tolist()])
    if item.closed:
        points = points[:-1]
    at = place.apply(_in_space(points))
    at[:, 1] = span[0]
    form = Extruded(at, np.array([0.0, span[1] - span[0], 0.0]), item.closed)
    return Scenery(name, role, form, hand, aside)


def _in_space(points: Vector) -> Vector:
    """(back, up) as (back, aside, up)."""
    return np.column_stack([points[:, 0], np.zeros(len(points)), points[:, 1]])


def _points(curves: Iterable[Curve]) -> Vector:
    """The curves as points (n, 2), fine enough for the eye; the last is the end."""
    found: list[Point] = []
    for curve in curves:
        steps = 1
        if isinstance(curve, Arc):
            steps = max(1, ceil(degrees(abs(curve.sweep)) / STEP_DEG))
        found += [curve.at(f) for f, _ in pairwise(np.linspace(0.0, 1.0, steps + 1).tolist())]
        end = curve.end
    return np.array([*found, end])
