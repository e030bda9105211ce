"""What a bumper mount is asked for: the measurements of each side, the bolts, the wishes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import AfterValidator, Field

from parts.kinds.fields import (
    BoltName,
    Config,
    KindConfig,
    Length,
    LevelAngle,
    PointName,
    PositiveLength,
    PropertyClass,
)
from parts.kinds.problems import FieldProblem, FieldProblems
from parts.kinds.sides import sides_measured
from parts.trade.lengths import Measured

Hand = Literal["left", "right"]
Names2 = Annotated[tuple[PointName, ...], Field(min_length=2)]
Names3 = Annotated[tuple[PointName, PointName, PointName], Field()]
NotNegative = Annotated[Length, Field(ge=0)]


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


def _names(side: Any, key: str) -> frozenset[str]:
    """The points a side names under a key, whether it is read already or still as written."""
    names = side.get(key) if isinstance(side, Mapping) else getattr(side, key, None)
    return frozenset(map(str, names)) if isinstance(names, list | tuple) else frozenset()


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


class BumperMount(KindConfig):
    """A hidden bracket from the frame rail to the back of the bumper bar."""

    starter_stock: ClassVar = {"plate": {"material": "S235", "thickness": 5}}
    starter_points: ClassVar = {
        "A1": {"at": ["947 ± 0.5", "580 ± 0.5", "452 ± 0.5"]},
        "A2": {"at": ["1001 ± 0.5", "580 ± 0.5", "448 ± 0.5"]},
        "S1": {"at": ["1098 ± 1", "622 ± 1", "478 ± 1"]},
        "S2": {"at": ["1094.5 ± 1", "622 ± 1", "408 ± 1"]},
    }

    starter_keys: ClassVar = {
        "right": {
            "rail_holes": ["A1", "A2"],
            "bar_studs": ["S1", "S2"],
            "rail_face": {"toe": 0, "lean": 0},
            "bar_face": {"sweep": "6 deg", "lean": "2.9 deg"},
        }
    }

    kind: Literal["bumper_mount"] = Field(description="This part is a bumper mount.")
    bumper: Literal["rear", "front"] = Field(
        default="rear", description="Which bumper it carries.", examples=["rear"]
    )
    hand: Literal["left", "right", "pair"] = Field(
        description="Which hand to make, seen from the driver's seat. A pair needs both sides "
        "measured, or `mirror = true`.",
        examples=["right"],
    )
    mirror: bool = Field(
        default=False,
        description="Make the side that was not measured as the mirror image of the other. "
        "Bodies differ 3 to 8 mm from left to right: measure both if you can.",
        examples=[False],
    )
    right: Side | None = Field(
        default=None,
        description="What was measured on the right.",
        examples=[
            {
                "rail_holes": ["A1", "A2"],
                "bar_studs": ["S1", "S2"],
                "bar_face": {"sweep": "6 deg", "lean": "2.9 deg"},
            }
        ],
    )
    left: Side | None = Field(default=None, description="What was measured on the left.")
    rail_bolt: BoltName = Field(
        default="M12", description="Bolt through the rail holes. Usual: M10 to M12.",
        examples=["M12"],
    )  # fmt: skip
    bar_bolt: BoltName = Field(
        default="M10", description="Thread of the bar's studs.", examples=["M10"]
    )
    bolt_class: PropertyClass = Field(
        default="8.8", description="Strength class of both bolts.", examples=["8.8"]
    )
    fit: Literal["fine", "medium", "coarse"] = Field(
        default="medium",
        description="Clearance of the holes by ISO 273; for inch bolts close, normal and loose of "
        "ASME B18.2.8 in the same order.",
        examples=["medium"],
    )
    rail_adjust: NotNegative = Field(
        default=6.0,
        validate_default=True,
        description="Adjustment wished at the rail end, each way along the slot. Usual: 5 to 8.",
        examples=[6],
    )
    bar_adjust: NotNegative = Field(
        default=6.0,
        validate_default=True,
        description="Adjustment wished at the bar end, each way along the slot. Usual: 5 to 8.",
        examples=[6],
    )
    rail_slots: Literal["fore-aft", "vertical", "sideways", "none"] = Field(
        default="fore-aft",
        description="Direction of the slots in the leg on the rail; none makes round holes.",
        examples=["fore-aft"],
    )
    bar_slots: Literal["fore-aft", "vertical", "sideways", "none"] = Field(
        default="vertical",
        description="Direction of the slots in the leg on the bar, at right angles to those at "
        "the rail; none makes round holes.",
        examples=["vertical"],
    )
    bends: Literal["auto", "one", "two"] = Field(
        default="auto",
        description="One bend where the two faces meet within reach, two (a step) where they are "
        "parallel or meet too far away. Auto chooses.",
        examples=["auto"],
    )
    reach: PositiveLength = Field(
        default=200.0,
        validate_default=True,
        description="Longest leg from a hole to its bend that you would still accept.",
        examples=[200],
    )
    return_flange: NotNegative = Field(
        default=0.0,
        validate_default=True,
        description="Height over the outside of a stiffening return along one edge of the longer "
        "leg; 0 for none. Usual: 20 to 25.",
        examples=[0],
    )
    edge: PositiveLength | None = Field(
        default=None,
        description="Distance from hole centre to edge, where you want more than the rules ask.",
        examples=[22],
    )
    bar_mass: float = Field(
        default=8.0,
        gt=0,
        description="Mass of bar and fittings that hangs on this one bracket, kg. Half the bar's "
        "mass for a pair.",
        examples=[8],
    )
    load_g: float = Field(
        default=3.0,
        gt=0,
        description="How many times its weight the bar pulls in any direction, for screening "
        "only. Usual: 3 to 5.",
        examples=[3],
    )

    @property
    def hands(self) -> tuple[Hand, ...]:
        """The hands to make, right first."""
        return ("right", "left") if self.hand == "pair" else (self.hand,)

    def side(self, hand: Hand) -> Side | None:
        """What was measured on that side."""
        return self.right if hand == "right" else self.left

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        yield from sides_measured(keys)
        yield from _holes_and_studs_apart(keys)
        grade = "grade" in str(keys.get("bolt_class", "")).lower()
        for key in ("rail_bolt", "bar_bolt"):
            inch = re.match(r"\s*\d+\s*/\s*\d+|.*UN[CF]", str(keys.get(key, "")), re.IGNORECASE)
            if inch and not grade:
                yield FieldProblem(
                    (key,),
                    "is an inch bolt, but the strength class is metric",
                    'write the grade of the bolts, such as bolt_class = "grade 8"',
                )


def _holes_and_studs_apart(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    for side in ("right", "left"):
        if keys.get(side) is None:
            continue
        both = _names(keys[side], "rail_holes") & _names(keys[side], "bar_studs")
        for name in sorted(both):
            yield FieldProblem(
                (side, "bar_studs"),
                f"'{name}' is a rail hole too",
                "name the points at the bar's studs",
            )
