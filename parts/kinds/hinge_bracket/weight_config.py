"""What is known of the lid's weight."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any

from pydantic import Field

from parts.kinds.fields import Config, Length, MaterialName, OneLine, PositiveLength
from parts.kinds.hinge_bracket.places import Spot
from parts.kinds.problems import FieldProblem

Positive = Annotated[float, Field(gt=0)]


class ScalesConfig(Config):
    """The lid laid level on two scales, with all that is fitted: skin, lock, trim, wiper."""

    hinge_edge: Annotated[float, Field(ge=0)] = Field(
        description="Reading of the scale near the hinge edge, kg.", examples=[7.63]
    )
    latch_edge: Annotated[float, Field(ge=0)] = Field(
        description="Reading of the scale near the latch edge, kg.", examples=[7.17]
    )
    apart: PositiveLength = Field(
        description="Distance between the two supports, along the lid.", examples=[745]
    )
    hinge_at: Length = Field(
        default=0.0,
        validate_default=True,
        description="Where the support near the hinges stands, back from the lid's front edge.",
        examples=[0],
    )
    plus_minus: Annotated[float, Field(ge=0)] = Field(
        default=0.2, description="± of each scale, kg. Usual: 0.2.", examples=[0.2]
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        if keys.get("hinge_edge") == 0 and keys.get("latch_edge") == 0:
            yield FieldProblem((), "both read nothing", "write what the scales read, in kg")


class PlateConfig(Config):
    """A flat part of the lid: skin, frame, glass."""

    name: OneLine = Field(description="What it is.", examples=["skin"])
    size: tuple[PositiveLength, PositiveLength] = Field(
        description="Size of its area: [along the lid, across it]; what is cut out of it may be "
        "taken off one of them.",
        examples=[[760, 1180]],
    )
    thickness: PositiveLength = Field(description="Its thickness.", examples=[1])
    material: MaterialName = Field(description="Its material.", examples=["DC01"])
    at: Spot = Field(
        description="Middle of its area: [back, up] from the lid's front edge.",
        examples=[[380, 0]],
    )


class ExtraConfig(Config):
    """Anything else on the lid: lock, wiper motor, trim, spoiler."""

    name: OneLine = Field(description="What it is.", examples=["lock"])
    mass: Positive = Field(description="Its mass, kg.", examples=[0.8])
    at: Spot = Field(description="Its middle: [back, up].", examples=[[740, -40]])


class WeightConfig(Config):
    """What the lid weighs and where its centre lies. Scales go before a given mass, and both
    before plates; where there are several, what they disagree by is told."""

    scales: ScalesConfig | None = Field(
        default=None, description="The lid weighed on two scales: the best way."
    )
    mass: Positive | None = Field(
        default=None,
        description="Mass of the lid as known from elsewhere, kg.",
        examples=[14.8],
    )
    centre: Spot | None = Field(
        default=None,
        description="Its centre as known from elsewhere: [back, up] from the lid's front edge. "
        "How far it lies up or down is taken from here also where the lid was weighed: level "
        "scales do not show it. Hang the lid by a corner with a bob to see it.",
        examples=[[368, -14]],
    )
    plates: tuple[PlateConfig, ...] = Field(
        default=(), description="The flat parts it is made of, where it cannot be weighed."
    )
    extras: tuple[ExtraConfig, ...] = Field(
        default=(),
        description="What is fitted besides the plates. What hangs on a weighed lid was weighed "
        "with it: leave it out then.",
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        scales, plates = keys.get("scales"), keys.get("plates")
        mass, centre = keys.get("mass"), keys.get("centre")
        if scales is None and not plates:
            if mass is None:
                yield FieldProblem((), "has no scales, no mass and no plates", "give one of them")
            elif centre is None:
                yield FieldProblem(
                    (), "has a mass but no centre", "give both, or weigh the lid on two scales"
                )
        if keys.get("extras") and not plates:
            yield FieldProblem(
                ("extras",), "are given without plates",
                "leave them out: they were weighed with the lid; or add the plates",
            )  # fmt: skip
