"""A sketch as a small page: numbers beside its shapes, letters beside its points, and their key.

The names themselves stand in the key, so that the picture stays clear however many there are.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, cos, hypot, inf, radians, sin
from string import ascii_uppercase

import numpy as np
from numpy.typing import NDArray

from parts.paper.page import HAIR, HIDDEN, NARROW, Mark, Page, Pen, Stroke, Window, scaled
from parts.part import Sketch
from parts.sheet.curve import Box, Curve, Line, Point
from parts.sheet.loop import box
from parts.writers.job_sheet.picturing import balloon, bar

WIDE, HIGH, LOW = 140.0, 110.0, 80.0  # a page's width, and the most that it is high
MARGIN = 7.0  # round the drawing, for numbers that find no room in it
FOOT = MARGIN + 6.0
RIM = 1.0  # of a line's width that shows past the frame
ROUND = 0.12  # room round the points of a close-up, as a share of their extent
SMALL = 2.0  # how many times larger a close-up must be to be worth a page
ENLARGED = Pen(0.18, (1.0, 1.0))
LETTERS = 2.6
BALLOON = 5.0  # diameter
AWAY = (4.0, 6.0, 8.5, 12.0, 17.0)  # from a shape to the middle of its number
TRIES = 13  # places along each curve
LONGEST = 4  # curves of a shape that are tried
TURNS_DEG = (45, 135, 225, 315, 0, 90, 180, 270)
CROSS = 1.6
LETTER = 3.4  # what a letter by itself takes
GAP = 0.4  # left clear round a mark
WORSE = 1e3  # mm of room that a mark over another is worse than one over a line
AT_ONCE = 48  # places looked at before the next
STEP = 1.0  # mm between the points that stand for a line
ROLES = {
    "metal": Pen(0.5),
    "fixed": Pen(0.9, grey=0.45),
    "path": HIDDEN,
    "room": Pen(0.25, (0.3, 0.9)),
}
SAID = {
    "metal": "the part",
    "fixed": "stays on the vehicle",
    "path": "where it moves",
    "room": "border of what is allowed",
}

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A sketch on paper: the whole of it, and, where that leaves the places it names too small to
    be read, a second page of what is round them. The key of both has a number or letter, the
    name, and what sort of thing it is."""

    pages: tuple[Page, ...]
    key: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class _Frame:
    """What of a sketch shows on a page: its box, and where that goes."""

    around: Box
    scale: float
    shift: Point

    @staticmethod
    def of(around: Box, high: float) -> _Frame:
        x0, y0, x1, y1 = around
        scale = min((WIDE - 2 * MARGIN) / (x1 - x0), (high - MARGIN - FOOT) / (y1 - y0))
        return _Frame(
            around, scale, ((WIDE - (x1 - x0) * scale) / 2 - x0 * scale, FOOT - y0 * scale)
        )

    def at(self, point: Point) -> Point:
        """Where a point of the sketch lies on the page."""
        return (self.scale * point[0] + self.shift[0], self.scale * point[1] + self.shift[1])

    @property
    def corners(self) -> tuple[Point, Point]:
        """The box's lower left and upper right corner on the page."""
        return self.at(self.around[:2]), self.at(self.around[2:])

    def holds(self, at: Point) -> bool:
        """Whether a place of the page lies in the box."""
        (x0, y0), (x1, y1) = self.corners
        return x0 - 1e-6 <= at[0] <= x1 + 1e-6 and y0 - 1e-6 <= at[1] <= y1 + 1e-6


