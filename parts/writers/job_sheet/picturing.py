"""Small pictures of pieces: their blanks, and how they look folded, from the outside and above."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from parts.paper.page import BEND, HAIR, Page, Pen, Stroke, scaled
from parts.part import Piece
from parts.sheet.bend_lines import bend_lines
from parts.sheet.curve import Curve, Point
from parts.sheet.loop import box, circle
from parts.writers.job_sheet.charting import ticks

WIDE, HIGH = 140.0, 95.0
MARGIN, FOOT = 3.0, 9.0
LETTERS = 2.6
EDGE = Pen(0.4)
BALLOON = 4.6  # diameter

Corner = tuple[float, float, float]
FROM = {"left": (1.0, -1.0, 1.0), "right": (1.0, 1.0, 1.0)}  # toward the reader, by hand


def from_where(hand: str) -> Corner:
    """Where the reader of a picture stands: behind, outside and above, on the vehicle's axes."""
    return FROM.get(hand, FROM["right"])


def pictorial(pieces: Sequence[Piece], hand: str) -> Page:
    """The folded pieces where they sit on the vehicle, hidden lines left out. Wakes the kernel."""
    from parts.solid import views
    from parts.solid.together import together

    toward = from_where(hand)
    side = views.Side(toward, (-toward[1], toward[0], 0.0))
    solids = ((piece.kernel_solid, piece.place) for piece in pieces)
    seen = views.view(together(solids), side, hidden=False).visible
    page, scale, shift = _page([curve for run in seen for curve in run])
    for run in seen:
        page.add(Stroke(scaled(run, scale, shift), EDGE))
    return page


def blank(piece: Piece) -> Page:
    """The drawn face of a blank, with a number at every bend."""
    loops = piece.blank.loops
    page, scale, shift = _page([curve for loop in loops for curve in loop])
    for loop in loops:
        page.add(Stroke(scaled(loop, scale, shift), EDGE, closed=True))
    for number in range(len(piece.blank.bends)):
        lines = scaled(bend_lines(piece.folded, number), scale, shift)
        page.add(*(Stroke((line,), BEND) for line in lines))
        longest = max(lines, key=lambda line: line.length)
        balloon(page, str(number + 1), longest.at(0.5))
    return page


def balloon(page: Page, words: str, middle: Point, diameter: float = BALLOON) -> None:
    """A number in a circle, on top of what is there."""
    page.add(Stroke(circle(middle, diameter), HAIR, closed=True, fill=1.0))
    page.words(words, (middle[0], middle[1] - LETTERS / 2), LETTERS, "middle")


def bar(page: Page, at: Point, scale: float) -> None:
    """A bar of a round length, about a fifth of the page, to tell the scale of a picture."""
    length = ticks(0.0, page.width / 5 / scale, 2)[1]
    (x, y), end = at, at[0] + length * scale
    page.line((x, y), (end, y))
    for tick in (x, end):
        page.line((tick, y - 0.8), (tick, y + 0.8))
    page.words(f"{length:g} mm", (end + 2, y - LETTERS / 2), LETTERS)


def _page(curves: Iterable[Curve]) -> tuple[Page, float, Point]:
    """A page for these curves, as low as may be; the scale and shift that put them on it."""
    x0, y0, x1, y1 = box(curves)
    wide, high = max(x1 - x0, 1e-6), max(y1 - y0, 1e-6)
    scale = min((WIDE - 2 * MARGIN) / wide, (HIGH - MARGIN - FOOT) / high)
    page = Page(WIDE, high * scale + MARGIN + FOOT)
    shift = ((WIDE - wide * scale) / 2 - x0 * scale, FOOT - y0 * scale)
    bar(page, (MARGIN, 3.0), scale)
    return page, scale, shift
