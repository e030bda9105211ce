"""What is measured in the section through a hinge: lid edge, panel ahead, gutter, seal, others."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Field

from parts.kinds.fields import (
    Angle,
    Config,
    Length,
    OneLine,
    PositiveLength,
    RuleLength,
    SquareLength,
)
from parts.kinds.hinge_bracket.places import (
    PLUS_MINUS,
    Corners,
    NotNegative,
    Spot,
    as_length,
    as_measured,
    rounded_too_much,
)
from parts.kinds.problems import FieldProblem


class LidConfig(Config):
    """The lid itself: its size, its front edge, how it lies on the vehicle."""

    width: PositiveLength = Field(
        description="Width of the lid across the vehicle, by tape.", examples=[1180]
    )
    depth: PositiveLength = Field(
        description="Depth of the lid from its front edge, at the hinges, to its latch edge.",
        examples=[760],
    )
    fold: RuleLength = Field(
        description="Depth of the folded front edge, outside, from the lid's top to the fold's "
        "bottom. Rule; ± 0.5 unless written.",
        examples=["10 ± 0.5"],
    )
    edge_radius: NotNegative = Field(
        default=0.0,
        validate_default=True,
        description="Outside radius of the front edge, by radius gauge; 0 for a sharp one.",
        examples=[3],
    )
    skin: PositiveLength = Field(description="Thickness of the lid's skin.", examples=[1])
    slope: Annotated[Angle, Field(ge=-90, le=90)] = Field(
        default=0.0,
        validate_default=True,
        description="Slope of the shut lid at the hinge as the vehicle stands, + when it falls "
        "away from its hinge. Digital level on a straight edge.",
        examples=[0],
    )
    runs: Literal["rearward", "forward"] = Field(
        default="rearward",
        description="Where the lid lies from its hinge: rearward for a boot lid hinged at its "
        "front, forward for a bonnet hinged at the windscreen.",
        examples=["rearward"],
    )
    handle: Spot | None = Field(
        default=None,
        description="Where a hand lifts and pulls: [back, up]. Left out: the latch edge's bottom.",
        examples=[[750, -20]],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        fold, depth = as_measured(keys.get("fold")), as_length(keys.get("depth"))
        skin = as_length(keys.get("skin"))
        radius = as_length(keys.get("edge_radius", 0.0))
        for key, value in (("edge_radius", radius), ("skin", skin)):
            if value is None:
                continue
            if fold is not None and not fold > value:
                yield FieldProblem(
                    ("fold",), f"is {fold:g} mm deep, not more than its {key} of {value:g} mm",
                    "measure the fold outside, from the lid's top to its bottom",
                )  # fmt: skip
            elif depth is not None and not depth > value:
                yield FieldProblem(
                    ("depth",), f"is {depth:g} mm, not more than its {key} of {value:g} mm",
                    "measure from the front edge to the latch edge",
                )  # fmt: skip


class PanelConfig(Config):
    """The fixed panel ahead of the lid."""

    gap: SquareLength = Field(
        description="Gap between the panel's edge and the lid's front edge: feeler or drill "
        "shanks at three places. ± 0.3 unless written. Usual: 4 to 6.",
        examples=["5 ± 0.3"],
    )
    flat: PositiveLength = Field(
        description="How far the panel goes on from the gap in line with the lid's top.",
        examples=[100],
    )
    angle: Annotated[Angle, Field(ge=0, le=120)] = Field(
        description="Angle at which it then rises to the glass, from the line of the lid's top: "
        "straight edge and level.",
        examples=["30 deg"],
    )
    rise: PositiveLength = Field(
        description="How far it goes on at that angle, along the glass.", examples=[200]
    )
    skin: NotNegative = Field(
        default=0.0,
        validate_default=True,
        description="Thickness of the panel, so that the hub of the arm keeps off its underside; "
        "0 leaves the underside out.",
        examples=[1],
    )
    level: Length = Field(
        default=0.0,
        validate_default=True,
        description="How far the panel stands above the lid's top at the gap; below is negative.",
        examples=[0],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        gap = as_measured(keys.get("gap"))
        if gap is not None and gap == 0:
            yield FieldProblem(("gap",), "is 0 mm", "measure it; a lid needs one to swing")


class GutterConfig(Config):
    """The gutter behind the panel, which the neck of the arm passes under."""

    points: Corners = Field(
        description="Corners of its section in order, each [back, up]; a third number rounds the "
        "corner by that radius. From the lip that the seal stands on, through the bottom, to the "
        "panel: square off a straight edge across the opening, or contour gauge.",
        examples=[[[24, -17], [24, -38], [-5, -38], [-5, -1]]],
    )
    plus_minus: NotNegative = Field(
        default=PLUS_MINUS,
        validate_default=True,
        description="± of each corner. Usual: 0.7 by square, 1 by contour gauge.",
        examples=[0.7],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        yield from rounded_too_much(keys.get("points"), False)


class SealConfig(Config):
    """The seal on its lip, free and squeezed."""

    foot: Spot = Field(
        description="Middle of the seal's foot on the lip: [back, up].", examples=[[24, -17]]
    )
    width: PositiveLength = Field(description="Width of the seal.", examples=[8])
    free: PositiveLength = Field(
        description="Height of the seal over its foot with the lid open.", examples=[15]
    )
    squeezed: PositiveLength = Field(
        description="Height over its foot with the lid shut: putty in the gap.", examples=[12]
    )
    plus_minus: NotNegative = Field(
        default=PLUS_MINUS,
        validate_default=True,
        description="± of its foot and heights.",
        examples=[0.7],
    )
    force: Annotated[float, Field(gt=0)] | None = Field(
        default=None,
        description="Force to squeeze it so far, N for each metre of seal: a metre of it under a "
        "board on a scale (1 kg is 9.81 N). Left out: the seal's push is not counted.",
        examples=[100],
    )
    rear: PositiveLength | None = Field(
        default=None,
        description="From the lid's front edge back to the seal's rear run. Left out: as far from "
        "the latch edge as its front run is from the front edge.",
        examples=[736],
    )
    across: PositiveLength | None = Field(
        default=None,
        description="From one side run of the seal to the other. Left out: the lid's width less "
        "twice the front run's distance from the front edge.",
        examples=[1132],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        width, free = as_length(keys.get("width")), as_length(keys.get("free"))
        squeezed = as_length(keys.get("squeezed"))
        if free is not None and squeezed is not None and squeezed > free:
            yield FieldProblem(
                ("squeezed",), f"is {squeezed:g} mm, more than the free height of {free:g} mm",
                "measure both over the seal's foot",
            )  # fmt: skip
        if width is not None and free is not None and free < width / 2:
            yield FieldProblem(
                ("free",), f"is {free:g} mm, less than half the seal's width of {width:g} mm",
                "its top is taken as a half round: measure both again",
            )  # fmt: skip


class Thing(Config):
    """Anything else in the section that is fixed to the body or carried by the lid."""

    name: OneLine = Field(
        description="What you call it in figures and findings.", examples=["wiper arm"]
    )
    rides: bool = Field(
        default=False,
        description="True for what is fixed on the lid and swings with it; false for what stays.",
        examples=[False],
    )
    points: Corners | None = Field(
        default=None,
        description="Corners of its outline in order, each [back, up]; a third number rounds the "
        "corner by that radius.",
        examples=[[[-150, 30], [-150, 60, 5], [-90, 60], [-90, 30]]],
    )
    closed: bool = Field(
        default=True,
        description="Whether the outline goes back to its first corner, round metal; false for a "
        "line such as a trim panel.",
        examples=[True],
    )
    middle: Spot | None = Field(
        default=None,
        description="Instead of points, for a round thing such as a pipe: its middle.",
        examples=[[-150, 45]],
    )
    diameter: PositiveLength | None = Field(
        default=None, description="Diameter of the round thing.", examples=[20]
    )
    keeps_off: Literal["lid and arm", "lid", "arm"] = Field(
        default="lid and arm",
        description="What must clear a fixed thing: the lid with all it carries and the arm, or "
        "one of the two only, as where they pass side by side.",
        examples=["lid and arm"],
    )
    plus_minus: NotNegative = Field(
        default=PLUS_MINUS, validate_default=True, description="± of each place.", examples=[0.7]
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        points = keys.get("points")
        middle, diameter = keys.get("middle"), keys.get("diameter")
        if points is not None and (middle is not None or diameter is not None):
            yield FieldProblem(
                ("points",), "are given beside the middle of a round thing", "give one of them"
            )
        elif points is None and middle is None and diameter is None:
            yield FieldProblem((), "has neither points nor a middle", "give one of them")
        elif points is None and (middle is None or diameter is None):
            lacking = "middle" if middle is None else "diameter"
            yield FieldProblem((), f"has no {lacking}", "a round thing needs both")
        closed = keys.get("closed", True) is not False
        if closed and isinstance(points, list | tuple) and len(points) == 2:
            yield FieldProblem(
                ("points",), "are two, which enclose nothing", "write closed = false for a line"
            )
        yield from rounded_too_much(points, closed)
        if keys.get("rides") is True and keys.get("keeps_off") is not None:
            yield FieldProblem(
                ("keeps_off",), "is for things that stay", "leave it out for one that rides"
            )
