"""What of the car a link's force needs: the section [axle.NAME.car]."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Field

from parts.kinds.fields import Config, FieldProblem, PositiveLength
from parts.trade.lengths import LengthError, parse_length

Share = Annotated[float, Field(strict=True, ge=0, le=1)]
Mass = Annotated[float, Field(strict=True, gt=0)]


class CarConfig(Config):
    """The car as it drives, level at ride."""

    mass: Mass = Field(
        description="Mass of the car with all that is in it, kg: weighbridge.", examples=[1420]
    )
    share: Annotated[float, Field(strict=True, gt=0, lt=1)] = Field(
        description="Share of that mass on this axle: the weighbridge with this axle alone on it, "
        "over the whole.",
        examples=[0.46],
    )
    wheelbase: PositiveLength = Field(
        description="From wheel centre to wheel centre, front to rear, by tape.", examples=[2700]
    )
    mass_height: PositiveLength = Field(
        description="Height of the centre of mass over the floor. About the crankshaft's height "
        "and a hand, 500 to 600 in most cars.",
        examples=[560],
    )
    end: Literal["rear", "front"] = Field(
        default="rear", description="Which axle of the car this is.", examples=["rear"]
    )
    drive_share: Share = Field(
        default=1.0,
        description="Share of the drive that this axle does: 1 alone, 0 not driven.",
        examples=[1.0],
    )
    brake_share: Share | None = Field(
        default=None,
        description="Share of the braking that this axle does. Left out: the share of the load "
        "that stands on it when all wheels brake at the limit of their grip.",
        examples=[0.3],
    )
    drive_on_axle: bool = Field(
        default=True,
        description="Whether the links take the drive's torque: yes with the final drive in the "
        "axle, no where it hangs on the body.",
        examples=[True],
    )
    brakes_on_axle: bool = Field(
        default=True,
        description="Whether the links take the brakes' torque: yes with the brakes at the wheels.",
        examples=[True],
    )
    grip: Mass | None = Field(
        default=None,
        description="Force along the ground over the tyre's load that the tyres can hold. Left "
        "out: 1.0, a road tyre on dry tarmac; race tyres hold more.",
        examples=[1.0],
    )
    axle_mass: Annotated[float, Field(strict=True, ge=0)] = Field(
        default=0.0,
        description="Mass of the axle itself with wheels, kg, which does not squat. Left out: it "
        "counts with the car.",
        examples=[110],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        mass, share, axle = (keys.get(key) for key in ("mass", "share", "axle_mass"))
        numbers = [value for value in (mass, share, axle) if isinstance(value, int | float)]
        if len(numbers) == 3 and numbers[2] >= numbers[0] * numbers[1] > 0:
            yield FieldProblem(
                ("axle_mass",),
                f"is {numbers[2]:g} kg, but {numbers[0] * numbers[1]:g} kg stand on this axle",
                "write the mass of the axle and its wheels alone",
            )
        try:
            height, base = (parse_length(keys.get(key)) for key in ("mass_height", "wheelbase"))
        except LengthError:
            return
        if height >= base:
            yield FieldProblem(
                ("mass_height",),
                f"is {height:g} mm, as much as the wheelbase",
                "write its height over the floor",
            )
