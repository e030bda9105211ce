"""What is measured for a bumper mount on one side of the vehicle: holes, studs, two faces."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field

from parts.kinds.fields import Config, LevelAngle, PointName, PositiveLength
from parts.kinds.problems import FieldProblem, FieldProblems
from parts.kinds.sides import Hand as Hand
from parts.trade.lengths import Measured

Names2 = Annotated[tuple[PointName, ...], Field(min_length=2)]
Names3 = Annotated[tuple[PointName, PointName, PointName], Field()]


def _within_square(angle: Measured) -> Measured:
    if abs(angle.value) > 90:
        raise FieldProblems(
            FieldProblem(
                (),
                f"an angle of {angle.value:g} degrees is more than a square corner",
                "write one between -90 and 90",
            )
        )
    return angle


FaceAngle = Annotated[LevelAngle, AfterValidator(_within_square)]
Toward = Literal["outboard", "inboard", "above", "below", "front", "rear"]


def _points_or_angles(keys: Mapping[str, Any], *angles: str) -> Iterator[FieldProblem]:
    if keys.get("points") is not None:
        for key in angles:
            if key in keys:
                yield FieldProblem(
                    (key,), "is given as well as three points", "leave one of them out"
                )
    yield from _named_twice(keys, "points")


def _named_twice(keys: Mapping[str, Any], *lists: str) -> Iterator[FieldProblem]:
    for key in lists:
        given = keys.get(key)
        names = given if isinstance(given, list | tuple) else ()
        for i, name in enumerate(names):
            if name in names[:i]:
                yield FieldProblem((key, i), f"'{name}' is named twice", "name each point once")


class RailFace(Config):
    """The face of the rail that the bracket lies against."""

    points: Names3 | None = Field(
        default=None,
        description="Three points of the face, well apart and not in one line. Instead of toe "
        "and lean.",
        examples=[["P1", "P2", "P3"]],
    )
    toe: FaceAngle = Field(
        default=0,
        validate_default=True,
        description="Angle of the face in plan to the vehicle's centre line, + when it runs "
        "outboard toward the rear. Measure between a long straight edge on the rail and the "
        "centre string.",
        examples=[0],
    )
    lean: FaceAngle = Field(
        default=0,
        validate_default=True,
        description="Lean of the face from upright, + when its top leans outboard. Digital level "
        "across the face, zeroed on the datum.",
        examples=["0.3 deg"],
    )
    metal: Toward | None = Field(
        default=None,
        description="The side of the face that the bracket lies on. Leave it out where the bar "
        "is on that side too.",
        examples=["outboard"],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        yield from _points_or_angles(keys, "toe", "lean")


class BarFace(Config):
    """The back of the bumper bar, where the bracket's other leg lies."""

    points: Names3 | None = Field(
        default=None,
        description="Three points of the bar's back face, well apart and not in one line. "
        "Instead of sweep and lean.",
        examples=[["P4", "P5", "P6"]],
    )
    sweep: FaceAngle = Field(
        default=0,
        validate_default=True,
        description="Angle of the bar in plan at the studs, + when its outer end wraps toward "
        "the vehicle's middle. Long straight edge along the bar to the cross string.",
        examples=["6 deg"],
    )
    lean: FaceAngle = Field(
        default=0,
        validate_default=True,
        description="Lean of the bar's back from upright, + when its top leans away from the "
        "vehicle. Digital level on the back of the bar.",
        examples=["2.9 deg"],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        yield from _points_or_angles(keys, "sweep", "lean")
        if keys.get("points") is None:
            for key in ("sweep", "lean"):
                if keys.get(key) is None:
                    yield FieldProblem(
                        (), f"has no {key}", f"measure it, and write {key} = 0 where it is square"
                    )


class Clear(Config):
    """A place that the finished bracket must not come near."""

    point: PointName = Field(
        description="A measured point of the thing in the way, where it is nearest: a body lip, "
        "a lamp, a pipe.",
        examples=["P7"],
    )
    gap: PositiveLength = Field(
        description="Least distance from any metal of the bracket. Bodies rock: 8 to 12 to paint "
        "is usual.",
        examples=[10],
    )


class Side(Config):
    """What was measured on one side of the vehicle, left or right seen from the driver's seat."""

    rail_holes: Names2 = Field(
        description="The existing holes in the rail, two or more: points at the hole centres, in "
        "the rail's face. Near and far edge by caliper, averaged.",
        examples=[["A1", "A2"]],
    )
    bar_studs: Names2 = Field(
        description="The bar's studs or captive nuts, two or more: points where their axes meet "
        "the bar's back face. Clamp the bar in place with spacers first.",
        examples=[["S1", "S2"]],
    )
    rail_face: RailFace = Field(
        default=RailFace(),
        description="The rail's face: three points, or toe and lean.",
        examples=[{"toe": 0, "lean": 0}],
    )
    bar_face: BarFace = Field(
        description="The bar's back face: three points, or sweep and lean.",
        examples=[{"sweep": "6 deg", "lean": "2.9 deg"}],
    )
    keep_clear: tuple[Clear, ...] = Field(
        default=(),
        description="Places that the bracket must keep away from, with the gap to respect.",
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        yield from _named_twice(keys, "rail_holes", "bar_studs")
