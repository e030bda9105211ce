"""What a hinge bracket is asked for: the section, the rooms, the weight, struts and metal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from parts.kinds.fields import (
    Angle,
    Config,
    KindConfig,
    PositiveLength,
    PropertyClass,
    SquareLength,
)
from parts.kinds.hinge_bracket.arm_config import ArmConfig, PadConfig
from parts.kinds.hinge_bracket.bracket_config import BodyConfig
from parts.kinds.hinge_bracket.judged import judged
from parts.kinds.hinge_bracket.measured import (
    GutterConfig,
    LidConfig,
    PanelConfig,
    SealConfig,
    Thing,
)
from parts.kinds.hinge_bracket.places import Fence, NotNegative, Spot
from parts.kinds.hinge_bracket.strut_config import StrutsConfig
from parts.kinds.hinge_bracket.weight_config import WeightConfig
from parts.kinds.problems import FieldProblem
from parts.kinds.sides import Hand, hands_of, sides_measured

__all__ = ["Hand", "HingeBracket", "HingeSide", "PlanConfig"]

Gaps = tuple[PositiveLength, PositiveLength]


class HingeSide(Config):
    """Where one hinge stands on the vehicle, left or right seen from the driver's seat."""

    y: PositiveLength = Field(
        description="From the vehicle's centre plane to the hinge plane: the middle of the arm's "
        "thickness.",
        examples=[430],
    )
    edge: Spot = Field(
        description="The top of the lid's front edge in the hinge plane: [X, Z], X rearward of "
        "the datum, Z up, with the lid shut and its gaps set.",
        examples=[[260, 880]],
    )
    gap: SquareLength | None = Field(
        default=None,
        description="Gap between panel and lid at this hinge, where it differs from the panel's.",
        examples=["5 ± 0.3"],
    )


class PlanConfig(Config):
    """The lid in plan, to look at the room at its sides."""

    skew: Annotated[Angle, Field(gt=-15, lt=15)] | None = Field(
        default=None,
        description="Angle in plan between the lid's front edge and the hinge axis, + when the "
        "lid's right end lies further rearward. Left out: from the edges measured at both hinges, "
        "else square.",
        examples=["0.3 deg"],
    )
    left_gap: Gaps = Field(
        description="Gap at the lid's left side, [at its front, at its rear], lid shut.",
        examples=[[4, 4]],
    )
    right_gap: Gaps = Field(
        description="Gap at the lid's right side, [at its front, at its rear].", examples=[[4, 4]]
    )
    side_fold: NotNegative | None = Field(
        default=None,
        description="Depth of the lid's folded sides. Left out: that of its front edge.",
        examples=[10],
    )
    clearance: PositiveLength = Field(
        default=2.0,
        validate_default=True,
        description="Wished at the sides over the whole swing.",
        examples=[2],
    )


