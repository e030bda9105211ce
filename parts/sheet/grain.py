"""Which way a blank should lie on the sheet, so that its sharpest bends run across the grain.

Rolled sheet takes a sharper bend across its rolling direction than along it. Where the inside
radius of a bend lies between the two, the grain must run the right way; where such bends run in
different directions, no way suits them all.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees, sqrt

from parts.sheet.bend_side import is_rolled
from parts.sheet.curve import Point
from parts.sheet.fold import Folded, tangent_sides
from parts.sheet.stock import Material, least_radii

HALF_WAY = sqrt(0.5) - 1e-9  # cosine; a bend line at 45 degrees to the grain counts as along it


@dataclass(frozen=True, slots=True)
class Grain:
    """The direction of the grain on the blank (unit), and the bends that run along it.

    `against` has the numbers of the bends that would need to run across it and do not.
    """

    direction: Point
    against: tuple[int, ...]

    @property
    def angle_deg(self) -> float:
        """Its angle to the blank's x axis, over -90 to 90."""
        angle = degrees(atan2(self.direction[1], self.direction[0])) % 180
        return round(angle - 180 if angle > 90 + 1e-9 else angle, 9) + 0.0


def grain_of(folded: Folded, material: Material) -> Grain | None:
    """The grain that lets the greatest length of sharp bends run across it.

    None where no bend needs it, or no table knows the metal. The grain is assumed: nothing
    forces a cutter to keep it, so the drawing must say it. Strip bent square to its length, in
    4 mm S235, which takes 5 mm across the grain and 6 along it (EN 10025-2):

    >>> from parts.sheet.blank import Bend, Blank
    >>> from parts.sheet.fold import fold
    >>> from parts.sheet.loop import polygon
    >>> from parts.sheet.stock import material
    >>> strip = polygon([(0, 0), (90, 0), (90, 20), (0, 20)])
    >>> ell = fold(Blank(4, strip, (), (Bend("lip", (40, 20), (40, 0), 90, 5, 10),), (5, 5)))
    >>> grain_of(ell, material("S235"))
    Grain(direction=(1.0, 0.0), against=())
    >>> grain_of(ell, material("DC01"))
    """
    thickness = folded.blank.thickness
    try:
        least = least_radii(material, thickness)
    except ValueError:
        return None
    sharp = [
        number
        for number, bend in enumerate(folded.blank.bends)
        if bend.radius < least.along - 1e-9 and not is_rolled(bend, thickness)
    ]
    if least.along <= least.across or not sharp:
        return None
    length = {n: sum(s.curve.length for s in tangent_sides(folded, n, 0)) for n in sharp}
    best: tuple[float, Grain] | None = None
    for number in sharp:
        nx, ny = folded.blank.bends[number].across
        way = 1.0 if (nx, ny) > (0.0, 0.0) else -1.0
        direction = (way * nx + 0.0, way * ny + 0.0)
        against = tuple(n for n in sharp if _along(folded.blank.bends[n].along, direction))
        across = sum(length[n] for n in sharp if n not in against)
        if best is None or across > best[0] + 1e-6:
            best = (across, Grain(direction, against))
    assert best is not None
    return best[1]


def _along(line: Point, grain: Point) -> bool:
    return abs(line[0] * grain[0] + line[1] * grain[1]) > HALF_WAY
