"""What is measured of the joint, and of what a link tab stands on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Field

from parts.kinds.fields import (
    Angle,
    BoltName,
    Config,
    Length,
    MaterialName,
    PositiveLength,
)
from parts.kinds.problems import FieldProblem
from parts.trade.lengths import LengthError, parse_length

NotNegative = Annotated[Length, Field(ge=0)]


def as_length(value: object) -> float | None:
    """A length as written, or None where it cannot be read: its own field tells that."""
    try:
        return parse_length(value)
    except LengthError:
        return None


class JointConfig(Config):
    """The link's joint, by caliper."""

    bore: PositiveLength = Field(
        description="Hole through the ball or sleeve, by caliper.", examples=[16]
    )
    ball_width: PositiveLength = Field(
        description="Width of the ball, or of the bush's sleeve, that the bolt clamps.",
        examples=[21],
    )
    body_width: PositiveLength = Field(
        description="Width of the housing round the ball, along the bolt.", examples=[15]
    )
    head_diameter: PositiveLength = Field(
        description="Outside diameter of the head round the ball.", examples=[42]
    )
    kind: Literal["ball", "bush"] = Field(
        default="ball",
        description="A steel ball wants 0.5 to 1 mm of play between the tabs, a bush's sleeve "
        "0.15 to 0.25.",
        examples=["ball"],
    )
    shank: PositiveLength | None = Field(
        default=None,
        description="Outside diameter of the link where it leaves the joint. Left out: the link "
        "itself is not held against tabs and tube.",
        examples=[27],
    )
    tilt_limit: Annotated[Angle, Field(gt=0, lt=90)] | None = Field(
        default=None,
        description="Tilt either way that the joint's maker allows. Left out: the tabs alone stop "
        "it.",
        examples=[16],
    )
    spacer: NotNegative = Field(
        default=0.0,
        validate_default=True,
        description="Length of the spacer on each side of the ball. Left out: none.",
        examples=[8],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        sizes = {
            key: as_length(keys.get(key))
            for key in ("bore", "ball_width", "body_width", "head_diameter")
        }
        bore, ball, body, head = sizes.values()
        if ball is not None and body is not None and body > ball:
            yield FieldProblem(
                ("body_width",),
                f"is {body:g} mm, wider than the ball of {ball:g} mm",
                "measure both along the bolt: the ball stands out on both sides",
            )
        if bore is not None and head is not None and bore >= head:
            yield FieldProblem(
                ("head_diameter",),
                f"is {head:g} mm, no more than the bore of {bore:g} mm",
                "measure the outside of the head",
            )


class TubeConfig(Config):
    """The round tube it is welded to."""

    od: PositiveLength = Field(
        description="Outside diameter, by caliper at three angles, paint off.", examples=[76.1]
    )
    wall: PositiveLength = Field(description="Wall thickness.", examples=[6.3])
    material: MaterialName = Field(
        default="S355", description="Material of the tube.", examples=["S355"]
    )
    spreader: NotNegative = Field(
        default=0.0,
        validate_default=True,
        description="Thickness of a spreader plate rolled to the tube and welded on all round, "
        "on which the tabs stand. Left out: none.",
        examples=[4],
    )
    pressed: Annotated[float, Field(strict=True, ge=0, lt=1)] = Field(
        default=0.0,
        description="The tube's own greatest compression at the tab, as a share of its yield. "
        "Left out: none.",
        examples=[0.2],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        od, wall = as_length(keys.get("od")), as_length(keys.get("wall"))
        if od is not None and wall is not None and wall >= od / 2:
            yield FieldProblem(
                ("wall",),
                f"is {wall:g} mm in a tube of {od:g} mm",
                "write the thickness of its wall",
            )


class PlateConfig(Config):
    """The flat plate or rail face that it is welded to."""

    wall: PositiveLength = Field(
        description="Thickness of the plate, or wall of the rail.", examples=[5]
    )
    material: MaterialName = Field(
        default="S235", description="Material of the plate or rail.", examples=["S235"]
    )


class FootConfig(PlateConfig):
    """A foot folded on the tab, that lies on a flat face and is welded or bolted to it."""

    fixing: Literal["welded", "bolted"] = Field(
        default="welded", description="How the foot is held.", examples=["welded"]
    )
    length: PositiveLength = Field(
        description="Length of the foot over the outside of its fold.", examples=[60]
    )
    turn: Literal["away", "under"] = Field(
        default="away",
        description="Whether the foot is turned away from the joint, where it is easy to reach, "
        "or under it.",
        examples=["away"],
    )
    bolt: BoltName = Field(
        default="M12", description="Bolts of a foot that is bolted.", examples=["M12"]
    )
    bolt_pitch: PositiveLength | None = Field(
        default=None,
        description="Between the foot's two bolts, along the fold. Left out: as far apart as the "
        "edges allow.",
        examples=[44],
    )


class HolesConfig(Config):
    """Several holes instead of one, to adjust the link."""

    count: Annotated[int, Field(strict=True, ge=2, le=9)] = Field(
        description="How many holes.", examples=[3]
    )
    pitch: PositiveLength = Field(
        description="From hole to hole, straight across.", examples=[30]
    )
    way: Literal["up", "across", "arc"] = Field(
        default="up",
        description="A row away from what the tab stands on, a row along its root, or an arc "
        "about the tube's axis (on a flat face: about the middle of the root).",
        examples=["up"],
    )
    measured: Annotated[int, Field(strict=True, ge=1)] | None = Field(
        default=None,
        description="Which of them is the measured one, counted from below, or from the front. "
        "Left out: the middle of the row lies there.",
        examples=[1],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        count, number = keys.get("count"), keys.get("measured")
        if isinstance(count, int) and isinstance(number, int) and number > count:
            yield FieldProblem(
                ("measured",), f"is hole {number} of {count}", f"write 1 to {count}"
            )
