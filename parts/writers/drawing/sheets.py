"""Which block of a drawing stands on which sheet, and at what scale."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

from parts.paper.layout import Block, Space
from parts.paper.page import Page
from parts.paper.pens import FRAME
from parts.sheet.curve import Point

SCALES = (2.0, 1.0, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50, 1 / 100)  # ISO 5455
MARGIN = 10.0  # mm from the edge of the paper to the frame
INSET = 3.0  # mm from the frame to what is drawn
FAIR = 90.0  # mm; a blank drawn this long may be one scale smaller to save a sheet
AROUND = 2 * (MARGIN + INSET) + 14.0  # mm; what frame and dimensions take at least
LEAST_VIEW = 35.0  # mm; views drawn smaller show little

Shapes: TypeAlias = Sequence[Block]  # one thing in several shapes, to choose from
Blank: TypeAlias = tuple[Block, Sequence[Shapes]]  # the picture, and what it leaves to tables


@dataclass(frozen=True, eq=False)
class Contents:
    """What a drawing holds.

    `blank` draws the blank at a scale, with readings on four sides or only two; `views` the
    folded piece at a scale, or is None. `first` must stand beside the blank, `tables` need not;
    `spare` stand where room is left, or nowhere. `title` gives the title block for a scale, a
    sheet's number and how many there are. `size` is that of the blank, `across` the longest side
    of the folded piece, mm.
    """

    blank: Callable[[float, bool], Blank]
    views: Callable[[float], Block] | None
    first: Sequence[Shapes]
    tables: Sequence[Shapes]
    title: Callable[[str, int, int], Block]
    size: Point
    across: float
    spare: Sequence[Shapes] = ()
    done: dict[tuple[float, bool], Blank] = field(default_factory=dict)
    seen: dict[float, Block] = field(default_factory=dict)

    def at(self, scale: float, both: bool) -> Blank:
        """The blank at a scale, drawn once."""
        if (scale, both) not in self.done:
            self.done[scale, both] = self.blank(scale, both)
        return self.done[scale, both]

    def folded(self, scale: float) -> list[Shapes]:
        """The views at a scale, drawn once; nothing where there are none."""
        if self.views is None:
            return []
        if scale not in self.seen:
            self.seen[scale] = self.views(scale)
        return [[self.seen[scale]]]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: its size, its main scale (0 for tables only), and what stands where."""

    size: Point
    scale: float
    space: Space


def scale_words(scale: float) -> str:
    """A scale as it is written; a dash for none.

    >>> scale_words(0.2), scale_words(2.0), scale_words(0.0)
    ('1:5', '2:1', '–')
    """
    if not scale:
        return "–"
    return f"{scale:g}:1" if scale > 1 else f"1:{1 / scale:g}"


def pages(contents: Contents, paper: tuple[float, float]) -> list[Page]:
    """The finished sheets: all on one where the blank stays large enough, else the blank first
    and the rest behind it. Raises ValueError for a blank larger than the paper at any scale."""
    narrow, long = sorted(paper)
    sizes = ((long, narrow), (narrow, long))
    first, left = _blank_sheet(contents, sizes)
    whole = _whole_sheet(contents, sizes, first.scale)
    sheets = [whole] if whole else [first, *_more_sheets(contents, sizes, left)]
    for shapes in contents.spare:
        any(sheet.space.fit(shapes, to_right=True, to_top=True) for sheet in sheets)
    return [_page(contents, sheet, k, len(sheets)) for k, sheet in enumerate(sheets, 1)]


def one_page(contents: Contents, paper: tuple[float, float]) -> Page | None:
    """All on a single sheet, the blank as large as the rest leaves room for; None where it does
    not go on one at any scale that shows it."""
    narrow, long = sorted(paper)
    for scale in SCALES:
        if scale < 1 and scale * max(contents.size) < LEAST_VIEW:
            break
        for both in (True, False):
            for size in ((long, narrow), (narrow, long)):
                space = _with_blank(contents, size, scale, both)
                filled = None if space is None else _filled(contents, space, scale, both)
                if filled is not None:
                    return _page(contents, Sheet(size, scale, filled), 1, 1)
    return None


def _empty(contents: Contents, size: Point) -> Space:
    """The room inside a sheet's frame, less the title block in its corner."""
    wide, high = size
    edge = MARGIN + INSET
    space = Space.of((edge, edge, wide - edge, high - edge))
    block = contents.title("", 1, 1)
    space.put(block, (wide - MARGIN - block.width, MARGIN))
    return space


