"""Dimensions after ISO 129-1: plain ones between two arrows, running ones that read like a tape,
leaders with an elbow.

Arrowheads are closed and filled, 15 degrees to a side; where they find no room, dots. Values
stand above their line, readable from below or from the right.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, radians, sin, tan
from typing import Literal, TypeAlias

from parts.paper import pdf
from parts.paper.layout import DROP, RISE
from parts.paper.page import Mark, Pen, Stroke, Words, polyline
from parts.paper.pens import THIN
from parts.sheet.curve import Line, Point
from parts.sheet.loop import circle, polygon

Border: TypeAlias = Literal["below", "above", "left", "right"]

HEIGHT = 2.5  # of values
ARROW = 2.2  # length of an arrowhead
OFF = 1.0  # mm between what is measured and its extension line
PAST = 1.0  # mm that an extension line passes its dimension line
LEVEL = 4.5  # mm from the drawing to the running dimension's line
PITCH = (RISE + DROP) * HEIGHT + 0.5  # least distance of values side by side
ORIGIN = 2.4  # diameter of the ring at the origin
DOT = 0.8
TAIL = 4.0  # line outside of arrows that stand outside
SHELF = 1.2  # level end of a leader


def arrow(tip: Point, along: Point) -> Stroke:
    """A filled arrowhead at a tip; `along` is the unit direction it points."""
    half = ARROW * tan(radians(15))
    (x, y), (dx, dy) = tip, along
    back = (x - ARROW * dx, y - ARROW * dy)
    head = polygon([tip, (back[0] - half * dy, back[1] + half * dx),
                    (back[0] + half * dy, back[1] - half * dx)])  # fmt: skip
    return Stroke(head, None, closed=True, fill=0.0)


def dot(at: Point) -> Stroke:
    """A filled dot."""
    return Stroke(circle(at, DOT), None, closed=True, fill=0.0)


def text_of(value: float) -> str:
    """A length to a tenth, without a needless nought.

    >>> text_of(12.04), text_of(-0.02), text_of(7.25), text_of(-31.8)
    ('12', '0', '7.3', '−31.8')
    """
    tenths = int(abs(value) * 10 + 0.5 + 1e-9)
    words = f"{tenths // 10}.{tenths % 10}".removesuffix(".0")
    return f"−{words}" if value < 0 and tenths else words


@dataclass(frozen=True, slots=True)
class Reading:
    """One value of a running dimension: where on the border, its words, and how deep inside the
    drawing its extension line starts (0 at the border)."""

    at: float
    text: str
    depth: float = 0.0
    bold: bool = False


def spread(places: Sequence[float], pitch: float, low: float, high: float) -> list[float]:
    """Places in rising order moved apart to the pitch, each as little as may be, within bounds.

    Places that touch move as one, about the mean of where they would be. There must be room.

    >>> spread([5, 6, 20.0], 4, 0, 30)
    [3.5, 7.5, 20.0]
    >>> spread([0.0, 0.0, 0.0], 2, 0.0, 30)
    [0.0, 2.0, 4.0]
    """
    runs: list[tuple[float, int]] = []  # start, count
    for place in places:
        start, count = max(place, low), 1
        while runs and runs[-1][0] + runs[-1][1] * pitch > start + 1e-9:
            before, many = runs.pop()
            # the mean of where all would start
            start = (before * many + (start - many * pitch) * count) / (many + count)
            count += many
            start = max(start, low)
        runs.append((start, count))
    found = [start + k * pitch for start, count in runs for k in range(count)]
    for k in range(len(found) - 1, -1, -1):
        found[k] = min(found[k], high - (len(found) - 1 - k) * pitch)
    for k in range(1, len(found)):
        found[k] = max(found[k], found[k - 1] + pitch)
    return [round(place, 9) for place in found]


@dataclass(frozen=True, slots=True)
class Running:
    """Running dimensions: extension lines, which may be broken for words, and all the rest."""

    extensions: tuple[Stroke, ...]
    marks: tuple[Mark, ...]


def running(
    border: Border, edge: float, origin: float, readings: Sequence[Reading], low: float, high: float
) -> Running:
    """Running dimensions outside one border of a drawing, as read on a tape hooked at `origin`.

    `edge` is the coordinate of the border, `readings` are in rising order of place, `low` and
    `high` bound the places of their values. Every value stands at the end of its extension line,
    which has an elbow where values would touch.
    """
    put = _outside(border, edge)
    places = spread([one.at for one in readings], PITCH, low, high)
    jog = max((abs(p - one.at) for p, one in zip(places, readings, strict=True)), default=0.0)
    step = 0.0 if jog < 0.02 else min(max(0.6 * jog, 2.0), 6.0)
    turn, end = LEVEL + PAST, LEVEL + PAST + step
    extensions: list[Stroke] = []
    marks: list[Mark] = []
    ends = [one.at for one in readings] + [origin]
    if max(ends) > min(ends):
        marks.append(_line(put(min(ends), LEVEL), put(max(ends), LEVEL)))
    for number, (one, place) in enumerate(zip(readings, places, strict=True)):
        extensions.append(_line(put(one.at, OFF - one.depth), put(one.at, turn)))
        if step:
            path = [put(one.at, turn), put(place, end), put(place, end + 0.5)]
            marks.append(Stroke(polyline(path), THIN))
        marks.append(_value(border, put(place, end + (1.3 if step else 0.8)), one))
        if abs(one.at - origin) < 1e-9:
            marks.append(Stroke(circle(put(origin, LEVEL), ORIGIN), THIN))
        else:
            marks.append(_head(put, readings, number, origin))
    return Running(tuple(extensions), tuple(marks))


def running_depth(readings: Sequence[Reading], low: float, high: float) -> float:
    """How far outside the border running dimensions reach."""
    if not readings:
        return 0.0
    places = spread([one.at for one in readings], PITCH, low, high)
    jog = max(abs(p - one.at) for p, one in zip(places, readings, strict=True))
    step = 0.0 if jog < 0.02 else min(max(0.6 * jog, 2.0), 6.0) + 0.5
    long = max(pdf.width(one.text, HEIGHT, one.bold) for one in readings)
    return LEVEL + PAST + step + 0.8 + long


def _outside(border: Border, edge: float) -> Callable[[float, float], Point]:
    """From (along the border, out from it) to the page."""
    if border == "below":
        return lambda along, out: (along, edge - out)
    if border == "above":
        return lambda along, out: (along, edge + out)
    if border == "left":
        return lambda along, out: (edge - out, along)
    return lambda along, out: (edge + out, along)


def _value(border: Border, at: Point, one: Reading) -> Words:
    down = (RISE - DROP) / 2 * HEIGHT
    anchor: Literal["left", "right"] = "right" if border in ("below", "left") else "left"
    if border in ("below", "above"):
        return Words(one.text, (at[0] + down, at[1]), HEIGHT, anchor, 90.0, one.bold)
    return Words(one.text, (at[0], at[1] - down), HEIGHT, anchor, 0.0, one.bold)


def _head(
    put: Callable[[float, float], Point], readings: Sequence[Reading], number: int, origin: float
) -> Stroke:
    """An arrowhead away from the origin, or a dot where the next value inward is too near."""
    here = readings[number].at
    inward = [o.at for o in readings if min(origin, here) - 1e-9 <= o.at <= max(origin, here) + 1e-9
              and abs(o.at - here) > 1e-9]  # fmt: skip
    room = min((abs(here - other) for other in inward), default=abs(here - origin))
    if min(room, abs(here - origin)) < ARROW + 0.6:
        return dot(put(here, LEVEL))
    way = 1.0 if here > origin else -1.0
    (x0, y0), (x1, y1) = put(here, LEVEL), put(here + way, LEVEL)
    return arrow((x0, y0), (x1 - x0, y1 - y0))


def between(
    start: Point, end: Point, out: Point, text: str, past_start: bool = False
) -> list[Mark]:
    """A plain dimension of the distance between two points, to the right or up from `start`.

    `out` is the vector from the points to the dimension's line, square to it. Where arrows find
    no room between the points they stand outside; where the value finds none, it stands past the
    end, or `past_start`.
    """
    size = hypot(*out)
    ux, uy = out[0] / size, out[1] / size
    a, b = _plus(start, (ux, uy), size), _plus(end, (ux, uy), size)
    span = hypot(b[0] - a[0], b[1] - a[1])
    along = ((b[0] - a[0]) / span, (b[1] - a[1]) / span)
    marks: list[Mark] = [
        _line(_plus(p, (ux, uy), OFF), _plus(p, (ux, uy), size + PAST)) for p in (start, end)
    ]
    long = pdf.width(text, HEIGHT)
    tight, beside = span < 2 * ARROW + 1.5, long + 1.0 > span
    tail = TAIL if tight else 0.0
    value = tail + long + 2.0 if beside else tail
    low, high = (value, tail) if past_start else (tail, value)
    marks.append(_line(_plus(a, along, -low), _plus(b, along, high)))
    way = -1.0 if tight else 1.0
    marks += [
        arrow(a, (-way * along[0], -way * along[1])),
        arrow(b, (way * along[0], way * along[1])),
    ]
    far = max(tail, 1.0) + long / 2 + 0.5
    place = span / 2 if not beside else -far if past_start else span + far
    x, y = _plus(a, along, place)
    rise = 0.6 + DROP * HEIGHT
    if along[1] > 0.5:
        marks.append(Words(text, (x - rise, y), HEIGHT, "middle", 90.0))
    else:
        marks.append(Words(text, (x, y + rise), HEIGHT, "middle"))
    return marks


def leader(
    tip: Point, middle: Point, size: Point, near: float,
    head: Callable[[Point, Point], Stroke] | None,
) -> list[Mark]:  # fmt: skip
    """A leader from the words' box (its middle and size) to the tip, or to the ring of radius
    `near` about it: a level shelf, then slanted; `head` draws what it ends in."""
    side = 1.0 if tip[0] >= middle[0] else -1.0
    hook = (middle[0] + side * (size[0] / 2 + 0.5), middle[1])
    elbow = (hook[0] + side * SHELF, hook[1])
    angle = atan2(elbow[1] - tip[1], elbow[0] - tip[0])
    end = (tip[0] + near * cos(angle), tip[1] + near * sin(angle))
    marks: list[Mark] = [Stroke(polyline([hook, elbow, end]), THIN)]
    if head is not None:
        marks.append(head(end, (-cos(angle), -sin(angle))))
    return marks


def _plus(p: Point, along: Point, by: float) -> Point:
    return (p[0] + by * along[0], p[1] + by * along[1])


def _line(start: Point, end: Point, pen: Pen = THIN) -> Stroke:
    return Stroke((Line(start, end),), pen)
