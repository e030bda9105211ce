"""What is written and drawn on a blank besides its cuts, whatever the paper or file."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, degrees

from parts.part import Part, Piece
from parts.sheet.allowance import Sourced
from parts.sheet.blank import Bend
from parts.sheet.curve import Curve, Line
from parts.sheet.fold import Folded, stretches, tangent_sides

ROLL = 25.0  # mm; a bend that takes up more of the flat also has its two ends drawn


def bend_lines(folded: Folded, number: int) -> list[Line]:
    """The middle line of a bend, clipped to the metal that bends."""
    bend = folded.blank.bends[number]
    nx, ny = bend.across
    half = bend.allowance / 2
    (x, y), along = (bend.start[0] + half * nx, bend.start[1] + half * ny), bend.along
    found = []
    for region in folded.regions:
        if region.bend == number:
            around = tuple(curve for loop in region.curves for curve in loop)
            for low, high in stretches(around, (x, y), along):
                start = (x + low * along[0], y + low * along[1])
                end = (x + high * along[0], y + high * along[1])
                found.append(Line(start, end))
    return found


def ends_of_roll(folded: Folded, number: int) -> Iterator[Curve]:
    """Where the metal of a long bend starts and ends to turn, for the roller; none of a fold."""
    if folded.blank.bends[number].allowance > ROLL:
        for which in (0, 1):
            yield from (side.curve for side in tangent_sides(folded, number, which))


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
