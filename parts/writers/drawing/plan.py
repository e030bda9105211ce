"""The vehicle from above, in outline only, and where on it a piece sits."""

from __future__ import annotations

from math import pi

import numpy as np

from parts.paper.dimensions import HEIGHT, arrow
from parts.paper.layout import Block, block_of
from parts.paper.page import Mark, Stroke, Words, rectangle
from parts.paper.pens import CENTRE, OUTLINE, THIN
from parts.part import Piece
from parts.place import Vector
from parts.sheet.curve import Arc, Curve, Line, Point

FRONT, REAR, HALF = -3700.0, 1100.0, 900.0  # mm; the sign of a car, not this one
WHEELBASE, TRACK, WHEEL = 2700.0, 1450.0, (650.0, 220.0)
ROOM = 150.0  # mm from the edge of the sign to a piece that lies outside it
LONG = 44.0  # mm of paper
LEAST = 1.6  # mm of paper; a smaller mark would not be seen


def plan(piece: Piece) -> Block:
    """The sign of a car, front to the left, with axes and the piece in black.

    Seen from above with X to the right, the vehicle's right side is up: Z comes toward the reader.
    """
    spots = _spots(piece)
    (u0, v0), (u1, v1) = spots.min(axis=0)[:2], spots.max(axis=0)[:2]
    x0, x1 = min(FRONT, u0 - ROOM), max(REAR, u1 + ROOM)
    half = max(HALF, -v0 + ROOM, v1 + ROOM)
    scale = LONG / (x1 - x0)

    def put(x: float, y: float) -> Point:
        return (float(scale * x), float(scale * y))

    marks: list[Mark] = [Stroke(_body(put(x0, -half), put(x1, half)), THIN, closed=True)]
    for axle in (0.0, -WHEELBASE):
        for side in (-TRACK / 2, TRACK / 2):
            low = put(axle - WHEEL[0] / 2, side - WHEEL[1] / 2)
            high = put(axle + WHEEL[0] / 2, side + WHEEL[1] / 2)
            marks.append(Stroke(rectangle(low, high), THIN, closed=True))
    marks.append(Stroke((Line(put(0, -half), put(0, half)),), CENTRE))
    marks.append(Stroke((Line(put(x0, 0), put(x1, 0)),), CENTRE))
    marks.append(_mark(put(u0, v0), put(u1, v1)))
    marks += _axes(put(0, half), put(x1, 0))
    under = put(0, -half)[1] - 1.0 - HEIGHT
    left = put(x0, 0)[0]
    marks.append(Words("front", (left - 1.0, -HEIGHT / 2), HEIGHT, "right"))
    hand = f"{piece.hand} hand" if piece.hand else "no hand"
    marks.append(Words(f"{hand}: where it sits, from above", (left, under), HEIGHT))
    return block_of(marks)


def _spots(piece: Piece) -> Vector:
    """Points of the folded piece in vehicle axes (n, 3)."""
    found = [
        piece.folded.space(region, side.at(f))
        for region in piece.folded.regions
        for side in (side.curve for loop in region.loops for side in loop)
        for f in (0.0, 0.5)
    ]
    return piece.place.apply(np.array(found))


def _body(low: Point, high: Point) -> tuple[Curve, ...]:
    """A rectangle with round corners, the front ones rounder."""
    (x0, y0), (x1, y1) = low, high
    r, q = 0.3 * (y1 - y0), 0.15 * (y1 - y0)
    turn = pi / 2
    return (
        Line((x0 + r, y0), (x1 - q, y0)),
        Arc((x1 - q, y0), (x1, y0 + q), (x1 - q, y0 + q), turn),
        Line((x1, y0 + q), (x1, y1 - q)),
        Arc((x1, y1 - q), (x1 - q, y1), (x1 - q, y1 - q), turn),
        Line((x1 - q, y1), (x0 + r, y1)),
        Arc((x0 + r, y1), (x0, y1 - r), (x0 + r, y1 - r), turn),
        Line((x0, y1 - r), (x0, y0 + r)),
        Arc((x0, y0 + r), (x0 + r, y0), (x0 + r, y0 + r), turn),
    )


def _mark(low: Point, high: Point) -> Stroke:
    """The piece: its box from above, black, large enough to be seen."""
    middle = [(a + b) / 2 for a, b in zip(low, high, strict=True)]
    half = [max(LEAST, b - a) / 2 for a, b in zip(low, high, strict=True)]
    corner = (middle[0] - half[0], middle[1] - half[1])
    other = (middle[0] + half[0], middle[1] + half[1])
    return Stroke(rectangle(corner, other), OUTLINE, closed=True, fill=0.0)


def _axes(top: Point, right: Point) -> list[Mark]:
    """Arrows past the outline where X and Y point."""
    up, out = (top[0], top[1] + 4.5), (right[0] + 4.5, right[1])
    return [
        Stroke((Line(top, up),), THIN),
        arrow(up, (0.0, 1.0)),
        Words("Y right", (up[0] + 1.2, up[1] - HEIGHT), HEIGHT),
        Stroke((Line(right, out),), THIN),
        arrow(out, (1.0, 0.0)),
        Words("X rear", (out[0] + 1.0, out[1] - HEIGHT / 2), HEIGHT),
    ]
