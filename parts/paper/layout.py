"""Blocks of marks, and where on a page they go so that none touches another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil, cos, radians, sin
from typing import TypeAlias

from parts.paper import pdf
from parts.paper.page import Mark, Stroke, Window, Words, scaled
from parts.sheet.curve import Arc, Box, Curve, Point

Rect: TypeAlias = Box  # least x, least y, greatest x, greatest y

RISE, DROP = 1.06, 0.32  # what letters reach above and below the line, in heights of capitals
GAP = 4.0  # mm between blocks
CHORD = 1.0  # mm; arcs are taken in chords no longer than this
SLACK = 1e-6


@dataclass(frozen=True, slots=True)
class Block:
    """Marks that stay together, in a box whose lower left corner is (0, 0)."""

    width: float
    height: float
    marks: tuple[Mark, ...]

    @property
    def area(self) -> float:
        return self.width * self.height

    def at(self, low: Point) -> tuple[Mark, ...]:
        """The marks with the box's lower left corner there."""
        return tuple(shifted(mark, low) for mark in self.marks)


def block_of(marks: Iterable[Mark]) -> Block:
    """The marks as a block that just holds them, pens' widths not counted.

    >>> block_of([Words("", (5, 5), 2.5)]).height  # room for a line of words, empty or not
    3.45
    """
    marks = tuple(marks)
    boxes = [extent(mark) for mark in marks]
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    moved = tuple(shifted(mark, (-x0, -y0)) for mark in marks)
    return Block(round(x1 - x0, 9), round(y1 - y0, 9), moved)


def shifted(mark: Mark, by: Point) -> Mark:
    """The mark carried along the page."""
    if isinstance(mark, Stroke):
        return Stroke(scaled(mark.curves, 1.0, by), mark.pen, mark.closed, mark.fill)
    if isinstance(mark, Words):
        return replace(mark, at=(mark.at[0] + by[0], mark.at[1] + by[1]))
    (x0, y0), (x1, y1), (dx, dy) = mark.low, mark.high, by
    return replace(mark, low=(x0 + dx, y0 + dy), high=(x1 + dx, y1 + dy))


def corners(words: Words) -> tuple[Point, Point, Point, Point]:
    """The corners of the box round a line of words, from the lower left in reading direction."""
    long = pdf.width(words.text, words.height, words.bold)
    left = {"left": 0.0, "middle": -long / 2, "right": -long}[words.anchor]
    c, s = cos(radians(words.angle_deg)), sin(radians(words.angle_deg))
    low, high = -DROP * words.height, RISE * words.height

    def put(x: float, y: float) -> Point:
        return (words.at[0] + x * c - y * s, words.at[1] + x * s + y * c)

    return put(left, low), put(left + long, low), put(left + long, high), put(left, high)


def extent(mark: Mark) -> Rect:
    """The box round a mark."""
    if isinstance(mark, Stroke):
        boxes = [curve.box() for curve in mark.curves]
        return (
            min(b[0] for b in boxes), min(b[1] for b in boxes),
            max(b[2] for b in boxes), max(b[3] for b in boxes),
        )  # fmt: skip
    if isinstance(mark, Window):
        return (*mark.low, *mark.high)
    xs, ys = zip(*corners(mark), strict=True)
    return (min(xs), min(ys), max(xs), max(ys))


def chords(curves: Iterable[Curve]) -> Iterator[tuple[float, float, float, float]]:
    """Straight pieces (x0, y0, x1, y1) that stand for the curves, arcs in chords of a mm."""
    for curve in curves:
        count = max(4, ceil(curve.length / CHORD)) if isinstance(curve, Arc) else 1
        places = [curve.at(k / count) for k in range(count + 1)]
        for (x0, y0), (x1, y1) in pairwise(places):
            yield (x0, y0, x1, y1)


