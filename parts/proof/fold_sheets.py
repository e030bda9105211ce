"""The fold sheet, read back: every step in its order, its bends, turns, gauge and legs as folding
once more by other means finds them, and the blank true to the scale it names."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees
from pathlib import Path

import numpy as np

from parts.part import Part, Piece
from parts.proof.ledger import Ledger
from parts.proof.partly import Partly, gauge_distance, outside_legs
from parts.proof.pdf import Sheet, runs_between, sheets_of
from parts.proof.templates import distances, points_along
from parts.sheet.blank import Bend
from parts.sheet.fold_order.steps import FoldOrder, Step
from parts.sheet.loop import box

TENTH = 0.05 + 1e-2  # mm, or degrees of a swing; curves are taken in chords
HUNDREDTH = 0.005 + 1e-6  # degrees; angles are written to a hundredth
OFF = 0.02  # mm of paper
ABOUT = ("hold", "gauge", "turn", "roll", "check", "tool", "mind")
NUMBER = r"(-?\d+(?:\.\d+)?)"
ROLLED = 10.0  # thicknesses of inside radius over which a bend is rolled


@dataclass(frozen=True, slots=True)
class _Told:
    """A step as the sheet tells it: its number, its heading, which way, and what else by kind."""

    number: int
    heading: str
    way: str
    said: dict[str, str]

    @property
    def bends(self) -> tuple[int, ...]:
        found = re.match(r"B\d+(?: \+ B\d+)*", self.heading)
        return tuple(int(n) - 1 for n in re.findall(r"B(\d+)", found[0])) if found else ()


def check_fold_sheet(path: Path, part: Part, piece: Piece, ledger: Ledger) -> None:
    """Hold the fold sheet of a piece against the piece."""
    sheets = sheets_of(path, ledger)
    if not sheets:
        return
    for number, sheet in enumerate(sheets, 1):
        said = part.stem(piece)
        told = said if _plain(said) in _plain(sheet.text) else " ".join(sheet.text.split())
        ledger.same("whose sheet it is", said, told, f"name on sheet {number}")
    _check_blank(sheets[0], piece, ledger)
    order = piece.fold_order
    if not isinstance(order, FoldOrder):
        found = [n for n in range(len(piece.blank.bends))
                 if any(f"\nB{n + 1}\n" in sheet.text for sheet in sheets)]  # fmt: skip
        ledger.same("bends without an order", [*range(len(piece.blank.bends))], found)
        return
    steps = [told for sheet in sheets for told in _steps(sheet.text)]
    numbers = [one.number for one in steps]
    ledger.same("numbers of the steps", [*range(1, len(order.steps) + 1)], numbers)
    bent = sorted(number for step in steps for number in step.bends)
    ledger.same("bends, each once", [*range(len(piece.blank.bends))], bent)
    made: list[int] = []
    face = ""
    for step, one in zip(order.steps, steps, strict=False):
        if ledger.same("bends of a step", step.bends, one.bends, f"bends of step {one.number}"):
            face = _check_step(piece, step, one, made, face, ledger)
        made = sorted({*made, *step.bends})
    for (first, _), (second, one) in pairwise(zip(order.steps, steps, strict=False)):
        _check_sense(piece, first, second, one, ledger)
    _check_finished(piece, sheets[-1].text, ledger)


def _plain(words: str) -> str:
    """Letters and digits alone."""
    return re.sub(r"[^a-z0-9]+", "", words.casefold())


# the blank


def _check_blank(sheet: Sheet, piece: Piece, ledger: Ledger) -> None:
    """The blank's edges on paper, at the scale that its heading names."""
    named = re.search(r"Blank (\d+):(\d+)", sheet.text)
    if not ledger.same("scale of the blank", "named", "named" if named else "missing") or not named:
        return
    scale = int(named[1]) / int(named[2])
    edges = np.vstack([points_along(curve) for loop in piece.blank.loops for curve in loop])
    around = np.array(box(piece.blank.outline)).reshape(2, 2)
    off = np.inf
    for one in sheet.drawn:
        low, high = one.on_page.min(axis=0), one.on_page.max(axis=0)
        if np.abs(high - low - scale * (around[1] - around[0])).max() < OFF:
            inside = [each for each in sheet.drawn if (each.on_page > low - OFF).all()
                      and (each.on_page < high + OFF).all()]  # fmt: skip
            starts, ends = (np.vstack(rows) for rows in
                            zip(*runs_between(inside, on_page=True), strict=True))  # fmt: skip
            shifted = scale * (edges - around[0]) + low
            off = min(off, float(distances(shifted, starts, ends).max()))
    ledger.near("blank, true to scale", 0.0, off, OFF, "mm off")


