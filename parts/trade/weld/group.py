"""Fillet welds as lines in space, and how a force spreads over them.

Elastic: the parts are stiff, the welds give alike in every direction, so the stress on the
throats is F / A + w x r about their common centre. For welds in one plane that is the textbook
vector method: direct force, M y / I and T r / J together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parts.place import HERE, Matrix, Place, Vector
from parts.sheet.curve import Curve

Floats = NDArray[np.float64]
Joint = Literal["tee", "lap"]
NODES, WEIGHTS = np.polynomial.legendre.leggauss(32)  # to rounding, up to a full circle
TURNING = 1e-9  # part of the moment that a group may fail to resist, for rounding


@dataclass(frozen=True, eq=False)
class Run:
    """One weld along a line or an arc, drawn in the plane of `place`; the plate lies to its
    left.

    "tee": the plane is a face of the plate, which stands square on the base; the weld lies on
    the face toward the plane's z, or away from it where `face` is -1. "lap": the plane is the
    base, the weld lies on it round the plate's edge.
    """

    curve: Curve
    throat: float
    place: Place = HERE
    joint: Joint = "tee"
    face: Literal[1, -1] = 1

    def at(self, fractions: Floats) -> Vector:
        """Points (n, 3) of the root, mm."""
        flat = [self.curve.at(float(f)) for f in fractions]
        return self.place.apply([(x, y, 0.0) for x, y in flat])

    def frame(self, fractions: Floats) -> tuple[Vector, Vector, Vector]:
        """Unit vectors (n, 3): square to the throat, across it, and along the weld."""
        along = [self.curve.tangent(float(f)) for f in fractions]
        left = self.place.direction([(-y, x, 0.0) for x, y in along])
        up = self.face * self.place.direction([(0.0, 0.0, 1.0)] * len(along))
        plate, base = (up, left) if self.joint == "tee" else (-left, up)
        run = self.place.direction([(x, y, 0.0) for x, y in along])
        return (plate - base) / sqrt(2), (plate + base) / sqrt(2), run


@dataclass(frozen=True, eq=False)
class WeldGroup:
    """Welds taken together: `area` of the throats, their `centre` (3,), and `second` (3, 3),
    the sum of area times r r about it. With throats of 1 mm these are the line's own."""

    length: float
    area: float
    centre: Vector
    second: Matrix

    @property
    def stiffness(self) -> Matrix:
        """The inertia tensor (3, 3), mm4: its diagonal holds I about x and y, J about z of a
        group that lies in the x-y plane."""
        return np.asarray(np.trace(self.second) * np.eye(3) - self.second)


@dataclass(frozen=True, eq=False)
class Load:
    """A force (3,), N, at a point (3,), mm, and a moment (3,), Nmm, besides."""

    force: ArrayLike
    at: ArrayLike = (0.0, 0.0, 0.0)
    moment: ArrayLike = (0.0, 0.0, 0.0)


def weld_group(runs: Sequence[Run]) -> WeldGroup:
    """The runs' area, centre and inertia, exact for lines and arcs.

    A 100 mm line of 1 mm throat has I = 100^3 / 12 about its middle:

    >>> from parts.sheet.curve import Line
    >>> group = weld_group([Run(Line((0, 0), (100, 0)), 1)])
    >>> group.centre.round(6).tolist(), round(float(group.second[0, 0]), 3)
    ([50.0, 0.0, 0.0], 83333.333)

    Raises ValueError without a weld.
    """
    if not runs or any(run.throat <= 0 or run.curve.length <= 0 for run in runs):
        raise ValueError("a weld group needs welds, each with a length and a throat over 0 mm")
    points = np.concatenate([run.at((NODES + 1) / 2) for run in runs])
    areas = np.concatenate([WEIGHTS / 2 * run.curve.length * run.throat for run in runs])
    area = float(areas.sum())
    centre = areas @ points / area
    arms = points - centre
    second = np.einsum("i,ij,ik->jk", areas, arms, arms)
    return WeldGroup(sum(run.curve.length for run in runs), area, centre, second)


def throat_stress(group: WeldGroup, load: Load, points: Vector) -> Vector:
    """Stress vectors (n, 3), MPa, on the throats at points (n, 3).

    Raises ValueError where the welds cannot resist the moment: one straight weld turned about
    its own length.
    """
    force = np.asarray(load.force, dtype=float)
    arm = np.asarray(load.at, dtype=float) - group.centre
    moment = np.asarray(load.moment, dtype=float) + np.cross(arm, force)
    turn = np.linalg.pinv(group.stiffness, rcond=1e-10) @ moment
    missed = moment - group.stiffness @ turn
    scale = np.linalg.norm(moment) + np.linalg.norm(force) * np.linalg.norm(arm)
    if np.linalg.norm(missed) > TURNING * max(float(scale), 1.0):
        raise ValueError(
            f"the welds cannot resist {np.linalg.norm(missed):.0f} Nmm: one straight weld turns "
            "about its own length; weld both sides or round the ends"
        )
    return np.asarray(force / group.area + np.cross(turn, points - group.centre))
