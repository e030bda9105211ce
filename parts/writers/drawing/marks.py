"""What a person marks out on a blank, in the blank's own mm: holes, bends, corners, centres."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import IntEnum

from parts.paper.dimensions import text_of
from parts.part import Piece
from parts.sheet import loop as loops
from parts.sheet.bend_lines import bend_lines
from parts.sheet.bend_side import is_rolled
from parts.sheet.blank import Cutout
from parts.sheet.curve import Arc, Box, Curve, Line, Point
from parts.sheet.fold import tangent_sides
from parts.sheet.loop import slot_size
from parts.writers.drawing.edges import Datum, Outline, datum, outline

SQUARE = 1e-4  # how far a bend line may lean, mm per mm, and still be read on one tape only


class Kind(IntEnum):
    """What is marked out; where there is no room for all readings, the last go first."""

    SIZE = 0
    BEND = 1
    CORNER = 2
    CENTRE = 3
    HOLE = 4


@dataclass(frozen=True, slots=True)
class Spot:
    """A point (or the ends of a line) to be read along x, along y, or both.

    `reach` is how far what is there reaches from it, mm: the radius of a hole.
    """

    kind: Kind
    points: tuple[Point, ...]
    along_x: bool = True
    along_y: bool = True
    reach: float = 0.0


@dataclass(frozen=True, slots=True)
class Opening:
    """A cut-out as the hole table names it; `middle` is what is read."""

    name: str
    what: str
    size: str
    middle: Point
    reach: float
    loop: tuple[Curve, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """All that is read on a blank, and from which edges."""

    box: Box
    x: Datum
    y: Datum
    spots: tuple[Spot, ...]
    openings: tuple[Opening, ...]
    outlines: tuple[Outline, ...]


def layout(piece: Piece) -> Layout:
    """What to mark out of a piece's blank."""
    blank = piece.blank
    box = loops.box(blank.outline)
    openings = tuple(map(_opening, blank.cutouts))
    plain = [o.loop for o in openings if o.what == "opening"]
    outlines = tuple(outline(one, box) for one in (blank.outline, *plain))
    spots = [*_sizes(blank.outline, box), *_bends(piece)]
    for one in outlines:
        spots += [Spot(Kind.CORNER, (p,)) for p in one.corners]
        spots += [Spot(Kind.CENTRE, (p,)) for p in one.centres]
    spots += [Spot(Kind.HOLE, (o.middle,), reach=o.reach) for o in openings if o.what != "opening"]
    x, y = datum(blank.outline, 0), datum(blank.outline, 1)
    return Layout(box, x, y, tuple(spots), openings, outlines)


def _sizes(outer: Iterable[Curve], box: Box) -> Iterator[Spot]:
    """The outermost points of the blank, each way."""
    points = [curve.at(k / 64) for curve in outer for k in range(65)]
    for axis in (0, 1):
        for bound in (box[axis], box[axis + 2]):
            at = min(points, key=lambda p: (round(abs(p[axis] - bound), 6), p[1 - axis]))
            place = (bound, at[1]) if axis == 0 else (at[0], bound)
            yield Spot(Kind.SIZE, (place,), axis == 0, axis == 1)


def _bends(piece: Piece) -> Iterator[Spot]:
    """The middle line of every bend; of a rolled one where it starts and ends."""
    for number, bend in enumerate(piece.blank.bends):
        lines = bend_lines(piece.folded, number)
        if is_rolled(bend, piece.stock.thickness):
            for which in (0, 1):
                yield from _line(end_of_roll(piece, number, which))
        else:
            yield from _line(lines)


def end_of_roll(piece: Piece, number: int, which: int) -> list[Line]:
    """The line in the metal where a bend starts (0) or ends (1)."""
    sides = tangent_sides(piece.folded, number, which)
    return [side.curve for side in sides if isinstance(side.curve, Line)]


def _line(lines: list[Line]) -> Iterator[Spot]:
    """The two ends of a line, read only across it where it runs along an axis."""
    if not lines:
        return
    dx, dy = lines[0].tangent(0)
    points = [p for line in lines for p in (line.start, line.end)]
    first, last = (f(points, key=lambda p: p[0] * dx + p[1] * dy) for f in (min, max))
    if abs(dx) < SQUARE:
        yield Spot(Kind.BEND, (first, last), along_y=False)
    elif abs(dy) < SQUARE:
        yield Spot(Kind.BEND, (first, last), along_x=False)
    else:
        yield Spot(Kind.BEND, (first,))
        yield Spot(Kind.BEND, (last,))


def _opening(cutout: Cutout) -> Opening:
    hole, slot = cutout.round_hole, slot_size(cutout.loop)
    if hole is not None:
        size = f"Ø{text_of(2 * hole.radius)}"
        return Opening(cutout.name, "hole", size, hole.center, hole.radius, cutout.loop)
    if slot is not None:
        middle, long, wide, angle_deg = slot
        size = f"{text_of(wide)} × {text_of(long)} at {text_of(angle_deg)}°"
        return Opening(cutout.name, "slot", size, middle, long / 2, cutout.loop)
    x0, y0, x1, y1 = loops.box(cutout.loop)
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    size = f"{text_of(x1 - x0)} × {text_of(y1 - y0)} over all"
    reach = max(x1 - x0, y1 - y0) / 2
    return Opening(cutout.name, "opening", size, middle, reach, cutout.loop)


def slot_ends(opening: Opening) -> list[Point]:
    """The middles of a slot's two round ends."""
    return [curve.center for curve in opening.loop if isinstance(curve, Arc)]
