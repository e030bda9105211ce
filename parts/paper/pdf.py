"""Pages of marks as a PDF file: vectors, words that can be selected, the same bytes every time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache, lru_cache
from math import ceil, cos, pi, sin, tan
from pathlib import Path
from typing import Any

from parts.paper.page import Mark, Page, Pen, Stroke, Window, Words
from parts.sheet.curve import Arc, Curve

MM = 72 / 25.4  # points
PLAIN, BOLD = "Plain", "Bold"
FONTS = {PLAIN: "DejaVuSans.ttf", BOLD: "DejaVuSans-Bold.ttf"}
CAPITALS = 0.729  # height of a capital over the size of the type, of these fonts
PIECE = pi / 8  # greatest turn drawn as one Bezier curve: off by less than 1e-7 of the radius


def write(
    path: Path, pages: Sequence[Page], title: str, full_size: bool = False, about: str = ""
) -> None:
    """Write the pages, each of its own size in mm.

    `full_size` asks the viewer to print without scaling and on one side. Raises OSError where the
    file cannot be written.
    """
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(str(path), invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setAuthor("")
    canvas.setCreator("tinwright")
    canvas.setSubject(about)
    if full_size:
        canvas.setViewerPreference("PrintScaling", "None")
        canvas.setViewerPreference("Duplex", "Simplex")
    for page in pages:
        canvas.setPageSize((page.width * MM, page.height * MM))
        canvas.scale(MM, MM)
        canvas.setLineCap(1)
        canvas.setLineJoin(1)
        _draw(canvas, page.marks)
        canvas.showPage()
    canvas.save()


@lru_cache(maxsize=1 << 16)
def width(text: str, height: float, bold: bool = False) -> float:
    """How long a line of words of that height of capitals is, mm."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    _fonts()
    return float(stringWidth(text, BOLD if bold else PLAIN, height / CAPITALS))


@cache
def _fonts() -> None:
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    for name, file in FONTS.items():
        registerFont(TTFont(name, str(Path(__file__).parent / "fonts" / file)))


def _draw(canvas: Any, marks: Iterable[Mark]) -> None:
    for mark in marks:
        if isinstance(mark, Stroke):
            _stroke(canvas, mark)
        elif isinstance(mark, Words):
            _words(canvas, mark)
        else:
            _window(canvas, mark)


def _stroke(canvas: Any, stroke: Stroke) -> None:
    path = canvas.beginPath()
    path.moveTo(*stroke.curves[0].start)
    for curve in stroke.curves:
        _curve(path, curve)
    if stroke.closed:
        path.close()
    if stroke.pen is not None:
        _pick_up(canvas, stroke.pen)
    if stroke.fill is not None:
        canvas.setFillGray(stroke.fill)
    canvas.drawPath(path, stroke=int(stroke.pen is not None), fill=int(stroke.fill is not None))


def _pick_up(canvas: Any, pen: Pen) -> None:
    canvas.setLineWidth(pen.width)
    canvas.setStrokeGray(pen.grey)
    canvas.setDash(list(pen.dashes))


def _curve(path: Any, curve: Curve) -> None:
    if not isinstance(curve, Arc):
        path.lineTo(*curve.end)
        return
    count = max(1, ceil(abs(curve.sweep) / PIECE - 1e-9))
    step, radius, first = curve.sweep / count, curve.radius, curve.start_angle
    reach = 4 / 3 * tan(step / 4) * radius
    x, y = curve.center
    for k in range(count):
        a, b = first + k * step, first + (k + 1) * step
        path.curveTo(
            x + radius * cos(a) - reach * sin(a), y + radius * sin(a) + reach * cos(a),
            x + radius * cos(b) + reach * sin(b), y + radius * sin(b) - reach * cos(b),
            x + radius * cos(b), y + radius * sin(b),
        )  # fmt: skip


def _words(canvas: Any, words: Words) -> None:
    _fonts()
    canvas.saveState()
    canvas.translate(*words.at)
    canvas.rotate(words.angle_deg)
    canvas.setFillGray(words.grey)
    canvas.setFont(BOLD if words.bold else PLAIN, words.height / CAPITALS)
    draw = {"left": canvas.drawString, "middle": canvas.drawCentredString,
            "right": canvas.drawRightString}[words.anchor]  # fmt: skip
    draw(0, 0, words.text)
    canvas.restoreState()


def _window(canvas: Any, window: Window) -> None:
    canvas.saveState()
    path = canvas.beginPath()
    (x0, y0), (x1, y1) = window.low, window.high
    path.rect(x0, y0, x1 - x0, y1 - y0)
    canvas.clipPath(path, stroke=0, fill=0)
    canvas.translate(x0, y0)
    canvas.scale(*window.scale)
    canvas.translate(-window.origin[0], -window.origin[1])
    _draw(canvas, window.marks)
    canvas.restoreState()
