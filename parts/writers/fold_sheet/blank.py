"""The blank before the first stroke, to scale, its drawn face up as on the shop drawing: bends by
their numbers, ticks at both ends of each, the hand, and the grain where it matters."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, radians, sin

from parts.paper.clear import Ground, beside_line, pointed
from parts.paper.dimensions import arrow
from parts.paper.layout import Block, block_of
from parts.paper.page import Mark, Pen, Stroke, Words, scaled
from parts.paper.pens import BEND, OUTLINE, THIN
from parts.part import Piece
from parts.sheet.bend_lines import bend_lines
from parts.sheet.bend_side import is_rolled
from parts.sheet.curve import Line, Point
from parts.sheet.fold import tangent_sides
from parts.sheet.loop import box
from parts.writers import marking
from parts.writers.fold_sheet.wording import name_of

TICK = Pen(0.5)
MARK = 5.0  # mm of the blank; at least so much is seen on paper:
LEAST = 1.5
LETTERS = 2.5
FAR = 6.0  # mm that the words of the hand may stand from the middle; the heading tells it too
GRAIN = 9.0  # mm of paper
FRACTIONS = tuple(0.5 + way * k / 20 for k in range(9) for way in (1, -1))


def blank(piece: Piece, scale: float, wide: float) -> Block:
    """The blank's picture at a scale; its words keep to the width as long as they find room."""
    x0, y0, x1, _ = box(piece.blank.outline)
    shift = (-scale * x0, -scale * y0)
    spare = max(0.0, wide - scale * (x1 - x0)) / 2
    within = (-spare, scale * (x1 - x0) + spare)
    marks: list[Mark] = [
        Stroke(scaled(loop, scale, shift), OUTLINE, closed=True) for loop in piece.blank.loops
    ]
    middles = [bend_lines(piece.folded, k) for k in range(len(piece.blank.bends))]
    for number, bend in enumerate(piece.blank.bends):
        lines = middles[number]
        if is_rolled(bend, piece.stock.thickness):
            sides = [s for which in (0, 1) for s in tangent_sides(piece.folded, number, which)]
            lines = [side.curve for side in sides if isinstance(side.curve, Line)]
        for line in lines:
            (drawn,) = scaled([line], scale, shift)
            assert isinstance(drawn, Line)
            marks += [Stroke((drawn,), BEND), *_ticks(drawn, scale)]
    ground = Ground()
    ground.add(*marks)

    def put(p: Point) -> Point:
        return (scale * p[0] + shift[0], scale * p[1] + shift[1])

    for number, bend in enumerate(piece.blank.bends):
        text = f"{name_of(number)} {'↑ up' if bend.up else '↓ down'}"
        lines = sorted(middles[number], key=lambda one: -one.length)
        places = [put(line.at(f)) for line in lines for f in FRACTIONS]
        said = beside_line(ground, text, LETTERS, places, marking.reading_deg(bend), bold=True)
        marks += _kept(ground, said or pointed(
            ground, text, LETTERS, places[:3], bold=True, needs_leader=True, within=within,
        ))  # fmt: skip
    hand = f"{piece.hand} hand, this face up" if piece.hand else "this face up"
    spot = [put(piece.blank.base)]
    marks += _kept(ground, pointed(ground, hand, LETTERS, spot, within=within, most=FAR))
    return block_of(marks)


def _kept(ground: Ground, said: Sequence[Mark] | None) -> Sequence[Mark]:
    """Words that found a place, taken as drawn."""
    if said is None:
        return []
    ground.add(*said)
    return said


def _ticks(line: Line, scale: float) -> Iterator[Stroke]:
    """A heavy mark at either end of a bend line, along it."""
    long = line.length
    share = min(max(MARK * scale, LEAST) / long, 0.4)
    yield Stroke((line.between(0.0, share),), TICK)
    yield Stroke((line.between(1.0 - share, 1.0),), TICK)


def grain(low: Point, angle_deg: float) -> Iterator[Mark]:
    """An arrow both ways along the grain with its word, to the right of a corner."""
    dx, dy = cos(radians(angle_deg)), sin(radians(angle_deg))
    x, y = low[0] + 2.0 + GRAIN / 2, low[1] + GRAIN / 2
    a, b = ((x + way * GRAIN / 2 * dx, y + way * GRAIN / 2 * dy) for way in (-1.0, 1.0))
    yield Stroke((Line(a, b),), THIN)
    yield arrow(a, (-dx, -dy))
    yield arrow(b, (dx, dy))
    yield Words("grain", (x + abs(dx) * GRAIN / 2 + 2.0, y - LETTERS / 2), LETTERS)