# the steps


def _steps(text: str) -> Iterator[_Told]:
    """The boxes of the steps, each from its number to the next."""
    lines = text.split("\n")
    starts = [k for k in range(len(lines) - 1)
              if lines[k].isdigit() and re.match(r"B\d+ ", lines[k + 1])]  # fmt: skip
    ends = [*starts[1:], lines.index("✓") if "✓" in lines else len(lines)]
    for start, end in zip(starts, ends, strict=False):
        said: dict[str, str] = {}
        about = ""
        for line in lines[start + 3 : end]:
            if line in ABOUT and (about or line == ABOUT[0]):  # pictures come before
                about = line
            elif about:
                said[about] = f"{said.get(about, '')} {line}".strip()
        yield _Told(int(lines[start]), lines[start + 1], lines[start + 2], said)


def _check_step(
    piece: Piece, step: Step, told: _Told, made: Sequence[int], before: str, ledger: Ledger
) -> str:
    """One step; `made` are bent before it, `before` is the face that was up. Returns the face."""
    where = f"step {told.number}"
    bend = piece.blank.bends[step.bends[0]]
    up = bend.turn_deg > 0
    ledger.same("way of a bend", "up" if up else "down", _found(r"\b(up|down)\b", told.way),
                f"way of {where}")  # fmt: skip
    hold = told.said.get("hold", "")
    face = _found(r"drawn face (up|down)", hold)
    over = "turn it over" if before and face != before else ""
    ledger.same("turning over", over, _found(r"(turn it over)", hold), f"turning over at {where}")
    swing = _found(rf"swing it round {NUMBER}", hold) or ("180" if "back to front" in hold else "0")
    ledger.near("swing", step.swing_deg, float(swing), TENTH, "degrees", f"swing at {where}")
    if _is_roll(bend, piece):
        said = told.said.get("roll", "")
        _near(ledger, "radius of a roll", bend.radius, rf"inside radius {NUMBER}", said, where)
        _near(ledger, "turn of a roll", abs(bend.turn_deg), rf"over {NUMBER}°", said, where)
        return face
    # on a brake the metal comes up: a bend toward the reader has the drawn face up
    ledger.same("face at the punch", "up" if up else "down", face, f"face at {where}")
    _check_turn(piece, step, told, ledger)
    _check_gauge(piece, step, told, made, ledger)
    _check_legs(piece, step, told, made, ledger)
    return face


def _check_sense(piece: Piece, first: Step, second: Step, told: _Told, ledger: Ledger) -> None:
    """Which way the piece is swung from what was gauged on to what is gauged on next.

    What lay at the back stays there when the piece is turned over; the blank's own clock runs
    backward where its drawn face lies down.
    """
    headings = [_heading_deg(piece, step) for step in (first, second)]
    if headings[0] is None or headings[1] is None:
        return
    up = piece.blank.bends[second.bends[0]].turn_deg > 0
    swing = (headings[0] - headings[1] if up else headings[1] - headings[0]) % 360
    sense = ""
    if min(swing, abs(swing - 180), 360 - swing) > HUNDREDTH * 10:
        sense = "anticlockwise" if swing < 180 else "clockwise"
    found = _found(r"\b(anticlockwise|clockwise)", told.said.get("hold", ""))
    ledger.same("sense of a swing", sense, found, f"sense of the swing at step {told.number}")


def _heading_deg(piece: Piece, step: Step) -> float | None:
    """The direction on the blank from a bend to what touches the gauge; None without a gauge."""
    if step.gauge is None:
        return None
    bend = piece.blank.bends[step.bends[0]]
    (x0, y0), (x1, y1) = step.gauge.edge
    way = 1 if bend.ahead(((x0 + x1) / 2, (y0 + y1) / 2)) > bend.allowance / 2 else -1
    return degrees(atan2(way * bend.across[1], way * bend.across[0]))


def _found(pattern: str, text: str) -> str:
    found = re.search(pattern, text)
    return found[1] if found else ""


