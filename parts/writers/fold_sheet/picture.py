"""The part as it is after a step, seen from the operator's right and from above, its larger side
level; the bend just made is drawn heavy."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from parts.paper.clear import Ground, pointed
from parts.paper.layout import Block, block_of
from parts.paper.page import Mark, Pen, Stroke, scaled
from parts.part import Piece
from parts.place import Vector, cross, unit
from parts.sheet import loop as loops
from parts.sheet.curve import Curve, Line, Point, distance, side_of
from parts.sheet.fold import tangent_sides
from parts.sheet.fold_order.held import Held

if TYPE_CHECKING:
    from parts.solid.views import View

SEEN, SMOOTH, NOW = Pen(0.25), Pen(0.13), Pen(0.7)
TOWARD = (0.75, -1.0, 0.8)  # where the reader stands: right, back and up of the operator
OFF = 0.1  # mm of the solid that a chord may lie off its curve
NEAR = 0.05  # mm between an edge of the bend and a line of the view that shows it
LETTERS = 2.5


def picture(piece: Piece, one: Held, name: str, room: Point) -> Block:
    """The picture in a room so wide and high, the bend just made called by its number."""
    from parts import solid
    from parts.solid import views

    right, back, up = one.axes(one.larger)
    toward = unit(TOWARD[0] * right + TOWARD[1] * back + TOWARD[2] * up)
    across = unit(-TOWARD[1] * right + TOWARD[0] * back)
    metal = piece.kernel_solid if one.folded is piece.folded else solid.of(one.folded)
    side = views.Side(_three(toward), _three(across))
    seen = views.view(metal, side, hidden=False, off=OFF, smooth=piece.stock.thickness)
    over = cross(toward, across)
    return _drawn(seen, _edges(one, across, over), name, room)


def whole(piece: Piece, room: Point) -> Block:
    """The finished piece in its own axes, as the shop drawing has it."""
    from parts.solid import views

    seen = views.view(piece.kernel_solid, views.PICTORIAL, hidden=False, off=OFF,
                      smooth=piece.stock.thickness)  # fmt: skip
    return _drawn(seen, [], "", room)


def _three(way: Vector) -> tuple[float, float, float]:
    x, y, z = way.tolist()
    return (x, y, z)


def _edges(one: Held, across: Vector, over: Vector) -> list[Line]:
    """The four edges of the bend just made, where it begins and ends on both faces, on paper."""
    frame = np.column_stack([across, over])
    found = []
    for number in one.bends:
        for which in (0, 1):
            for side in tangent_sides(one.folded, number, which):
                region = next(r for r in one.folded.regions if r.bend == number)
                for w in (0.0, one.folded.blank.thickness):
                    ends = [one.folded.space(region, p, w) @ frame
                            for p in (side.curve.start, side.curve.end)]  # fmt: skip
                    a, b = (tuple(map(float, end)) for end in ends)
                    found.append(Line((a[0], a[1]), (b[0], b[1])))
    return found


def _drawn(seen: View, edges: Sequence[Line], name: str, room: Point) -> Block:
    """The view as large as the room allows."""
    box = loops.box(curve for run in seen.visible for curve in run)
    wide, high = box[2] - box[0], box[3] - box[1]
    scale = min((room[0] - 4.0) / wide, (room[1] - 4.0) / high)
    shift = (-scale * box[0], -scale * box[1])
    marks: list[Mark] = []
    heavy: list[Stroke] = []
    for run in (*seen.smooth, *seen.visible):
        now = any(_on(run[0], edge) for edge in edges) if len(run) == 1 else False
        pen = NOW if now else SMOOTH if run in seen.smooth else SEEN
        (heavy if now else marks).append(Stroke(scaled(run, scale, shift), pen))
    marks += heavy
    ground = Ground()
    ground.add(*marks)
    if name and heavy:
        tips = [mark.curves[0].at(f) for mark in heavy for f in (0.5, 0.25, 0.75)]
        marks += pointed(ground, name, LETTERS, tips, bold=True, needs_leader=True) or []
    return block_of(marks)


def _on(curve: Curve, edge: Line) -> bool:
    """Whether a straight line of the view lies on an edge of the bend."""
    if not isinstance(curve, Line) or distance(edge.start, edge.end) < NEAR:
        return False
    along = edge.tangent(0)
    reach = [(p[0] - edge.start[0]) * along[0] + (p[1] - edge.start[1]) * along[1]
             for p in (curve.start, curve.end)]  # fmt: skip
    return (
        all(abs(side_of(p, edge.start, along)) < NEAR for p in (curve.start, curve.end))
        and min(reach) > -NEAR
        and max(reach) < edge.length + NEAR
    )
