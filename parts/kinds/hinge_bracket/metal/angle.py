"""A folded angle: a leg along the section, and a foot on a face across it.

The outer faces of both lie on what they touch: the leg's on the arm or toward the ball, the
foot's on lid or body. Flat, seen from inside the fold:

          .--.          leg: its own outline, y below 0
          |o |
        --+--+---- start of the fold         y = -setback
        |        |      foot
        | o    o |
        '--------'

y runs from the leg to the face that the foot lies on, and is 0 where the outer faces meet; x runs
along the face.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Literal

import numpy as np

from parts.kinds.hinge_bracket.metal.given import Face, Fixing, Hinge, Slab, Way
from parts.kinds.hinge_bracket.metal.rules import (
    OUTER_ROUND,
    boss,
    clear_of_fold,
    least_leg,
    neck,
    row_of,
    setback,
)
from parts.kinds.hinge_bracket.metal.sheets import NoPiece, Sheet
from parts.kinds.hinge_bracket.metal.slabs import strips
from parts.place import Place
from parts.sheet.blank import Bend, Blank, Cutout
from parts.sheet.corner import fillet_all
from parts.sheet.curve import Arc, Curve, Line, Point, distance
from parts.sheet.fold import stretches
from parts.sheet.loop import Loop, anticlockwise, joined, polygon, slot
from parts.sheet.outline import hull
from parts.sheet.tidy import tidied

TOP = 1e-5  # mm; nearer than this two points of a leg are one
FOLD = "fold"


@dataclass(frozen=True, eq=False)
class Corner:
    """Where leg and foot meet: the leg's outer face at w `leg_w`, the foot on `face` toward
    `foot_way`, x zero at `middle` along the face."""

    hinge: Hinge
    face: Face
    middle: float
    leg_w: float
    foot_way: Way

    @property
    def place(self) -> Place:
        """Carries the flat of the leg to the vehicle; the drawn face looks toward the foot."""
        nu, nv = self.face.normal
        y, z = self.hinge.way((-nu, -nv)), self.foot_way * self.hinge.aside
        at = self.hinge.at(self.face.on(self.middle), self.leg_w)
        return Place(np.column_stack([np.cross(y, z), y, z]), at)

    @property
    def along(self) -> int:
        """1 where x runs along the face's own line, else -1."""
        return 1 if self.place.turn[:, 0] @ self.hinge.way(self.face.line) > 0 else -1

    def flat(self, point: Point) -> Point:
        """A point of the section in the flat of the leg."""
        return (self.along * (self.face.beside(point) - self.middle), -self.face.height(point))

    def section(self, flat: Point) -> Point:
        """A flat point of the leg in the section."""
        return self.face.on(self.middle + self.along * flat[0], -flat[1])

    def slab(self, low: float, high: float, outline: Loop) -> Slab:
        """A slab from so far to so far from the leg's outer face, toward the foot."""
        ends = self.leg_w + self.foot_way * low, self.leg_w + self.foot_way * high
        return Slab(min(ends), max(ends), outline)

    def in_section(self, loop: Loop) -> Loop:
        """A flat loop of the leg in the section, anticlockwise."""
        (ox, oy), (ax, ay), (bx, by) = (self.section(p) for p in ((0, 0), (1, 0), (0, 1)))
        sense = 1.0 if (ax - ox) * (by - oy) > (ay - oy) * (bx - ox) else -1.0
        curves: list[Curve] = []
        for curve in loop:
            start, end = self.section(curve.start), self.section(curve.end)
            if isinstance(curve, Arc):
                center = self.section(curve.center)
                curves.append(Arc(start, end, center, sense * curve.sweep))
            else:
                curves.append(Line(start, end))
        return anticlockwise(tuple(curves))


@dataclass(frozen=True, slots=True)
class Foot:
    """A foot to be folded on: its `length` along the fold, and its bolts in a row.

    Slots run along the row or square to it.
    """

    length: float
    fixing: Fixing
    slots: Literal["along", "across"]


@dataclass(frozen=True, eq=False)
class Flat:
    """A leg and its foot in the flat, with the bolts' distance from the leg's outer face, the
    distance between the outermost, and outlines and slabs that hold all of the metal."""

    blank: Blank
    row: float
    pitch: float
    side_view: tuple[Loop, ...]
    slabs: tuple[Slab, ...]


def fold_depths(sheet: Sheet, turn_deg: float) -> tuple[float, float]:
    """How far from the foot's face the leg's own outline may begin: at the end of the straight
    edge beside the fold, and, where the leg narrows at once, beyond what the die wants."""
    first = setback(sheet, turn_deg) + neck(sheet)
    return first, max(first, least_leg(sheet, turn_deg) + OUTER_ROUND)


