"""The sheets of a drawing at full size, as pages.

Each shows the drawing through a window; below it, outside the drawing, stands what the sheet is,
and beside it a bar. The user measures the bars: paper counts only if both are right.
"""

from __future__ import annotations

from collections.abc import Iterator

from parts.paper.page import (
    FAINT,
    HAIR,
    Mark,
    Page,
    Pen,
    Stroke,
    Window,
    Words,
    rectangle,
    scaled,
)  # fmt: skip
from parts.paper.pdf import width as width_of
from parts.paper.setting import BAR, Setting
from parts.paper.tiles import FOOT, MARGIN, OVERLAP, SIDE, Drawing, Plan, Tile, plan, shows
from parts.sheet.curve import Line, Point
from parts.sheet.loop import circle

CROSS = 4.0  # arm of a registration mark


def pages(drawing: Drawing, setting: Setting) -> list[Page]:
    """The sheets as pages, in the order of reading."""
    laid = plan(drawing, setting)
    return [_page(drawing, setting, laid, number) for number in range(len(laid.tiles))]


def _page(drawing: Drawing, setting: Setting, laid: Plan, number: int) -> Page:
    tile = laid.tiles[number]
    across, along = setting.stretch
    page = Page(laid.width, laid.height)
    low = (MARGIN + SIDE, MARGIN + FOOT)
    high = (laid.width - MARGIN, laid.height - MARGIN)
    own = [mark for mark in drawing.marks if shows(mark, tile)]
    crosses = [mark for seam in _seams(laid, tile) for mark in seam]
    strips = list(_strips(laid, tile))
    page.add(Window(low, high, tile.low, (across, along), (*strips, *own, *crosses)))
    page.box(low, high, FAINT)
    _bars(page, across, along)
    _foot(page, drawing, setting, laid, number)
    return page


def _neighbour(laid: Plan, tile: Tile, down: int, right: int) -> Tile | None:
    for other in laid.tiles:
        if (other.row, other.column) == (tile.row + down, tile.column + right):
            return other
    return None


def _seams(laid: Plan, tile: Tile) -> Iterator[list[Mark]]:
    """Registration marks where a sheet overlaps its neighbours: the same on both."""
    (x0, y0), (x1, y1) = tile.low, tile.high
    for down, right in ((0, -1), (0, 1), (-1, 0), (1, 0)):
        other = _neighbour(laid, tile, down, right)
        if other is None:
            continue
        first, second = sorted((tile, other), key=lambda one: (one.row, one.column))
        for share, letter in ((0.25, "a"), (0.75, "b")):
            if right:
                at = ((first.high[0] + second.low[0]) / 2, y0 + share * (y1 - y0))
            else:
                at = (x0 + share * (x1 - x0), (first.low[1] + second.high[1]) / 2)
            yield _registration(at, f"{first.name} {second.name} {letter}", bool(right))


def _registration(at: Point, name: str, upright: bool) -> list[Mark]:
    """A cross in a ring, with its name where the strip has room for it."""
    x, y = at
    beside = (x - 0.2 * CROSS, y + 1.2 * CROSS) if upright else (x + 0.7 * CROSS, y + 0.2 * CROSS)
    return [
        Stroke((Line((x - CROSS, y), (x + CROSS, y)),), HAIR),
        Stroke((Line((x, y - CROSS), (x, y + CROSS)),), HAIR),
        Stroke(circle(at, CROSS), HAIR),
        Words(name, beside, 1.8, angle_deg=90.0 if upright else 0.0),
    ]


def _strips(laid: Plan, tile: Tile) -> Iterator[Mark]:
    """Where the next sheet is glued on: to the right and below, in grey."""
    (x0, y0), (x1, y1) = tile.low, tile.high
    if _neighbour(laid, tile, 0, 1):
        yield Stroke(rectangle((x1 - OVERLAP, y0), (x1, y1)), None, closed=True, fill=0.94)
    if _neighbour(laid, tile, 1, 0):
        yield Stroke(rectangle((x0, y0), (x1, y0 + OVERLAP)), None, closed=True, fill=0.94)


