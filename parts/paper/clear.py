"""Words that look for a place of their own: clear of every line and of all other words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from math import cos, inf, radians, sin, tau

import numpy as np
from numpy.typing import NDArray

from parts.paper import pdf
from parts.paper.dimensions import ARROW, SHELF, arrow, leader
from parts.paper.layout import DROP, RISE, chords, corners
from parts.paper.page import Mark, Stroke, Words
from parts.sheet.curve import Line, Point

Segments = NDArray[np.float64]  # (n, 4): x0, y0, x1, y1
Points = NDArray[np.float64]  # (n, 2)
Boxes = NDArray[np.float64]  # (n, 6): middle, unit reading direction, half the sides

CLEAR = 0.7  # mm left free round words
RINGS, BATCHES = 6, 9  # steps outward of one size, and how often they grow
STEP = 1.5  # mm, the first
WAYS = 24
FAR = 7  # after how many such batches words may leave the place they should stay in
OWN = 0.2  # mm between words and their own leader
SHORT = 2.5  # mm; words this near to what they name need no leader
SPACING = 0.3  # mm between the points that stand for a line
CELL = 0.4  # mm; words keep clear of every cell that such a point is in


@dataclass(slots=True)
class Ground:
    """What is drawn already: points along all lines and round all words, and the words' boxes."""

    points: Points = field(default_factory=lambda: np.empty((0, 2)))
    boxes: Boxes = field(default_factory=lambda: np.empty((0, 6)))

    def add(self, *marks: Mark) -> None:
        """Take these as drawn."""
        words = [mark for mark in marks if isinstance(mark, Words)]
        pieces = np.vstack([_pieces(marks), *map(_box_lines, words)])
        self.points = np.vstack([self.points, _along(pieces)])
        self.boxes = np.vstack([self.boxes, *map(_box, words)])

    def free(self, middles: Points, size: Point, angle_deg: float) -> NDArray[np.bool_]:
        """Which middles (n, 2) leave a box of that size, turned, clear of all that is drawn.

        The cells that hold a point are summed up along both axes, so that each box takes four
        look-ups.
        """
        turn = _turn(angle_deg)
        own, drawn = middles @ turn, self.points @ turn
        half = np.array([size[0] / 2 + CLEAR, size[1] / 2 + CLEAR])
        low, high = own.min(axis=0) - half, own.max(axis=0) + half
        near = drawn[np.all((drawn > low) & (drawn < high), axis=1)]
        wide, deep = (int(n) for n in np.ceil((high - low) / CELL) + 1)
        at = ((near - low) / CELL).astype(int)
        cells = np.bincount(at[:, 0] * deep + at[:, 1], minlength=wide * deep)
        sums = np.zeros((wide + 1, deep + 1), dtype=int)
        sums[1:, 1:] = cells.reshape(wide, deep).cumsum(axis=0).cumsum(axis=1)
        first = np.floor((own - half - low) / CELL + 1e-9).astype(int)
        last = np.minimum(np.ceil((own + half - low) / CELL).astype(int), (wide, deep))
        (x0, y0), (x1, y1) = first.T, last.T
        found = sums[x1, y1] - sums[x0, y1] - sums[x1, y0] + sums[x0, y0]
        return np.asarray(found == 0)

    def words_clear_of(self, marks: Sequence[Mark]) -> bool:
        """Whether the lines of a label run past all words drawn, and past its own."""
        pieces, own = _pieces(marks), [mark for mark in marks if isinstance(mark, Words)]
        return _past(pieces, self.boxes, CLEAR / 2) and _past(
            pieces, np.vstack(list(map(_box, own))), OWN
        )


def _past(pieces: Segments, boxes: Boxes, gap: float) -> bool:
    """Whether the straight pieces (n, 4) all run past the boxes, with a gap.

    A piece misses a box where the box's sides or the piece's own line part them.
    """
    middles, ways = boxes[:, None, :2], boxes[:, None, 2:4]
    half = boxes[:, None, 4:] + gap
    across = np.concatenate([-ways[..., 1:], ways[..., :1]], axis=-1)

    def local(ends: Points) -> Points:
        off = ends[None] - middles
        return np.stack([(off * ways).sum(axis=-1), (off * across).sum(axis=-1)], axis=-1)

    a, b = local(pieces[:, :2]), local(pieces[:, 2:])
    d = b - a
    parted = np.any((np.minimum(a, b) >= half) | (np.maximum(a, b) <= -half), axis=-1)
    cross = np.abs(a[..., 0] * d[..., 1] - a[..., 1] * d[..., 0])
    parted |= cross >= half[..., 0] * np.abs(d[..., 1]) + half[..., 1] * np.abs(d[..., 0])
    return bool(np.all(parted))