def narrows_at_once(leg: Sequence[Curve], half: float, depth: float) -> bool:
    """Whether a leg gives the die too little of its fold's width at a depth below the foot's face:
    a flank flatter than 45 degrees before it, or less than half the width there."""
    for side in (leg[0], leg[-1]):
        if isinstance(side, Line) and max(side.start[1], side.end[1]) > -depth:
            dx, dy = side.tangent(0.0)
            if abs(dx) > abs(dy):
                return True
    shape = (*leg, Line(leg[-1].end, leg[0].start))
    runs = stretches(shape, (0.0, -depth), (1.0, 0.0))
    return sum(min(b, half) - max(a, -half) for a, b in runs if b > -half and a < half) < half


def leg_round(discs: Sequence[tuple[Point, float]], left: Point, right: Point) -> list[Curve]:
    """The tight outline round discs and points, anticlockwise from `left` to `right`.

    Both must lie on it, with nothing beyond the line between them.
    """
    band = list(hull([*discs, (left, 0.0), (right, 0.0)]))
    for i, curve in enumerate(band):
        if distance(curve.start, right) < TOP and distance(curve.end, left) < TOP:
            return [*band[i + 1 :], *band[:i]]
    raise ValueError("the leg reaches past its own fold")


def folded_angle(
    corner: Corner, sheet: Sheet, foot: Foot, leg: Sequence[Curve], holes: Sequence[Cutout],
    where: str,
) -> Flat:  # fmt: skip
    """The blank of an angle.

    `leg` is the leg's outline, anticlockwise, from the corner at least x beside the fold round
    the leg to the one at greatest x; both lie half the foot's length from its middle, and so deep
    that `fold_depths` is kept. Raises NoPiece where the foot's bolts do not fit.
    """
    turn_deg, t, fixing = corner.face.turn_deg, sheet.thickness, foot.fixing
    bending = sheet.folds(where)
    back, half = setback(sheet, turn_deg), foot.length / 2
    deep, allowance = -leg[0].start[1], bending.allowance(turn_deg)
    longer = allowance - 2 * back  # flat length less the outside lengths
    across = fixing.adjust if foot.slots == "across" else 0.0
    row = clear_of_fold(fixing, sheet, turn_deg) + across
    edge = boss(fixing, t)
    depth = max(row + across + edge, least_leg(sheet, turn_deg) + OUTER_ROUND / 2)
    bolts = row_of(fixing, t, foot.length, fixing.adjust - across, f"{where}: foot")
    left, right, tip = (-half, -deep), (half, -deep), depth + longer
    loop = joined(
        (
            *leg, Line(right, (half, tip)), Line((half, tip), (-half, tip)),
            Line((-half, tip), left),
        ), where,
    )  # fmt: skip
    try:
        outline = tidied(fillet_all(tidied(loop), OUTER_ROUND, "both", shrink=True))
    except ValueError as error:
        raise NoPiece(where, str(error), "one plain outline", "make it longer") from error
    size, angle_deg = fixing.hole, 0.0 if foot.slots == "along" else 90.0
    slots = tuple(
        Cutout(
            f"{where} bolt {number}",
            slot((x, row + longer), size + 2 * fixing.adjust, size, angle_deg),
        )
        for number, x in enumerate(bolts, 1)
    )
    bend = Bend(FOLD, (-half, -back), (half, -back), turn_deg, bending.radius, allowance)
    blank = Blank(t, outline, (*holes, *slots), (bend,), (0.0, -back - neck(sheet) / 2))
    side_view = (
        corner.in_section(joined((*leg, Line(right, left)), where)),
        corner.in_section(_foot_beside(half, deep, depth, t, radians(turn_deg))),
    )
    slabs = [corner.slab(0.0, t, side_view[0])]
    for low, high, start, end in strips(deep, depth, bending.radius, t, turn_deg):
        seen = polygon([(-half, start), (half, start), (half, end), (-half, end)])
        slabs.append(corner.slab(low, high, corner.in_section(seen)))
    return Flat(blank, row, bolts[-1] - bolts[0], side_view, tuple(slabs))


def _foot_beside(half: float, deep: float, depth: float, t: float, turn_rad: float) -> Loop:
    """The straight end of the leg, the fold and the foot as the section sees them."""
    out, up = depth * cos(turn_rad), t * sin(turn_rad)
    low, high = min(-deep, out - up), max(0.0, out)
    return polygon([(-half, low), (half, low), (half, high), (-half, high)])
