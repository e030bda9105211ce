"""What was measured round one wheel: rail, body side, wheel opening, floors, things beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Annotated, Any

from pydantic import Field

from parts.kinds.fields import Angle, Config, Length, LevelAngle, PointName, PositiveLength
from parts.kinds.problems import FieldProblem
from parts.trade.lengths import LengthError, parse_length

LEAST_RAIL = 1.0  # mm from a rail's underside to its top
LEAST_STEP = 0.5  # mm from one station to the next


def as_length(value: object) -> float | None:
    """A length as written, or None where it cannot be read: that is told by its own field."""
    try:
        return parse_length(value)
    except LengthError:
        return None


class RailStation(Config):
    """The chassis rail's section at one place along it."""

    x: Length = Field(description="X of the station, rearward of the axle line.", examples=[-340])
    top: Length = Field(
        description="Height of the rail's top there: square depth off the level straight edge.",
        examples=[580],
    )
    bottom: Length = Field(description="Height of the rail's underside there.", examples=[480])
    outer: PositiveLength = Field(
        description="From the centre plane to the rail's outer face, at the top.", examples=[580]
    )
    lean: Annotated[Angle, Field(gt=-60, lt=60)] = Field(
        default=0.0,
        validate_default=True,
        description="Lean of the outer face from upright, + when its top leans outboard.",
        examples=[0],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        top, bottom = as_length(keys.get("top")), as_length(keys.get("bottom"))
        if top is not None and bottom is not None and top - bottom < LEAST_RAIL:
            yield FieldProblem(
                ("bottom",),
                f"is {bottom:g} mm, not under the top at {top:g} mm",
                "write heights, the rail's underside the lower one",
            )


class BodySideConfig(Config):
    """The inner face of the body side above the wheel opening, as a flat face."""

    points: tuple[PointName, ...] = Field(
        default=(),
        description="Three or more points of it, such as a grid of three by three, each from a "
        "cross-bar clamped on both rails. Instead of y, lean and toe.",
        examples=[["B1", "B2", "B3", "B4"]],
    )
    y: PositiveLength | None = Field(
        default=None,
        description="From the centre plane to the body side over the wheel's centre, at `height`.",
        examples=[940],
    )
    height: Length = Field(
        default=0.0,
        validate_default=True,
        description="The height at which y was measured.",
        examples=[426],
    )
    lean: LevelAngle = Field(
        default=0,
        validate_default=True,
        description="Lean from upright, + when the top leans inboard. Digital level.",
        examples=["3 deg"],
    )
    toe: LevelAngle = Field(
        default=0,
        validate_default=True,
        description="Angle in plan to the centre line, + when it runs outboard toward the rear.",
        examples=["1.2 deg"],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        points = keys.get("points")
        if not points and keys.get("y") is None:
            yield FieldProblem((), "has neither points nor a y", "measure y, or three points")
        if isinstance(points, list | tuple) and 0 < len(points) < 3:
            yield FieldProblem(("points",), "are too few for a plane", "measure three or more")
        for key in ("y", "height", "lean", "toe"):
            if points and key in keys:
                yield FieldProblem(
                    (key,), "is given as well as three points", "leave one of them out"
                )


class ArchConfig(Config):
    """The wheel opening in the body side."""

    x: Length = Field(description="X of the opening's centre.", examples=[0])
    z: Length = Field(description="Height of the opening's centre.", examples=[330])
    radius: PositiveLength = Field(
        description="Radius of its lip: contour gauge at five points, or card.", examples=[375]
    )
    lip: PositiveLength = Field(
        default=3.0,
        validate_default=True,
        description="Thickness of the folded lip, inboard of the body side's inner face.",
        examples=[3],
    )


class Clear(Config):
    """A thing beside the tyre that it must not touch."""

    point: PointName | None = Field(
        default=None,
        description="A measured point of it, where it comes nearest: a damper, a pipe, a bracket.",
        examples=["D1"],
    )
    corners: tuple[PointName, PointName] | None = Field(
        default=None,
        description="Instead of the point: two opposite corners of a box round it, its sides "
        "level and square to the vehicle.",
        examples=[["T1", "T2"]],
    )
    gap: PositiveLength = Field(
        description="Least distance from the tyre in any pose.", examples=[15]
    )

    @property
    def points(self) -> tuple[PointName, ...]:
        """The point, or both corners."""
        return (self.point,) if self.point is not None else (self.corners or ())

    @property
    def name(self) -> str:
        """What it is called in figures and findings."""
        if self.point is not None:
            return f"point {self.point}"
        return "box " + " to ".join(self.points)

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        given = [key for key in ("point", "corners") if keys.get(key) is not None]
        if len(given) != 1:
            what = "has both a point and corners" if given else "has neither point nor corners"
            yield FieldProblem((), what, "give one of them")


class TubSide(Config):
    """What was measured on one side of the vehicle, left or right seen from the driver's seat."""

    front_floor: Length = Field(
        description="Height of the floor that the band's front end stands on.", examples=[400]
    )
    rear_floor: Length = Field(
        description="Height of the floor that the band's rear end stands on.", examples=[500]
    )
    body_side: BodySideConfig = Field(
        description="The body side's inner face.",
        examples=[{"y": 940, "height": 426, "lean": "3 deg", "toe": "1.2 deg"}],
    )
    rail: tuple[RailStation, ...] = Field(
        default=(),
        description="The chassis rail, station by station; left out where none is near.",
        examples=[
            [
                {"x": -640, "top": 380, "bottom": 280, "outer": 580},
                {"x": -340, "top": 580, "bottom": 480, "outer": 580},
                {"x": 330, "top": 580, "bottom": 480, "outer": 580},
                {"x": 600, "top": 500, "bottom": 400, "outer": 580},
            ]
        ],
    )
    arch: ArchConfig | None = Field(default=None, description="The wheel opening's lip.")
    keep_clear: tuple[Clear, ...] = Field(
        default=(), description="Other things that the tyre must not touch."
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        rail = keys.get("rail")
        if isinstance(rail, list | tuple) and len(rail) == 1:
            yield FieldProblem(("rail",), "has one station", "measure two or more, or leave it out")
        stations = rail if isinstance(rail, list | tuple) else ()
        read = [as_length(s.get("x")) if isinstance(s, Mapping) else None for s in stations]
        if None in read:
            return  # told by the station itself
        at = [x for x in read if x is not None]
        steps = [b - a for a, b in pairwise(at)]
        if any(abs(step) < LEAST_STEP for step in steps):
            i = next(i for i, step in enumerate(steps) if abs(step) < LEAST_STEP)
            yield FieldProblem(
                ("rail", i + 1), f"is at x {at[i + 1]:g} like the one before it",
                "write each station once",
            )  # fmt: skip
        elif steps and not (min(steps) > 0 or max(steps) < 0):
            yield FieldProblem(
                ("rail",), "has stations out of order", "write them from the front to the rear"
            )
