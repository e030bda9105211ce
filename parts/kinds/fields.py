"""Types and base classes for the fields of a job file: what every config model is made of.

Each type reads what a shop writes (`parts.trade.lengths`), answers an unknown name with 'did you
mean', and describes itself in the JSON schema so that an editor accepts the same forms. Names that
belong to one job (stock, points) are checked only when the validation context lists them:
`{"stock": [...], "points": [...], "tools": {"tape": 0.7}}`.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    ModelWrapValidatorHandler,
    ValidationError,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import CoreSchema, ErrorDetails, InitErrorDetails, core_schema

from parts.kinds.names import (
    AxleName,
    BoltName,
    JsonSchema,
    MaterialName,
    NameOf,
    PointName,
    PropertyClass,
    StockName,
    ToolName,
)
from parts.kinds.problems import (
    FieldProblem,
    FieldProblems,
    Loc,
    did_you_mean,
    nearest,
)
from parts.tables import rows
from parts.trade.lengths import (
    LengthError,
    Measured,
    parse_angle,
    parse_length,
    parse_measured,
    parse_measured_angle,
)

__all__ = [
    "COORDINATE_SCHEMA", "DISTANCE_SCHEMA",
    "Angle", "AxleName", "BoltName", "CaliperLength", "Config", "Count", "FieldProblem",
    "FieldProblems", "JsonSchema", "KindConfig", "Length", "LevelAngle", "Loc", "MaterialName",
    "MeasuredWith", "NameOf", "OneLine", "PointName", "PositiveLength", "PropertyClass", "ReadBy",
    "RuleLength", "SquareLength", "StockName", "TapeLength", "ToolName", "Unit", "did_you_mean",
    "nearest", "number_or_text", "read_distance", "usual_plus_minus",
    "with_tool",
]  # fmt: skip


# Lengths and angles


@dataclass(frozen=True, slots=True)
class Unit:
    """Marks a field's type with its unit, for messages about limits."""

    name: str


_DIGITS = "0-9¼½¾⅓⅔⅛⅜⅝⅞"
_MARKS = "'\"″”“′’"
_LENGTH_PATTERN = rf"^\s*[-−]?\s*[.,]?[{_DIGITS}][{_DIGITS}A-Za-z.,/⁄{_MARKS}\s-]*$"
_MEASURED_PATTERN = rf"^\s*[-−]?\s*[.,]?[{_DIGITS}][{_DIGITS}A-Za-z.,/⁄{_MARKS}\s±+−-]*$"
_ANGLE_PATTERN = rf"^\s*[-−]?\s*[.,]?[0-9][0-9A-Za-z.,{_MARKS}°º˚\s]*$"
_MEASURED_ANGLE_PATTERN = rf"^\s*[-−]?\s*[.,]?[0-9][0-9A-Za-z.,{_MARKS}°º˚\s±+/−-]*$"


def number_or_text(pattern: str, **limits: float) -> JsonSchema:
    """JSON schema of a value that may be a bare number or a text with a unit."""
    return {"type": ["number", "string"], **limits, "pattern": pattern}


Length = Annotated[
    float,
    BeforeValidator(parse_length),
    Unit("mm"),
    WithJsonSchema(number_or_text(_LENGTH_PATTERN)),
]
"""A length or coordinate in mm, of either sign."""

PositiveLength = Annotated[
    float,
    BeforeValidator(parse_length),
    Field(gt=0),
    Unit("mm"),
    WithJsonSchema(number_or_text(_LENGTH_PATTERN, exclusiveMinimum=0)),
]
"""A length in mm of more than 0."""

Angle = Annotated[
    float,
    BeforeValidator(parse_angle),
    Unit("°"),
    WithJsonSchema(number_or_text(_ANGLE_PATTERN)),
]
"""An angle in degrees."""

Count = Annotated[int, Field(strict=True, gt=0)]
"""A whole number of at least 1."""


def usual_plus_minus(tool: str, value: float) -> float:
    """Half the width that holds 95 % of readings of `value` (mm or degrees) with `tool`.

    From measuring_tools.csv; raises `LengthError` if the tool does not reach so far.

    >>> usual_plus_minus("tape", 412)
    1.0
    """
    for row in rows("measuring_tools"):
        reach = float(row["up_to_mm"] or "inf")
        if row["name"] == tool and abs(value) <= reach:
            return float(row["plus_minus"])
    raise LengthError(
        f"a {tool.replace('_', ' ')} does not reach {abs(value):g} mm",
        f'write the ± with the value, as in "{value:g} ± 1"',
    )


def with_tool(measured: Measured, tool: str, overrides: Mapping[str, float]) -> Measured:
    """The measured value with its tool, and with the tool's ± if it was written without one."""
    plus_minus = measured.plus_minus
    if plus_minus is None:
        plus_minus = overrides.get(tool) or usual_plus_minus(tool, measured.value)
    return replace(measured, plus_minus=plus_minus, tool=measured.tool or tool)


