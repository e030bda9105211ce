"""What is chosen for the arm and for the pad that joins it to the lid."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Field

from parts.kinds.fields import BoltName, Config, Count, PositiveLength, StockName
from parts.kinds.hinge_bracket.places import (
    Line,
    NotNegative,
    Turn,
    as_length,
    as_spot,
    no_line,
)
from parts.kinds.problems import FieldProblem


class ArmConfig(Config):
    """The arm: a goose-neck of plate from the pivot under the gutter to the lid."""

    pad: Line = Field(
        description="The edge by which it meets the lid: its two ends on the lid's inner face, "
        "front first, each [back, up] from the lid's front edge.",
        examples=[[[62, -12], [152, -12]]],
    )
    hub: PositiveLength = Field(
        default=30.0,
        validate_default=True,
        description="Diameter of the arm round the pivot. Usual: bush + 12 or more.",
        examples=[30],
    )
    width: PositiveLength = Field(
        default=34.0,
        validate_default=True,
        description="Width of the arm at the throat, where it bends hardest. Usual: 30 to 40.",
        examples=[34],
    )
    fillet: PositiveLength = Field(
        default=12.0,
        validate_default=True,
        description="Inside radius between the leg and the neck.",
        examples=[12],
    )
    flange: NotNegative = Field(
        default=0.0,
        validate_default=True,
        description="Height over the outside of a return folded along the arm's rear edge, for an "
        "arm of thin sheet; 0 for a flat plate of 5 to 6 mm steel or 12 mm aluminium.",
        examples=[0],
    )
    pivot_bolt: BoltName = Field(
        default="M10",
        description="Thread of the shoulder bolt at the pivot. Usual: M10.",
        examples=["M10"],
    )
    bush: PositiveLength = Field(
        default=14.0,
        validate_default=True,
        description="Outside diameter of the bronze bush in the arm, in which the bolt's shoulder "
        "turns.",
        examples=[14],
    )
    shoulder: PositiveLength = Field(
        default=12.0,
        validate_default=True,
        description="Diameter of the bolt's shoulder, which turns in the bush.",
        examples=[12],
    )
    bush_kind: Literal["sintered bronze", "turned bronze", "steel backed with PTFE"] = Field(
        default="turned bronze",
        description="What the bush is made of, for the screening of its pressure.",
        examples=["turned bronze"],
    )
    bush_length: PositiveLength = Field(
        default=12.0,
        validate_default=True,
        description="Length of the bush along the pivot.",
        examples=[12],
    )
    play: PositiveLength = Field(
        default=0.06,
        validate_default=True,
        description="Play of the shoulder in the bush, on the diameter, by caliper.",
        examples=[0.06],
    )
    washer: NotNegative = Field(
        default=1.5,
        validate_default=True,
        description="Thickness of the thrust washer between arm and body bracket.",
        examples=[1.5],
    )
    doubler: StockName | None = Field(
        default=None,
        description="Sheet of a doubler over the throat, drawn where the screening asks for one: "
        "the NAME of a [stock.NAME]. Left out: that of the arm.",
        examples=["sheet4"],
    )
    side_push: Annotated[float, Field(ge=0)] = Field(
        default=100.0,
        description="A hand's push sideways at the handle, for screening only, N. Usual: 100.",
        examples=[100],
    )
    stop: PositiveLength = Field(
        default=40.0,
        validate_default=True,
        description="Distance from the pivot at which the arm's leg meets the stop when the lid "
        "is open. Further out is kinder to the stop. The stop is told as a place, no piece is "
        "drawn for it: fix a block there on the body.",
        examples=[40],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        yield from no_line(keys, "pad")
        hub, bush = as_length(keys.get("hub", 30.0)), as_length(keys.get("bush", 14.0))
        stop = as_length(keys.get("stop", 40.0))
        shoulder = as_length(keys.get("shoulder", 12.0))
        if shoulder is not None and bush is not None and shoulder >= bush:
            yield FieldProblem(
                ("shoulder",), f"is {shoulder:g} mm, not less than the bush's outside of {bush:g}",
                "measure the bolt's shoulder and the bush again",
            )  # fmt: skip
        if hub is not None and bush is not None and hub < bush + 6:
            yield FieldProblem(
                ("hub",), f"leaves {max(hub - bush, 0) / 2:g} mm of metal round the bush",
                f"make it {bush + 6:g} or more, or the bush smaller",
            )  # fmt: skip
        if hub is not None and stop is not None and stop <= hub / 2:
            yield FieldProblem(
                ("stop",), f"is {stop:g} mm from the pivot, within the hub",
                f"make it more than {hub / 2:g}",
            )  # fmt: skip
        ends = keys.get("pad")
        if isinstance(ends, list | tuple) and len(ends) == 2:
            front, back = as_spot(ends[0]), as_spot(ends[1])
            if front is not None and back is not None and front[0] > back[0]:
                yield FieldProblem(("pad",), "has its rear end first", "write the front end first")


class PadConfig(Config):
    """The lid pad: a folded angle that joins the arm to the lid, with slots along the lid."""

    stock: StockName | None = Field(
        default=None,
        description="Sheet of the pad: the NAME of a [stock.NAME]. Left out: that of the arm.",
        examples=["sheet4"],
    )
    leg: PositiveLength = Field(
        default=34.0,
        validate_default=True,
        description="Outside height of the leg that lies on the arm.",
        examples=[34],
    )
    bolt: BoltName = Field(default="M8", description="Bolts into the lid.", examples=["M8"])
    bolts: Count = Field(default=2, description="How many bolts into the lid.", examples=[2])
    pitch: PositiveLength | None = Field(
        default=None,
        description="Pitch of the lid's holes, between the outer ones: near and far edges "
        "averaged. Left out: as far apart as the pad's length lets them be.",
        examples=[45],
    )
    adjust: NotNegative = Field(
        default=4.0,
        validate_default=True,
        description="How far the slots let the lid move back and forward, each way. Usual: 4 to 5.",
        examples=[4],
    )
    turn: Turn = Field(
        default=90.0,
        validate_default=True,
        description="Turn of its fold from flat: 90 where the lid's inner face lies square to the "
        "arm; less where its outboard side lies lower. Digital level across the face.",
        examples=["90 deg"],
    )
    join: Literal["weld", "bolt"] = Field(
        default="weld", description="How its leg is joined to the arm.", examples=["weld"]
    )
    throat: PositiveLength = Field(
        default=2.5,
        validate_default=True,
        description="Throat of the fillet weld round the leg: at most 0.7 of the thinner plate.",
        examples=[2.5],
    )
    arm_bolt: BoltName = Field(
        default="M8", description="Bolts through the arm, where it is bolted.", examples=["M8"]
    )
