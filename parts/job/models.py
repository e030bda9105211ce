"""The sections of a job file, but for its points and the parts, which each kind describes."""

import datetime
import re
from collections.abc import Mapping
from typing import Annotated, Literal, Self

from pydantic import (
    AfterValidator,
    BeforeValidator,
    Field,
    ValidationInfo,
    WithJsonSchema,
    field_validator,
    model_validator,
)

from parts.kinds.fields import (
    Angle,
    Config,
    FieldProblem,
    FieldProblems,
    MaterialName,
    OneLine,
    PositiveLength,
    ToolName,
    number_or_text,
)
from parts.sheet.allowance import BentStrip, BookRow
from parts.sheet.shop import Shop
from parts.sheet.stock import Stock, material
from parts.tables import folded, rows
from parts.trade.lengths import LengthError, parse_angle, parse_length

FILE_SAFE = r"^[A-Za-z0-9][A-Za-z0-9_-]*$"
_DEVICES = {"con", "prn", "aux", "nul", *(f"{p}{n}" for p in ("com", "lpt") for n in range(1, 10))}


def file_safe(name: str) -> str:
    """The name, if it can be the name of a folder everywhere; raises `FieldProblems`.

    >>> file_safe("tin-wren_2")
    'tin-wren_2'
    """
    if re.fullmatch(FILE_SAFE, name) and len(name) <= 60 and name.lower() not in _DEVICES:
        return name
    message = f"{name!r} cannot name a folder on every machine"
    remedy = "use up to 60 letters, digits, - and _, beginning with a letter or digit"
    raise FieldProblems(FieldProblem((), message, remedy))


def _thickness(value: object, info: ValidationInfo) -> float:
    """A length, or a gauge of the material's family; `material` comes before it in the model."""
    name = info.data.get("material")
    if name is None and re.match(r"\s*\d+\s*ga", str(value), re.IGNORECASE):
        return 1.0  # the material is refused already, and without it the gauge cannot be judged
    return parse_length(value, material(name).family if name else None)


Thickness = Annotated[PositiveLength, BeforeValidator(_thickness)]
ToolError = Annotated[
    float, Field(strict=True, gt=0), WithJsonSchema(number_or_text(r"[0-9]", exclusiveMinimum=0))
]
Ratio = Annotated[float, Field(strict=True, gt=0, le=1)]


class JobHead(Config):
    """[job]: what the job is called and how it was measured."""

    name: Annotated[str, AfterValidator(file_safe)] = Field(
        description="Short name of the job; it names the output folder and begins every file "
        "name. Letters, digits, - and _.",
        examples=["tin-wren"],
    )
    vehicle: OneLine = Field(
        default="",
        description="The vehicle, as you call it; it is printed on the papers.",
        examples=["two-door coupe on a ladder frame"],
    )
    stance: OneLine = Field(
        default="",
        description="How the vehicle stood when it was measured: a measurement without its stance "
        "is worth little. It is printed on the papers.",
        examples=["ride height, on stands under the axle"],
    )
    date: datetime.date | None = Field(
        default=None,
        description="Date of the job, without quotes. Files whose format forces a date carry this "
        "one, so that the same job always gives the same files.",
        examples=[datetime.date(2026, 5, 4)],
    )
    allowance_rule: Literal["DIN 6935", "FAA", "Machinery's Handbook"] = Field(
        default="DIN 6935",
        description="Where the length of sheet in a bend comes from when the bend book has no row: "
        "DIN 6935 (usual), FAA (the formula of FAA-H-8083-31A) or Machinery's Handbook.",
        examples=["DIN 6935"],
    )
    tools: dict[ToolName, ToolError] = Field(
        default={},
        description="Your own ± for a measuring tool, in mm or degrees, or with its unit: the half "
        "width that holds 95 of 100 readings. Tools left out keep the usual one (tape 1, rule "
        "0.5, caliper 0.1, square 0.3, level 0.3).",
        examples=[{"tape": 1, "level": 0.3}],
    )

    @field_validator("tools", mode="before")
    @classmethod
    def _in_the_tools_unit(cls, tools: object) -> object:
        if not isinstance(tools, Mapping):
            return tools
        angles = {row["name"] for row in rows("measuring_tools") if row["unit"] == "deg"}
        problems: list[FieldProblem] = []
        read: dict[object, object] = {}
        for tool, error in tools.items():
            try:
                parse = parse_angle if folded(str(tool)) in angles else parse_length
                read[tool] = parse(error) if isinstance(error, str) else error
            except LengthError as wrong:
                problems.append(FieldProblem((tool,), wrong.message, wrong.hint))
        if problems:
            raise FieldProblems(*problems)
        return read


