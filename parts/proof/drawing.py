"""A small DXF reader of our own: pairs of group code and value, and what the entities mean."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan, atan2, cos, hypot, pi, sin, tan, tau
from pathlib import Path
from typing import TypeAlias

Point: TypeAlias = tuple[float, float]
Pairs: TypeAlias = list[tuple[int, str]]


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight or round cut; `sweep` in radians, 0 where it is straight."""

    start: Point
    middle: Point
    end: Point
    center: Point
    radius: float
    sweep: float


@dataclass(frozen=True, slots=True)
class Contour:
    """A LWPOLYLINE, a POLYLINE with its VERTEX entities, or a CIRCLE, as `kind` says."""

    layer: str
    closed: bool
    strokes: tuple[Stroke, ...]
    whole_circle: bool
    kind: str = "LWPOLYLINE"
    colour: str = ""  # its own, by number; "" for that of its layer

    @property
    def area(self) -> float:
        """Area inside, never negative: corners by the shoelace rule, arcs by their segments."""
        total = 0.0
        for s in self.strokes:
            total += (s.start[0] * s.end[1] - s.end[0] * s.start[1]) / 2
            total += s.radius**2 * (s.sweep - sin(s.sweep)) / 2
        return abs(total)

    @property
    def middle(self) -> Point:
        """Mean of the stroke ends and middles: enough to tell contours apart."""
        points = [p for s in self.strokes for p in (s.start, s.middle)]
        return (sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points))


@dataclass(frozen=True, slots=True)
class Straight:
    """A LINE."""

    layer: str
    start: Point
    end: Point
    colour: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """A TEXT; %%d is read as the degree sign, and a letter's number as the letter."""

    layer: str
    text: str
    at: Point
    colour: str = ""


@dataclass(frozen=True, slots=True)
class Drawing:
    """All that a DXF file says; `others` lists entities of any further type as (type, layer).

    `layers` are those that the file sets up, each with the number of its colour.
    """

    header: dict[str, str]
    contours: tuple[Contour, ...]
    lines: tuple[Straight, ...]
    words: tuple[Words, ...]
    others: tuple[tuple[str, str], ...]
    layers: tuple[tuple[str, str], ...] = ()


def read_dxf(path: Path) -> Drawing:
    """Read a DXF file from disk. Raises ValueError where it is no whole DXF file."""
    pairs = _pairs(path.read_text(encoding="utf-8"))
    if not pairs or pairs[-1] != (0, "EOF"):
        raise ValueError("is no whole DXF file: it does not end with EOF")
    sections = dict(_sections(pairs))
    if "ENTITIES" not in sections or "HEADER" not in sections:
        raise ValueError("is no whole DXF file: it lacks its header or its entities")
    contours, lines, words, others = [], [], [], []
    for kind, entity in _joined(_entities(sections["ENTITIES"])):
        layer, colour = _text(entity, 8), _text(entity, 62)
        if kind in ("LWPOLYLINE", "POLYLINE"):
            contours.append(replace(_polyline(kind, layer, entity), colour=colour))
        elif kind == "CIRCLE":
            contours.append(replace(_circle(layer, entity), colour=colour))
        elif kind == "LINE":
            start = (_number(entity, 10), _number(entity, 20))
            end = (_number(entity, 11), _number(entity, 21))
            lines.append(Straight(layer, start, end, colour))
        elif kind == "TEXT":
            at = (_number(entity, 11), _number(entity, 21))
            words.append(Words(layer, _letters(_text(entity, 1)), at, colour))
        else:
            others.append((kind, layer))
    found = tuple((_text(e, 2), _text(e, 62)) for kind, e in _entities(sections.get("TABLES", []))
                  if kind == "LAYER")  # fmt: skip
    return Drawing(
        _header(sections["HEADER"]), tuple(contours), tuple(lines), tuple(words), tuple(others),
        found,
    )  # fmt: skip


def _letters(text: str) -> str:
    """Words as they are read: the format's own code for a degree, and for letters by number.

    >>> _letters("caf\\\\U+00E9 90%%d")
    'café 90°'
    """
    spelt = re.sub(r"\\U\+([0-9A-Fa-f]{4})", lambda found: chr(int(found[1], 16)), text)
    return spelt.replace("%%d", "°")


def _pairs(text: str) -> Pairs:
    lines = text.splitlines()
    if len(lines) % 2:
        raise ValueError("is no whole DXF file: a group code has no value")
    try:
        return [
            (int(code), value.strip()) for code, value in zip(lines[::2], lines[1::2], strict=True)
        ]
    except ValueError:
        raise ValueError("is no whole DXF file: a group code is no number") from None


def _sections(pairs: Pairs) -> Iterator[tuple[str, Pairs]]:
    start = None
    for i, pair in enumerate(pairs):
        if pair == (0, "SECTION"):
            start = i
        elif pair == (0, "ENDSEC") and start is not None:
            yield pairs[start + 1][1], pairs[start + 2 : i]
            start = None


def _header(pairs: Pairs) -> dict[str, str]:
    """Each variable with its first value."""
    found = {}
    for (code, name), (_, value) in pairwise(pairs):
        if code == 9:
            found[name] = value
    return found


def _entities(pairs: Pairs) -> Iterator[tuple[str, Pairs]]:
    starts = [i for i, (code, _) in enumerate(pairs) if code == 0]
    for start, end in zip(starts, [*starts[1:], len(pairs)], strict=True):
        yield pairs[start][1], pairs[start + 1 : end]


