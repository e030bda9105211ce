"""The boxes that a blank may be laid in: which way it is turned, and how large it is then."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from parts.nesting.given import Size
from parts.nesting.model import Placed, Wanted
from parts.sheet.loop import Loop, box, directions, moved

SLACK = 1e-6  # mm


@dataclass(frozen=True, slots=True)
class Box:
    """A blank turned, and its size then along and across the sheet, mm."""

    turn_deg: float
    along: float
    across: float

    @property
    def area(self) -> float:
        return self.along * self.across


def boxes_of(wanted: Wanted) -> tuple[Box, ...]:
    """The ways that a blank may lie on a sheet, the smallest box first.

    Each of its straight sides may lie along the sheet or across it. Where the grain is to be
    kept it lies one way only, or turned half round, which takes the same box.

    >>> from parts.sheet.loop import polygon
    >>> plate = polygon([(0, 0), (30, 0), (30, 10), (0, 10)])
    >>> [(box.turn_deg, box.along, box.across) for box in boxes_of(Wanted("", "", "", plate))]
    [(0.0, 30.0, 10.0), (90.0, 10.0, 30.0)]
    >>> boxes_of(Wanted("", "", "", plate, grain_deg=90.0))
    (Box(turn_deg=-90.0, along=10.0, across=30.0),)
    """
    return _boxes(wanted.outline, wanted.grain_deg)


@cache
def _boxes(outline: Loop, grain_deg: float | None) -> tuple[Box, ...]:
    if grain_deg is not None:
        return (_box(outline, -grain_deg),)
    turns = sorted({turn % 180 for side in directions(outline) for turn in (-side, 90 - side)})
    return tuple(sorted((_box(outline, turn) for turn in turns), key=_rank))


def _rank(one: Box) -> tuple[float, float]:
    return (round(one.area, 3), one.turn_deg)


def _box(outline: Loop, turn_deg: float) -> Box:
    x0, y0, x1, y1 = box(moved(outline, turn_deg=turn_deg))
    return Box(turn_deg + 0.0, round(x1 - x0, 9), round(y1 - y0, 9))


def fitting(wanted: Wanted, room: Size) -> tuple[Box, ...]:
    """Of the smallest box that fits the room: as it lies, and a quarter turn on where that is
    allowed and fits too; () for a blank that fits in no way."""
    fits = [
        one
        for one in boxes_of(wanted)
        if one.along <= room[0] + SLACK and one.across <= room[1] + SLACK
    ]
    if not fits:
        return ()
    best = fits[0]
    same = [one for one in fits if abs(one.area - best.area) < 1e-3
            and round(one.turn_deg - best.turn_deg, 6) % 90 == 0]  # fmt: skip
    return tuple(same)


def put(wanted: Wanted, number: int, copy: int, turn_deg: float, low: Size) -> Placed:
    """A copy with the lower left corner of its box there."""
    x0, y0, _, _ = box(moved(wanted.outline, turn_deg=turn_deg))
    shift = (round(low[0] - x0, 9) + 0.0, round(low[1] - y0, 9) + 0.0)
    return Placed(number, copy, turn_deg, shift)
