"""The paper of the sheets to buy, read back: every blank there, inside its sheet, gaps kept.

The sheets are found by their size and scale, the blanks by what is drawn in them; distances are
taken between the drawn lines.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import cos, hypot, radians, sin
from pathlib import Path as FilePath

import numpy as np

from parts.nesting.model import Nest, Placed, Wanted
from parts.proof.ledger import Ledger
from parts.proof.pdf import Points, Sheet, sheets_of
from parts.proof.templates import distances
from parts.sheet.curve import Arc
from parts.sheet.grain import grain_of
from parts.sheet.loop import Loop, area, length
from parts.whole import WholeJob

PAPER = 2e-3  # mm on paper by which a frame or a box may be off
REAL = 0.05  # mm on the sheet by which a corner, a gap or a margin may be off
ALIKE = 1e-5  # share by which a length may be off: curves are read as chords
EDGE = 0.01  # mm by which the whole edge may lie off, on the sheet
DEGREES = 1e-3
AT_ONCE = 400  # points held against lines at a time
CORNERS = 60  # of an outline that are looked for


@dataclass(frozen=True, eq=False)
class Frame:
    """A sheet as it is drawn: its number in its nest, and the closed paths inside, in mm of the
    sheet from its lower left corner."""

    nest: int
    number: int
    paths: list[Path]


@dataclass(frozen=True, eq=False)
class Path:
    """A closed path, the corners of its box, its length and its area."""

    points: Points
    low: Points
    high: Points
    run: float
    area: float

    @classmethod
    def of(cls, points: Points) -> Path:
        x, y = points.T
        area = float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)
        run = float(np.hypot(*np.diff(points, axis=0).T).sum())
        return cls(points, points.min(axis=0), points.max(axis=0), run, area)


def check_nesting(path: FilePath, whole: WholeJob, ledger: Ledger) -> None:
    """Hold the drawn sheets against the nests of the job, and both against its pieces."""
    pages = sheets_of(path, ledger)
    if not pages:
        return
    text = _plain(" ".join(page.text for page in pages))
    ledger.same("whose paper it is", True, _plain(whole.stem_of("nesting")) in text)
    frames = list(_frames(pages, whole.nests))
    expected = [(n, k) for n, nest in enumerate(whole.nests) for k in range(len(nest.sheets))]
    found = [(frame.nest, frame.number) for frame in frames]
    if not ledger.same("sheets drawn", expected, found):
        return
    for number, nest in enumerate(whole.nests):
        ours = [frame for frame in frames if frame.nest == number]
        _check_words(nest, ours, text, ledger)
        for frame in ours:
            _check_sheet(nest, frame, ledger)
    _check_count(whole, ledger)


def _plain(words: str) -> str:
    """Letters, digits and points alone: how a line is broken does not count."""
    return re.sub(r"[^a-z0-9.×]+", "", words.casefold())


def _frames(pages: Sequence[Sheet], nests: Sequence[Nest]) -> Iterator[Frame]:
    """The sheets in the order they are drawn, which is that of the nests."""
    waiting = [(n, k, sheet.size) for n, nest in enumerate(nests)
               for k, sheet in enumerate(nest.sheets)]  # fmt: skip
    for page in pages:
        scales = [int(a) / int(b) for a, b in re.findall(r"\b(\d+) ?: ?(\d+)\b", page.text)]
        drawn = [_tidy(one.on_page) for one in page.drawn if len(one.on_page) > 3]
        for points in drawn:
            if not waiting or len(points) != 5:
                continue
            n, k, size = waiting[0]
            low, high = points.min(axis=0), points.max(axis=0)
            for scale in scales:
                if np.abs(high - low - scale * np.array(size)).max() < PAPER:
                    waiting.pop(0)
                    inside = [
                        Path.of((other - low) / scale)
                        for other in drawn
                        if other is not points
                        and (other > low - PAPER).all()
                        and (other < high + PAPER).all()
                    ]
                    yield Frame(n, k, inside)
                    break


def _tidy(path: Points) -> Points:
    """The path without points that repeat the one before."""
    moved = np.abs(np.diff(path, axis=0)).max(axis=1) > 1e-9
    return np.asarray(path[np.concatenate([[True], moved])])


def _check_words(nest: Nest, frames: Sequence[Frame], text: str, ledger: Ledger) -> None:
    """How many sheets of which size the paper says to buy, and the gap and margin it tells."""
    sizes = Counter(nest.sheets[frame.number].size for frame in frames)
    said = [f"{count} {'sheet' if count == 1 else 'sheets'} of {size[0]:g} × {size[1]:g} mm"
            for size, count in sizes.items()]  # fmt: skip
    rules = nest.rules
    said += [f"Gap between blanks {rules.gap.value:g} mm", f"{rules.margin.value:g} mm"]
    said += [f"Not placed, for it fits no sheet: {count} of no. {number + 1}"
             for number, count in nest.left_over]  # fmt: skip
    for words in said:
        ledger.same("words on the paper", words, words if _plain(words) in text else "")


def _check_sheet(nest: Nest, frame: Frame, ledger: Ledger) -> None:
    sheet = nest.sheets[frame.number]
    left = list(frame.paths)
    outlines: list[Path] = []
    for placed in sheet.placed:
        wanted = nest.wanted[placed.number]
        where = f"no. {placed.number + 1} on sheet {frame.number + 1} of {nest.material}"
        _check_grain(wanted, placed, where, ledger)
        for loop in (wanted.outline, *wanted.openings):
            found = next((k for k, p in enumerate(left) if _same(p, loop, placed)), None)
            if not ledger.same("outlines and openings drawn", True, found is not None, where):
                continue
            assert found is not None
            path = left.pop(found)
            if loop is wanted.outline:
                outlines.append(path)
    _check_apart(nest, frame.number, outlines, ledger)


def _check_grain(wanted: Wanted, placed: Placed, where: str, ledger: Ledger) -> None:
    if wanted.grain_deg is None:
        return
    off = (wanted.grain_deg + placed.turn_deg + 90) % 180 - 90
    ledger.near("grain along the sheet", 0.0, off, DEGREES, "degrees off", f"grain of {where}")


def _same(path: Path, loop: Loop, placed: Placed) -> bool:
    """Whether a drawn path is that loop as it is said to lie: in size, in length, and corner for
    corner."""
    metal, edge = abs(area(loop)), length(loop)
    if abs(path.run - edge) > ALIKE * edge + REAL or abs(path.area - metal) > edge * EDGE:
        return False
    corners = _put(np.array([curve.start for curve in loop]), placed)
    if _box_off(path, corners, loop):
        return False
    step = max(1, len(corners) // CORNERS)
    gaps = np.hypot(*(corners[::step, None, :] - path.points[None, :, :]).transpose(2, 0, 1))
    return bool(gaps.min(axis=1).max() < REAL)


def _box_off(path: Path, corners: Points, loop: Loop) -> bool:
    """Whether the corners reach beyond the path, or a path of straight sides beyond them."""
    low, high = corners.min(axis=0), corners.max(axis=0)
    over = max((path.low - low).max(), (high - path.high).max())
    straight = not any(isinstance(curve, Arc) for curve in loop)
    back = max((low - path.low).max(), (path.high - high).max())
    return bool(over > REAL or (straight and back > REAL))


def _put(points: Points, placed: Placed) -> Points:
    c, s = cos(radians(placed.turn_deg)), sin(radians(placed.turn_deg))
    return np.asarray(points @ np.array([[c, s], [-s, c]]) + np.array(placed.shift))


def _check_apart(nest: Nest, number: int, outlines: Sequence[Path], ledger: Ledger) -> None:
    """Margins and gaps between the drawn outlines."""
    gap, margin, size = nest.rules.gap.value, nest.rules.margin.value, nest.sheets[number].size
    for one in outlines:
        short = float(max((margin - one.low).max(), (one.high + margin - size).max(), 0.0))
        what = f"margin on sheet {number + 1} of {nest.material}"
        ledger.near("margins", 0.0, short, REAL, "mm short", what)
    for a, b in combinations(outlines, 2):
        apart = hypot(*np.maximum(0.0, np.maximum(a.low - b.high, b.low - a.high)))
        if apart < gap - REAL:
            apart = _distance(a.points, b.points, gap)
        short = max(0.0, gap - apart)
        what = f"gap on sheet {number + 1} of {nest.material}"
        ledger.near("gaps", 0.0, short, REAL, "mm short", what)


def _distance(a: Points, b: Points, within: float) -> float:
    """Least distance of two outlines, 0 where they cross or one lies in the other; taken as
    `within` where it is no less."""
    if _inside(a[0], b) or _inside(b[0], a) or _cross(a, b):
        return 0.0
    return min(_to_lines(a, b, within), _to_lines(b, a, within))


def _to_lines(points: Points, path: Points, within: float) -> float:
    low, high = path.min(axis=0) - within, path.max(axis=0) + within
    near = points[((points > low) & (points < high)).all(axis=1)]
    starts, ends = path[:-1], path[1:]
    low, high = points.min(axis=0) - within, points.max(axis=0) + within
    there = ((np.maximum(starts, ends) > low) & (np.minimum(starts, ends) < high)).all(axis=1)
    starts, ends = starts[there], ends[there]
    best = within
    if len(starts):
        for k in range(0, len(near), AT_ONCE):
            best = min(best, float(distances(near[k : k + AT_ONCE], starts, ends).min()))
    return best


def _inside(point: Points, path: Points) -> bool:
    """Whether a point lies inside a closed path, by the lines a ray from it crosses."""
    (x, y), (x0, y0), (x1, y1) = point, path[:-1].T, path[1:].T
    over = (y0 > y) != (y1 > y)
    rise = np.where(over, y1 - y0, 1.0)
    return bool((over & (x0 + (x1 - x0) * (y - y0) / rise > x)).sum() % 2)


def _cross(a: Points, b: Points) -> bool:
    """Whether any two lines of the paths cross."""
    starts, ends = b[:-1], b[1:]
    low, high = a.min(axis=0), a.max(axis=0)
    near = ((np.maximum(starts, ends) >= low) & (np.minimum(starts, ends) <= high)).all(axis=1)
    starts, ends = starts[near], ends[near]
    for k in range(0, len(a) - 1, AT_ONCE):
        p, q = a[k : k + AT_ONCE], a[k + 1 : k + AT_ONCE + 1]
        p = p[: len(q), None, :]
        one = _side(p, q[:, None, :], starts) * _side(p, q[:, None, :], ends)
        two = _side(starts, ends, p) * _side(starts, ends, q[:, None, :])
        if bool(((one < 0) & (two < 0)).any()):
            return True
    return False


def _side(start: Points, end: Points, point: Points) -> Points:
    way, to = end - start, point - start
    return np.asarray(way[..., 0] * to[..., 1] - way[..., 1] * to[..., 0])


def _check_count(whole: WholeJob, ledger: Ledger) -> None:
    """Every piece of the job as often as it is wanted, laid once each or told as not placed."""
    wanted = {
        (part.name, piece.name, piece.hand): piece.quantity
        for part in whole.parts
        for piece in part.pieces
    }
    for part in whole.parts:
        for piece in part.pieces:
            name = (part.name, piece.name, piece.hand)
            nest = next(n for n in whole.nests if name in map(_name, n.wanted))
            number = [_name(one) for one in nest.wanted].index(name)
            laid = [p.copy for sheet in nest.sheets for p in sheet.placed if p.number == number]
            over = dict(nest.left_over).get(number, 0)
            ledger.same("copies laid once", len(laid), len(set(laid)), f"copies of {name}")
            ledger.same("copies wanted", wanted[name], len(laid) + over, f"copies of {name}")
            grain = grain_of(piece.folded, piece.stock.material)
            kept = nest.wanted[number].grain_deg
            ledger.same("grain asked for", grain is None, kept is None, f"grain of {name}")


def _name(one: Wanted) -> tuple[str, str, str]:
    return (one.part, one.piece, one.hand)