def _near(
    ledger: Ledger, kind: str, expected: float, pattern: str, text: str, where: str
) -> None:  # fmt: skip
    """Hold a number that is written against its value; NaN where it is not written at all."""
    angle = "°" in pattern
    ledger.near(kind, expected, float(_found(pattern, text) or "nan"),
                HUNDREDTH if angle else TENTH, "degrees" if angle else "mm",
                f"{kind} at {where}")  # fmt: skip


def _check_turn(piece: Piece, step: Step, told: _Told, ledger: Ledger) -> None:
    """The turn, the included angle, and how far to bend over."""
    said, where = told.said.get("turn", ""), f"step {told.number}"
    turn_deg = abs(piece.blank.bends[step.bends[0]].turn_deg)
    over = piece.allowances[step.bends[0]].over
    _near(ledger, "included angle", 180 - turn_deg, rf"included angle {NUMBER}°", said, where)
    if over is None:
        _near(ledger, "turn", turn_deg, rf"^{NUMBER}° from flat", said, where)
        strip = "spring-back: try on a strip"
        ledger.same("spring-back", strip, _found(f"({strip})", said), f"spring-back at {where}")
        return
    _near(ledger, "turn", turn_deg, rf"springs back to {NUMBER}°", said, where)
    _near(ledger, "bending over", turn_deg + over.value, rf"bend to {NUMBER}°", said, where)


def _check_gauge(
    piece: Piece, step: Step, told: _Told, made: Sequence[int], ledger: Ledger
) -> None:
    """The distance from what touches the gauge to the middle of the bend, folded so far."""
    said, where = told.said.get("gauge", ""), f"step {told.number}"
    if step.gauge is None:
        none = "no edge to gauge on"
        ledger.same("gauge", none, _found(f"({none})", said), f"gauge at {where}")
        return
    partly = Partly.of(piece.blank, made)
    expected = gauge_distance(partly, piece.folded, step.bends[0], step.gauge.edge)
    _near(ledger, "gauge", expected, rf"^{NUMBER} mm to the middle", said, where)
    against = step.gauge.against
    ledger.same("against the gauge", against, _found(r"against: (.*)", said), f"gauge at {where}")


def _check_legs(piece: Piece, step: Step, told: _Told, made: Sequence[int], ledger: Ledger) -> None:
    """Both outside legs, in either order: which is at the back follows from the gauge."""
    said, where = told.said.get("check", ""), f"step {told.number}"
    ahead, behind = outside_legs(Partly.of(piece.blank, {*made, *step.bends}), step.bends)
    back, front = (
        float(_found(pattern, said) or "nan") for pattern in (rf"back {NUMBER}", rf"front {NUMBER}")
    )
    bend = piece.blank.bends[step.bends[0]]
    if step.gauge is not None:
        (x0, y0), (x1, y1) = step.gauge.edge
        turned = bend.ahead(((x0 + x1) / 2, (y0 + y1) / 2)) < bend.allowance / 2
    else:  # nothing says which side is at the back
        turned = abs(back - behind) < abs(back - ahead)
    for found, expected in zip((back, front), (behind, ahead) if turned else (ahead, behind),
                               strict=True):  # fmt: skip
        ledger.near("outside leg", expected, found, TENTH, what=f"outside leg at {where}")


def _check_finished(piece: Piece, text: str, ledger: Ledger) -> None:
    """The outside sizes of the finished piece, and the included angles of its bends."""
    whole = Partly.of(piece.blank, range(len(piece.blank.bends)))
    metal = whole.metal(range(len(whole.folded.regions)))
    said = " ".join(text.partition("Finished")[2].split())
    sizes = re.search(rf"{NUMBER} × {NUMBER} × {NUMBER} mm over all", said)
    found = [float(sizes[k]) for k in (1, 2, 3)] if sizes else [float("nan")] * 3
    for axis, expected in enumerate(np.ptp(metal, axis=0).tolist()):
        name = f"finished size along {'xyz'[axis]}"
        ledger.near("finished sizes", expected, found[axis], TENTH, what=name)
    for number, bend in enumerate(piece.blank.bends):
        if not _is_roll(bend, piece):
            _near(ledger, "finished angle", 180 - abs(bend.turn_deg),
                  rf"\bB{number + 1} {NUMBER}°", said, f"B{number + 1}")  # fmt: skip


def _is_roll(bend: Bend, piece: Piece) -> bool:
    return bend.radius > ROLLED * piece.blank.thickness
