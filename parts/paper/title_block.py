"""The title block in the lower right corner (fields after ISO 7200, width 180) and the sign of
first angle projection (ISO 5456-2)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from parts.paper import pdf
from parts.paper.layout import DROP, RISE, Block
from parts.paper.page import Mark, Stroke, Words, rectangle
from parts.paper.pens import CENTRE, FRAME, OUTLINE, RULE
from parts.sheet.curve import Line, Point
from parts.sheet.loop import circle, polygon

WIDTH = 180.0
SMALL, LARGE = 2.5, 3.5  # heights of letters; captions are small


@dataclass(frozen=True, slots=True)
class Cell:
    """One field: what it is, what it says, how wide it is; a sign stands instead of words."""

    caption: str
    value: str
    width: float
    bold: bool = False
    sign: bool = False


def title_block(rows: Sequence[Sequence[Cell]], width: float = WIDTH) -> Block:
    """Fields row by row from the top, the first row in larger letters; the last of each row takes
    what is left of the width.

    A value too long for its field is written smaller, never below 2.5, then cut short.
    """
    high = [_row_height(LARGE if number == 0 else SMALL) for number in range(len(rows))]
    marks: list[Mark] = [Stroke(rectangle((0.0, 0.0), (width, sum(high))), FRAME, closed=True)]
    y = sum(high)
    for number, row in enumerate(rows):
        if number:
            marks.append(Stroke((Line((0.0, y), (width, y)),), RULE))
        y -= high[number]
        x = 0.0
        for k, cell in enumerate(row):
            wide = width - x if k == len(row) - 1 else cell.width
            if k:
                marks.append(Stroke((Line((x, y), (x, y + high[number])),), RULE))
            marks += _field(cell, (x, y), (wide, high[number]), SMALL if number else LARGE)
            x += wide
    return Block(width, sum(high), tuple(marks))


def _row_height(value: float) -> float:
    return (RISE + DROP) * (SMALL + value) + 1.2


def _field(cell: Cell, low: Point, size: Point, height: float) -> list[Mark]:
    (x, y), (wide, high) = low, size
    if cell.sign:
        return first_angle((x + wide / 2, y + high / 2))
    caption = (x + 1.2, y + high - 0.6 - RISE * SMALL)
    value = (x + 1.2, y + 0.6 + DROP * height)
    return [
        Words(cell.caption, caption, SMALL, grey=0.35),
        _fitted(cell.value, value, height, wide - 2.4, cell.bold),
    ]


def _fitted(text: str, at: Point, height: float, room: float, bold: bool) -> Words:
    long = pdf.width(text, height, bold)
    height = max(SMALL, min(height, height * room / long)) if long else height
    while text and pdf.width(text, height, bold) > room + 1e-6:
        text = f"{text[:-2]}…" if len(text) > 1 else ""
    return Words(text, at, height, bold=bold)


def first_angle(middle: Point) -> list[Mark]:
    """The sign: a cone cut off, its small end to the left, and right of it what is seen of it
    from the left."""
    x, y = middle
    large, small, long, apart = 4.4, 2.2, 4.4, 7.6
    left, right = x - apart / 2 - long / 2, x + apart / 2
    cone = polygon(
        [
            (left, y - small / 2),
            (left + long, y - large / 2),
            (left + long, y + large / 2),
            (left, y + small / 2),
        ]
    )
    reach = large / 2 + 1.0
    return [
        Stroke(cone, OUTLINE, closed=True),
        Stroke(circle((right, y), large), OUTLINE, closed=True),
        Stroke(circle((right, y), small), OUTLINE, closed=True),
        Stroke((Line((left - 1.0, y), (left + long + 1.0, y)),), CENTRE),
        Stroke((Line((right - reach, y), (right + reach, y)),), CENTRE),
        Stroke((Line((right, y - reach), (right, y + reach)),), CENTRE),
    ]
