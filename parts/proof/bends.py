"""The bends of a solid, found in its own cylinders, against the blank's bend table."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import atan2, degrees, radians
from typing import TYPE_CHECKING

import numpy as np

from parts.part import Piece
from parts.place import Vector, cross
from parts.proof.folding import Chain, axis_point, chains, folded_point, rodrigues
from parts.proof.ledger import SMALL, Ledger
from parts.sheet.blank import Bend
from parts.sheet.fold import Region

if TYPE_CHECKING:
    from parts.solid.read import CylinderFace, ShapeFacts

SQUARE = 1e-9  # sine of the angle between two directions that should agree


@dataclass(frozen=True, eq=False)
class Pair:
    """Two skins of one bend: cylinders about one axis over the same angle and length."""

    inner: CylinderFace
    outer: CylinderFace

    @property
    def thickness(self) -> float:
        return self.outer.radius - self.inner.radius


def pairs(shape: ShapeFacts) -> list[Pair]:
    """Every bend that the solid's own cylinders show; round walls of the cut edge are left out."""
    found = []
    for inner in (face for face in shape.cylinders if face.concave):
        for outer in (face for face in shape.cylinders if not face.concave):
            if (
                outer.radius > inner.radius
                and abs(outer.arc_deg - inner.arc_deg) < 1e-6
                and abs(outer.reach - inner.reach) < SMALL
                and parallel(inner.along, outer.along)
                and np.linalg.norm(inner.point - outer.point) < SMALL
                and np.linalg.norm(inner.middle - outer.middle) < SMALL
            ):
                found.append(Pair(inner, outer))
    return found


def check_bends(shape: ShapeFacts, piece: Piece, ledger: Ledger) -> None:
    """Axis, radius, thickness, sector and turn of every bend, from the solid's cylinders."""
    folded = piece.folded
    left = pairs(shape)
    turned: dict[int, list[float]] = {}
    for region, chain in zip(folded.regions, chains(folded), strict=True):
        if region.bend is None:
            continue
        bend = folded.blank.bends[region.bend]
        frame = _Hinge.of(piece, bend, chain)
        pair = min(left, key=lambda pair: frame.misfit(pair, region), default=None)
        if pair is None:
            ledger.wrong(f"bend {bend.name}", "two cylinders about its axis", "none")
            continue
        left.remove(pair)
        low, high = _check_bend(frame, pair, region, ledger)
        turned.setdefault(region.bend, []).extend((low, high))
    for number, ends in turned.items():
        bend = folded.blank.bends[number]
        turn_deg = degrees(max(ends) - min(ends))
        allowed = degrees(SMALL / (bend.radius + folded.blank.thickness))
        ledger.near(
            "turn of a bend",
            abs(bend.turn_deg),
            turn_deg,
            allowed,
            "degrees",
            f"turn of bend {bend.name}",
        )
    for pair in left:
        # round cuts about one centre, a slot's end in a round boss say, are walls as long as
        # the sheet is thick
        if abs(pair.inner.reach - folded.blank.thickness) > SMALL:
            ledger.wrong(
                f"bend of inside radius {pair.inner.radius:.6g} at {at_words(pair.inner.point)}",
                "none there",
                f"one that turns {pair.inner.arc_deg:.6g} degrees",
            )


