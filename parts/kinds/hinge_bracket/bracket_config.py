"""What is chosen for the brackets that hold the pivot and the struts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import hypot
from typing import Any

from pydantic import Field

from parts.kinds.fields import BoltName, Config, Count, Length, PositiveLength, StockName
from parts.kinds.hinge_bracket.places import Line, NotNegative, Turn, no_line
from parts.kinds.problems import FieldProblem

FOOT = 80.0  # mm; long enough for two bolts and a steady pivot, common practice


class BodyConfig(Config):
    """The body bracket: a folded angle with the pivot, bolted to a face of the body."""

    stock: StockName | None = Field(
        default=None,
        description="Sheet of the bracket: the NAME of a [stock.NAME]. Left out: that of the arm.",
        examples=["sheet4"],
    )
    face: Line = Field(
        description="The face of the body that it is bolted to, as a line of the section: its two "
        "ends, each [back, up] from the lid's front edge. The bracket lies on the pivot's side of "
        "it; lid and arm must clear it.",
        examples=[[[-125, -5], [-125, -65]]],
    )
    length: PositiveLength | None = Field(
        default=None,
        description="Length of its foot along the face. Left out: 80, or all of a shorter face.",
        examples=[56],
    )
    shift: Length | None = Field(
        default=None,
        description="How far the middle of the foot lies from abreast of the pivot, + from the "
        "first point of the face toward the second. Left out: as little as keeps the foot on the "
        "face.",
        examples=[16],
    )
    bolt: BoltName = Field(default="M8", description="Bolts into the body.", examples=["M8"])
    bolts: Count = Field(default=2, description="How many bolts into the body.", examples=[2])
    pitch: PositiveLength | None = Field(
        default=None,
        description="Pitch of the body's holes, between the outer ones. Left out: as far apart as "
        "the foot's length lets them be.",
        examples=[45],
    )
    adjust: NotNegative = Field(
        default=3.0,
        validate_default=True,
        description="How far its slots let it move across the vehicle, at right angles to the "
        "pad's, each way. Usual: 3.",
        examples=[3],
    )
    turn: Turn = Field(
        default=90.0,
        validate_default=True,
        description="Turn of its fold from flat: 90 where the body's face is square to the arm.",
        examples=["90 deg"],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        yield from no_line(keys, "face")


    def foot(self, beside: float) -> tuple[float, float]:
        """Length and shift of the foot, for a pivot so far along the face from its first end."""
        (u, v), (p, q) = self.face
        size = hypot(p - u, q - v)
        length = min(FOOT, size) if self.length is None else self.length
        if self.shift is not None:
            return length, self.shift
        half = min(length, size) / 2
        return length, min(max(beside, half), size - half) - beside


class StrutBracketConfig(Config):
    """Brackets that carry the struts' ball studs on lid and body."""

    stock: StockName | None = Field(
        default=None,
        description="Sheet of the brackets: the NAME of a [stock.NAME]. Left out: that of the arm.",
        examples=["sheet4"],
    )
    lid_face: Line | None = Field(
        default=None,
        description="The lid's inner face that the strut's bracket is bolted to, as a line of the "
        "section with the lid shut: two points. Left out: no bracket on the lid is drawn.",
        examples=[[[30, -12], [120, -12]]],
    )
    body_face: Line | None = Field(
        default=None,
        description="The face of the body for the other bracket: two points. Left out: no bracket "
        "on the body is drawn.",
        examples=[[[220, -300], [320, -300]]],
    )
    stud: BoltName = Field(default="M8", description="Thread of the ball studs.", examples=["M8"])
    reach: PositiveLength = Field(
        default=14.0,
        validate_default=True,
        description="From the bracket's face to the middle of the ball.",
        examples=[14],
    )
    length: PositiveLength = Field(
        default=60.0,
        validate_default=True,
        description="Length of a bracket's foot along its face.",
        examples=[60],
    )
    lid_shift: Length = Field(
        default=0.0,
        validate_default=True,
        description="How far the middle of the lid bracket's foot lies from abreast of the ball, + "
        "from the first point of `lid_face` toward the second: to keep it off the seal.",
        examples=[0],
    )
    body_shift: Length = Field(
        default=0.0,
        validate_default=True,
        description="The same for the body bracket, along `body_face`.",
        examples=[0],
    )
    bolt: BoltName = Field(default="M6", description="Bolts of the brackets.", examples=["M6"])
    bolts: Count = Field(default=2, description="How many bolts each.", examples=[2])

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        yield from no_line(keys, "lid_face", "body_face")
        if keys.get("lid_face") is None and keys.get("body_face") is None:
            yield FieldProblem((), "has neither lid_face nor body_face", "give one or both")
