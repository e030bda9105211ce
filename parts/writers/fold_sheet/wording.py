"""What the folder reads of each step, line by line."""

from __future__ import annotations

from collections.abc import Sequence

from parts.paper.dimensions import text_of
from parts.part import Piece
from parts.sheet.bend_side import is_rolled
from parts.sheet.blank import Bend
from parts.sheet.fold_order.held import Held
from parts.sheet.fold_order.steps import Step

HALF = 180.0
USUAL = "straight punch"  # the head tells it
NEAR_TOOL = 10.0  # mm; metal that clears the tool by less is told

Told = tuple[str, str]  # what it is about, and what is to be done


def degrees_of(angle_deg: float) -> str:
    """An angle as it is written, to a hundredth.

    >>> degrees_of(90.0), degrees_of(95.59132)
    ('90°', '95.59°')
    """
    return f"{round(angle_deg, 2):g}°"


def name_of(number: int) -> str:
    """A bend by its number, as in the drawing's bend table."""
    return f"B{number + 1}"


def names_of(numbers: Sequence[int]) -> str:
    """Several bends in one line.

    >>> names_of((0, 2))
    'B1 + B3'
    """
    return " + ".join(map(name_of, numbers))


def heading(piece: Piece, one: Held) -> tuple[str, str]:
    """The bends of a step by number and name, and which way they go."""
    called = ", ".join(piece.blank.bends[number].name for number in one.step.bends)
    return f"{names_of(one.step.bends)} {called}", way_of(one.bend)


def way_of(bend: Bend) -> str:
    """Which way the metal goes, seen on the drawn face."""
    return "↑ up, toward you" if bend.up else "↓ down, away from you"


def told(piece: Piece, one: Held, first: bool) -> list[Told]:
    """A step in words: how to hold it, where the gauge stands, how far to go, what to check."""
    lines = [("hold", holding(one, first))]
    if one.step.rolled:
        return [*lines, ("roll", _roll(one.bend))]
    lines += [("gauge", gauging(one)), ("turn", turning(one)), ("check", _check(one))]
    kind = punch_of(one.step)
    tool = [*([kind] if kind not in ("", USUAL) else []), *one.step.unusual]
    if tool:
        lines.append(("tool", "; ".join(tool)))
    if one.step.open_mm is not None and one.step.open_mm < NEAR_TOOL:
        lines.append(("mind", f"metal passes the tool by {text_of(one.step.open_mm)} mm"))
    return lines


def punch_of(step: Step) -> str:
    """The kind of punch of a step, without what is unusual about it; "" for a roll."""
    return step.punch.partition(",")[0]


def holding(one: Held, first: bool) -> str:
    """How the piece is handled since the step before, and how it lies then."""
    step = one.step
    face = f"drawn face {'up' if step.drawn_face_up else 'down'}"
    if first:
        return f"start with the {face}"
    swing = round(one.swing_deg, 1) + 0.0
    if step.flip and abs(swing) == HALF:
        return f"turn it over, back to front: {face}"
    moves = ["turn it over sideways"] if step.flip else []
    if swing:
        way = "" if abs(swing) == HALF else " anticlockwise" if swing > 0 else " clockwise"
        moves.append(f"swing it round {abs(swing):g}°{way}")
    return f"{', '.join(moves) or 'leave it as it lies'}: {face}"


def gauging(one: Held) -> str:
    """Where the gauge stands."""
    gauge = one.step.gauge
    if gauge is None:
        return "no edge to gauge on: work to the ticks"
    return f"{text_of(gauge.distance)} mm to the middle of the bend, against: {gauge.against}"


def turning(one: Held) -> str:
    """How far to bend, and what is left when it springs back."""
    turn_deg, over_deg = abs(one.step.turn_deg), one.step.over_deg
    included = f"included angle {degrees_of(180 - turn_deg)}"
    if over_deg is None:
        return f"{degrees_of(turn_deg)} from flat, {included}; spring-back: try on a strip"
    return (
        f"bend to {degrees_of(abs(over_deg))}, springs back to {degrees_of(turn_deg)}; {included}"
    )


def _roll(bend: Bend) -> str:
    return (
        f"to inside radius {text_of(bend.radius)} (a template of that radius checks it), from line "
        f"to line, over {degrees_of(abs(bend.turn_deg))}"
    )


def _check(one: Held) -> str:
    """The outside legs once the step is made, to hold a caliper or a square to."""
    far, near = text_of(one.leg(one.side)), text_of(one.leg(-one.side))
    return f"outside legs: back {far}, front {near}"


def folds(piece: Piece) -> str:
    """Angles to check with a square or a bevel when all is done."""
    thickness = piece.stock.thickness
    found = [
        f"{name_of(number)} {degrees_of(180 - abs(bend.turn_deg))}"
        for number, bend in enumerate(piece.blank.bends)
        if not is_rolled(bend, thickness)
    ]
    return ", ".join(found)