def drawn(sketch: Sketch) -> Drawn:
    """The sketch on one page, or on two, with a bar on each that tells its scale."""
    whole = _grown(box(curve for shape in sketch.shapes for curve in shape.curves), sketch.points)
    close = _close_up(whole, sketch.points)
    letters = [(_letters(k), name, "point") for k, (name, _) in enumerate(sketch.points)]
    numbers = [
        (str(k), shape.name, SAID[shape.role]) for k, shape in enumerate(sketch.shapes, start=1)
    ]
    every = range(len(sketch.shapes))
    if close is None:
        pages: tuple[Page, ...] = (_page(sketch, _Frame.of(whole, HIGH), every, True, None),)
    else:
        within = [k for k in every if _inside(box(sketch.shapes[k].curves), close)]
        large = [k for k in every if k not in within]
        pages = (
            _page(sketch, _Frame.of(whole, LOW), large, False, close),
            _page(sketch, _Frame.of(close, HIGH), every, True, None),
        )
    return Drawn(pages, (*letters, *numbers))


def _grown(around: Box, points: Iterable[tuple[str, Point]]) -> Box:
    """A box that holds the points as well, and is nowhere without size."""
    places = [at for _, at in points]
    x0, y0 = (min([around[k], *(at[k] for at in places)]) for k in (0, 1))
    x1, y1 = (max([around[k + 2], *(at[k] for at in places)]) for k in (0, 1))
    return (x0, y0, max(x1, x0 + 1e-6), max(y1, y0 + 1e-6))


def _close_up(whole: Box, points: Sequence[tuple[str, Point]]) -> Box | None:
    """The box round the points with some room, where it is much smaller than the whole."""
    if len(points) < 2:
        return None
    x0, y0, x1, y1 = _grown((*points[0][1], *points[0][1]), points)
    room = ROUND * max(x1 - x0, y1 - y0)
    near = (x0 - room, y0 - room, x1 + room, y1 + room)
    gain = min((whole[2] - whole[0]) / (near[2] - near[0]),
               (whole[3] - whole[1]) / (near[3] - near[1]))  # fmt: skip
    return near if gain > SMALL else None


def _inside(one: Box, other: Box) -> bool:
    return (one[0] >= other[0] and one[1] >= other[1]) and (
        one[2] <= other[2] and one[3] <= other[3]
    )


def _page(
    sketch: Sketch, frame: _Frame, numbered: Iterable[int], lettered: bool, enlarged: Box | None
) -> Page:
    """What a frame shows, with numbers at those shapes and letters at the points."""
    low, high = frame.corners
    page = Page(WIDE, high[1] + MARGIN)
    placed = [scaled(shape.curves, frame.scale, frame.shift) for shape in sketch.shapes]
    points = [frame.at(at) for _, at in sketch.points]
    marks: list[Mark] = [
        Stroke(run, ROLES[shape.role], shape.closed)
        for shape, run in zip(sketch.shapes, placed, strict=True)
    ]
    for x, y in points if lettered else ():
        marks.append(Stroke((Line((x - CROSS, y), (x + CROSS, y)),), NARROW))
        marks.append(Stroke((Line((x, y - CROSS), (x, y + CROSS)),), NARROW))
    rim = (low[0] - RIM, low[1] - RIM), (high[0] + RIM, high[1] + RIM)
    page.add(Window(*rim, rim[0], (1.0, 1.0), tuple(marks)))
    if enlarged is not None:
        page.box(frame.at(enlarged[:2]), frame.at(enlarged[2:]), ENLARGED)
    clear = [spot for run in placed for spot in _spots(run)]
    clear += [(x + dx, y + dy) for x, y in points for dx, dy in ((0, 0), (CROSS, 0), (0, CROSS))]
    clear = [spot for spot in clear if frame.holds(spot)]
    taken: list[Point] = []
    for number, at in enumerate(points if lettered else ()):
        middle = _free([(at, spot) for spot in _around(at)], clear, taken, page, LETTER)[1]
        words = _letters(number)
        if hypot(middle[0] - at[0], middle[1] - at[1]) > LETTER:
            page.line(at, _toward(middle, at, LETTER / 2), HAIR)
        page.words(words, (middle[0], middle[1] - LETTERS / 2), LETTERS, "middle", bold=True)
        taken.append(middle)
    for number in numbered:
        ways = list(_beside(placed[number], frame))
        if ways:
            start, middle = _free(ways, clear, taken, page)
            _number(page, str(number + 1), start, middle)
            taken.append(middle)
    bar(page, (MARGIN, 3.0), frame.scale)
    return page


