"""What a bumper mount is asked for: the sides that were measured, the bolts, the wishes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from parts.kinds.bumper_mount.side import Hand, Side
from parts.kinds.fields import BoltName, KindConfig, Length, PositiveLength, PropertyClass
from parts.kinds.problems import FieldProblem
from parts.kinds.sides import hands_of, sides_measured

NotNegative = Annotated[Length, Field(ge=0)]


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
    fit: Literal["fine", "medium", "coarse", "close", "normal", "loose"] = Field(
        default="medium",
        description="Clearance of the holes: fine, medium or coarse by ISO 273; for inch bolts "
        "close, normal or loose of ASME B18.2.8, in the same order.",
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
        "leg; 0 for none. Usual: 7 times the thickness. The die wants its least flange and 1 mm "
        "more, as the corners are rounded.",
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
        return hands_of(self.hand)

    def side(self, hand: Hand) -> Side | None:
        """What was measured on that side."""
        return self.right if hand == "right" else self.left

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        yield from sides_measured(keys)
        yield from _holes_and_studs_apart(keys)
        yield from _bolts_of_their_class(keys)


def _bolts_of_their_class(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    """Inch bolts come in grades, metric ones in classes such as 8.8."""
    grade = "grade" in str(keys.get("bolt_class", "")).lower()
    for key in ("rail_bolt", "bar_bolt"):
        name = str(keys.get(key, BumperMount.model_fields[key].default))
        inch = re.match(r"\s*\d+\s*/\s*\d+|.*UN[CF]", name, re.IGNORECASE) is not None
        if inch and not grade:
            yield FieldProblem(
                (key,),
                "is an inch bolt, but the strength class is metric",
                'write the grade of the bolts, such as bolt_class = "grade 8"',
            )
        elif grade and not inch:
            yield FieldProblem(
                (key if key in keys else "bolt_class",),
                f"{name} is a metric bolt, but the strength class is an inch grade",
                'write the class of the bolts, such as bolt_class = "8.8", or name inch bolts '
                "for rail and bar",
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


def _names(side: Any, key: str) -> frozenset[str]:
    """The points a side names under a key, whether it is read already or still as written."""
    names = side.get(key) if isinstance(side, Mapping) else getattr(side, key, None)
    return frozenset(map(str, names)) if isinstance(names, list | tuple) else frozenset()
