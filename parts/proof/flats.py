"""The flat drawings, read back by our own reader, against the blank."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot
from pathlib import Path

from parts.part import Part, Piece
from parts.proof.bends import at_words
from parts.proof.drawing import Contour, Drawing, Point, Stroke, read_dxf
from parts.proof.ledger import SMALL, Ledger
from parts.proof.marks import check_marks
from parts.sheet import loop as loops
from parts.sheet.loop import Loop

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
    _check_layers(drawing, marked, ledger)
    cuts = tuple(contour for contour in drawing.contours if contour.layer == "CUT")
    _check_soundness(cuts, ledger)
    _check_contours(cuts, piece, ledger)
    if marked:
        check_marks(drawing, cuts, part, piece, ledger)
    return drawing


def _check_layers(drawing: Drawing, marked: bool, ledger: Ledger) -> None:
    """Contours on CUT alone, and in the file to cut from nothing else at all."""
    used = [("contour", contour.layer) for contour in drawing.contours]
    lettered = [("LINE", line.layer) for line in drawing.lines]
    lettered += [("TEXT", words.layer) for words in drawing.words]
    for kind, layer in used:
        ledger.same("layer of contours", "CUT", layer, f"layer of a {kind}")
    for kind, layer in lettered:
        if not (marked and layer in ("BEND", "MARK")):
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


def _check_contours(cuts: Sequence[Contour], piece: Piece, ledger: Ledger) -> None:
    """Outline and openings, one for one, and the area of each."""
    blank = piece.folded.blank
    left = list(cuts)
    named = [("outline", blank.outline), *((c.name, c.loop) for c in blank.cutouts)]
    ledger.same("number of contours", len(named), len(cuts))
    for name, loop in named:
        strokes = _strokes(loop)
        best = min(left, key=lambda contour: _misfit(strokes, contour), default=None)
        if best is None:
            ledger.wrong(name, "there", "missing")
            continue
        left.remove(best)
        off = _misfit(strokes, best)
        ledger.near("outline and openings", 0.0, off, SMALL, "mm off", name)
        area = abs(loops.area(loop))
        allowed = SMALL * max(1.0, area**0.5)  # a thin rim of SMALL round it
        ledger.near("area of a contour", area, best.area, allowed, "mm2", f"area of {name}")
        whole = len(loop) == 1
        drawn = "CIRCLE" if best.whole_circle else "LWPOLYLINE"
        ledger.same("kind of contour", "CIRCLE" if whole else "LWPOLYLINE", drawn, name)
    for contour in left:
        ledger.wrong(f"contour near {at_words(contour.middle)}", "none there", "one too many")


def _strokes(loop: Loop) -> list[tuple[Point, Point, Point]]:
    """Start, middle and end of every curve; a circle as the halves that a reader makes of it."""
    if len(loop) > 1:
        return [(curve.start, curve.at(0.5), curve.end) for curve in loop]
    x0, y0, x1, y1 = loops.box(loop)
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    return [((x1, y), (x, y1), (x0, y)), ((x0, y), (x, y0), (x1, y))]


def _misfit(strokes: list[tuple[Point, Point, Point]], contour: Contour) -> float:
    """Worst distance of any drawn stroke from the one it should be, either way round, mm."""
    drawn = [(s.start, s.middle, s.end) for s in contour.strokes]
    near = [min((_far(a, b) for b in drawn), default=float("inf")) for a in strokes]
    back = [min((_far(a, b) for b in strokes), default=float("inf")) for a in drawn]
    return max(near + back, default=float("inf"))


def _far(a: tuple[Point, Point, Point], b: tuple[Point, Point, Point]) -> float:
    turned = (b[2], b[1], b[0])
    return min(max(hypot(p[0] - q[0], p[1] - q[1]) for p, q in zip(a, c, strict=True))
               for c in (b, turned))  # fmt: skip


def _apart(one: Stroke, other: Stroke) -> float:
    return _far((one.start, one.middle, one.end), (other.start, other.middle, other.end))