def _joined(entities: Iterator[tuple[str, Pairs]]) -> Iterator[tuple[str, Pairs]]:
    """Every POLYLINE with the corners and bulges of the VERTEX entities after it, as a LWPOLYLINE
    holds them; if their layers differ it is on "several layers"."""
    head: Pairs | None = None
    for kind, entity in entities:
        if head is None and kind == "POLYLINE":
            head = [(code, value) for code, value in entity if code in (8, 62, 70)]
        elif head is None:
            yield kind, entity
        elif kind == "VERTEX" and _text(entity, 8) == _text(head, 8):
            head += [(code, value) for code, value in entity if code in (10, 20, 42)]
        elif kind == "VERTEX":
            head.insert(0, (8, "several layers"))
        elif kind == "SEQEND":
            yield "POLYLINE", head
            head = None
        else:
            break
    if head is not None:
        raise ValueError("is no whole DXF file: a POLYLINE is not ended")


def _text(entity: Pairs, code: int) -> str:
    return next((value for found, value in entity if found == code), "")


def _number(entity: Pairs, code: int) -> float:
    return float(_text(entity, code) or "nan")


def _circle(layer: str, entity: Pairs) -> Contour:
    x, y, r = (_number(entity, code) for code in (10, 20, 40))
    right, left = (x + r, y), (x - r, y)
    halves = (
        Stroke(right, (x, y + r), left, (x, y), r, pi),
        Stroke(left, (x, y - r), right, (x, y), r, pi),
    )
    return Contour(layer, True, halves, whole_circle=True, kind="CIRCLE")


def _polyline(kind: str, layer: str, entity: Pairs) -> Contour:
    corners: list[list[float]] = []
    for code, value in entity:
        if code == 10:
            corners.append([float(value), 0.0, 0.0])
        elif code == 20 and corners:
            corners[-1][1] = float(value)
        elif code == 42 and corners:
            corners[-1][2] = float(value)
    closed = bool(int(_text(entity, 70) or "0") & 1)
    ends = corners[1:] + (corners[:1] if closed else [])
    strokes = tuple(
        stroke((a[0], a[1]), (b[0], b[1]), a[2]) for a, b in zip(corners, ends, strict=False)
    )
    return Contour(layer, closed, strokes, whole_circle=False, kind=kind)


def stroke(start: Point, end: Point, bulge: float) -> Stroke:
    """The stroke of a bulge, the tangent of a quarter of the sweep.

    >>> half = stroke((1, 0), (-1, 0), 1)
    >>> tuple(round(c, 9) for c in half.middle), round(half.radius, 9)
    ((0.0, 1.0), 1.0)
    """
    half_x, half_y = (end[0] - start[0]) / 2, (end[1] - start[1]) / 2
    x, y = start[0] + half_x, start[1] + half_y
    if bulge == 0:
        return Stroke(start, (x, y), end, (x, y), 0.0, 0.0)
    sweep = 4 * atan(bulge)
    # the middle of the arc stands off the chord by bulge times half the chord, to its right
    middle = (x + bulge * half_y, y - bulge * half_x)
    rise = 1 / tan(sweep / 2) if abs(abs(sweep) - pi) > 1e-12 else 0.0
    center = (x - rise * half_y, y + rise * half_x)
    return Stroke(
        start, middle, end, center, hypot(start[0] - center[0], start[1] - center[1]), sweep
    )


def inside(contours: tuple[Contour, ...], point: Point) -> bool:
    """Whether a point lies in the metal: the angles under which it sees the contours add up."""
    turns = 0
    for contour in contours:
        total = 0.0
        for s in contour.strokes:
            parts = 1 if s.sweep == 0 else 16
            at = [_along(s, i / parts) for i in range(parts + 1)]
            for p, q in pairwise(at):
                a = atan2(p[1] - point[1], p[0] - point[0])
                b = atan2(q[1] - point[1], q[0] - point[0])
                total += (b - a + pi) % tau - pi
        turns += abs(round(total / tau))
    return turns % 2 == 1


def _along(s: Stroke, fraction: float) -> Point:
    if s.sweep == 0:
        return (
            s.start[0] + fraction * (s.end[0] - s.start[0]),
            s.start[1] + fraction * (s.end[1] - s.start[1]),
        )
    angle = atan2(s.start[1] - s.center[1], s.start[0] - s.center[0]) + fraction * s.sweep
    return (s.center[0] + s.radius * cos(angle), s.center[1] + s.radius * sin(angle))


def gap(s: Stroke, point: Point) -> float:
    """Distance from a point to a stroke, mm."""
    if s.sweep == 0:
        dx, dy = s.end[0] - s.start[0], s.end[1] - s.start[1]
        square = dx * dx + dy * dy
        f = ((point[0] - s.start[0]) * dx + (point[1] - s.start[1]) * dy) / square if square else 0
        foot = _along(s, min(1.0, max(0.0, f)))
        return hypot(point[0] - foot[0], point[1] - foot[1])
    start = atan2(s.start[1] - s.center[1], s.start[0] - s.center[0])
    toward = atan2(point[1] - s.center[1], point[0] - s.center[0])
    way = 1 if s.sweep > 0 else -1
    if ((toward - start) * way) % tau <= abs(s.sweep):
        return abs(hypot(point[0] - s.center[0], point[1] - s.center[1]) - s.radius)
    return min(hypot(point[0] - p[0], point[1] - p[1]) for p in (s.start, s.end))