class StockConfig(Config):
    """[stock.NAME]: a sheet on the rack."""

    material: MaterialName = Field(
        description="Name of the material, as on the delivery note.", examples=["S235"]
    )
    thickness: Thickness = Field(
        description="Thickness of the bare sheet, by caliper away from the sheared edge; or a "
        'gauge such as "16ga", which counts by the material.',
        examples=[5],
    )
    inside_radius: PositiveLength | None = Field(
        default=None,
        description="Inside radius that your brake or folder leaves in this sheet, by radius "
        "gauge on a bent offcut. Left out: that of the bend book, else of the die.",
        examples=[5],
    )
    die: PositiveLength | None = Field(
        default=None,
        description="Opening V of the die it is bent over, edge to edge. Left out: the usual one "
        "for the thickness (6t for thin sheet, 8t from 3 mm).",
        examples=[40],
    )
    sheet: tuple[PositiveLength, PositiveLength] | None = Field(
        default=None,
        description="Size of the sheet on the rack, [along the grain, across it].",
        examples=[[2500, 1250]],
    )

    def as_stock(self, name: str) -> Stock:
        """The sheet as the layout wants it."""
        return Stock(name, material(self.material), self.thickness)


class TestStrip(Config):
    """A strip of the same sheet, bent once and measured, from which k is worked out."""

    __test__ = False

    cut: PositiveLength = Field(
        description="Length of the strip before bending, by caliper.", examples=[100]
    )
    leg_a: PositiveLength = Field(
        description="One outside leg after bending, from its edge over the outside of the other.",
        examples=[52],
    )
    leg_b: PositiveLength = Field(
        description="The other outside leg, measured the same way.", examples=[52]
    )
    angle: Annotated[Angle, Field(gt=0, lt=180)] = Field(
        default=90, description="Turn from flat, by angle gauge.", examples=[90]
    )

    def bent(self) -> BentStrip:
        """The strip as the bend book wants it."""
        return BentStrip(self.cut, self.leg_a, self.leg_b, self.angle)


class BendBookRow(Config):
    """[[bend_book]]: what your own brake does with one sheet; it goes before any rule."""

    material: MaterialName = Field(
        description="Name of the material that was bent.", examples=["S235"]
    )
    thickness: Thickness = Field(
        description="Thickness of the sheet that was bent, by caliper, or its gauge.", examples=[2]
    )
    inside_radius: PositiveLength = Field(
        description="Inside radius of the bend as it came off the die, by radius gauge.",
        examples=[2],
    )
    die: PositiveLength | None = Field(
        default=None, description="Opening V of the die, edge to edge.", examples=[12]
    )
    k: Ratio | None = Field(
        default=None,
        description="Distance of the neutral fibre from the inside face, in thicknesses. Give "
        "exactly one of k, allowance_90 and test_strip.",
        examples=[0.41],
    )
    allowance_90: PositiveLength | None = Field(
        default=None,
        description="Length of sheet that a bend of 90 degrees uses up, along the neutral fibre.",
        examples=[4.43],
    )
    test_strip: TestStrip | None = Field(
        default=None,
        description="A strip cut, bent once and measured: k is worked out from it.",
        examples=[{"cut": 100, "leg_a": 52, "leg_b": 52}],
    )
    least_flange: PositiveLength | None = Field(
        default=None,
        description="Shortest outside leg at 90 degrees that your die still bends cleanly.",
        examples=[8.5],
    )
    springback: Annotated[Angle, Field(ge=0)] | None = Field(
        default=None,
        description="Degrees that a bend of 90 degrees opened again after bending; the marked "
        "drawing says what to bend over to, at other turns by the same share.",
        examples=[1.5],
    )

    @model_validator(mode="after")
    def _answers_once(self) -> Self:
        choices = ("k", "allowance_90", "test_strip")
        given = [name for name in choices if getattr(self, name) is not None]
        if not given:
            remedy = "give one of k, allowance_90 and test_strip"
            raise FieldProblems(FieldProblem((), "does not say how the sheet bends", remedy))
        if len(given) > 1:
            remedy = f"keep one of {', '.join(given)}"
            raise FieldProblems(
                *(FieldProblem((n,), f"is given beside {given[0]}", remedy) for n in given[1:])
            )
        try:
            self.book_row()
        except ValueError as error:
            message, _, remedy = str(error).partition("; ")
            raise FieldProblems(FieldProblem((given[0],), message, remedy)) from error
        return self

    def book_row(self) -> BookRow:
        """The row as the bend book wants it; raises ValueError for a k outside the sheet."""
        strip = self.test_strip
        return BookRow(
            material=self.material,
            thickness=self.thickness,
            radius=self.inside_radius,
            die_v=self.die,
            k=self.k,
            allowance_90=self.allowance_90,
            strip=strip.bent() if strip else None,
            least_flange=self.least_flange,
            springback_deg=self.springback,
        )


