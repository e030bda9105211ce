"""What a wheel tub is asked for: the surround of each side, the clearances wished, the style."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from parts.kinds.fields import AxleName, KindConfig, Length, PositiveLength
from parts.kinds.problems import FieldProblem
from parts.kinds.sides import Hand, hands_of, sides_measured
from parts.kinds.wheel_tub.measured import BodySideConfig, Clear, TubSide, as_length

__all__ = ["BodySideConfig", "Clear", "Hand", "TubSide", "WheelTub"]

NotNegative = Annotated[Length, Field(ge=0)]
LEAST_SKIN = 5.0  # mm of the inner skin beside its opening


class WheelTub(KindConfig):
    """A wheel tub: side disc, rolled band and inner skin, sized to the tyre's whole travel."""

    starter_stock: ClassVar = {"tub": {"material": "DC01", "thickness": 1.2}}
    starter_points: ClassVar = {}
    starter_axles: ClassVar[Mapping[str, Mapping[str, object]]] = {"rear": {}}
    starter_keys: ClassVar = {
        "axle": "rear",
        "right": {
            "front_floor": 400,
            "rear_floor": 500,
            "body_side": {"y": 950, "height": 426, "lean": 0, "toe": 0},
        },
    }

    kind: Literal["wheel_tub"] = Field(description="This part is a wheel tub.")
    axle: AxleName = Field(
        description="The axle whose wheel it covers: the NAME of an [axle.NAME] of this job.",
        examples=["rear"],
    )
    hand: Literal["left", "right", "pair"] = Field(
        description="Which hand to make, seen from the driver's seat. A pair needs both sides "
        "measured, or `mirror = true`.",
        examples=["right"],
    )
    mirror: bool = Field(
        default=False,
        description="Build the side that was not measured as the mirror image of the other. The "
        "tyre is still swept on its own side: a lateral bar moves both wheels the same way.",
        examples=[False],
    )
    right: TubSide | None = Field(
        default=None,
        description="What was measured on the right.",
        examples=[
            {
                "front_floor": 400,
                "rear_floor": 500,
                "body_side": {"y": 940, "height": 426, "lean": "3 deg", "toe": "1.2 deg"},
            }
        ],
    )
    left: TubSide | None = Field(default=None, description="What was measured on the left.")
    side_clearance: PositiveLength = Field(
        default=25.0,
        validate_default=True,
        description="Wished between tyre and disc in every pose. 25 is the usual least, 38 is "
        "comfortable.",
        examples=[25],
    )
    crown_clearance: PositiveLength = Field(
        default=30.0,
        validate_default=True,
        description="Wished between tread and band in every pose. Usual: 30 to 50.",
        examples=[30],
    )
    rail_clearance: PositiveLength = Field(
        default=25.0,
        validate_default=True,
        description="Wished between tyre and rail in every pose. Usual: 25 to 40.",
        examples=[25],
    )
    skin_clearance: PositiveLength = Field(
        default=10.0,
        validate_default=True,
        description="Wished between tyre and body side or arch lip in every pose.",
        examples=[10],
    )
    if_less: Literal["refuse", "mention"] = Field(
        default="refuse",
        description="What a clearance below the wish does. Contact always refuses.",
        examples=["refuse"],
    )
    floor_clearance: PositiveLength = Field(
        default=20.0,
        validate_default=True,
        description="Wished between tyre and the floor in front of and behind the tub.",
        examples=[20],
    )
    surround_error: NotNegative = Field(
        default=2.0,
        validate_default=True,
        description="± of the distances to rail, body side and floor, as measured. Usual: 1 for a "
        "square on the rail, 2 for a body side.",
        examples=[2],
    )
    disc_face: PositiveLength | None = Field(
        default=None,
        description="From the centre plane to the disc's outboard face. Left out: as far inboard "
        "as the tyre's travel and `side_clearance` ask.",
        examples=[568],
    )
    band_radius: PositiveLength | None = Field(
        default=None,
        description="Inside radius of the band. Left out: the least that `crown_clearance` allows.",
        examples=[392],
    )
    band_center: tuple[Length, Length] | None = Field(
        default=None,
        description="X and Z of the band's centre. Left out: over the wheel at full bump, set so "
        "that the radius is least.",
        examples=[[-3, 426]],
    )
    style: Literal["corner", "tabs", "formed"] = Field(
        default="corner",
        description="How disc and band meet: welded at the corner; by tabs folded on the disc, "
        "outside the band; or by a rim formed on the disc.",
        examples=["corner"],
    )
    tab: PositiveLength = Field(
        default=18.0, validate_default=True,
        description="Length of tabs, or of the formed rim beyond its round. Usual: 15 to 20.",
        examples=[18],
    )  # fmt: skip
    edge_radius: PositiveLength = Field(
        default=12.0, validate_default=True,
        description="Inside radius of a formed rim. Usual: 10 to 25.", examples=[12],
    )  # fmt: skip
    end_flange: PositiveLength = Field(
        default=20.0, validate_default=True,
        description="Length of the band's end flanges on the floor, over the outside.",
        examples=[20],
    )  # fmt: skip
    least_leg: PositiveLength = Field(
        default=6.0, validate_default=True,
        description="Flat left between roll and end fold, so that the fold can be made.",
        examples=[6],
    )  # fmt: skip
    disc_rail_gap: NotNegative = Field(
        default=2.0, validate_default=True,
        description="Gap of the disc to the rail, to be sealed. Usual: 2 to 3.", examples=[2],
    )  # fmt: skip
    band_rail_gap: NotNegative = Field(
        default=3.0, validate_default=True,
        description="Gap of the band to the rail. Usual: 2 to 3.", examples=[3],
    )  # fmt: skip
    skin_gap: NotNegative = Field(
        default=6.0, validate_default=True,
        description="Space between inner skin and body side, so that no weld lands on the body.",
        examples=[6],
    )  # fmt: skip
    skin_margin: PositiveLength = Field(
        default=40.0, validate_default=True,
        description="Width of the inner skin beyond the band.", examples=[40],
    )  # fmt: skip
    arch_gap: NotNegative = Field(
        default=0.4, validate_default=True,
        description="Gap between the band and the skin's opening for it. Usual: 0.3 to 0.5.",
        examples=[0.4],
    )  # fmt: skip
    seam: Annotated[float, Field(gt=0, lt=1)] | None = Field(
        default=None,
        description="Split the band there, as a share of its length from the front end, for "
        "sheet or roller that is too short. Left out: one piece.",
        examples=[0.5],
    )

    @property
    def hands(self) -> tuple[Hand, ...]:
        """The hands to make, right first."""
        return hands_of(self.hand)

    def side(self, hand: Hand) -> TubSide | None:
        """What was measured on that side."""
        return self.right if hand == "right" else self.left

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        yield from sides_measured(keys)
        margin = as_length(keys.get("skin_margin", 40.0))
        gap = as_length(keys.get("arch_gap", 0.4))
        if margin is not None and gap is not None and margin - gap < LEAST_SKIN:
            yield FieldProblem(
                ("skin_margin",),
                f"leaves {margin - gap:g} mm of skin outside its opening",
                f"make it {gap + LEAST_SKIN:g} or more",
            )
