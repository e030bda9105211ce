"""A drawing at full size, cut up into overlapping sheets that a printer takes: which, and where."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from parts.paper.page import Mark, Stroke, Words, polyline
from parts.paper.pdf import width as width_of
from parts.paper.setting import PAPERS, Setting
from parts.sheet.curve import Box, Curve, Line, Point
from parts.sheet.loop import box

MARGIN = 8.0  # what printers leave white; common practice
FOOT, SIDE = 17.0, 7.0  # strips for words and bars, below and to the left of the window
OVERLAP = 10.0
ROLL_LONGEST = 5000.0  # mm; a PDF page may be 14 400 points (ISO 32000-1 annex C.2)


@dataclass(frozen=True, slots=True)
class Drawing:
    """What is to be printed at full size: its marks in mm, and the words that name it.

    `title` and `facts` stand on every sheet; `outline` is what the map of the sheets shows.
    """

    title: str
    facts: str
    marks: tuple[Mark, ...]
    outline: tuple[tuple[Curve, ...], ...]


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet: its row from the top and column, its name, and the drawing seen through it."""

    row: int
    column: int
    name: str
    low: Point
    high: Point


@dataclass(frozen=True, slots=True)
class Plan:
    """The sheets of a drawing: the size of a page, its grid, and the sheets that show anything."""

    width: float
    height: float
    rows: int
    columns: int
    tiles: tuple[Tile, ...]


def plan(drawing: Drawing, setting: Setting) -> Plan:
    """The fewest sheets that hold the drawing; those that would be empty are left out."""
    around = _around(drawing)
    if setting.paper == "roll":
        length = max(around[2] - around[0], 0.0) + 2 * MARGIN + SIDE
        sizes = [(min(length, ROLL_LONGEST), setting.roll)]
    else:
        narrow, long = PAPERS[setting.paper]
        sizes = [(narrow, long), (long, narrow)]
    plans = [_plan(drawing, around, size, setting) for size in sizes]
    return min(plans, key=lambda one: len(one.tiles))


def _around(drawing: Drawing) -> Box:
    x0, y0, x1, y1 = box(curve for loop in drawing.outline for curve in loop)
    return (x0 - 1, y0 - 1, x1 + 1, y1 + 1)


def _plan(drawing: Drawing, around: Box, size: tuple[float, float], setting: Setting) -> Plan:
    wide, high = _window(size, setting)
    x0, y0, x1, y1 = around
    columns = max(1, ceil((x1 - x0 - OVERLAP) / (wide - OVERLAP) - 1e-9))
    rows = max(1, ceil((y1 - y0 - OVERLAP) / (high - OVERLAP) - 1e-9))
    left = (x0 + x1 - columns * (wide - OVERLAP) - OVERLAP) / 2
    top = (y0 + y1 + rows * (high - OVERLAP) + OVERLAP) / 2
    tiles = []
    for row in range(rows):
        for column in range(columns):
            low = (left + column * (wide - OVERLAP), top - high - row * (high - OVERLAP))
            tile = Tile(row, column, _name(row, column), low, (low[0] + wide, low[1] + high))
            if any(shows(mark, tile) for mark in drawing.marks):
                tiles.append(tile)
    return Plan(*size, rows, columns, tuple(tiles))


def _window(size: tuple[float, float], setting: Setting) -> Point:
    """Width and height of the drawing that one sheet shows, in the drawing's own mm."""
    across, along = setting.stretch
    return (
        (size[0] - 2 * MARGIN - SIDE) / across,
        (size[1] - 2 * MARGIN - FOOT) / along,
    )


def _name(row: int, column: int) -> str:
    """Rows by letters from the top, columns by numbers.

    >>> _name(0, 0), _name(27, 3)
    ('A1', 'AB4')
    """
    letters = ""
    row += 1
    while row:
        row, rest = divmod(row - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters}{column + 1}"


def shows(mark: Mark, tile: Tile) -> bool:
    """Whether any of a mark's line may show in a tile; a filled shape shows by its edge."""
    if isinstance(mark, Stroke):
        return any(_crosses(curve, tile) for curve in mark.curves)
    if isinstance(mark, Words):
        long = width_of(mark.text, mark.height, mark.bold)
        reach = long + mark.height
        (x, y), (x0, y0), (x1, y1) = mark.at, tile.low, tile.high
        return x0 - reach < x < x1 + reach and y0 - reach < y < y1 + reach
    return True


def _crosses(curve: Curve, tile: Tile) -> bool:
    x0, y0, x1, y1 = curve.box()
    (u0, v0), (u1, v1) = tile.low, tile.high
    if x1 < u0 or x0 > u1 or y1 < v0 or y0 > v1:
        return False
    if isinstance(curve, Line):
        return _enters(curve, tile)
    if all(u0 <= x <= u1 and v0 <= y <= v1 for x, y in (curve.start, curve.end)):
        return True
    ends = [curve.at(k / 64) for k in range(65)]
    slack = curve.radius * (abs(curve.sweep) / 64) ** 2 / 8  # what the chords cut off
    wider = Tile(0, 0, "", (u0 - slack, v0 - slack), (u1 + slack, v1 + slack))
    return any(_enters(chord, wider) for chord in polyline(ends) if isinstance(chord, Line))


def _enters(line: Line, tile: Tile) -> bool:
    """Whether a straight line has a point in the tile (clipped side by side)."""
    low, high = 0.0, 1.0
    for axis in (0, 1):
        start, way = line.start[axis], line.end[axis] - line.start[axis]
        for sign, side in ((1, tile.low[axis]), (-1, tile.high[axis])):
            ahead, room = sign * way, sign * (side - start)
            if ahead == 0:
                if room > 0:
                    return False
            elif ahead > 0:
                low = max(low, room / ahead)
            else:
                high = min(high, room / ahead)
    return low <= high
