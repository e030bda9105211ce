"""What is written and drawn on a blank besides its cuts, whatever the paper or file."""

from __future__ import annotations

from math import atan2, degrees

from parts.part import Part, Piece
from parts.sheet.allowance import Sourced
from parts.sheet.blank import Bend


def bend_words(bend: Bend, over: Sourced | None = None) -> list[str]:
    """What the folder must know, one line each; `over` is how far to bend past the turn.

    >>> bend_words(Bend("foot", (0, 0), (60, 0), -90, 3, 6.03), Sourced(1.5, "bend book row 1"))
    ['foot: down 90° R3', 'foot: over to 91.5° by bend book row 1']
    """
    way, turn_deg = "up" if bend.up else "down", abs(bend.turn_deg)
    words = [f"{bend.name}: {way} {turn_deg:.4g}° R{bend.radius:.4g}"]
    if over is not None:
        words.append(f"{bend.name}: over to {turn_deg + over.value:.4g}° by {over.source}")
    return words


def piece_words(part: Part, piece: Piece) -> list[str]:
    """What tells this blank from the others, and which face is seen."""
    name = part.name if piece.name == part.name else f"{part.name} {piece.name}"
    hand = f"{piece.hand} hand" if piece.hand else "no hand"
    return [name, hand, "this face up"]


def reading_deg(bend: Bend) -> float:
    """Direction of the words along a bend, never upside down."""
    angle = degrees(atan2(bend.along[1], bend.along[0]))
    while angle > 90 + 1e-9:
        angle -= 180
    while angle <= -90 + 1e-9:
        angle += 180
    return round(angle, 9) + 0.0
