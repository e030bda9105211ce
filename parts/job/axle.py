"""The axle sections of a job file: tyre, wheel, where the wheels stand, what locates the axle."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Field

from parts.job.car import CarConfig
from parts.kinds.fields import (
    COORDINATE_SCHEMA,
    Angle,
    Config,
    FieldProblem,
    Length,
    MeasuredWith,
    OneLine,
    PointName,
    PositiveLength,
    ReadBy,
    TapeLength,
    Unit,
    with_tool,
)
from parts.trade.lengths import Measured, parse_measured

Pair = tuple[PointName, PointName]
NotNegative = Annotated[Length, Field(ge=0)]


def _square(value: object, info: Any) -> Measured:
    measured = value if isinstance(value, Measured) else parse_measured(value)
    return with_tool(measured, "square", (info.context or {}).get("tools", {}))


def _bob(value: object, info: Any) -> Measured:
    measured = value if isinstance(value, Measured) else parse_measured(value)
    return with_tool(measured, "plumb_bob", (info.context or {}).get("tools", {}))


BySquare = Annotated[Measured, ReadBy(_square, COORDINATE_SCHEMA), Unit("mm")]
ByBob = Annotated[Measured, ReadBy(_bob, COORDINATE_SCHEMA), Unit("mm")]


class TyreConfig(Config):
    """The tyre on its rim at pressure, free of load."""

    size: OneLine | None = Field(
        default=None,
        description="What the sidewall says, such as 275/45R18 or 31x10.50R15LT. It is nominal: "
        "measure the tyre.",
        examples=["275/45R18"],
    )
    diameter: Annotated[Measured, MeasuredWith("tape")] | None = Field(
        default=None,
        description="Real outside diameter: tape round the middle of the tread, divided by 3.1416.",
        examples=["704 ± 1"],
    )
    width: Annotated[Measured, MeasuredWith("rule")] | None = Field(
        default=None,
        description="Real section width: two straight edges on the bulges, rule between.",
        examples=["280 ± 1"],
    )
    outline: tuple[tuple[NotNegative, PositiveLength], ...] = Field(
        default=(),
        description="Half widths at radii, [half width, radius] from bead to crown, the last at "
        "half width 0: contour gauge, or card, from the wheel's centre plane and axis. Left out: "
        "a square shoulder, which is on the safe side.",
        examples=[[[134, 246], [140, 290], [122, 349], [0, 352]]],
    )
    shoulder_radius: PositiveLength | None = Field(
        default=None,
        description="Radius of the tread's shoulder, by radius gauge, where no outline is given.",
        examples=[25],
    )
    rim_code: float | None = Field(
        default=None,
        gt=0,
        description="Rim diameter in inches, where no size is given.",
        examples=[18],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        if keys.get("size") is None:
            for key in ("diameter", "width", "rim_code"):
                if keys.get(key) is None:
                    yield FieldProblem(
                        (), f"has neither a size nor a {key}", f"write the size, or `{key}` too"
                    )


class RimConfig(Config):
    """The wheel: its rim, and where that lies to the mounting face."""

    width: PositiveLength = Field(
        description="Nominal rim width between the bead seats; the edges are about an inch wider.",
        examples=["9.5 in"],
    )
    offset: BySquare | None = Field(
        default=None,
        description="Offset (ET): from the rim's middle to the mounting face, + when the face is "
        "outboard of it. Straight edge across the rim's back, square to the face.",
        examples=[20],
    )
    back_space: BySquare | None = Field(
        default=None,
        description="Instead of the offset: from the rim's back edge to the mounting face.",
        examples=[150],
    )
    back_space_over: Literal["lips", "nominal"] = Field(
        default="lips",
        description="What the back space was measured to: the straight edge on the rim's lips "
        "(usual), or nominal, half an inch less, as some sellers print it.",
        examples=["lips"],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        given = [key for key in ("offset", "back_space") if keys.get(key) is not None]
        if len(given) != 1:
            what = "has both an offset and a back space" if given else "has no offset"
            yield FieldProblem((), what, "give one of offset and back_space")


class ArmConfig(Config):
    """What a wheel swings on: two points of its pivot axis on each side."""

    left: Pair = Field(
        description="Two points of the left arm's pivot axis, inner and outer.",
        examples=[["LI", "LO"]],
    )
    right: Pair = Field(
        description="Two points of the right arm's pivot axis, inner and outer.",
        examples=[["RI", "RO"]],
    )


class KingpinsConfig(Config):
    """What each front wheel steers about: two points of its axis on each side."""

    left: Pair = Field(
        description="Two points of the left steering axis: lower and upper ball joint.",
        examples=[["LKL", "LKU"]],
    )
    right: Pair = Field(
        description="Two points of the right steering axis: lower and upper ball joint.",
        examples=[["RKL", "RKU"]],
    )


class PoseConfig(Config):
    """A pose of your own, besides the usual ones."""

    name: OneLine = Field(description="What you call it.", examples=["ramp, left wheel"])
    left: Length = Field(description="Travel of the left wheel from ride, bump +.", examples=[60])
    right: Length = Field(
        description="Travel of the right wheel from ride, bump +.", examples=[-40]
    )
    steer: Angle = Field(
        default=0.0,
        validate_default=True,
        description="Steering angle, + to the left.",
        examples=[0],
    )


class AxleConfig(Config):
    """[axle.NAME]: two wheels and what they move on."""

    tyre: TyreConfig = Field(
        description="The tyre: measured if you can.", examples=[{"size": "275/45R18"}]
    )
    rim: RimConfig = Field(
        description="The wheel.", examples=[{"width": "9.5 in", "offset": 20}]
    )
    left_face: ByBob = Field(
        description="Y of the left wheel's mounting face: bob off the hub face to the centre line "
        "on the floor. Left is negative.",
        examples=[-780],
    )
    right_face: ByBob = Field(
        description="Y of the right wheel's mounting face, positive.", examples=[780]
    )
    x: ByBob = Field(
        default=0.0,
        validate_default=True,
        description="X of the wheel centres at ride; 0 where the axle line is the datum.",
        examples=[0],
    )
    z: TapeLength = Field(
        description="Height of the wheel centres over the floor at ride.", examples=[331]
    )
    bump: NotNegative = Field(
        description="How far a wheel rises from ride to the closed bump stop: springs out, "
        "jack up.",
        examples=[95],
    )
    droop: NotNegative = Field(
        description="How far a wheel falls from ride to the strap or the damper's end.",
        examples=[85],
    )
    travel_error: NotNegative = Field(
        default=2.0,
        validate_default=True,
        description="± of ride height, bump and droop. Usual: 2.",
        examples=[2],
    )
    links: dict[OneLine, Pair] = Field(
        default={},
        description="Live axle: each link by its two points, [on the chassis, on the axle], at "
        "ride: side links and the lateral bar. Leave out where none was measured: straight up and "
        "down.",
        examples=[{"lower left": ["LLC", "LLA"]}],
    )
    arms: dict[OneLine, PointName] = Field(
        default={},
        description="Live axle: arms fixed rigidly to the axle (torque arms, ladder bars), each "
        "by its pivot on the chassis.",
        examples=[{"left arm": "LP"}],
    )
    swing: ArmConfig | None = Field(
        default=None, description="Independent: trailing, semi-trailing or swing arms."
    )
    lock: Annotated[Angle, Field(ge=0, lt=70)] = Field(
        default=0.0,
        validate_default=True,
        description="Front axle: steering angle at full lock, either way.",
        examples=[0],
    )
    kingpins: KingpinsConfig | None = Field(
        default=None,
        description="Front axle: two points of each steering axis, lower and upper ball joint.",
    )
    springs: dict[OneLine, Pair] = Field(
        default={},
        description="Live axle: each spring by its two points, [on the chassis, on the axle], for "
        "the links' forces. Leave out where they stand upright over the axle's line.",
        examples=[{"left spring": ["LSC", "LSA"], "right spring": ["RSC", "RSA"]}],
    )
    bump_stops: dict[OneLine, Pair] = Field(
        default={},
        description="Live axle: each bump stop in the same way, where it does not stand beside "
        "its spring.",
        examples=[{"left stop": ["LBC", "LBA"], "right stop": ["RBC", "RBA"]}],
    )
    car: CarConfig | None = Field(
        default=None,
        description="The car, for the forces in the links: only a link tab asks for it.",
    )
    poses: tuple[PoseConfig, ...] = Field(
        default=(), description="Poses of your own to be looked at besides the usual ones."
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        if keys.get("swing") and (keys.get("links") or keys.get("arms")):
            yield FieldProblem(
                ("swing",), "is given beside the links of a live axle", "leave one of them out"
            )
        if keys.get("lock") and not keys.get("kingpins"):
            yield FieldProblem(("lock",), "has no steering axis", "add the table `kingpins`")
