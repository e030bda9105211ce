"""Sheets with the blanks on them, drawn to scale: true outlines, a number in each."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from parts.nesting.model import Nest, Placed, Sheet, Wanted
from parts.paper import pdf
from parts.paper.clear import Ground, pointed
from parts.paper.dimensions import arrow, between, text_of
from parts.paper.layout import DROP, RISE, Block, block_of, extent, shifted
from parts.paper.page import Mark, Pen, Stroke, Words, rectangle, scaled
from parts.paper.pens import OUTLINE, THIN
from parts.sheet.curve import Line, Point
from parts.sheet.loop import Loop, box, contains, moved

HEIGHT = 2.5  # of letters
METAL = 0.86  # how dark a blank is: 0 black, 1 white
REST = Pen(0.25, (3.0, 1.2))  # the border of what is left
OUT = 6.0  # mm from a sheet to its dimensions
APART = 8.0  # mm between the pictures of sheets
ARROW = 14.0  # length of the arrow along the grain
GRID = 15  # places across and up a blank where its number is tried
SMALLER = (1.8, 1.3)  # heights of numbers that have no room otherwise
FAR = 12.0  # mm that a number may stand off its blank


def size(nest: Nest, shown: range) -> Point:
    """Size of the picture of some of the sheets at 1:1, words left out, mm."""
    if not shown:
        return (1.0, 1.0)
    sizes = [nest.sheets[k].size for k in shown]
    return (max(long for long, _ in sizes), sum(across for _, across in sizes))


def drawn(nest: Nest, shown: range, scale: float) -> Block:
    """Some of the sheets of a nest at a scale, from the top down; words alone where there is
    none."""
    if not shown:
        words = "no blank of this material and thickness fits a sheet"
        return block_of([Words(words, (0.0, 0.0), HEIGHT, bold=True)])
    blocks = [block_of(list(_sheet(nest, k, scale))) for k in shown]
    marks: list[Mark] = []
    y = 0.0
    for block in blocks:
        y -= block.height
        marks += [shifted(mark, (0.0, y)) for mark in block.marks]
        y -= APART
    return block_of(marks)


def _sheet(nest: Nest, number: int, scale: float) -> Iterator[Mark]:
    sheet = nest.sheets[number]
    long, across = scale * sheet.size[0], scale * sheet.size[1]
    marks: list[Mark] = [Stroke(rectangle((0.0, 0.0), (long, across)), OUTLINE, closed=True)]
    for one in sheet.placed:
        wanted = nest.wanted[one.number]
        outline = scaled(one.loop(wanted.outline), scale)
        marks.append(Stroke(outline, OUTLINE, closed=True, fill=METAL))
        for opening in wanted.openings:
            marks.append(Stroke(scaled(one.loop(opening), scale), THIN, closed=True, fill=1.0))
    rest = list(_rest(nest, sheet, scale)) if number == len(nest.sheets) - 1 else []
    ground = Ground()
    ground.add(*marks, *rest)
    yield from marks
    yield from rest
    for mark in _rest_words(nest, scale) if rest else ():
        if ground.free(np.array([_middle_of(mark)]), _size(mark.text), 0.0)[0]:
            ground.add(mark)
            yield mark
    outside = list(_outside(nest, number, scale))
    ground.add(*outside)
    numbers: list[Mark] = []
    without = 0
    for one in sheet.placed:
        found = _number(nest, one, scale, ground)
        ground.add(*found)
        numbers += found
        without += not found
    yield from (*numbers, *outside)
    if without:
        low = min(extent(mark)[1] for mark in (*numbers, *outside))
        words = f"{without} {'blank' if without == 1 else 'blanks'} too small for a number here"
        yield Words(words, (0.0, low - 1.0 - RISE * HEIGHT), HEIGHT)


def _outside(nest: Nest, number: int, scale: float) -> Iterator[Mark]:
    """Sizes of the sheet, which it is, and the arrow along the grain."""
    sheet = nest.sheets[number]
    long, across = scale * sheet.size[0], scale * sheet.size[1]
    yield from between((0.0, 0.0), (long, 0.0), (0.0, -OUT), text_of(sheet.size[0]))
    yield from between((0.0, 0.0), (0.0, across), (-OUT, 0.0), text_of(sheet.size[1]))
    y = across + 1.6 + DROP * HEIGHT
    name = f"sheet {number + 1} of {len(nest.sheets)}"
    yield Words(name, (0.0, y), HEIGHT, bold=True)
    x = pdf.width(name, HEIGHT, bold=True) + 6.0
    yield Words("grain", (x, y), HEIGHT)
    x += pdf.width("grain", HEIGHT) + 1.5
    middle = y + (RISE - DROP) * HEIGHT / 2
    yield Stroke((Line((x, middle), (x + ARROW, middle)),), THIN)
    yield arrow((x + ARROW, middle), (1.0, 0.0))


def _rest(nest: Nest, sheet: Sheet, scale: float) -> Iterator[Stroke]:
    """The border of the off-cut, where it is not that of the sheet."""
    if nest.off_cut is None:
        return
    x0, y0, x1, y1 = nest.off_cut.rectangle
    sides = (
        (x0 > 1e-6, (x0, y0), (x0, y1)),
        (x1 < sheet.size[0] - 1e-6, (x1, y0), (x1, y1)),
        (y0 > 1e-6, (x0, y0), (x1, y0)),
        (y1 < sheet.size[1] - 1e-6, (x0, y1), (x1, y1)),
    )
    for inside, start, end in sides:
        if inside:
            yield Stroke(scaled((Line(start, end),), scale), REST)


def _rest_words(nest: Nest, scale: float) -> Iterator[Words]:
    """What the off-cut measures, in the middle of it."""
    assert nest.off_cut is not None
    x0, y0, x1, y1 = nest.off_cut.rectangle
    words = f"left: {whole_mm(x1 - x0)} × {whole_mm(y1 - y0)}"
    down = (RISE - DROP) * HEIGHT / 2
    yield Words(words, (scale * (x0 + x1) / 2, scale * (y0 + y1) / 2 - down), HEIGHT, "middle")


def whole_mm(length: float) -> int:
    """A length cut off to whole millimetres: what is left is never told too large.

    >>> whole_mm(1743.9), whole_mm(1250.0)
    (1743, 1250)
    """
    return int(length + 1e-6)


def _middle_of(words: Words) -> Point:
    return (words.at[0], words.at[1] + (RISE - DROP) * words.height / 2)


def _size(text: str, height: float = HEIGHT) -> Point:
    return (pdf.width(text, height, bold=True), (RISE + DROP) * height)


def _number(nest: Nest, one: Placed, scale: float, ground: Ground) -> list[Mark]:
    """The number of a blank: inside it where it has room, else beside it with a leader; nothing
    where it has no room near by."""
    wanted, text = nest.wanted[one.number], str(one.number + 1)
    dx, dy = one.shift
    places = [(scale * (x + dx), scale * (y + dy)) for x, y in _turned(wanted, one.turn_deg)]
    for height in (HEIGHT, *SMALLER):
        free = ground.free(np.array(places), _size(text, height), 0.0)
        down = (RISE - DROP) * height / 2
        for (x, y), is_free in zip(places, free, strict=True):
            if is_free:
                return [Words(text, (x, y - down), height, "middle", bold=True)]
    found = pointed(
        ground, text, HEIGHT, places[:1], bold=True, needs_leader=True, most=FAR
    )  # fmt: skip
    return found or []


@lru_cache(maxsize=256)
def _turned(wanted: Wanted, turn_deg: float) -> tuple[Point, ...]:
    """Places in the metal of a blank that is turned and not yet shifted."""
    loops = (wanted.outline, *wanted.openings)
    return tuple(inside([moved(loop, turn_deg=turn_deg) for loop in loops]))


def inside(loops: list[Loop]) -> list[Point]:
    """Places in the metal of a blank, those near the middle of its box first.

    >>> from parts.sheet.loop import polygon
    >>> inside([polygon([(0, 0), (30, 0), (30, 15), (0, 15)])])[0]
    (15.0, 7.5)
    """
    x0, y0, x1, y1 = box(loops[0])
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    shares = [(k + 1) / (GRID + 1) for k in range(GRID)]
    places = [(x0 + a * (x1 - x0), y0 + b * (y1 - y0)) for a in shares for b in shares]
    within = [p for p in places if contains(loops, p)] or [loops[0][0].start]
    return sorted(within, key=lambda p: (abs(p[0] - middle[0]) + abs(p[1] - middle[1]), p))