class HingeBracket(KindConfig):
    """A goose-neck lid hinge: arm, lid pad and body bracket, and struts that hold the lid."""

    starter_stock: ClassVar = {
        "plate": {"material": "S235", "thickness": 5},
        "sheet4": {"material": "S235", "thickness": 4},
    }
    starter_keys: ClassVar[Mapping[str, object]] = {
        "pivot": [-72, -18],
        "right": {"y": 430, "edge": [260, 880]},
        "gutter": {"points": [[24, -17], [24, -38], [-5, -38], [-5, -1]]},
        "weight": {"scales": {"hinge_edge": 7.63, "latch_edge": 7.17, "apart": 745}},
        "pad": {"stock": "sheet4"},
        "body": {"stock": "sheet4", "face": [[-125, -5], [-125, -65]]},
        "struts": {
            "fitted": {
                "rod": 8, "tube": 18, "stroke": 200, "extended": 485, "force": 200,
                "on_lid": [60, -30], "on_body": [260, -260],
            }
        },
    }  # fmt: skip

    kind: Literal["hinge_bracket"] = Field(description="This part is a hinge bracket.")
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
    opening: Annotated[Angle, Field(gt=0, le=180)] = Field(
        description="How far the lid opens from shut. Usual: 75 to 90 degrees.",
        examples=["82 deg"],
    )
    pivot: Spot | Literal["found"] = Field(
        default="found",
        description="The pivot: [back, up] from the lid's front edge, so that a pivot ahead of "
        'and below it has two negative numbers. Or "found": the best place in `pivot_room`. '
        "Usual: 60 to 120 ahead of the edge, and shallow.",
        examples=[[-72, -18]],
    )
    pivot_room: Fence | None = Field(
        default=None,
        description="Corners, in order, of the space under the panel in which the pivot may be: "
        "each [back, up]. Card held under the panel; room for hub and bracket taken off.",
        examples=[[[-110, -40], [-40, -40], [-40, -8], [-110, -8]]],
    )
    pivot_plus_minus: NotNegative = Field(
        default=1.0,
        validate_default=True,
        description="How far the pivot may sit off its place once it is welded or bolted. A rod "
        "through both pivots keeps it to 1.",
        examples=[1],
    )
    arm_room: Fence | None = Field(
        default=None,
        description="Corners, in order, of the space in the boot for the neck with the lid shut: "
        "each [back, up]. Left out: no limit.",
        examples=[[[-150, -2], [170, -2], [170, -200], [-150, -200]]],
    )
    clearance: PositiveLength = Field(
        default=3.0,
        validate_default=True,
        description="Wished between the swinging lid and all that stays. Usual: 3 or more, "
        "painted.",
        examples=[3],
    )
    neck_clearance: PositiveLength = Field(
        default=8.0,
        validate_default=True,
        description="Wished between the neck and the gutter and seal that it passes under. "
        "Usual: 8.",
        examples=[8],
    )
    arm_clearance: PositiveLength = Field(
        default=3.0,
        validate_default=True,
        description="Wished between the arm and all else that stays.",
        examples=[3],
    )
    if_less: Literal["refuse", "mention"] = Field(
        default="refuse",
        description="What a clearance below the wish does. Contact always refuses.",
        examples=["refuse"],
    )
    bolt_class: PropertyClass = Field(
        default="8.8", description="Strength class of all bolts.", examples=["8.8"]
    )
    lid: LidConfig = Field(
        description="The lid.",
        examples=[{"width": 1180, "depth": 760, "fold": "10 ± 0.5", "skin": 1}],
    )
    panel: PanelConfig = Field(
        description="The fixed panel ahead of the lid.",
        examples=[{"gap": "5 ± 0.3", "flat": 100, "angle": 30, "rise": 200}],
    )
    gutter: GutterConfig = Field(
        description="The gutter behind the panel.",
        examples=[{"points": [[24, -17], [24, -38], [-5, -38], [-5, -1]]}],
    )
    seal: SealConfig | None = Field(
        default=None, description="The seal. Left out: none, or one far from the hinge."
    )
    things: tuple[Thing, ...] = Field(
        default=(), description="Anything else in the section, fixed or on the lid."
    )
    plan: PlanConfig | None = Field(
        default=None,
        description="The lid in plan. Left out: the room at its sides is not looked at.",
    )
    right: HingeSide | None = Field(
        default=None,
        description="The right hinge.",
        examples=[{"y": 430, "edge": [260, 880]}],
    )
    left: HingeSide | None = Field(default=None, description="The left hinge.")
    weight: WeightConfig = Field(
        description="What the lid weighs.",
        examples=[{"scales": {"hinge_edge": 7.63, "latch_edge": 7.17, "apart": 745}}],
    )
    struts: StrutsConfig | None = Field(
        default=None, description="Gas struts. Left out: none; a prop holds the lid."
    )
    arm: ArmConfig = Field(
        description="The arm, of the part's own `stock`.",
        examples=[{"pad": [[62, -12], [152, -12]]}],
    )
    pad: PadConfig = Field(
        default=PadConfig(), description="The lid pad.", examples=[{"stock": "sheet4"}]
    )
    body: BodyConfig = Field(
        description="The body bracket.", examples=[{"face": [[-125, -5], [-125, -65]]}]
    )

    @property
    def hands(self) -> tuple[Hand, ...]:
        """The hands to make, right first."""
        return hands_of(self.hand)

    def side(self, hand: Hand) -> HingeSide | None:
        """What was measured on that side."""
        return self.right if hand == "right" else self.left

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        yield from sides_measured(keys)
        yield from judged(keys)
