"""A tub's own axes: p along the vehicle, q up, o outboard from the centre plane.

p runs from the end where the band starts on the blank to the other, so that in the flat the
band's outboard edge is up for both hands: rear to front on the right, front to rear on the left.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from parts.place import Place, Vector

FORWARD = {"right": -1.0, "left": 1.0}  # sign of X along p
OUTWARD = {"right": 1.0, "left": -1.0}  # sign of Y along o


@dataclass(frozen=True, slots=True)
class Local:
    """The change between vehicle axes (X, Y, Z) and a tub's own (p, q, o) for one hand."""

    hand: str

    @property
    def ends(self) -> tuple[str, str]:
        """Names of the band's two ends, first first."""
        return ("rear", "front") if self.hand == "right" else ("front", "rear")

    def p(self, x: float) -> float:
        """A length along p from an X coordinate."""
        return FORWARD[self.hand] * x

    def vehicle(self, p: float, q: float, o: float) -> Vector:
        """The point in vehicle axes (3,)."""
        return np.array([FORWARD[self.hand] * p, OUTWARD[self.hand] * o, q])

    def way(self, p: float, q: float, o: float) -> Vector:
        """A direction in vehicle axes (3,)."""
        return self.vehicle(p, q, o)

    def place(self, x: Vector, z: Vector, origin: Vector) -> Place:
        """A place in vehicle axes from directions and an origin given as (p, q, o)."""
        ex, ez = self.way(*x), self.way(*z)
        return Place(np.column_stack([ex, np.cross(ez, ex), ez]), self.vehicle(*origin))
