"""What a tab stands on, and the foot it gets there: a round tube, or a flat face."""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, degrees, hypot
from typing import TypeAlias

import numpy as np

from parts.place import Place, Vector
from parts.sheet.curve import Curve, Line
from parts.sheet.stock import Material
from parts.trade.cope import Cope, TubeUnder, cope, tube_under

PARALLEL = 0.05  # sine; a tab that lies flatter than this on a face does not stand on it


class NoTab(ValueError):
    """What was measured leaves no tab; carries where, what was found, what is needed, the cure."""

    def __init__(self, where: str, found: str, needed: str, remedy: str) -> None:
        super().__init__(f"{where}: {found}; needs {needed}")
        self.where, self.found, self.needed, self.remedy = where, found, needed, remedy


@dataclass(frozen=True, eq=False)
class Foot:
    """How one tab meets what it stands on, in the tab's own axes.

    `curves` run from left to right. `gaps` are the nearest and the widest gap over the whole
    root, both faces. `openings_deg` are the least and the greatest angle between a face of the
    tab and the surface, as the fillets see it. `cope` is there on a round tube.
    """

    curves: tuple[Curve, ...]
    gaps: tuple[float, float]
    openings_deg: tuple[float, float]
    cope: Cope | None = None

    @property
    def length(self) -> float:
        """Length of the root along its cut."""
        return sum(curve.length for curve in self.curves)

    @property
    def crown(self) -> float:
        """Height y of its highest point."""
        return max(curve.box()[3] for curve in self.curves)

    @property
    def width(self) -> float:
        """Straight across, from end to end along the root."""
        return self.curves[-1].end[0] - self.curves[0].start[0]


@dataclass(frozen=True, eq=False)
class RoundTube:
    """A round tube: a point of its axis and its unit direction (3,), in vehicle axes, and the
    thickness of a spreader plate rolled round it, 0 for none."""

    tube_od: float
    tube_wall: float
    point: Vector
    along: Vector
    material: Material
    pressed: float = 0.0
    spreader: float = 0.0

    @property
    def od(self) -> float:
        """Diameter of what the tab stands on."""
        return self.tube_od + 2 * self.spreader

    @property
    def wall(self) -> float:
        """The wall that counts: two layers that are not one fold side by side."""
        return hypot(self.tube_wall, self.spreader)

    def from_axis(self, hole: Vector) -> Vector:
        """From the axis straight to a point (3,)."""
        arm = hole - self.point
        return np.asarray(arm - (arm @ self.along) * self.along)

    def up(self, hole: Vector, bolt: Vector) -> Vector:
        """The way up a tab square to `bolt` (unit): in its plane, straight away; raises NoTab."""
        arm = self.from_axis(hole)
        if np.linalg.norm(arm) <= self.od / 2:
            raise NoTab(
                "hole", f"{np.linalg.norm(arm):.1f} mm from the tube's axis",
                f"more than half of the tube, {self.od / 2:.1f} mm",
                "look at the hole's point and the tube's axis",
            )  # fmt: skip
        flat = arm - (arm @ bolt) * bolt
        size = float(np.linalg.norm(flat))
        if size < PARALLEL * float(np.linalg.norm(arm)):
            raise NoTab(
                "bolt_way", "the bolt points at the tube: the tab would lie on it",
                "a bolt that runs beside the tube", "look at bolt_way and the tube's axis",
            )  # fmt: skip
        return np.asarray(flat / size)

    def under(self, tab: Place) -> TubeUnder:
        """The tube as a tab sees it."""
        return tube_under(self.od, self.point, self.along, tab)

    def cant_deg(self, bolt: Vector) -> float:
        """Between tube and bolt: 0 for a tab square across the tube, 90 for one along it."""
        return degrees(np.arccos(min(1.0, abs(float(self.along @ bolt)))))

    def foot(self, tab: Place, left: float, right: float, thickness: float, gap: float) -> Foot:
        """The foot of a tab at a place (x along the root, y up, z = 0 in its middle); ValueError
        where it does not stand there."""
        under = self.under(tab)
        cut = cope(under, left, right, thickness, gap)
        off = 0.0
        for found in cut.gaps:
            out = np.array([found.at[0], found.at[1], 0.0]) - under.point
            out = out - (out @ np.array(under.along)) * np.array(under.along)
            off = max(off, degrees(asin(abs(float(out[2] / np.linalg.norm(out))))))
        gaps = (cut.tightest.least, cut.widest.greatest)
        return Foot(cut.curves, gaps, (90 - off, 90 + off), cut)

    def height(self, hole: Vector) -> float:
        """How far a point lies off the tube's outside."""
        return float(np.linalg.norm(self.from_axis(hole))) - self.od / 2


@dataclass(frozen=True, eq=False)
class FlatFace:
    """A flat face: a point of it and the unit direction it looks in (3,), in vehicle axes."""

    point: Vector
    out: Vector
    wall: float
    material: Material

    def up(self, hole: Vector, bolt: Vector) -> Vector:
        """The way up a tab square to `bolt` (unit): in its plane, straight away; raises NoTab."""
        if self.height(hole) <= 0:
            raise NoTab(
                "hole", f"{-self.height(hole):.1f} mm behind the face",
                "a hole in front of the face it stands on",
                "look at the face's points, or turn `out` round",
            )  # fmt: skip
        flat = self.out - (self.out @ bolt) * bolt
        size = float(np.linalg.norm(flat))
        if size < PARALLEL:
            raise NoTab(
                "bolt_way", "the bolt runs square to the face: the tab would lie on it",
                "a bolt that runs beside the face", "look at bolt_way and the face",
            )  # fmt: skip
        return np.asarray(flat / size)

    def foot(self, tab: Place, left: float, right: float, thickness: float, gap: float) -> Foot:
        """The foot of a tab at a place, as on a tube; ValueError for a root of no width."""
        if left >= right:
            raise ValueError("the root must run from left to right")
        # x is square to the face's own way
        _, rise, lean = (float(v) for v in tab.inverse().direction(self.out))
        behind = float((tab.origin - self.point) @ self.out)
        y = (gap - behind + abs(lean) * thickness / 2) / rise
        off = degrees(asin(min(1.0, abs(lean))))
        gaps = (gap, gap + abs(lean) * thickness)
        return Foot((Line((left, y), (right, y)),), gaps, (90 - off, 90 + off))

    def height(self, hole: Vector) -> float:
        """How far a point lies off the face."""
        return float((hole - self.point) @ self.out)


Stand: TypeAlias = RoundTube | FlatFace