def _bars(page: Page, across: float, along: float) -> None:
    """Two bars of 100 mm as printed, with a tooth every 10: below the window and left of it."""
    y, x = MARGIN + 1.5, MARGIN + 3.5
    left, low = MARGIN + SIDE, MARGIN + FOOT
    page.line((left, y), (left + BAR * across, y))
    page.line((x, low), (x, low + BAR * along))
    for k in range(11):
        tooth = 2.2 if k % 5 == 0 else 1.2
        at = k * BAR / 10
        page.line((left + at * across, y), (left + at * across, y + tooth))
        page.line((x, low + at * along), (x - tooth, low + at * along))
    page.words("100 mm", (left + BAR * across + 1.5, y), 2.5)
    page.words("100 mm", (x, low + BAR * along + 1.5), 2.5, angle_deg=90)


def _foot(page: Page, drawing: Drawing, setting: Setting, laid: Plan, number: int) -> None:
    tile, left = laid.tiles[number], MARGIN + SIDE
    right = laid.width - MARGIN
    sheets = f"sheet {number + 1} of {len(laid.tiles)}"
    page.words(tile.name, (left, MARGIN + 9.5), 5.0, bold=True)
    begin = left + width_of(tile.name, 5.0, bold=True) + 3
    map_wide = _map(page, drawing, laid, tile, (right, MARGIN + 1.0), FOOT - 3.0)
    room = right - map_wide - 3 - begin
    page.add(fitted(f"{drawing.title}, {sheets}", (begin, MARGIN + 12.2), 3.5, room, bold=True))
    for line, words in enumerate(_in_lines(drawing.facts, 2.2, room, 2)):
        page.add(fitted(words, (begin, MARGIN + 8.6 - 3.2 * line), 2.2, room))
    words, bar = _print_words(setting), width_of("100 mm", 2.5) + 6
    above = MARGIN + FOOT + BAR * setting.stretch[1] + bar
    if width_of(words, 2.5) <= laid.height - MARGIN - above:  # beside the bar that stands up
        page.words(words, (MARGIN + 3.5, above), 2.5, angle_deg=90.0)
    else:
        beside = left + BAR * setting.stretch[0] + bar
        page.add(fitted(words, (beside, MARGIN + 1.5), 2.5, right - map_wide - 3 - beside))


def _in_lines(text: str, height: float, room: float, most: int) -> list[str]:
    """The words in lines no longer than the room; the last of so many holds what is left."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and width_of(longer, height) > room and len(lines) < most:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _print_words(setting: Setting) -> str:
    words = "print at 100 %; if a bar is not 100 ± 0.3, do not use"
    if setting.bars != (BAR, BAR):
        across, along = setting.bars
        words += f" (corrected for a printer that makes {across:g} across, {along:g} along of 100)"
    return words


def fitted(
    text: str, at: Point, height: float, room: float, bold: bool = False, angle_deg: float = 0.0
) -> Words:
    """Words made smaller where their place is too short for them."""
    long = width_of(text, height, bold)
    fits = height if long <= room else height * room / long
    return Words(text, at, fits, angle_deg=angle_deg, bold=bold)


def _map(page: Page, drawing: Drawing, laid: Plan, tile: Tile, corner: Point, high: float) -> float:
    """A small map of the sheets, its lower right corner given; returns how wide it is."""
    x0 = min(one.low[0] for one in laid.tiles)
    x1 = max(one.high[0] for one in laid.tiles)
    y0 = min(one.low[1] for one in laid.tiles)
    y1 = max(one.high[1] for one in laid.tiles)
    scale = min(high / (y1 - y0), 45.0 / (x1 - x0))
    shift = (corner[0] - scale * x1, corner[1] - scale * y0)

    def put(p: Point) -> Point:
        return (scale * p[0] + shift[0], scale * p[1] + shift[1])

    for one in laid.tiles:
        page.box(put(one.low), put(one.high), FAINT, fill=0.8 if one is tile else None)
    for loop in drawing.outline:
        page.add(Stroke(scaled(loop, scale, shift), Pen(0.2)))
    return scale * (x1 - x0)
