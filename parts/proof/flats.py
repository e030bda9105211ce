"""The flat drawings, read back by our own reader, against the blank."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import hypot
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from parts.part import Part, Piece
from parts.proof.bends import at_words
from parts.proof.drawing import Contour, Drawing, Point, Stroke, read_dxf
from parts.proof.ledger import SMALL, Ledger
from parts.proof.marks import check_bends, check_marks
from parts.sheet import loop as loops
from parts.sheet.loop import Loop

Threes = tuple[Point, Point, Point]  # start, middle and end of a stroke

TWICE = 1e-3  # mm; two cuts nearer than this are one cut drawn twice

HEADING = (
    ("$ACADVER", "AC1024", "version (AC1024 is R2010)"),
    ("$INSUNITS", "4", "units ($INSUNITS, 4 is mm)"),
    ("$MEASUREMENT", "1", "metric measurement ($MEASUREMENT)"),
)


def check_dxf(path: Path, part: Part, piece: Piece, marked: bool, ledger: Ledger) -> Drawing | None:
    """Everything a DXF file should say of the blank; returns what it says."""
    try:
        drawing = read_dxf(path)
    except (ValueError, OSError) as reason:
        ledger.wrong("the file", "a whole DXF file", str(reason))
        return None
    for name, wanted, what in HEADING:
        ledger.same(what, wanted, drawing.header.get(name, "nothing"))
    check_flat(drawing, part, piece, ("BEND", "MARK") if marked else (), ledger)
    return drawing


def check_flat(
    drawing: Drawing,
    part: Part,
    piece: Piece,
    marked: Sequence[str],
    ledger: Ledger,
    kind: str = "LWPOLYLINE",
) -> None:
    """What is drawn, against the blank: on CUT its contours, which but for circles are each a
    `kind`; on BEND and MARK, as far as `marked` names them, what belongs there."""
    _check_layers(drawing, marked, ledger)
    cuts = tuple(contour for contour in drawing.contours if contour.layer == "CUT")
    _check_soundness(cuts, ledger)
    _check_contours(cuts, piece, ledger, kind)
    if "BEND" in marked:
        check_bends(drawing, cuts, piece, ledger)
    if "MARK" in marked:
        check_marks(drawing, part, piece, ledger)


def _check_layers(drawing: Drawing, marked: Sequence[str], ledger: Ledger) -> None:
    """Contours on CUT alone, and on other layers only what is to be there."""
    used = [("contour", contour.layer) for contour in drawing.contours]
    lettered = [("LINE", line.layer) for line in drawing.lines]
    lettered += [("TEXT", words.layer) for words in drawing.words]
    for kind, layer in used:
        ledger.same("layer of contours", "CUT", layer, f"layer of a {kind}")
    for kind, layer in lettered:
        if layer not in marked:
            ledger.wrong("what is drawn", "nothing but contours on CUT", f"{kind} on {layer}")
    for kind, layer in drawing.others:
        ledger.wrong("what is drawn", "no such thing", f"{kind} on {layer}")


def _check_soundness(cuts: Sequence[Contour], ledger: Ledger) -> None:
    """Closed, without strokes of no length, and nothing cut twice."""
    strokes = [stroke for contour in cuts for stroke in contour.strokes]
    for contour in cuts:
        where = f"contour near {at_words(contour.middle)}"
        ledger.same("closed contours", "closed", "closed" if contour.closed else "open", where)
    for stroke in strokes:
        if hypot(stroke.end[0] - stroke.start[0], stroke.end[1] - stroke.start[1]) < SMALL:
            ledger.wrong(f"stroke at {at_words(stroke.start)}", "some length", "none")
    twice = drawn_twice(strokes)
    for number, stroke in enumerate(strokes):
        found = "a duplicate" if number in twice else "cut once"
        ledger.same("cuts drawn once", "cut once", found, f"cut at {at_words(stroke.middle)}")


def drawn_twice(strokes: Sequence[Stroke]) -> set[int]:
    """Numbers of the strokes that lie on an earlier one, nearer than `TWICE` all along."""
    order = sorted(range(len(strokes)), key=lambda number: strokes[number].middle[0])
    found: set[int] = set()
    first = 0
    for place, number in enumerate(order):
        while strokes[number].middle[0] - strokes[order[first]].middle[0] > TWICE:
            first += 1
        for other in order[first:place]:
            if _apart(strokes[number], strokes[other]) < TWICE:
                found.add(max(number, other))
    return found


def _check_contours(cuts: Sequence[Contour], piece: Piece, ledger: Ledger, kind: str) -> None:
    """Outline and openings, one for one, and the area of each."""
    blank = piece.folded.blank
    left = dict(enumerate(cuts))
    boxes = np.array([_box(_drawn(contour)) for contour in cuts]).reshape(-1, 4)
    named = [("outline", blank.outline), *((c.name, c.loop) for c in blank.cutouts)]
    ledger.same("number of contours", len(named), len(cuts))
    for name, loop in named:
        strokes = _strokes(loop)
        number, off = _nearest(strokes, left, boxes)
        if number is None:
            ledger.wrong(name, "there", "missing")
            continue
        best = left.pop(number)
        ledger.near("outline and openings", 0.0, off, SMALL, "mm off", name)
        area = abs(loops.area(loop))
        allowed = SMALL * max(1.0, area**0.5)  # a thin rim of SMALL round it
        ledger.near("area of a contour", area, best.area, allowed, "mm2", f"area of {name}")
        ledger.same("kind of contour", "CIRCLE" if len(loop) == 1 else kind, best.kind, name)
    for contour in left.values():
        ledger.wrong(f"contour near {at_words(contour.middle)}", "none there", "one too many")


def _nearest(
    strokes: list[Threes], left: Mapping[int, Contour], boxes: NDArray[np.float64]
) -> tuple[int | None, float]:
    """Number of the contour that fits the strokes best, and its misfit.

    A contour is off by no less than the boxes are, so most need not be looked at.
    """
    least = np.abs(boxes - _box(strokes)).max(axis=1)
    best: tuple[int | None, float] = (None, float("inf"))
    for number in np.argsort(least, kind="stable").tolist():
        if number not in left:
            continue
        if least[number] > best[1]:
            break
        off = _misfit(strokes, left[number])
        if best[0] is None or off < best[1]:
            best = (number, off)
    return best


def _box(strokes: list[Threes]) -> NDArray[np.float64]:
    """Least and greatest x and y of the strokes' ends and middles."""
    points = np.array(strokes).reshape(-1, 2)
    return np.concatenate([points.min(axis=0), points.max(axis=0)])


