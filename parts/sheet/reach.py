"""From one plane to another: the bend between them, and where it lies on the blank.

No square corners are assumed. The fold line is where the planes of the sheet's back face meet;
the turn is the angle between the two directions of travel square to it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import atan2, degrees, radians, tan

import numpy as np

from parts.place import Place, Vector, axes, cross, unit
from parts.sheet.bent import beyond, skin_radius
from parts.sheet.blank import Bend

PARALLEL = 2e-4  # sine of the angle under which two faces count as parallel: no bend is so slight


class OutOfReach(ValueError):
    """Two planes that one bend cannot join; the message says why."""


@dataclass(frozen=True, eq=False)
class ContactFace:
    """A face that metal lies against: a point of it (3,), and the unit normal into the metal."""

    point: Vector
    metal: Vector

    def height(self, point: Vector) -> float:
        """How far a point stands off the face, on the metal's side."""
        return float((point - self.point) @ self.metal)

    def foot(self, point: Vector) -> Vector:
        """The point of the face square below `point` (3,)."""
        return np.asarray(point - self.height(point) * self.metal)


@dataclass(frozen=True, eq=False)
class Reach:
    """A bend onto a face.

    `place` carries flat points beyond the bend to space; `drawn_touches` tells that the drawn
    face, not the back, lies against the face. `before` and `after` are the distances (n,) of
    the given points from the start and the end of the bend, positive away from it; `apex` is a
    point (3,) of the line in which the outer faces would meet, `line` its direction (3,).
    """

    bend: Bend
    place: Place
    drawn_touches: bool
    before: Vector
    after: Vector
    apex: Vector
    line: Vector


def laid_on(face: ContactFace, toward: Vector) -> Place:
    """A sheet with its back on a face: y points `toward` (in the face), z into the metal.

    The origin is the face's own point.
    """
    ahead = unit(toward - (toward @ face.metal) * face.metal)
    return axes(cross(ahead, face.metal), face.metal, face.point)


def bend_onto(
    place: Place,
    thickness: float,
    radius: float,
    allowance: Callable[[float], float],
    face: ContactFace,
    near: Vector,
    far: Vector,
    name: str,
) -> Reach:
    """The bend that carries a sheet lying at `place` onto a face.

    `near` (n, 3) are points of the sheet before the bend, `far` (m, 3) points beyond it, which
    lie on the face. `allowance` gives the bend allowance for a turn in degrees. Raises
    OutOfReach where the planes are parallel or the points lie on both sides of the fold.
    """
    z = place.turn[:, 2]
    line = cross(z, face.metal)
    if np.linalg.norm(line) < PARALLEL:
        raise OutOfReach("the two faces are parallel")
    line = unit(line)
    apex, ahead, onward = _crossing(place, face.point, face.metal, line, near, far)
    turn_deg = degrees(atan2(onward @ z, onward @ ahead))
    angle = radians(turn_deg)
    new_z = -np.sin(angle) * ahead + np.cos(angle) * z
    drawn_touches = bool(new_z @ face.metal < 0)
    if drawn_touches:  # the metal lies between the face and the sheet's back
        back = face.point + thickness * face.metal
        apex, led, swung = _crossing(place, back, face.metal, line, near, far)
        if led @ ahead < 0 or swung @ onward < 0:
            raise OutOfReach("the points of one face lie in the fold itself")
    flat_apex = place.inverse().apply(apex)
    u = place.inverse().direction(ahead)
    along = (float(u[1]), float(-u[0]))
    trial = Bend(name, (0.0, 0.0), (1.0, 0.0), turn_deg, radius, 1.0)
    setback = skin_radius(trial, thickness, 0.0) * tan(abs(angle) / 2)
    span = 10.0 + max(
        abs(float((place.inverse().apply(p) - flat_apex)[:2] @ along)) for p in near
    )
    span += float(np.abs((far - apex) @ line).max())
    middle = flat_apex[:2] - setback * u[:2]
    start = middle - span * np.array(along)
    end = middle + span * np.array(along)
    bend = Bend(
        name,
        (float(start[0]), float(start[1])),
        (float(end[0]), float(end[1])),
        turn_deg,
        radius,
        allowance(turn_deg),
    )
    return Reach(
        bend,
        place.then(beyond(bend, thickness)),
        drawn_touches,
        (apex - near) @ ahead - setback,
        (far - apex) @ onward - setback,
        apex,
        line,
    )


def _crossing(
    place: Place, point: Vector, normal: Vector, line: Vector, near: Vector, far: Vector
) -> tuple[Vector, Vector, Vector]:
    """A point of the line where the sheet's back meets a plane, and both ways of travel."""
    z = place.turn[:, 2]
    middle = near.mean(axis=0)
    system = np.array([z, normal, line])
    apex = np.linalg.solve(system, [z @ place.origin, normal @ point, line @ middle])
    ahead, onward = cross(line, z), cross(line, normal)
    before, after = (apex - near) @ ahead, (far - apex) @ onward
    if before.sum() < 0:
        ahead, before = -ahead, -before
    if after.sum() < 0:
        onward, after = -onward, -after
    if before.min() < 0 or after.min() < 0:
        worst = max(-before.min(), -after.min())
        raise OutOfReach(f"the faces cross between the points, {worst:.1f} mm past one of them")
    return apex, ahead, onward
