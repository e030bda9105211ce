"""Which box stands on which sheet: what holds for all steps and the blank first, then the steps."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from parts.paper.dimensions import text_of
from parts.paper.layout import Block, block_of, shifted
from parts.paper.page import Mark, Page
from parts.paper.pdf import width
from parts.paper.pens import FRAME
from parts.paper.table import paragraph, stacked
from parts.part import Piece
from parts.sheet import measure
from parts.sheet.curve import Point
from parts.sheet.grain import grain_of
from parts.sheet.loop import box as box_of
from parts.writers.drawing.sheets import INSET, MARGIN, SCALES, scale_words
from parts.writers.fold_sheet.blank import blank, grain
from parts.writers.fold_sheet.cell import Cell

GAP = 3.0  # mm between boxes
NARROWEST, LOWEST, HIGHEST = 86.0, 73.0, 92.0  # of a box
HEAD = 70.0  # mm that words and blank take at least
LARGE, SMALL = 3.5, 2.5
TEXT = 0.5  # share of the width for words beside a blank


@dataclass(frozen=True, slots=True)
class Grid:
    """How boxes stand on the sheets: columns and the most rows of the first sheet and of others."""

    columns: int
    rows: tuple[int, int]

    @classmethod
    def of(cls, across: float, room: float, head: float, cells: Sequence[Cell]) -> Grid:
        """The grid of sheets of that room, the head of the first at least so high.

        >>> Grid.of(184, 245, 80, ())
        Grid(columns=2, rows=(2, 3))
        """
        columns = max(1, int((across + GAP) / (NARROWEST + GAP)))
        wide = (across + GAP) / columns - GAP
        least = GAP + max([LOWEST, *(cell.least(wide) for cell in cells)])
        return cls(columns, (max(1, int((room - head) / least)),
                             max(1, int((room + GAP) / least))))  # fmt: skip

    def shares(self, count: int) -> list[range]:
        """Which boxes stand on which sheet.

        >>> Grid(2, (2, 3)).shares(11)
        [range(0, 4), range(4, 10), range(10, 11)]
        """
        ends = [0, min(count, self.rows[0] * self.columns)]
        while ends[-1] < count:
            ends.append(min(count, ends[-1] + self.rows[1] * self.columns))
        return [range(a, b) for a, b in pairwise(ends)]

    def high(self, count: int, room: float) -> float:
        """How high so many boxes are on a sheet with that room for them."""
        return min(HIGHEST, (room + GAP) / ceil(count / self.columns) - GAP)


def laid_out(
    piece: Piece, size: Point, head: Sequence[str], cells: Sequence[Cell],
    title: Callable[[str, int, int], Block],
) -> list[Page]:  # fmt: skip
    """The finished sheets: title block, words of the head with the blank, and all boxes."""
    wide, high = sorted(size)
    edge = MARGIN + INSET
    low = MARGIN + title("", 1, 1).height + GAP
    across, room = wide - 2 * edge, high - edge - low
    least = max(HEAD, paragraph(head[0], head[1:], TEXT * across).height + GAP)
    grid = Grid.of(across, room, least, cells)
    shares = grid.shares(len(cells))
    found = []
    for number, share in enumerate(shares, 1):
        page = Page(wide, high)
        page.box((MARGIN, MARGIN), (wide - MARGIN, high - MARGIN), FRAME)
        top, scale = high - edge, 0.0
        box = ((across + GAP) / grid.columns - GAP, grid.high(len(share), room))
        if number == 1:
            box = (box[0], grid.high(len(share), room - least))
            top = low + ceil(len(share) / grid.columns) * (box[1] + GAP) - GAP
            scale, marks = _head(piece, head, (across, high - edge - top - GAP))
            page.add(*(shifted(mark, (edge, top + GAP)) for mark in marks))
        block = title(scale_words(scale), number, len(shares))
        page.add(*block.at((wide - MARGIN - block.width, MARGIN)))
        for place, k in enumerate(share):
            row, column = divmod(place, grid.columns)
            corner = (edge + column * (box[0] + GAP), top - (row + 1) * box[1] - row * GAP)
            page.add(*cells[k].drawn(box).at(corner))
        found.append(page)
    return found


def _head(piece: Piece, words: Sequence[str], size: Point) -> tuple[float, list[Mark]]:
    """The blank's scale, and words and blank beside each other or one over the other, whichever
    shows the blank larger."""
    wide, high = size
    beside = paragraph(words[0], words[1:], TEXT * wide)
    over = paragraph(words[0], words[1:], wide)
    rooms = [
        (beside, (wide - beside.width - GAP, high), (beside.width + GAP, 0.0)),
        (over, (wide, high - over.height - GAP), (0.0, 0.0)),
    ]
    drawn = [_largest(piece, rooms[0][1], 0.0)]
    drawn.append(_largest(piece, rooms[1][1], drawn[0][0]))
    best = 1 if drawn[1][0] > drawn[0][0] else 0
    (said, room, low), (scale, block) = rooms[best], drawn[best]
    at = (low[0] + (room[0] - block.width) / 2, low[1] + (room[1] - block.height) / 2)
    return scale, [*said.at((0.0, high - said.height)), *block.at(at)]


def _largest(piece: Piece, room: Point, over: float) -> tuple[float, Block]:
    """The blank at the largest scale that fits the room, with its heading, or at the smallest;
    scale 0 where it must be larger than a scale and is not."""
    x0, y0, x1, y1 = box_of(piece.blank.outline)
    for scale in (one for one in SCALES if one > over):
        if scale * (x1 - x0) > room[0] or scale * (y1 - y0) > room[1]:
            continue
        block = _headed(piece, scale, room[0])
        if block.width <= room[0] and block.height <= room[1]:
            return scale, block
    smallest = SCALES[-1]
    return (0.0, Block(0.0, 0.0, ())) if over else (smallest, _headed(piece, smallest, room[0]))


def _headed(piece: Piece, scale: float, wide: float) -> Block:
    drawn = blank(piece, scale, wide)
    size = " × ".join(map(text_of, measure.blank_box(piece.folded)))
    hand = f", {piece.hand} hand" if piece.hand else ""
    said = [(f"Blank {scale_words(scale)}{hand}", LARGE, True),
            (f"drawn face up, {size}", SMALL, False)]  # fmt: skip
    long = max(width(*one) for one in said)
    marks = [*drawn.marks, *stacked(said, long).at((0.0, drawn.height + 2.0))]
    found = grain_of(piece.folded, piece.stock.material)
    if found is not None:
        marks += grain((long + 1.0, drawn.height + 1.0), found.angle_deg)
    return block_of(marks)