def broken(strokes: Iterable[Stroke], words: Iterable[Words]) -> Iterator[Stroke]:
    """Straight strokes with gaps where words stand on them."""
    boxes = np.vstack([np.empty((0, 6)), *map(_box, words)])
    for stroke in strokes:
        for line in stroke.curves:
            for low, high in _gaps_left(line.start, line.end, boxes):
                piece = Line(line.start, line.end).between(low, high)
                yield Stroke((piece,), stroke.pen)


def _gaps_left(start: Point, end: Point, boxes: Boxes) -> Iterator[tuple[float, float]]:
    """The shares of a straight line that are left outside the boxes."""
    a, d = np.array(start), np.array(end) - np.array(start)
    cut: list[tuple[float, float]] = []
    for x, y, c, s, *half in boxes:
        first, last = 0.0, 1.0
        for (ux, uy), reach in (((c, s), half[0] + CLEAR), ((-s, c), half[1] + CLEAR)):
            at, rate = (a[0] - x) * ux + (a[1] - y) * uy, d[0] * ux + d[1] * uy
            if abs(rate) < 1e-9:
                if abs(at) >= reach:
                    last = -1.0
                continue
            enter, leave = sorted(((-reach - at) / rate, (reach - at) / rate))
            first, last = max(first, enter), min(last, leave)
        if last > first:
            cut.append((first, last))
    begin = 0.0
    for first, last in [*sorted(cut), (1.0, 1.0)]:
        if (first - begin) * float(np.hypot(*d)) > CLEAR:
            yield begin, first
        begin = max(begin, last)


def beside_line(
    ground: Ground, text: str, height: float, middles: Sequence[Point], angle_deg: float,
    bold: bool = False,
) -> list[Mark] | None:  # fmt: skip
    """Words along a line of the drawing, just off it, at the first of the middles of it where
    there is room; None where there is none."""
    size = _size(text, height, bold)
    off = size[1] / 2 + CLEAR + 0.2
    slant = radians(angle_deg)
    for way in (1.0, -1.0):
        shift = np.array([-way * off * sin(slant), way * off * cos(slant)])
        places = np.array(middles).reshape(-1, 2) + shift
        for (x, y), is_free in zip(places, ground.free(places, size, angle_deg), strict=True):
            if is_free:
                return [_centred(text, (float(x), float(y)), height, angle_deg, bold)]
    return None


def pointed(
    ground: Ground,
    text: str,
    height: float,
    tips: Sequence[Point],
    bold: bool = False,
    near: float = 0.0,
    needs_leader: bool = False,
    within: tuple[float, float] = (-inf, inf),
    most: float = inf,
) -> list[Mark] | None:
    """Words as near as they find room to one of the tips, with a leader unless they are close by.

    `near` is how far from the tip what it names reaches (the radius of a hole); `needs_leader`
    points an arrow at the very tip. The words stay within two places across, as long as there is
    any room, and no farther than `most` from what they name; None where there is no such place.
    """
    size = _size(text, height, bold)
    first = near + (ARROW + SHELF if needs_leader else 0.0)
    for batch, (out, places, owners) in enumerate(_rings(tips, size, first)):
        if out - near > most:
            break
        free = ground.free(places, size, 0.0)
        if batch < FAR:
            free &= places[:, 0] - size[0] / 2 > within[0]
            free &= places[:, 0] + size[0] / 2 < within[1]
        for k in np.flatnonzero(free):
            middle, tip = (float(places[k, 0]), float(places[k, 1])), tips[owners[k]]
            marks = _labelled(text, middle, size, tip, near, height, bold, needs_leader)
            if ground.words_clear_of(marks):
                return marks
    return None


def radial(
    ground: Ground, text: str, height: float, tips: Sequence[tuple[Point, Point]],
    within: tuple[float, float], most: float,
) -> list[Mark] | None:  # fmt: skip
    """A radius at the first place free for it, or None: its leader runs along the radius at one of
    the points of the arc, given with the unit direction to the centre. The words stay within two
    places across, and the elbow no farther than `most` from the arc."""
    size = _size(text, height, False)
    reach = SHELF + 0.5 + size[0] / 2
    for out in np.arange(ARROW + 1.0, most, STEP):
        for tip, inward in tips:
            for way in (-1.0, 1.0):
                dx, dy = way * inward[0], way * inward[1]
                for side in (1.0,) if dx > 0.2 else (-1.0,) if dx < -0.2 else (1.0, -1.0):
                    middle = (tip[0] + out * dx + side * reach, tip[1] + out * dy)
                    inside = within[0] < middle[0] - size[0] / 2 < within[1] - size[0]
                    if not inside or not ground.free(np.array([middle]), size, 0.0)[0]:
                        continue
                    words = _centred(text, middle, height, 0.0, False)
                    marks = [*leader(tip, middle, size, 0.0, arrow), words]
                    if ground.words_clear_of(marks):
                        return marks
    return None