@dataclass(frozen=True, eq=False)
class _Hinge:
    """A bend's axis in space, and the direction (3,) from it to the metal where it starts."""

    bend: Bend
    thickness: float
    point: Vector
    along: Vector
    toward: Vector

    @staticmethod
    def of(piece: Piece, bend: Bend, chain: Chain) -> _Hinge:
        blank = piece.folded.blank
        axis, along = axis_point(bend, blank.thickness), np.array([*bend.along, 0.0])
        down = np.array([0.0, 0.0, -1.0 if bend.turn_deg > 0 else 1.0])
        point, on, under = (
            folded_point(blank, chain, place) for place in (axis, axis + along, axis + down)
        )
        return _Hinge(bend, blank.thickness, point, on - point, under - point)

    def off_axis(self, pair: Pair) -> float:
        """Distance of the pair's axis from this one, mm; tilt counts over its length."""
        apart = float(np.linalg.norm(cross(pair.inner.point - self.point, self.along)))
        tilt = float(np.linalg.norm(cross(pair.inner.along, self.along)))
        return apart + tilt * pair.inner.reach

    def beside(self, pair: Pair) -> float:
        """How far along the bend line the middle of the pair lies."""
        return float((pair.inner.point - self.point) @ self.along)

    def angles(self, pair: Pair) -> tuple[float, float]:
        """Where the pair starts and ends, radians from the bend's start, the way it turns."""
        way = 1.0 if self.bend.turn_deg > 0 else -1.0
        quarter = rodrigues(self.toward, np.zeros(3), self.along, way * 90)
        middle = atan2(float(pair.inner.middle @ quarter), float(pair.inner.middle @ self.toward))
        half = radians(pair.inner.arc_deg) / 2
        middle += 2 * np.pi if middle < -SMALL else 0.0
        return middle - half, middle + half

    def reach(self, region: Region) -> tuple[float, float, float, float]:
        """Least and greatest angle (radians) and place along the line of a bent region."""
        points = [
            curve.at(f) for loop in region.curves for curve in loop for f in (0, 0.25, 0.5, 0.75, 1)
        ]
        per_mm = radians(abs(self.bend.turn_deg)) / self.bend.allowance
        ahead = [self.bend.ahead(p) * per_mm for p in points]
        beside = [self.bend.beside(p) for p in points]
        return min(ahead), max(ahead), min(beside), max(beside)

    def misfit(self, pair: Pair, region: Region) -> float:
        """How badly a pair fits the region: mm, everything added up."""
        low, high, near, far = self.reach(region)
        found_low, found_high = self.angles(pair)
        turn = abs(found_low - low) + abs(found_high - high)
        length = abs(self.beside(pair) - (near + far) / 2) + abs(pair.inner.reach - far + near)
        size = abs(pair.inner.radius - self.bend.radius)
        return self.off_axis(pair) + size + length + turn * self.bend.radius


def _check_bend(frame: _Hinge, pair: Pair, region: Region, ledger: Ledger) -> tuple[float, float]:
    """One bent region against the pair that fits it best; returns the pair's angles."""
    bend, t = frame.bend, frame.thickness
    name = f"bend {bend.name}"
    low, high, near, far = frame.reach(region)
    found_low, found_high = frame.angles(pair)
    outside = bend.radius + t
    ledger.near("axis of a bend", 0.0, frame.off_axis(pair), SMALL, "mm off", f"axis of {name}")
    ledger.near(
        "inside radius of a bend", bend.radius, pair.inner.radius, what=f"inside radius of {name}"
    )
    ledger.near("thickness in a bend", t, pair.thickness, what=f"thickness in {name}")
    for end, expected, found in (("start", low, found_low), ("end", high, found_high)):
        off = abs(found - expected) * outside
        ledger.near(
            "start and end of a bend", 0.0, off, SMALL, "mm off", f"{end} of {name}, outside"
        )
    middle = (near + far) / 2
    ledger.near("place along a bend", middle, frame.beside(pair), what=f"place along {name}")
    ledger.near("length of a bend", far - near, pair.inner.reach, what=f"length of {name}")
    return found_low, found_high


def parallel(a: Vector, b: Vector) -> bool:
    """Whether two unit directions (3,) agree, either way round."""
    return float(np.linalg.norm(cross(a, b))) < SQUARE


def at_words(point: Iterable[float]) -> str:
    """Coordinates to three decimals, in brackets."""
    return "(" + ", ".join(f"{value:.3f}" for value in point) + ")"
