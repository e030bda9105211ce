"""A page as a list of marks in mm: x to the right, y up, from the lower left corner.

Line widths and types follow ISO 128-2 (line group 0.25: wide 0.5, narrow 0.25), from memory;
letter heights follow the series of ISO 3098-1.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Literal

from parts.sheet.curve import Arc, Curve, Line, Point
from parts.sheet.loop import polygon

Anchor = Literal["left", "middle", "right"]


@dataclass(frozen=True, slots=True)
class Pen:
    """Width and dashes (on, off, ...) in mm, and how dark: 0 black to 1 white."""

    width: float
    dashes: tuple[float, ...] = ()
    grey: float = 0.0


WIDE = Pen(0.5)  # edges that are seen
NARROW = Pen(0.25)  # dimensions, leaders, frames of tables
HIDDEN = Pen(0.25, (3.0, 0.75))  # dashes of 12 d, gaps of 3 d
CENTRE = Pen(0.25, (6.0, 0.75, 0.125, 0.75))  # 24 d, 3 d, 0.5 d, 3 d
BEND = Pen(0.25, (6.0, 0.75, 0.125, 0.75, 0.125, 0.75))  # type 05, as in the marked blank
FAINT = Pen(0.18, grey=0.55)
HAIR = Pen(0.13)


@dataclass(frozen=True, slots=True)
class Stroke:
    """A run of curves end to end, drawn with a pen; `fill` is how dark its inside is, or None."""

    curves: tuple[Curve, ...]
    pen: Pen | None = NARROW
    closed: bool = False
    fill: float | None = None


@dataclass(frozen=True, slots=True)
class Words:
    """A line of words: where its anchor stands on the line of writing, the height of capitals,
    and the direction it reads in."""

    text: str
    at: Point
    height: float = 3.5
    anchor: Anchor = "left"
    angle_deg: float = 0.0
    bold: bool = False
    grey: float = 0.0


@dataclass(frozen=True, slots=True)
class Window:
    """What shows of a drawing through a rectangle of the page: the drawing's point `origin` lies
    at the corner `low`, and its x and y are stretched by `scale`."""

    low: Point
    high: Point
    origin: Point
    scale: tuple[float, float]
    marks: tuple[Mark, ...]


Mark = Stroke | Words | Window


@dataclass(slots=True)
class Page:
    """One page and what is on it, in the order it is drawn."""

    width: float
    height: float
    marks: list[Mark] = field(default_factory=list)

    def add(self, *marks: Mark) -> None:
        """Draw these on top of what is there."""
        self.marks.extend(marks)

    def line(self, start: Point, end: Point, pen: Pen = NARROW) -> None:
        """A straight line."""
        self.marks.append(Stroke((Line(start, end),), pen))

    def box(
        self, low: Point, high: Point, pen: Pen | None = NARROW, fill: float | None = None
    ) -> None:
        """A rectangle between two corners."""
        self.marks.append(Stroke(rectangle(low, high), pen, closed=True, fill=fill))

    def words(self, text: str, at: Point, height: float = 3.5, anchor: Anchor = "left",
              angle_deg: float = 0.0, bold: bool = False, grey: float = 0.0) -> None:  # fmt: skip
        """A line of words."""
        self.marks.append(Words(text, at, height, anchor, angle_deg, bold, grey))


def rectangle(low: Point, high: Point) -> tuple[Curve, ...]:
    """The sides of a rectangle, anticlockwise from its lower left corner."""
    return polygon([low, (high[0], low[1]), high, (low[0], high[1])])


def polyline(points: Sequence[Point]) -> tuple[Curve, ...]:
    """Straight lines from point to point."""
    return tuple(Line(a, b) for a, b in pairwise(points))


def scaled(curves: Iterable[Curve], scale: float, shift: Point = (0.0, 0.0)) -> tuple[Curve, ...]:
    """Curves scaled about the origin and then shifted.

    >>> scaled([Line((1, 2), (3, 4))], 2, (10, 0))
    (Line(start=(12, 4), end=(16, 8)),)
    """

    def put(p: Point) -> Point:
        return (scale * p[0] + shift[0], scale * p[1] + shift[1])

    return tuple(
        Arc(put(curve.start), put(curve.end), put(curve.center), curve.sweep)
        if isinstance(curve, Arc)
        else Line(put(curve.start), put(curve.end))
        for curve in curves
    )
