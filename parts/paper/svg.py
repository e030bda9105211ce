"""A page of marks as SVG, for a page in a browser."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape
from math import pi

from parts.paper.page import Mark, Page, Pen, Stroke, Window, Words
from parts.sheet.curve import Arc, Curve, Point

CAPITALS = 0.729  # height of a capital over the size of the type, of the fonts of the PDF
ANCHORS = {"left": "start", "middle": "middle", "right": "end"}
XMLNS = ' xmlns="http://www.w3.org/2000/svg"'  # a page needs it not, and shall name no address
FAMILY = "DejaVu Sans, Verdana, sans-serif"


def text(page: Page, title: str = "") -> str:
    """The whole picture as one `<svg>` element in mm; `title` is what it is read out as.

    >>> page = Page(10, 10)
    >>> page.line((1, 1), (9, 1))
    >>> '<path d="M1 9L9 9"' in text(page)
    True
    """
    wide, high = _n(page.width), _n(page.height)
    label = f' role="img" aria-label="{escape(title)}"' if title else ""
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}"{label} '
        f'stroke-linecap="round" stroke-linejoin="round" font-family="{FAMILY}">'
    )
    return "\n".join([head, *_marks(page.marks, page.height), "</svg>"]) + "\n"


def _marks(marks: Iterable[Mark], high: float) -> Iterator[str]:
    for mark in marks:
        if isinstance(mark, Stroke):
            yield _stroke(mark, high)
        elif isinstance(mark, Words):
            yield _words(mark, high)
        else:
            yield from _window(mark, high)


def _stroke(stroke: Stroke, high: float) -> str:
    path = _at("M", stroke.curves[0].start, high)
    path += "".join(_curve(curve, high) for curve in stroke.curves)
    fill = "none" if stroke.fill is None else _grey(stroke.fill)
    return f'<path d="{path}{"Z" if stroke.closed else ""}" fill="{fill}"{_pen(stroke.pen)}/>'


def _pen(pen: Pen | None) -> str:
    if pen is None:
        return ""
    dashes = f' stroke-dasharray="{" ".join(map(_n, pen.dashes))}"' if pen.dashes else ""
    return f' stroke="{_grey(pen.grey)}" stroke-width="{_n(pen.width)}"{dashes}'


def _curve(curve: Curve, high: float) -> str:
    if not isinstance(curve, Arc):
        return _at("L", curve.end, high)
    radius, way = _n(curve.radius), 0 if curve.sweep > 0 else 1
    if abs(curve.sweep) > 1.9 * pi:  # its two ends fall on one another: in halves
        return "".join(_curve(curve.between(low, low + 0.5), high) for low in (0.0, 0.5))
    large = int(abs(curve.sweep) > pi)
    return f"A{radius} {radius} 0 {large} {way} " + _at("", curve.end, high)


def _words(words: Words, high: float) -> str:
    x, y = _n(words.at[0]), _n(high - words.at[1])
    turn = f' transform="rotate({_n(-words.angle_deg)} {x} {y})"' if words.angle_deg else ""
    bold = ' font-weight="bold"' if words.bold else ""
    size = _n(words.height / CAPITALS)
    return (
        f'<text x="{x}" y="{y}" font-size="{size}" text-anchor="{ANCHORS[words.anchor]}"'
        f'{bold}{turn} fill="{_grey(words.grey)}">{escape(words.text)}</text>'
    )


def _window(window: Window, high: float) -> Iterator[str]:
    (x0, y0), (x1, y1), (sx, sy) = window.low, window.high, window.scale
    place = f'x="{_n(x0)}" y="{_n(high - y1)}" width="{_n(x1 - x0)}" height="{_n(y1 - y0)}"'
    u, v = window.origin
    box = f"{_n(u)} {_n(high - v - (y1 - y0) / sy)} {_n((x1 - x0) / sx)} {_n((y1 - y0) / sy)}"
    yield f'<svg {place} viewBox="{box}" preserveAspectRatio="none">'
    yield from _marks(window.marks, high)
    yield "</svg>"


def _at(letter: str, point: Point, high: float) -> str:
    return f"{letter}{_n(point[0])} {_n(high - point[1])}"


def _grey(share: float) -> str:
    level = round(255 * share)
    return f"#{level:02x}{level:02x}{level:02x}"


def _n(value: float) -> str:
    """A number to a thousandth of a millimetre, without needless noughts.

    >>> _n(1.50004), _n(-0.0001)
    ('1.5', '0')
    """
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")