def _with_blank(contents: Contents, size: Point, scale: float, both: bool) -> Space | None:
    wide, high = (scale * side for side in contents.size)
    if wide + AROUND > size[0] or high + AROUND > size[1]:
        return None
    space = _empty(contents, size)
    fits = space.fit([contents.at(scale, both)[0]], to_right=False, to_top=True)
    return space if fits else None


def _blank_sheet(contents: Contents, sizes: Sequence[Point]) -> tuple[Sheet, list[Shapes]]:
    """The blank as large as it may be beside what must be with it; and the tables that are left."""
    for scale in SCALES:
        for both in (True, False):
            for size in sizes:
                space = _with_blank(contents, size, scale, both)
                if space is not None and _all_fit(space, contents.first):
                    tables = [*contents.at(scale, both)[1], *contents.tables]
                    left = [one for one in tables if not space.fit(one, True, True)]
                    return Sheet(size, scale, space), left
    raise ValueError("the blank is too large for a drawing on this paper at any scale")


def _all_fit(space: Space, things: Sequence[Shapes]) -> bool:
    return all(space.fit(shapes, to_right=True, to_top=True) for shapes in things)


def _whole_sheet(contents: Contents, sizes: Sequence[Point], largest: float) -> Sheet | None:
    """Everything on one sheet: at the largest scale of the blank, or one less where that is still
    long; None where it finds no room."""
    place = SCALES.index(largest)
    for scale in SCALES[place : place + 2]:
        if scale < largest and scale * max(contents.size) < FAIR:
            return None
        for both in (True, False):
            for size in sizes:
                space = _with_blank(contents, size, scale, both)
                filled = None if space is None else _filled(contents, space, scale, both)
                if filled is not None:
                    return Sheet(size, scale, filled)
    return None


def _filled(contents: Contents, space: Space, scale: float, both: bool) -> Space | None:
    """The sheet of the blank with everything else added, views as large as they may be."""
    rest = [*contents.tables, *contents.at(scale, both)[1], *contents.first]
    for _, views in _views(contents, scale, LEAST_VIEW):
        for order in ([*views, *rest], [*rest, *views]):
            found = space.copy()
            if _all_fit(found, order):
                return found
    return None


def _views(
    contents: Contents, most: float, least: float = 0.0
) -> Iterator[tuple[float, list[Shapes]]]:
    """The views from a scale down to a size of `least` mm, each with its scale; nothing, once,
    where there are none."""
    if contents.views is None:
        yield most, []
        return
    for scale in SCALES:
        if scale <= most and (scale * contents.across >= least or scale == most):
            yield scale, contents.folded(scale)


def _more_sheets(contents: Contents, sizes: Sequence[Point], left: Sequence[Shapes]) -> list[Sheet]:
    """Views and tables behind the first sheet: together if they find room, else one by one."""
    sheets: list[Sheet] = []
    waiting = list(left)
    if contents.views is not None:
        together = _views_sheet(contents, sizes, left)
        if together is not None:
            return [together]
        alone = _views_sheet(contents, sizes, [])
        if alone is None:
            raise ValueError("the folded piece is too large for a drawing on this paper")
        waiting = [one for one in waiting if not alone.space.fit(one, True, True)]
        sheets.append(alone)
    while waiting:
        trials = [Sheet(size, 0.0, _empty(contents, size)) for size in sizes]
        rests = [[one for one in waiting if not sheet.space.fit(one, False, True)]
                 for sheet in trials]  # fmt: skip
        best = min(range(len(sizes)), key=lambda k: len(rests[k]))
        if len(rests[best]) == len(waiting):
            raise ValueError("a table of the drawing is larger than the paper")
        waiting = rests[best]
        sheets.append(trials[best])
    return sheets


def _views_sheet(
    contents: Contents, sizes: Sequence[Point], tables: Sequence[Shapes]
) -> Sheet | None:
    """A sheet of the views, as large as they may be with the tables beside them, or None."""
    for scale, views in _views(contents, SCALES[0]):
        for size in sizes:
            for order in ([*views, *tables], [*tables, *views]):
                space = _empty(contents, size)
                if _all_fit(space, order):
                    return Sheet(size, scale, space)
    return None


def _page(contents: Contents, sheet: Sheet, number: int, count: int) -> Page:
    """A sheet as a page: frame, title block, and every block in the middle of its room."""
    wide, high = sheet.size
    page = Page(wide, high)
    page.box((MARGIN, MARGIN), (wide - MARGIN, high - MARGIN), FRAME)
    corner = sheet.space.placed[0].low
    page.add(*contents.title(scale_words(sheet.scale), number, count).at(corner))
    for one in sheet.space.settled()[1:]:
        page.add(*one.block.at(one.low))
    return page
