"""How a link tab is welded, and the strap that may close a pair."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from pydantic import Field

from parts.kinds.fields import Config, PositiveLength, StockName
from parts.kinds.link_tab.measured import NotNegative
from parts.kinds.problems import FieldProblem


class WeldConfig(Config):
    """The welds at the root."""

    leg: PositiveLength | None = Field(
        default=None,
        description="Leg of the fillet on each face. Left out: 0.7 of the tab's thickness, and a "
        "throat of 3 mm at least.",
        examples=[5],
    )
    length: PositiveLength | None = Field(
        default=None,
        description="Length of weld wished along each face. Left out: the whole root.",
        examples=[80],
    )
    ends: Literal["wrapped", "open"] | None = Field(
        default=None,
        description="Whether the welds run round the ends of the root, or stop before them. Left "
        "out: wrapped, but open where a length or stop_short is given.",
        examples=["open"],
    )
    stop_short: NotNegative = Field(
        default=0.0,
        validate_default=True,
        description="How far open welds stop short of the tab's edges.",
        examples=[5],
    )
    method: Literal["simplified", "directional", "AISC", "AISC with direction"] = Field(
        default="simplified",
        description="How they are judged: EN 1993-1-8 4.5.3.3 (simplified) or 4.5.3.2 "
        "(directional), AISC 360 J2.4, or that with the favour of a force across the weld.",
        examples=["simplified"],
    )
    filler: Literal["E60", "E70", "E80"] = Field(
        default="E70", description="Filler metal; AISC counts on it.", examples=["E70"]
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        if keys.get("ends") == "wrapped":
            for key in ("length", "stop_short"):
                if keys.get(key):
                    yield FieldProblem(
                        (key,), "is given for welds that run round the ends",
                        'write `ends = "open"`, or leave it out',
                    )  # fmt: skip
        if keys.get("length") is not None and keys.get("stop_short"):
            yield FieldProblem(
                ("stop_short",), "is given beside length", "leave it out: the length is centred"
            )


class StrapConfig(Config):
    """A strap between the two tabs, along the edge away from the link."""

    stock: StockName | None = Field(
        default=None,
        description="The NAME of its [stock.NAME]. Left out: that of the tabs.",
        examples=["plate"],
    )
    flange: NotNegative = Field(
        default=0.0,
        validate_default=True,
        description="Flanges folded on both sides, over the outside, to lap on the tabs' inner "
        "faces. Left out: a flat strap, welded at its edges.",
        examples=[0],
    )
    side: Literal["back", "front"] = Field(
        default="back",
        description="Which edge of the tabs: the back one, away from the link, or the front one.",
        examples=["back"],
    )
    clearance: NotNegative = Field(
        default=3.0,
        validate_default=True,
        description="Kept between strap and joint's head.",
        examples=[3],
    )