def _strokes(loop: Loop) -> list[Threes]:
    """Start, middle and end of every curve; a circle as the halves that a reader makes of it."""
    if len(loop) > 1:
        return [(curve.start, curve.at(0.5), curve.end) for curve in loop]
    x0, y0, x1, y1 = loops.box(loop)
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    return [((x1, y), (x, y1), (x0, y)), ((x0, y), (x, y0), (x1, y))]


def _drawn(contour: Contour) -> list[Threes]:
    return [(stroke.start, stroke.middle, stroke.end) for stroke in contour.strokes]


def _misfit(strokes: list[Threes], contour: Contour) -> float:
    """Worst distance of any drawn stroke from the one it should be, either way round, mm."""
    drawn = _drawn(contour)
    near = [min((_far(a, b) for b in drawn), default=float("inf")) for a in strokes]
    back = [min((_far(a, b) for b in strokes), default=float("inf")) for a in drawn]
    return max(near + back, default=float("inf"))


def _far(a: Threes, b: Threes) -> float:
    turned = (b[2], b[1], b[0])
    return min(max(hypot(p[0] - q[0], p[1] - q[1]) for p, q in zip(a, c, strict=True))
               for c in (b, turned))  # fmt: skip


def _apart(one: Stroke, other: Stroke) -> float:
    return _far((one.start, one.middle, one.end), (other.start, other.middle, other.end))
