"""What one stroke of the brake makes: a bend, or several that lie in one line."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from parts.sheet.bend_side import is_rolled
from parts.sheet.blank import Bend
from parts.sheet.fold import Folded

SAME_LINE = 1e-3  # mm that two bends of one line may lie apart
SAME_WAY = 1e-6  # of a direction, a turn in degrees, a radius in mm


@dataclass(frozen=True, slots=True)
class Unit:
    """The bends that one stroke, or one roll, makes; numbers in the blank's order."""

    bends: tuple[int, ...]
    rolled: bool

    @property
    def mask(self) -> int:
        """The bends as bits."""
        return sum(1 << number for number in self.bends)


def units(folded: Folded) -> tuple[Unit, ...]:
    """Bends of one line, turn, radius and sense that share a flat, put together.

    A plate with two tabs side by side, bent up along one line, and one tab bent down:

    >>> from parts.sheet.blank import Blank
    >>> from parts.sheet.fold import fold
    >>> from parts.sheet.loop import polygon
    >>> comb = polygon([(0, 0), (90, 0), (90, 60), (70, 60), (70, 18), (60, 18), (60, 60),
    ...                 (40, 60), (40, 18), (30, 18), (30, 60), (0, 60)])
    >>> bends = [Bend(name, (low, 20), (high, 20), turn, 2, 4)
    ...          for name, low, high, turn in (("a", 0, 30, 90), ("b", 40, 60, -90),
    ...                                        ("c", 70, 90, 90))]
    >>> [unit.bends for unit in units(fold(Blank(2, comb, (), tuple(bends), (5, 5))))]
    [(0, 2), (1,)]
    """
    bends, thickness = folded.blank.bends, folded.blank.thickness
    together = {number: {number} for number in range(len(bends))}
    for region in folded.regions:
        if region.bend is not None:
            continue
        at_it = {side.fold[0] for loop in region.loops for side in loop if side.fold is not None}
        for one, other in combinations(sorted(at_it), 2):
            if one not in together[other] and _one_line(bends[one], bends[other]):
                both = together[one] | together[other]
                together.update((number, both) for number in both)
    firsts = [number for number in together if number == min(together[number])]
    return tuple(
        Unit(tuple(sorted(together[number])), is_rolled(bends[number], thickness))
        for number in firsts
    )


def _one_line(a: Bend, b: Bend) -> bool:
    alike = zip(
        (a.turn_deg, a.radius, a.allowance), (b.turn_deg, b.radius, b.allowance), strict=True
    )
    if any(abs(x - y) > SAME_WAY for x, y in alike):
        return False
    askew = a.along[0] * b.along[1] - a.along[1] * b.along[0]
    middle = b.allowance / 2
    off = [
        a.ahead((p[0] + middle * b.across[0], p[1] + middle * b.across[1])) - a.allowance / 2
        for p in (b.start, b.end)
    ]
    return abs(askew) < SAME_WAY and max(map(abs, off)) < SAME_LINE
