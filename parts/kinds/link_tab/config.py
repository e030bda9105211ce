"""What a link tab is asked for: joint, bolt, what it stands on, sizes or a reserve, the load."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from parts.kinds.fields import (
    AxleName,
    BoltName,
    KindConfig,
    Length,
    PositiveLength,
    PropertyClass,
    StockName,
)
from parts.kinds.link_tab.judged import judged
from parts.kinds.link_tab.measured import (
    FootConfig,
    HolesConfig,
    JointConfig,
    NotNegative,
    PlateConfig,
    TubeConfig,
)
from parts.kinds.link_tab.side import TabSide
from parts.kinds.link_tab.welded import StrapConfig, WeldConfig
from parts.kinds.problems import FieldProblem
from parts.kinds.sides import Hand, hands_of

__all__ = ["Hand", "LinkTab", "TabSide"]



class LinkTab(KindConfig):
    """Tabs that hold a link's joint: a pair or one, on a tube, a flat face or a folded foot."""

    starter_stock: ClassVar = {"plate": {"material": "S355", "thickness": 6}}
    starter_points: ClassVar = {
        "H": {"at": ["-68 ± 1", "450 ± 1", "290 ± 1"]},
        "C": {"at": ["-628 ± 1", "450 ± 1", "300 ± 1"]},
    }
    starter_axles: ClassVar[Mapping[str, Mapping[str, object]]] = {"rear": {}}
    starter_keys: ClassVar[Mapping[str, object]] = {
        "axle": "rear",
        "force": 12000,
        "tube": {"od": 76.1, "wall": 6.3},
        "joint": {
            "bore": 16, "ball_width": 21, "body_width": 15, "head_diameter": 42, "spacer": 8
        },
        "right": {"hole": "H"},
    }  # fmt: skip

    kind: Literal["link_tab"] = Field(description="This part is a link tab.")
    hand: Literal["left", "right", "pair"] = Field(
        description="Which hand to make, seen from the driver's seat. A pair needs both sides "
        "measured, or `mirror = true`.",
        examples=["right"],
    )
    mirror: bool = Field(
        default=False,
        description="Make the side that was not measured as the mirror image of the other. The "
        "load is still that of its own link.",
        examples=[False],
    )
    axle: AxleName | None = Field(
        default=None,
        description="The axle it is welded to, or whose link it holds: the NAME of an "
        "[axle.NAME] of this job.",
        examples=["rear"],
    )
    joint: JointConfig = Field(
        description="The link's joint.",
        examples=[{"bore": 16, "ball_width": 21, "body_width": 15, "head_diameter": 42}],
    )
    tube: TubeConfig | None = Field(
        default=None, description="What it stands on, one of tube, plate and foot: a round tube."
    )
    plate: PlateConfig | None = Field(
        default=None, description="Instead of a tube: a flat plate or the face of a rail."
    )
    foot: FootConfig | None = Field(
        default=None, description="Instead: the tab's own folded foot, on a flat face."
    )
    right: TabSide | None = Field(
        default=None, description="What was measured on the right.", examples=[{"hole": "H"}]
    )
    left: TabSide | None = Field(default=None, description="What was measured on the left.")
    shear: Literal["double", "single"] = Field(
        default="double",
        description="Two tabs with the joint between them, or one with the joint beside it: that "
        "wants a stud made for it, and an engineer.",
        examples=["double"],
    )
    joint_on: Literal["outboard", "inboard"] = Field(
        default="inboard",
        description="In single shear: the side of the tab on which the joint sits (for a bolt "
        "along the vehicle outboard is forward, for an upright one it is below).",
        examples=["inboard"],
    )
    bolt: BoltName = Field(
        default="M16", description="Bolt through the joint. Usual: M14 to M16.", examples=["M16"]
    )
    bolt_class: PropertyClass = Field(
        default="10.9", description="Strength class of the bolt.", examples=["10.9"]
    )
    bolt_length: PositiveLength | None = Field(
        default=None,
        description="Length of the bolt under its head. Left out: the shortest, in fives, that "
        "reaches through the nut and keeps its threads out of the shear planes.",
        examples=[90],
    )
    bolt_shank: PositiveLength | None = Field(
        default=None,
        description="Plain shank of the bolt under its head, by caliper. Left out: that of a "
        "standard bolt of its length.",
        examples=[60],
    )
    hole: PositiveLength | None = Field(
        default=None,
        description="Hole in the tab, drilled or reamed. Left out: the bolt and 0.3 mm.",
        examples=[16.3],
    )
    gap: PositiveLength | None = Field(
        default=None,
        description="Between the two tabs, inside. Left out: ball, spacers, and the middle of the "
        "play the joint wants.",
        examples=[37.7],
    )
    holes: HolesConfig | None = Field(
        default=None, description="Several holes, to adjust the link's height."
    )
    edge: PositiveLength | None = Field(
        default=None,
        description="From a hole's centre to the edge of the tab. Left out: as strength asks.",
        examples=[26],
    )
    root: PositiveLength | None = Field(
        default=None,
        description="Width of the tab at its root, straight across. Left out: as strength asks.",
        examples=[70],
    )
    most_root: PositiveLength = Field(
        default=120.0,
        validate_default=True,
        description="Widest root that may be chosen where it is left out.",
        examples=[120],
    )
    root_shift: Length = Field(
        default=0.0,
        validate_default=True,
        description="How far the middle of the root stands off the middle of the tube (on a flat "
        "face: off straight below the hole), + rearward (upward on a tab that stands out fore or "
        "aft).",
        examples=[0],
    )
    thicker: tuple[StockName, ...] = Field(
        default=(),
        description="Other sheets that may be taken where `stock` is too thin, as strength asks.",
        examples=[["plate"]],
    )
    reserve: Annotated[float, Field(strict=True, ge=1, le=10)] = Field(
        default=1.0,
        description="Reserve wished of every line of the screening: 1 just holds.",
        examples=[1.2],
    )
    force: Annotated[float, Field(strict=True, gt=0)] | None = Field(
        default=None,
        description="Force in the link, N, pull or push. Left out: that of the link named, worked "
        "out from the axle's `car`.",
        examples=[12000],
    )
    shock: Annotated[float, Field(strict=True, ge=1, le=10)] | None = Field(
        default=None,
        description="Shock factor: it multiplies the force given; without one it goes instead of "
        "each load case's own. Left out: 1 for a force given.",
        examples=[3],
    )
    method: Literal["EN 1993-1-8", "AISC 360"] = Field(
        default="EN 1993-1-8",
        description="By which standard bolt, lug and tube wall are judged.",
        examples=["EN 1993-1-8"],
    )
    fit_gap: NotNegative = Field(
        default=0.4,
        validate_default=True,
        description="Gap between root and what it stands on, where it is nearest. Usual: 0.3 to "
        "0.5.",
        examples=[0.4],
    )
    weld: WeldConfig = Field(default=WeldConfig(), description="The welds at the root.")
    lightening: bool = Field(
        default=False,
        description="Cut a lightening hole, as large as the screening allows.",
        examples=[True],
    )
    web: PositiveLength = Field(
        default=14.0,
        validate_default=True,
        description="Metal left round a lightening hole.",
        examples=[14],
    )
    strap: StrapConfig | None = Field(
        default=None, description="A strap that closes the pair along one edge."
    )

    @property
    def hands(self) -> tuple[Hand, ...]:
        """The hands to make, right first."""
        return hands_of(self.hand)

    def side(self, hand: Hand) -> TabSide | None:
        """What was measured on that side."""
        return self.right if hand == "right" else self.left

    @property
    def flat(self) -> PlateConfig | None:
        """The flat face it stands on, with or without a folded foot."""
        return self.foot if self.foot is not None else self.plate

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        yield from judged(keys)
