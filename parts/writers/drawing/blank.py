"""The blank to scale, seen on its drawn face, with running dimensions from the edges that a tape
is hooked on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import get_args

from parts.paper.clear import broken
from parts.paper.dimensions import Border, between, running, running_depth, text_of
from parts.paper.layout import DROP, RISE, Block, block_of, extent
from parts.paper.page import Mark, Stroke, Words, scaled
from parts.paper.pens import BEND, CENTRE, OUTLINE, THIN
from parts.paper.table import wrapped
from parts.part import Piece
from parts.sheet.bend_lines import bend_lines
from parts.sheet.bend_side import is_rolled
from parts.sheet.curve import Line, Point, distance
from parts.writers.drawing.labels import LETTERS, labels
from parts.writers.drawing.marks import Layout, end_of_roll, slot_ends
from parts.writers.drawing.readings import CROSS, Row, left_over, row
from parts.writers.drawing.scaled import Scaled, second_border

TITLE = 3.5
APART = 6.5  # mm between running dimensions and the plain one outside them
LEAST_TITLE = 75.0  # mm


@dataclass(frozen=True, slots=True)
class Drawn:
    """The blank's picture, and points that found no room in the readings, for a table."""

    block: Block
    points: tuple[Point, ...]


def drawn(piece: Piece, laid: Layout, scale: float, both: bool, title: Sequence[str]) -> Drawn:
    """The picture of a blank at a scale; with `both`, readings stand on all four sides, each on
    the nearer one, else only below and on the left."""
    sheet = Scaled(piece, laid, scale, both)
    rows = {border: row(sheet, border) for border in get_args(Border)}
    runs = [
        running(border, *sheet.bounds(border), one, *sheet.ends(border))
        for border, one in rows.items()
    ]
    extensions = [stroke for run in runs for stroke in run.extensions]
    marks: list[Mark] = [*_metal(sheet), *_middles(sheet), *_overall(sheet, rows)]
    marks += [mark for run in runs for mark in run.marks]
    points = left_over(sheet, rows)
    words = labels(sheet, marks, extensions, points)
    marks += [*words, *broken(extensions, [one for one in words if isinstance(one, Words)])]
    return Drawn(block_of([*marks, *_title(marks, title)]), points)


def _overall(sheet: Scaled, rows: Mapping[Border, Row]) -> Iterator[Mark]:
    """Plain dimensions of the whole blank, where no reading tells its size."""
    (wide, high), box = sheet.size, sheet.laid.box
    for axis in filter(sheet.unread, (0, 1)):
        side = second_border(axis)
        out = running_depth(rows[side], *sheet.ends(side)) + APART
        text = text_of(box[axis + 2] - box[axis])
        if axis == 0:
            yield from between((0.0, high), (wide, high), (0.0, out), text)
        else:
            yield from between((wide, 0.0), (wide, high), (out, 0.0), text)


def _metal(sheet: Scaled) -> Iterator[Stroke]:
    """The outline, every opening, and the lines of the bends."""
    x, y = sheet.put((0.0, 0.0))
    for loop in sheet.piece.blank.loops:
        yield Stroke(scaled(loop, sheet.scale, (x, y)), OUTLINE, closed=True)
    for number, bend in enumerate(sheet.piece.blank.bends):
        for line in bend_lines(sheet.piece.folded, number):
            yield Stroke(scaled([line], sheet.scale, (x, y)), BEND)
        if is_rolled(bend, sheet.piece.stock.thickness):
            for which in (0, 1):
                for line in end_of_roll(sheet.piece, number, which):
                    yield Stroke(scaled([line], sheet.scale, (x, y)), THIN)


def _middles(sheet: Scaled) -> Iterator[Stroke]:
    """Crosses in holes, through slots, and at the centres of arcs."""
    for opening in sheet.laid.openings:
        x, y = sheet.put(opening.middle)
        reach = sheet.scale * opening.reach + CROSS
        if opening.what == "hole":
            yield from _cross((x, y), (1.0, 0.0), reach, reach)
        elif opening.what == "slot":
            first, second = slot_ends(opening)
            size = distance(first, second)
            along = ((second[0] - first[0]) / size, (second[1] - first[1]) / size)
            narrow = sheet.scale * (opening.reach - size / 2) + CROSS
            yield from _cross((x, y), along, reach, narrow)
    for outline in sheet.laid.outlines:
        for centre in outline.centres:
            yield from _cross(sheet.put(centre), (1.0, 0.0), CROSS, CROSS)


def _cross(at: Point, along: Point, reach: float, narrow: float) -> Iterator[Stroke]:
    (x, y), (dx, dy) = at, along
    for (ux, uy), far in (((dx, dy), reach), ((-dy, dx), narrow)):
        ends = (x - far * ux, y - far * uy), (x + far * ux, y + far * uy)
        yield Stroke((Line(*ends),), CENTRE if far > 4.0 else THIN)


def _title(marks: Sequence[Mark], title: Sequence[str]) -> Iterator[Words]:
    """The heading over the picture: the first line large."""
    boxes = [extent(mark) for mark in marks]
    left, right = min(b[0] for b in boxes), max(b[2] for b in boxes)
    top = max(b[3] for b in boxes) + 2.0
    wide = max(right - left, LEAST_TITLE)
    lines = [(line, TITLE, True) for line in wrapped(title[0], wide, TITLE, bold=True)]
    lines += [(line, LETTERS, False) for one in title[1:] for line in wrapped(one, wide, LETTERS)]
    for text, height, bold in reversed(lines):
        yield Words(text, (left, top + DROP * height), height, bold=bold)
        top += (RISE + DROP) * height + 0.4
