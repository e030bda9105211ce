"""The two faces a bracket joins, from what was measured of them."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np

from parts.kinds.bench import Spots
from parts.kinds.bumper_mount.side import BarFace, Hand, RailFace, Side, Toward
from parts.place import Vector, unit
from parts.sheet.reach import ContactFace

OUTWARD = {"right": 1.0, "left": -1.0}  # sign of y toward the outside of the vehicle
LEAST_AWAY = 1.0  # mm from the points of one end to the face of the other; nearer is no side
AWAY = {"rear": 1.0, "front": -1.0}  # sign of x away from the vehicle's middle


class NoLayout(ValueError):
    """What was measured leaves no bracket to lay out; carries where, what and the remedy."""

    def __init__(self, where: str, found: str, needed: str, remedy: str) -> None:
        super().__init__(f"{where}: {found}; needs {needed}")
        self.where, self.found, self.needed, self.remedy = where, found, needed, remedy


@dataclass(frozen=True, slots=True)
class Angles:
    """The angles of both faces in degrees, as measured or as moved within their error."""

    toe: float
    rail_lean: float
    sweep: float
    bar_lean: float

    @classmethod
    def measured(cls, side: Side) -> Angles:
        rail, bar = side.rail_face, side.bar_face
        return cls(rail.toe.value, rail.lean.value, bar.sweep.value, bar.lean.value)


def contact_faces(
    side: Side, spots: Spots, hand: Hand, bumper: str, angles: Angles
) -> tuple[ContactFace, ContactFace]:
    """The rail's and the bar's face, each with the normal into the bracket's metal.

    Each face passes through the middle of its own points. Raises NoLayout where three points
    lie in line, or where it cannot be told which side of the rail the metal is on.
    """
    rail_points = spots.all_at(side.rail_holes)
    bar_points = spots.all_at(side.bar_studs)
    _refuse_other_side(rail_points, "rail_holes", hand)
    _refuse_other_side(bar_points, "bar_studs", hand)
    rail_normal = (
        _through(spots, side.rail_face.points, "rail_face")
        if side.rail_face.points
        else rail_normal_of(angles.toe, angles.rail_lean, hand)
    )
    bar_normal = (
        _through(spots, side.bar_face.points, "bar_face")
        if side.bar_face.points
        else bar_normal_of(angles.sweep, angles.bar_lean, hand, bumper)
    )
    rail_middle, bar_middle = rail_points.mean(axis=0), bar_points.mean(axis=0)
    rail = ContactFace(
        _on_face(side.rail_face, spots, rail_middle),
        _into_metal(side.rail_face, rail_normal, rail_middle, bar_points, hand),
    )
    toward_rail = float((rail_middle - bar_middle) @ bar_normal)
    if toward_rail < LEAST_AWAY and (not side.bar_face.points or toward_rail > -LEAST_AWAY):
        raise NoLayout(
            "bar_face",
            f"the rail holes lie {-toward_rail:.1f} mm beyond the bar's back, seen from the "
            "vehicle",
            "rail holes on the vehicle's side of it",
            f'check the points, the sweep, and bumper = "{bumper}"',
        )
    bar = ContactFace(
        _on_face(side.bar_face, spots, bar_middle),
        bar_normal if toward_rail > 0 else -bar_normal,
    )
    return rail, bar


def _refuse_other_side(points: Vector, where: str, hand: Hand) -> None:
    """Points under a hand must lie on that side: angles are told outboard and inboard."""
    y = float(points[:, 1].mean())
    if y * OUTWARD[hand] < 0:
        sign = "more" if hand == "right" else "less"
        raise NoLayout(
            where,
            f"its points lie on the other side of the centre plane (Y {y:.0f})",
            f"Y of {sign} than 0 for the {hand} hand",
            "check the signs of Y, or the hand",
        )


def rail_normal_of(toe_deg: float, lean_deg: float, hand: Hand) -> Vector:
    """Outboard normal (3,) of a rail face from its toe and lean, degrees."""
    out = OUTWARD[hand]
    along = np.array([cos(radians(toe_deg)), out * sin(radians(toe_deg)), 0.0])
    upright = np.array([0.0, out * sin(radians(lean_deg)), cos(radians(lean_deg))])
    normal = unit(np.cross(along, upright))
    return normal if normal[1] * out > 0 else -normal


def bar_normal_of(sweep_deg: float, lean_deg: float, hand: Hand, bumper: str) -> Vector:
    """Normal (3,) of a bar's back toward the vehicle's middle, from its sweep and lean."""
    out, away = OUTWARD[hand], AWAY[bumper]
    along = np.array([-away * sin(radians(sweep_deg)), out * cos(radians(sweep_deg)), 0.0])
    upright = np.array([away * sin(radians(lean_deg)), 0.0, cos(radians(lean_deg))])
    normal = unit(np.cross(upright, along))
    return normal if normal[0] * away < 0 else -normal


def _through(spots: Spots, names: tuple[str, str, str], where: str) -> Vector:
    a, b, c = spots.all_at(names)
    cross = np.cross(b - a, c - a)
    longest = max(np.linalg.norm(b - a), np.linalg.norm(c - a), np.linalg.norm(c - b))
    if np.linalg.norm(cross) <= 0.05 * longest**2:
        raise NoLayout(
            where,
            f"points {', '.join(names)} lie almost in line",
            "three points well apart",
            "measure one more point of the face off that line",
        )
    return unit(cross)


def _on_face(face: RailFace | BarFace, spots: Spots, middle: Vector) -> Vector:
    return spots.all_at(face.points).mean(axis=0) if face.points else middle


def _into_metal(
    face: RailFace, normal: Vector, middle: Vector, bar_points: Vector, hand: Hand
) -> Vector:
    if face.metal is not None:
        way = float(normal @ toward(face.metal, hand))
        if abs(way) < 0.2:
            raise NoLayout(
                "rail_face",
                f"metal = \"{face.metal}\" runs along the face",
                "the direction out of the face",
                "name the side that the bracket lies on",
            )
        return normal if way > 0 else -normal
    heights = (bar_points - middle) @ normal
    if heights.min() < 0 < heights.max() or np.abs(heights).max() < LEAST_AWAY:
        raise NoLayout(
            "rail_face",
            "the bar's studs lie on both sides of it, or in it",
            "the side that the bracket lies on",
            'say metal = "outboard" or "inboard"',
        )
    return normal if heights.sum() > 0 else -normal


def toward(word: Toward, hand: Hand) -> Vector:
    """Unit direction (3,) in vehicle axes for a word."""
    out = OUTWARD[hand]
    return {
        "outboard": np.array([0.0, out, 0.0]),
        "inboard": np.array([0.0, -out, 0.0]),
        "above": np.array([0.0, 0.0, 1.0]),
        "below": np.array([0.0, 0.0, -1.0]),
        "front": np.array([-1.0, 0.0, 0.0]),
        "rear": np.array([1.0, 0.0, 0.0]),
    }[word]
