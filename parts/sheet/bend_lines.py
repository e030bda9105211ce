"""The lines by which a bend is marked on its blank: its middle, and the two ends of a roll."""

from __future__ import annotations

from collections.abc import Iterator

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