def _number(page: Page, words: str, start: Point, middle: Point) -> None:
    page.line(start, _toward(middle, start, BALLOON / 2), NARROW)
    balloon(page, words, middle, BALLOON)


def _toward(start: Point, end: Point, far: float) -> Point:
    """The point that lies `far` from the start on the way to the end.

    >>> _toward((0, 0), (3, 4), 10)
    (6.0, 8.0)
    """
    share = far / hypot(end[0] - start[0], end[1] - start[1])
    return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))


def _free(
    ways: Sequence[tuple[Point, Point]],
    clear: Sequence[Point],
    taken: Sequence[Point],
    page: Page,
    size: float = BALLOON,
) -> tuple[Point, Point]:
    """The first way from a start to a middle round which a mark of that size is clear of lines
    and of other marks; where there is none, the way whose middle lies clearest."""
    best, most = ways[0], -inf
    for k in range(0, len(ways), AT_ONCE):
        some = ways[k : k + AT_ONCE]
        middles = np.array([middle for _, middle in some])
        others = _distance(middles, taken) - (size + BALLOON) / 2
        room = np.minimum(_distance(middles, clear) - size / 2, others)
        room = np.where(others < GAP, room - WORSE, room)  # a line through a number can be read
        border = np.minimum(middles, (page.width, page.height) - middles).min(axis=1) - size / 2
        room = np.where(border < 0, room - 2 * WORSE, room - GAP)
        enough = np.flatnonzero(room >= 0)
        if len(enough):
            return some[int(enough[0])]
        if room.max() > most:
            best, most = some[int(np.argmax(room))], float(room.max())
    return best


def _distance(from_points: Points, to: Sequence[Point]) -> Points:
    """How far each point (n, 2) is from the nearest of the others (n,)."""
    if not to:
        return np.full(len(from_points), np.inf)
    others = np.array(to)
    apart = from_points[:, None, :] - others[None, :, :]
    return np.asarray(np.sqrt((apart**2).sum(axis=2)).min(axis=1))


def _around(at: Point) -> Iterator[Point]:
    for away in AWAY:
        for turn_deg in TURNS_DEG:
            turn = radians(turn_deg)
            yield (at[0] + 0.75 * away * cos(turn), at[1] + 0.75 * away * sin(turn))


def _beside(run: tuple[Curve, ...], frame: _Frame) -> Iterator[tuple[Point, Point]]:
    """Ways from places along a run, in the frame, to points beside it, the nearest to it first."""
    longest = sorted(run, key=lambda curve: -curve.length)[:LONGEST]
    shares = [(curve, _shares(curve, frame)) for curve in longest]
    for away in AWAY:
        for curve, some in shares:
            for share in some:
                x, y = curve.at(share)
                dx, dy = curve.tangent(share)
                for way in (1.0, -1.0):
                    yield (x, y), (x - way * away * dy, y + way * away * dx)


def _shares(curve: Curve, frame: _Frame) -> list[float]:
    """Where along a curve its number may be, the middle of what the frame shows of it first."""
    count = max(TRIES, ceil(curve.length / STEP))
    inside = [k / count for k in range(1, count) if frame.holds(curve.at(k / count))]
    middle, every = (len(inside) - 1) / 2, max(1, len(inside) // TRIES)
    return sorted(inside[::every], key=lambda share: abs(inside.index(share) - middle))


def _spots(run: Iterable[Curve]) -> Iterator[Point]:
    for curve in run:
        count = max(1, ceil(curve.length / STEP))
        yield from (curve.at(k / count) for k in range(count + 1))


def _letters(number: int) -> str:
    """A, B, ... Z, AA, AB, ...

    >>> _letters(0), _letters(25), _letters(26)
    ('A', 'Z', 'AA')
    """
    first, last = divmod(number, len(ascii_uppercase))
    return (_letters(first - 1) if first else "") + ascii_uppercase[last]
