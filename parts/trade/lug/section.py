"""A tab as a cantilever: what bends it at its root, or across a lightening hole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot, sqrt

from parts.tables import find
from parts.trade.bolts import partial_factor
from parts.trade.lug.pin import Fork, SingleShear, pin_moment_nmm
from parts.trade.reserve import Screen, at_most

BEAM = "beam theory, first yield"


@dataclass(frozen=True, slots=True)
class PlateSection:
    """A straight cut across the tab: its width, its thickness, and an opening of a width
    `opening` whose middle lies `opening_at` from the middle of the width."""

    width: float
    thickness: float
    opening: float = 0.0
    opening_at: float = 0.0

    def __post_init__(self) -> None:
        if self.opening < 0 or abs(self.opening_at) + self.opening / 2 >= self.width / 2:
            raise ValueError(
                f"an opening of {self.opening:g} mm at {self.opening_at:g} mm does not lie "
                f"within a width of {self.width:g} mm"
            )

    @property
    def area(self) -> float:
        return (self.width - self.opening) * self.thickness

    @property
    def middle(self) -> float:
        """Where the area's centre lies, from the middle of the width."""
        return -self.opening * self.opening_at / (self.width - self.opening)

    @property
    def modulus_in_plane(self) -> float:
        """mm3, for bending in the tab's own plane, at the farther edge.

        >>> PlateSection(70, 6).modulus_in_plane   # 6 x 70^2 / 6
        4900.0
        """
        full = self.width**3 / 12 + self.width * self.middle**2
        gone = self.opening**3 / 12 + self.opening * (self.opening_at - self.middle) ** 2
        return self.thickness * (full - gone) / (self.width / 2 + abs(self.middle))

    @property
    def modulus_out_of_plane(self) -> float:
        """mm3, for bending across the thickness."""
        return (self.width - self.opening) * self.thickness**2 / 6


@dataclass(frozen=True, slots=True)
class AtHole:
    """What one tab feels at its hole, N: `along` the section, `away` from it (a pull), and
    `side` square to the tab; `moment_nmm` bends it across its thickness besides.

    `height` is the hole's centre above the section, `offset` its distance from the middle of
    the width.
    """

    along: float
    away: float
    side: float
    height: float
    offset: float = 0.0
    moment_nmm: float = 0.0


def side_load(force_n: float) -> float:
    """The push across a tab that goes with a link's force: 10 % of it, common practice."""
    return abs(force_n) * float(find("fork_rules", "side load of the link's")["least"])


def single_shear_moment_nmm(force_n: float, fork: Fork) -> float:
    """What bends the plate across its thickness because the joint hangs beside it: nothing in
    double shear."""
    return pin_moment_nmm(force_n, fork) if isinstance(fork, SingleShear) else 0.0


def section_screens(at: AtHole, section: PlateSection, yield_mpa: float) -> Iterator[Screen]:
    """Bending in plane, out of plane, both with the pull, and mean shear.

    In plane 6 P h / (t w^2), out of plane 6 P h / (w t^2). A height of 50 mm, 5 kN along and
    0.5 kN across a 70 x 6 root:

    >>> screens = section_screens(AtHole(5000, 0, 500, 50), PlateSection(70, 6), 355)
    >>> [round(s.found, 2) for s in screens]
    [51.02, 59.52, 110.54, 11.96]
    """
    in_plane = at.along * at.height - at.away * (at.offset - section.middle)
    bent = abs(at.side * at.height) + abs(at.moment_nmm)
    first = abs(in_plane) / section.modulus_in_plane
    second = bent / section.modulus_out_of_plane
    allowed = yield_mpa / partial_factor("M0")
    yield at_most("bending in plane", first, allowed, "MPa", BEAM)
    yield at_most("bending out of plane", second, allowed, "MPa", BEAM)
    together = first + second + abs(at.away) / section.area
    yield at_most("bending both ways with the pull", together, allowed, "MPa", BEAM)
    shear = hypot(at.along, at.side) / section.area
    yield at_most("shear across the tab", shear, allowed / sqrt(3), "MPa", "EN 1993-1-1 6.2.6")
