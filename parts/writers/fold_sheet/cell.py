"""One step as a box on the sheet: its number and bends, two pictures, and what to do."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeAlias

from parts.paper import pdf
from parts.paper.dimensions import text_of
from parts.paper.layout import DROP, RISE, Block
from parts.paper.page import Mark, Stroke, Words, rectangle
from parts.paper.pens import RULE
from parts.paper.table import wrapped
from parts.part import Piece
from parts.sheet.curve import Point
from parts.sheet.fold_order.held import Held, finished
from parts.sheet.fold_order.steps import NoOrder
from parts.sheet.loop import circle
from parts.writers.fold_sheet.end_view import end_view
from parts.writers.fold_sheet.picture import picture, whole
from parts.writers.fold_sheet.wording import (
    Told,
    degrees_of,
    folds,
    heading,
    name_of,
    names_of,
    told,
    way_of,
)

LARGE, SMALL = 3.5, 2.5
LINE = (RISE + DROP) * SMALL + 0.4
INSET = 2.0  # mm from the box to what is in it
RING = 8.4  # diameter round a step's number
LABEL = 16.0  # mm of the words' first column
SHARE = 0.56  # of the width, for the picture; the rest is for the end view
APART = 2.0
LEAST = 27.0  # mm that pictures are high at least

Picture: TypeAlias = Callable[[Point], Block]  # in a room so wide and high


@dataclass(frozen=True, eq=False)
class Cell:
    """A box: what its head says, pictures side by side with their captions and shares of the
    width, and what is told under them."""

    number: str
    names: str
    way: str
    pictures: tuple[tuple[Picture, str, float], ...]
    said: tuple[Told, ...]

    def least(self, wide: float) -> float:
        """How high it must be at that width."""
        picture = LEAST + LINE if self.pictures else 0.0
        return 2 * INSET + RING + 3.0 + picture + len(_lines(self.said, wide)) * LINE

    def drawn(self, size: Point) -> Block:
        """The box at a size."""
        wide, high = size
        marks: list[Mark] = [Stroke(rectangle((0.0, 0.0), size), RULE, closed=True)]
        marks += _head(self.number, self.names, self.way, size)
        lines = _lines(self.said, wide)
        low, top = INSET + len(lines) * LINE + 1.0, high - INSET - RING - 1.0
        x, room = INSET, wide - 2 * INSET - APART * (len(self.pictures) - 1)
        for draw, caption, share in self.pictures:
            own = (share * room, top - low - LINE)
            marks += _shown(draw(own), caption, (x, low), own)
            x += own[0] + APART
        marks += _set(lines, low - 1.0 if self.pictures else top - 1.0)
        return Block(wide, high, tuple(marks))


def step_cell(piece: Piece, one: Held, number: int) -> Cell:
    """A step: the part as it is then, and the brake from the side."""
    names, way = heading(piece, one)
    captions = ("after the step; back ↗", "from your right")
    if one.step.rolled:
        captions = ("after the step", "from the side")
    seen = partial(picture, piece, one, names_of(one.step.bends))
    pictures = ((seen, captions[0], SHARE), (partial(end_view, one), captions[1], 1 - SHARE))
    return Cell(str(number), names, way, pictures, tuple(told(piece, one, number == 1)))


def last_cell(piece: Piece) -> Cell:
    """The finished piece with its outside sizes."""
    x, y, z = map(text_of, finished(piece.folded))
    said: list[Told] = [("outside", f"{x} × {y} × {z} mm over all (as the drawing's views)")]
    if folds(piece):
        said.append(("square", f"included angles {folds(piece)}"))
    said.append(("fit", "the first part on the vehicle before the rest are bent"))
    pictures = ((partial(whole, piece), "pictorial, not to scale", 1.0),)
    return Cell("✓", "Finished", "", pictures, tuple(said))


def listed_cell(piece: Piece, order: NoOrder) -> Cell:
    """The bends without an order, and why there is none."""
    said: list[Told] = [("why", order.why), ("remedy", order.remedy)]
    for number, bend in enumerate(piece.blank.bends):
        turn = f"{degrees_of(abs(bend.turn_deg))} from flat, {way_of(bend)}"
        said.append((name_of(number), f"{bend.name}: {turn}"))
    return Cell("!", "No order found", "", (), tuple(said))


def _head(number: str, names: str, way: str, size: Point) -> list[Mark]:
    """The number in a ring, the bends, and which way."""
    wide, high = size
    x, y = INSET + RING / 2, high - INSET - RING / 2
    down = (RISE - DROP) / 2
    marks: list[Mark] = [
        Stroke(circle((x, y), RING)),
        Words(number, (x, y - down * LARGE), LARGE, "middle", bold=True),
    ]
    at = INSET + RING + 2.0
    line = high - INSET - RISE * LARGE if way else y - down * LARGE
    marks.append(Words(_cut(names, wide - INSET - at), (at, line), LARGE, bold=True))
    if way:
        marks.append(Words(way, (at, high - INSET - RING + DROP * SMALL), SMALL))
    return marks


def _cut(text: str, room: float) -> str:
    """The words, cut short where they are longer than their room."""
    while pdf.width(text, LARGE, bold=True) > room and len(text) > 2:
        text = f"{text[:-2]}…"
    return text


def _lines(said: Sequence[Told], wide: float) -> list[tuple[str, str]]:
    """What is told, broken into lines; what it is about stands on the first of each."""
    room = wide - 2 * INSET - LABEL
    return [
        (about if k == 0 else "", line)
        for about, words in said
        for k, line in enumerate(wrapped(words, room, SMALL))
    ]


def _set(lines: Sequence[tuple[str, str]], top: float) -> list[Mark]:
    marks: list[Mark] = []
    y = top
    for about, line in lines:
        y -= LINE
        at = y + DROP * SMALL + 0.4
        if about:
            marks.append(Words(about, (INSET, at), SMALL, bold=True))
        marks.append(Words(line, (INSET + LABEL, at), SMALL))
    return marks


def _shown(block: Block, caption: str, low: Point, room: Point) -> list[Mark]:
    """A picture in the middle of its room, over its caption."""
    lines = wrapped(caption, room[0], SMALL)
    words = [Words(lines[0], (low[0], low[1] + DROP * SMALL), SMALL, grey=0.35)]
    at = (low[0] + (room[0] - block.width) / 2, low[1] + LINE + (room[1] - block.height) / 2)
    return [*block.at(at), *words]
