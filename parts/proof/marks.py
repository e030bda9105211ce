"""What the marked drawing says besides the cuts: bends, words, and the way of the grain."""

from __future__ import annotations

import re
from math import asin, degrees, hypot

from parts.part import Part, Piece
from parts.proof.bends import at_words
from parts.proof.drawing import Contour, Drawing, Point, Straight, gap, inside
from parts.proof.ledger import SMALL, Ledger
from parts.sheet.allowance import Allowance
from parts.sheet.blank import Bend
from parts.sheet.fold import Folded, tangent_sides
from parts.sheet.grain import grain_of

CROSS_LINES = 2  # where x and y are 0
ROLL = 25.0  # mm of flat that a bend takes up, from which on its ends are drawn too
ARROW_LINES = 6  # two shafts, and two strokes for the head of each


def check_bends(drawing: Drawing, cuts: tuple[Contour, ...], piece: Piece, ledger: Ledger) -> None:
    """Bend lines of a piece, and their words."""
    bends = piece.folded.blank.bends
    for bend, allowance in zip(bends, piece.allowances, strict=True):
        _check_bend(drawing, cuts, bend, allowance, ledger)
    _check_lines(drawing, piece.folded, ledger)


def check_marks(drawing: Drawing, part: Part, piece: Piece, ledger: Ledger) -> None:
    """Words of a piece, and its marks."""
    _check_words_of_piece(drawing, part, piece, ledger)
    _check_grain(drawing, piece, ledger)


def _check_bend(
    drawing: Drawing,
    cuts: tuple[Contour, ...],
    bend: Bend,
    allowance: Allowance,
    ledger: Ledger,
) -> None:
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
    _check_words(drawing, bend, allowance, ledger)


def _on_middle(bend: Bend, point: Point) -> bool:
    return abs(bend.ahead(point) - bend.allowance / 2) < SMALL


def _check_words(drawing: Drawing, bend: Bend, allowance: Allowance, ledger: Ledger) -> None:
    head = f"{' '.join(bend.name.split())}: "
    lines = [w.text[len(head) :] for w in drawing.words if w.text.startswith(head)]
    found = [line for line in lines if not line.startswith("over to ")]
    over = [line for line in lines if line.startswith("over to ")]
    if not ledger.same("words at the bends", 1, len(found), f"words at bend {bend.name}"):
        return
    _check_over(bend, allowance, over, ledger)
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


def _check_over(bend: Bend, allowance: Allowance, lines: list[str], ledger: Ledger) -> None:
    """How far to bend over, where the bend book knows it, and by whose word."""
    name, over = f"bending over at bend {bend.name}", allowance.over
    if not ledger.same("bending over, in words", int(over is not None), len(lines), name):
        return
    if over is None:
        return
    said = re.fullmatch(r"over to ([-+.\de]+)° by (.+)", lines[0])
    if said is None:
        ledger.wrong(name, "a turn and its source", lines[0])
        return
    wanted = abs(bend.turn_deg) + over.value
    ledger.near("turn to bend over to, in words", wanted, float(said[1]), 0.05, "degrees", name)
    ledger.same("source of bending over", over.source, said[2], name)


def _check_lines(drawing: Drawing, folded: Folded, ledger: Ledger) -> None:
    """Every line of a bend is its middle, or an end of a roll where metal goes on beyond it."""
    bends = folded.blank.bends
    ends: set[tuple[int, int]] = set()
    for line in drawing.lines:
        if line.layer != "BEND":
            continue
        found = {(i, at) for i, bend in enumerate(bends) for at in (0, 1, 2)
                 if _along(bend, line, at)}  # fmt: skip
        ends |= found
        if not found:
            ledger.wrong(f"line at {at_words(line.start)}", "a line of a bend", "no bend there")
    for i, bend in enumerate(bends):
        wanted = {1}
        if bend.allowance > ROLL:
            wanted |= {2 * which for which in (0, 1) if tangent_sides(folded, i, which)}
        drawn = {at for number, at in ends if number == i}
        ledger.same("lines of a bend", wanted, drawn, f"lines of bend {bend.name}")


def _along(bend: Bend, line: Straight, half: int) -> bool:
    """Whether a line runs along a bend's start (0), middle (1) or end (2)."""
    at = half / 2 * bend.allowance
    return all(abs(bend.ahead(point) - at) < SMALL for point in (line.start, line.end))


def _check_words_of_piece(drawing: Drawing, part: Part, piece: Piece, ledger: Ledger) -> None:
    """Which part, which hand, which face."""
    marks = [words.text for words in drawing.words if words.layer == "MARK"]
    name = part.name if part.name == piece.name else f"{part.name} {piece.name}"
    hand = f"{piece.hand} hand" if piece.hand else "no hand"
    for wanted in (" ".join(name.split()), hand, "this face up"):
        ledger.same("marks", wanted, wanted if wanted in marks else "; ".join(marks))


def _check_grain(drawing: Drawing, piece: Piece, ledger: Ledger) -> None:
    """An arrow along the grain with its word, where a bend needs the grain to run so; else none."""
    grain = grain_of(piece.folded, piece.stock.material)
    drawn = [line for line in drawing.lines if line.layer == "MARK"]
    lines = CROSS_LINES + (0 if grain is None else ARROW_LINES)
    ledger.same("lines of marks", lines, len(drawn), "lines on MARK")
    words = [w for w in drawing.words if w.layer == "MARK" and w.text == "grain"]
    if grain is None:
        return
    if not words:
        ledger.wrong("direction of the grain", "an arrow with its word", "no word")
        return
    shafts = [line for line in drawn if _runs_through(line, words[-1].at)]
    ledger.same("shafts of the grain's arrow", 2, len(shafts))
    for line in shafts:
        dx, dy = line.end[0] - line.start[0], line.end[1] - line.start[1]
        sine = abs(dx * grain.direction[1] - dy * grain.direction[0]) / hypot(dx, dy)
        off_deg = degrees(asin(min(1.0, sine)))
        ledger.near("direction of the grain", 0.0, off_deg, 1e-6, "degrees off")


def _runs_through(line: Straight, point: Point) -> bool:
    """Whether a line, carried on, passes a point; the arms of the cross do not count."""
    dx, dy = line.end[0] - line.start[0], line.end[1] - line.start[1]
    x, y = point[0] - line.start[0], point[1] - line.start[1]
    at_origin = hypot(line.start[0] + line.end[0], line.start[1] + line.end[1]) < SMALL
    return not at_origin and abs(dx * y - dy * x) < SMALL * hypot(dx, dy)