class ShopConfig(Config):
    """[shop]: what your machines, or those of the shop you send to, can do."""

    folder_length: PositiveLength | None = Field(
        default=None,
        description="Longest bend the brake or folder takes, between its frames.",
        examples=[1250],
    )
    press_force_kn: Annotated[float, Field(strict=True, gt=0)] | None = Field(
        default=None,
        description="Force of the press brake in kN, from its plate (1 t is 10 kN).",
        examples=[600],
    )
    sheets: tuple[tuple[PositiveLength, PositiveLength], ...] = Field(
        default=(),
        description="Sizes of sheet that you can get, each [along the grain, across it].",
        examples=[[[2000, 1000], [2500, 1250]]],
    )
    least_hole: PositiveLength | None = Field(
        default=None,
        description="Smallest hole that your cutter pierces in any sheet, by diameter.",
        examples=[2],
    )
    least_slot: PositiveLength | None = Field(
        default=None, description="Narrowest slot that your cutter makes.", examples=[1.5]
    )
    least_gap: PositiveLength | None = Field(
        default=None,
        description="Least metal your cutter leaves between two cuts, or a cut and the edge.",
        examples=[3],
    )
    most_turn: Annotated[Angle, Field(gt=0, lt=180)] | None = Field(
        default=None,
        description="Sharpest turn from flat that your punch and die make, the springing back "
        "allowed for. Left out: 135 degrees.",
        examples=[150],
    )
    punch_room: Annotated[float, Field(strict=True, gt=0)] | None = Field(
        default=None,
        description="Deepest channel that your punch clears: inside depth of its lower leg over "
        "inside width of its base, both bends square. Left out: over 0.5 is mentioned, over 1.5 "
        "refused.",
        examples=[1.2],
    )
    punch_thickness: PositiveLength | None = Field(
        default=None,
        description="Thickness of your slimmest punch where it stands in a profile that closes "
        "round it. Left out: an opening under 25 mm is mentioned, one under 12 refused.",
        examples=[16],
    )
    punch_height: PositiveLength | None = Field(
        default=None,
        description="Free height of your tallest punch, from its tip to the clamp: walls and "
        "legs stand up beside it. Left out: over 120 mm is mentioned, over 300 refused.",
        examples=[150],
    )
    die_height: PositiveLength | None = Field(
        default=None,
        description="Height of your tallest die over the table: legs hang down beside it. Left "
        "out: over 100 mm is mentioned, over 200 refused.",
        examples=[90],
    )
    die_shoulder: PositiveLength | None = Field(
        default=None,
        description="Top of your narrowest die beside its V, on either side: a leg hangs down "
        "past it in a Z. Left out: under 12 mm is mentioned, under an eighth of V refused.",
        examples=[4],
    )
    roller_length: PositiveLength | None = Field(
        default=None,
        description="Length of the slip roll's rolls: the widest band that goes through.",
        examples=[1020],
    )

    def as_shop(self) -> Shop:
        """The limits as the checks want them."""
        return Shop(
            folder_length=self.folder_length,
            press_force_kn=self.press_force_kn,
            sheets=tuple(self.sheets),
            least_hole=self.least_hole,
            least_slot=self.least_slot,
            least_gap=self.least_gap,
            most_turn_deg=self.most_turn,
            punch_room=self.punch_room,
            punch_thickness=self.punch_thickness,
            roller_length=self.roller_length,
            punch_height=self.punch_height,
            die_height=self.die_height,
            die_shoulder=self.die_shoulder,
        )