def _pieces(marks: Iterable[Mark]) -> Segments:
    drawn = [chord for m in marks if isinstance(m, Stroke) for chord in chords(m.curves)]
    return np.array(drawn).reshape(-1, 4)


def _rings(
    tips: Sequence[Point], size: Point, near: float
) -> Iterator[tuple[float, Points, NDArray[np.int_]]]:
    """Middles of words round the tips, the nearest first, a few rings at a time: how far out the
    first of them is, the middles, and the number of the tip that each is about."""
    angles = np.arange(WAYS) * tau / WAYS + tau / 8
    ways = np.column_stack([np.cos(angles), np.sin(angles)])
    # a box touches a ring of that radius when its middle lies this far out along each way
    reach = np.abs(ways) @ np.array([size[0] / 2, size[1] / 2]) + CLEAR + 0.3
    out, step = near, STEP
    for _ in range(BATCHES):
        rings = out + step * np.arange(RINGS)
        far = rings[:, None, None] + reach  # (rings, 1, ways)
        places = np.array(tips)[:, None, :] + (far[..., None] * ways)
        owners = np.broadcast_to(np.arange(len(tips))[None, :, None], places.shape[:3])
        yield out, places.reshape(-1, 2), owners.reshape(-1)
        out, step = out + step * RINGS, step * 1.3


def _labelled(
    text: str, middle: Point, size: Point, tip: Point, near: float, height: float, bold: bool,
    needs_leader: bool,
) -> list[Mark]:  # fmt: skip
    words = _centred(text, middle, height, 0.0, bold)
    dx, dy = (
        max(abs(middle[0] - tip[0]) - size[0] / 2, 0.0),
        max(abs(middle[1] - tip[1]) - size[1] / 2, 0.0),
    )
    if not needs_leader and (dx * dx + dy * dy) ** 0.5 <= near + SHORT:
        return [words]
    return [*leader(tip, middle, size, near, arrow if needs_leader else None), words]


def _size(text: str, height: float, bold: bool) -> Point:
    return (pdf.width(text, height, bold), (RISE + DROP) * height)


def _centred(text: str, middle: Point, height: float, angle_deg: float, bold: bool) -> Words:
    """Words whose box has its middle there."""
    down, slant = (RISE - DROP) / 2 * height, radians(angle_deg)
    at = (middle[0] + down * sin(slant), middle[1] - down * cos(slant))
    return Words(text, at, height, "middle", angle_deg, bold)


def _box_lines(words: Words) -> Segments:
    """The sides of the words' box and its diagonals (6, 4)."""
    a, b, c, d = corners(words)
    return np.array([(*p, *q) for p, q in ((a, b), (b, c), (c, d), (d, a), (a, c), (b, d))])


def _box(words: Words) -> Boxes:
    """The words' box as its middle, reading direction and half its sides (1, 6)."""
    low, _, high, _ = corners(words)
    angle = radians(words.angle_deg)
    long = pdf.width(words.text, words.height, words.bold)
    half = (long / 2, (RISE + DROP) * words.height / 2)
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    return np.array([[*middle, cos(angle), sin(angle), *half]])


def _along(pieces: Segments) -> Points:
    """Points (n, 2) along straight pieces, both ends included."""
    starts, ways = pieces[:, :2], pieces[:, 2:] - pieces[:, :2]
    counts = np.ceil(np.hypot(*ways.T) / SPACING).astype(int) + 1
    owners = np.repeat(np.arange(len(pieces)), counts)
    places = np.arange(len(owners)) - np.repeat(counts.cumsum() - counts, counts)
    shares = places / np.maximum(counts - 1, 1)[owners]
    return np.asarray(starts[owners] + shares[:, None] * ways[owners])


def _turn(angle_deg: float) -> NDArray[np.float64]:
    """What carries a row from the page's axes into those of the words (2, 2)."""
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    return np.array([[c, -s], [s, c]])