@dataclass(frozen=True, slots=True)
class MeasuredWith:
    """Marks a `Measured` with the tool that read it, a row of measuring_tools.csv.

    The tool's ± holds unless the value is written with its own; the validation context may carry
    the shop's, as `{"tools": {"tape": 0.7}}`.
    """

    tool: str
    unit: Literal["mm", "°"] = "mm"

    def __get_pydantic_core_schema__(
        self, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self._read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchema:
        if self.unit == "°":
            return number_or_text(_MEASURED_ANGLE_PATTERN)
        return number_or_text(_MEASURED_PATTERN, minimum=0)

    def _read(self, value: object, info: ValidationInfo) -> Measured:
        if self.unit == "mm":
            return read_distance(value, self.tool, info)
        measured = value if isinstance(value, Measured) else parse_measured_angle(value)
        return with_tool(measured, self.tool, (info.context or {}).get("tools", {}))


def read_distance(value: object, tool: str, info: ValidationInfo) -> Measured:
    """A distance read off `tool`, with its ±; raises `LengthError`, also for one below 0."""
    measured = value if isinstance(value, Measured) else parse_measured(value)
    if measured.value < 0:
        raise LengthError(
            f"a distance of {measured.value:g} mm is less than nothing",
            "write the distance without a sign",
        )
    return with_tool(measured, tool, (info.context or {}).get("tools", {}))


@dataclass(frozen=True, slots=True, eq=False)
class ReadBy:
    """Marks a type with the function that reads it from the job file, and its JSON schema."""

    read: Callable[[object, ValidationInfo], object]
    json_schema: JsonSchema

    def __get_pydantic_core_schema__(
        self, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchema:
        return dict(self.json_schema)


DISTANCE_SCHEMA = number_or_text(_MEASURED_PATTERN, exclusiveMinimum=0)


COORDINATE_SCHEMA = number_or_text(_MEASURED_PATTERN)


TapeLength = Annotated[Measured, MeasuredWith("tape")]
"""A length read off a tape, such as "412 ± 1"."""

RuleLength = Annotated[Measured, MeasuredWith("rule")]
"""A length read off a steel rule."""

CaliperLength = Annotated[Measured, MeasuredWith("caliper")]
"""A length read off a caliper."""

SquareLength = Annotated[Measured, MeasuredWith("square")]
"""A depth read off a combination square."""

LevelAngle = Annotated[Measured, MeasuredWith("level", "°")]
"""An angle read off a digital level or angle gauge, such as "2.9° ± 0.2°"."""


# Base classes


class Config(BaseModel):
    """Base of all models of the job file: unknown keys are refused, values never change."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, defer_build=True)

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterable[FieldProblem]:
        """What is wrong between the keys, as they are written and perhaps not yet readable.

        It is told together with what is wrong in each key by itself.
        """
        return ()

    @model_validator(mode="wrap")
    @classmethod
    def _tell_all(cls, keys: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        crossed: tuple[FieldProblem, ...] = ()
        if isinstance(keys, Mapping):
            switches = tuple(cls._no_switches(keys))
            meant = {name: str(keys[name]).lower() in _YES for name in switches}
            crossed = (*map(_no_switch, switches), *cls.crossed({**keys, **meant}))
        if not crossed:
            return handler(keys)
        details: list[InitErrorDetails] = []
        try:
            handler(keys)
        except ValidationError as error:
            details += [_once_more(detail) for detail in error.errors(include_url=False)]
        between = InitErrorDetails(
            type="value_error", loc=(), input=keys, ctx={"error": FieldProblems(*crossed)}
        )
        raise ValidationError.from_exception_data(cls.__name__, [*details, between])

    @classmethod
    def _no_switches(cls, keys: Mapping[str, Any]) -> Iterable[str]:
        """Keys that are true or false, but written as something that pydantic would take for it."""
        for name, field in cls.model_fields.items():
            value = keys.get(name)
            loose = isinstance(value, str | int | float) and not isinstance(value, bool)
            if field.annotation is bool and loose:
                yield name


_YES = ("true", "yes", "on", "1", "y", "t")


def _no_switch(name: str) -> FieldProblem:
    return FieldProblem((name,), "must be true or false", "write true or false, without quotes")


def _once_more(detail: ErrorDetails) -> InitErrorDetails:
    return InitErrorDetails(
        type=detail["type"], loc=detail["loc"], input=detail["input"], ctx=detail.get("ctx", {})
    )


def _one_line(text: str) -> str:
    if not text.isprintable():
        raise FieldProblems(FieldProblem((), "has more than one line", "write it in one line"))
    return text


OneLine = Annotated[str, AfterValidator(_one_line)]
"""A text without line ends or other marks that do not print."""


class KindConfig(Config):
    """Base of every kind's config: the keys that all parts share.

    A kind narrows `kind` to its own name. Its starter job shows the first of each field's
    `examples`; the kind may add `starter_stock`, `starter_points` and `starter_axles`, by name,
    each as the keys of that section, and `starter_keys`, the optional keys of the part that are
    written as in use.
    """

    starter_keys: ClassVar[Mapping[str, object]] = {}
    starter_stock: ClassVar[Mapping[str, Mapping[str, object]]] = {}
    starter_points: ClassVar[Mapping[str, Mapping[str, object]]] = {}
    starter_axles: ClassVar[Mapping[str, Mapping[str, object]]] = {}

    kind: str = Field(description="What is built: the name of a kind of part.")
    stock: StockName = Field(
        description="The sheet it is made of: the NAME of a [stock.NAME] of this job.",
        examples=["plate"],
    )
    quantity: Count = Field(
        default=1,
        description="How many to make of each piece drawn. A left and a right are two pieces, "
        "not a quantity of two.",
        examples=[1],
    )
    note: OneLine = Field(
        default="",
        description="One line of your own for the papers, such as what the part is offered up to.",
        examples=["offer up with the card first"],
    )
