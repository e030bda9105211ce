"""The flat drawings, read back by our own reader, against the blank."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import combinations
from math import hypot
from pathlib import Path

from parts.part import Part, Piece
from parts.proof.drawing import Contour, Drawing, Point, Stroke, gap, inside, read_dxf
from parts.proof.ledger import SMALL, Ledger
from parts.sheet import loop as loops
from parts.sheet.blank import Bend
from parts.sheet.loop import Loop

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
        for bend in piece.folded.blank.bends:
            _check_bend(drawing, cuts, bend, ledger)
        _check_lines(drawing, piece.folded.blank.bends, ledger)
        _check_marks(drawing, part, piece, ledger)
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
        where = f"contour near {_at(contour.middle)}"
        ledger.same("closed contours", "closed", "closed" if contour.closed else "open", where)
    for stroke in strokes:
        if hypot(stroke.end[0] - stroke.start[0], stroke.end[1] - stroke.start[1]) < SMALL:
            ledger.wrong(f"stroke at {_at(stroke.start)}", "some length", "none")
    places: dict[tuple[int, int], list[Stroke]] = {}
    for stroke in strokes:
        x, y = stroke.middle
        places.setdefault((round(x * 100), round(y * 100)), []).append(stroke)
    for alike in places.values():
        for one, other in combinations(alike, 2):
            if _apart(one, other) < 1e-3:
                ledger.wrong(f"cut at {_at(one.middle)}", "cut once", "a duplicate")
    ledger.same("no cut drawn twice", True, True)


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
        ledger.wrong(f"contour near {_at(contour.middle)}", "none there", "one too many")


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


def _check_bend(drawing: Drawing, cuts: tuple[Contour, ...], bend: Bend, ledger: Ledger) -> None:
    """The middle line of a bend, from edge to edge of the metal, and its words."""
    lines = [line for line in drawing.lines if line.layer == "BEND" and _on_middle(bend, line.start)
             and _on_middle(bend, line.end)]  # fmt: skip
    name = f"bend line {bend.name}"
    ledger.same("bend lines", "there", "there" if lines else "missing", name)
    strokes = [stroke for contour in cuts for stroke in contour.strokes]
    for line in lines:
        for end in (line.start, line.end):
            off = min((gap(stroke, end) for stroke in strokes), default=float("inf"))
            ledger.near("bend lines end at the edge", 0.0, off, SMALL, "mm off", f"end of {name}")
        middle = ((line.start[0] + line.end[0]) / 2, (line.start[1] + line.end[1]) / 2)
        where = "in the metal" if inside(cuts, middle) else "outside it"
        ledger.same("bend lines lie in the metal", "in the metal", where, name)
    _check_words(drawing, bend, ledger)


def _on_middle(bend: Bend, point: Point) -> bool:
    return abs(bend.ahead(point) - bend.allowance / 2) < SMALL


def _check_words(drawing: Drawing, bend: Bend, ledger: Ledger) -> None:
    head = f"{' '.join(bend.name.split())}: "
    found = [w.text[len(head) :] for w in drawing.words if w.text.startswith(head)]
    if not ledger.same("words at the bends", 1, len(found), f"words at bend {bend.name}"):
        return
    said = re.fullmatch(r"(\w+) ([-+.\de]+)° R([-+.\de]+)", found[0])
    if said is None:
        ledger.wrong(f"words at bend {bend.name}", "direction, turn and radius", found[0])
        return
    way = "up" if bend.turn_deg > 0 else "down"
    name = f"of bend {bend.name}, in words"
    ledger.same("direction of bends, in words", way, said[1], f"direction {name}")
    turn_deg = abs(bend.turn_deg)
    ledger.near(
        "turn of bends, in words", turn_deg, float(said[2]), 0.05, "degrees", f"turn {name}"
    )
    ledger.near("radius of bends, in words", bend.radius, float(said[3]), bend.radius * 1e-3,
                what=f"inside radius {name}")  # fmt: skip


def _check_lines(drawing: Drawing, bends: Sequence[Bend], ledger: Ledger) -> None:
    for line in drawing.lines:
        if line.layer == "BEND" and not any(
            _on_middle(bend, line.start) and _on_middle(bend, line.end) for bend in bends
        ):
            ledger.wrong(f"line at {_at(line.start)}", "the middle of a bend", "no bend there")


def _check_marks(drawing: Drawing, part: Part, piece: Piece, ledger: Ledger) -> None:
    """Which part, which hand, which face."""
    marks = [words.text for words in drawing.words if words.layer == "MARK"]
    name = part.name if part.name == piece.name else f"{part.name} {piece.name}"
    hand = f"{piece.hand} hand" if piece.hand else "no hand"
    for wanted in (" ".join(name.split()), hand, "this face up"):
        ledger.same("marks", wanted, wanted if wanted in marks else "; ".join(marks))


def _at(point: Point) -> str:
    return f"({point[0]:.3f}, {point[1]:.3f})"