def cut_out(free: Iterable[Rect], used: Rect) -> list[Rect]:
    """The largest rectangles left free when one more is used.

    >>> cut_out([(0, 0, 10, 10)], (0, 0, 4, 3))
    [(4, 0, 10, 10), (0, 3, 10, 10)]
    """
    pieces: list[Rect] = []
    for one in free:
        x0, y0, x1, y1 = one
        u0, v0, u1, v1 = used
        if u0 >= x1 - SLACK or u1 <= x0 + SLACK or v0 >= y1 - SLACK or v1 <= y0 + SLACK:
            pieces.append(one)
            continue
        if u0 > x0:
            pieces.append((x0, y0, u0, y1))
        if u1 < x1:
            pieces.append((u1, y0, x1, y1))
        if v0 > y0:
            pieces.append((x0, y0, x1, v0))
        if v1 < y1:
            pieces.append((x0, v1, x1, y1))
    distinct = list(dict.fromkeys(pieces))
    return [a for a in distinct if not any(b != a and _holds(b, a) for b in distinct)]


def _holds(outer: Rect, inner: Rect) -> bool:
    return (
        outer[0] <= inner[0] and outer[1] <= inner[1]
        and outer[2] >= inner[2] and outer[3] >= inner[3]
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Placed:
    """A block and where its lower left corner is."""

    block: Block
    low: Point

    @property
    def rect(self) -> Rect:
        return (*self.low, self.low[0] + self.block.width, self.low[1] + self.block.height)


@dataclass(slots=True)
class Space:
    """A page's room: what is free, in largest rectangles that overlap, and what is placed."""

    inside: Rect
    free: list[Rect]
    placed: list[Placed]

    @classmethod
    def of(cls, inside: Rect) -> Space:
        return cls(inside, [inside], [])

    def copy(self) -> Space:
        """The same, to try something on."""
        return Space(self.inside, list(self.free), list(self.placed))

    def put(self, block: Block, low: Point) -> None:
        """Place a block there, whatever is free."""
        self.placed.append(Placed(block, low))
        x0, y0 = low
        used = (x0 - GAP, y0 - GAP, x0 + block.width + GAP, y0 + block.height + GAP)
        self.free = cut_out(self.free, used)

    def fit(self, shapes: Iterable[Block], to_right: bool, to_top: bool) -> bool:
        """Place one of the shapes of a block where it fits the free room best, in a corner of
        it; tells whether it found any."""
        found: list[tuple[float, float, int, Block, Rect]] = []
        for number, block in enumerate(shapes):
            for rect in self.free:
                spare = (rect[2] - rect[0] - block.width, rect[3] - rect[1] - block.height)
                if min(spare) >= -SLACK:
                    found.append((min(spare), max(spare), number, block, rect))
        if not found:
            return False
        *_, block, (x0, y0, x1, y1) = min(found, key=lambda one: (*one[:3], one[4]))
        self.put(block, (x1 - block.width if to_right else x0, y1 - block.height if to_top else y0))
        return True

    def settled(self) -> list[Placed]:
        """The blocks, the largest but the first in the middle of the room that the others leave."""
        done = list(self.placed)
        if len(done) > 1:
            number = max(range(1, len(done)), key=lambda k: done[k].block.area)
            others = [other.rect for k, other in enumerate(done) if k != number]
            moved = _middle(done[number], others, self.inside)
            done[number] = Placed(done[number].block, moved)
        return done


def _middle(one: Placed, others: list[Rect], inside: Rect) -> Point:
    """Where a block stands in the middle, first across and then up."""
    x0, y0, x1, y1 = one.rect
    beside = [r for r in others if r[1] < y1 + GAP - SLACK and r[3] > y0 - GAP + SLACK]
    left = max([r[2] + GAP for r in beside if r[2] <= x0 + SLACK], default=inside[0])
    right = min([r[0] - GAP for r in beside if r[0] >= x1 - SLACK], default=inside[2])
    x = (max(left, inside[0]) + min(right, inside[2]) - one.block.width) / 2
    x1 = x + one.block.width
    over = [r for r in others if r[0] < x1 + GAP - SLACK and r[2] > x - GAP + SLACK]
    low = max([r[3] + GAP for r in over if r[3] <= y0 + SLACK], default=inside[1])
    high = min([r[1] - GAP for r in over if r[1] >= y1 - SLACK], default=inside[3])
    return (x, (max(low, inside[1]) + min(high, inside[3]) - one.block.height) / 2)
