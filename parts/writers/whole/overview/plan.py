"""All parts of a job from above, true to scale, each hand of a part with the part's number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from parts.paper.page import CENTRE, FAINT, HAIR, NARROW, Page, Stroke, polyline
from parts.part import Part, Piece
from parts.place import Vector
from parts.sheet.curve import Line
from parts.whole import WholeJob
from parts.writers.job_sheet.charting import apart
from parts.writers.job_sheet.picturing import balloon, bar

WIDE, HIGH = 150.0, 170.0  # mm of paper, the most
SIDE, HEAD, FOOT = 11.0, 9.0, 10.0  # for the numbers, for what is forward, for the scale
ROOM = 60.0  # mm of the vehicle round all parts
BALLOON, APART, LETTERS = 5.6, 1.0, 2.8
STEPS = 8  # chords to an arc
LEAST = 600.0  # mm of the vehicle that the plan shows at least, each way
NUMBERED = 40  # numbers a side; more could not be told apart, and are left out


@dataclass(frozen=True, eq=False)
class _Seen:
    """One hand of a part from above: its number and the edges of its metal, each (n, 2), Y to the
    right and X rearward as the page has them: right, and down."""

    number: int
    runs: tuple[Vector, ...]

    @property
    def middle(self) -> Vector:
        every = np.vstack(self.runs)
        return np.asarray((every.min(axis=0) + every.max(axis=0)) / 2)


def page_of(whole: WholeJob) -> Page:
    """The plan, front of the vehicle up: the right side is right, seen from the driver's seat."""
    seen = [one for number, part in enumerate(whole.parts, 1) for one in _of_part(number, part)]
    every = np.vstack([run for one in seen for run in one.runs] or [np.zeros((1, 2))])
    half = max(float(np.abs(every[:, 0]).max()) + ROOM, LEAST / 2)
    low, high = float(every[:, 1].min()) - ROOM, float(every[:, 1].max()) + ROOM
    grow = max(0.0, LEAST - (high - low)) / 2
    low, high = low - grow, high + grow
    scale = min((WIDE - 2 * SIDE) / (2 * half), (HIGH - HEAD - FOOT) / (high - low))
    sides = [[one for one in seen if (one.middle[0] >= 0) == right] for right in (False, True)]
    most = max(len(side) for side in sides)
    drawn = (high - low) * scale + HEAD + FOOT
    page = Page(WIDE, max(drawn, min(most, NUMBERED) * (BALLOON + APART)))
    foot = FOOT + (page.height - drawn) / 2

    def put(points: Vector) -> list[tuple[float, float]]:
        return [(float(WIDE / 2 + scale * x), float(foot + scale * (y - low))) for x, y in points]

    top = foot + drawn - HEAD - FOOT
    page.line((WIDE / 2, foot - 2), (WIDE / 2, top + 2), CENTRE)
    page.words("front of the vehicle", (WIDE / 2, top + 4), LETTERS, "middle")
    page.words("left", (SIDE, top + 4), LETTERS, bold=True)
    page.words("right", (WIDE - SIDE, top + 4), LETTERS, "right", bold=True)
    if low < 0 < high:
        ((_, zero),) = put(np.zeros((1, 2)))
        page.line((SIDE, zero), (WIDE - SIDE, zero), FAINT)
        page.words("X 0", (WIDE / 2 + 1.5, zero + 1.0), LETTERS)
    for one in seen:
        for run in one.runs:
            page.add(Stroke(polyline(put(run)), NARROW))
    for side, right in zip(sides, (False, True), strict=True):
        if len(side) <= NUMBERED:
            places = [(one.number, put(one.middle[None, :])[0]) for one in side]
            _numbers(page, places, right)
    bar(page, (SIDE, 3.5), scale)
    return page


def _numbers(
    page: Page, places: Sequence[tuple[int, tuple[float, float]]], right: bool
) -> None:
    """Numbers in the margin, each level with its part or as near as there is room."""
    order = sorted(places, key=lambda place: (place[1][1], place[0]))
    sizes = [BALLOON + APART] * len(order)
    levels = apart([at[1] for _, at in order], sizes, 0.0, page.height)
    x = WIDE - BALLOON / 2 - 0.5 if right else BALLOON / 2 + 0.5
    for (number, at), level in zip(order, levels, strict=True):
        page.add(Stroke((Line(at, (x, level)),), HAIR))
        balloon(page, str(number), (x, level), BALLOON)


def _of_part(number: int, part: Part) -> Iterator[_Seen]:
    for hand in dict.fromkeys(piece.hand for piece in part.pieces):
        pieces = (piece for piece in part.pieces if piece.hand == hand)
        yield _Seen(number, tuple(run for piece in pieces for run in _edges(piece)))


def _edges(piece: Piece) -> Iterator[Vector]:
    """The drawn face's edges and bend lines from above, (n, 2)."""
    folded = piece.folded
    for region in folded.regions:
        for loop in region.curves:
            for curve in loop:
                straight = isinstance(curve, Line) and region.bend is None
                count = 1 if straight else STEPS
                flat = np.array([curve.at(k / count) for k in range(count + 1)])
                space = piece.place.apply(folded.space_all(region, flat, piece.stock.thickness))
                yield np.column_stack([space[:, 1], -space[:, 0]])
