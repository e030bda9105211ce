"""The points section of a job file: coordinates, taped distances, planes and sides."""

from dataclasses import dataclass
from typing import Annotated, Literal, Self, cast, get_args

from pydantic import (
    Field,
    ValidationInfo,
    field_validator,
    model_validator,
)

from parts.job.toml_write import toml_value
from parts.kinds.fields import (
    COORDINATE_SCHEMA,
    DISTANCE_SCHEMA,
    Config,
    FieldProblem,
    FieldProblems,
    PointName,
    ReadBy,
    ToolName,
    Unit,
    read_distance,
    with_tool,
)
from parts.trade.lengths import LengthError, Measured, parse_measured

Axis = Literal["x", "y", "z"]


@dataclass(frozen=True, slots=True)
class OnPlane:
    """A plane square to an axis that a point lies on; a ± of None is taken as exact."""

    axis: Axis
    at: Measured


def _planes(value: object, info: ValidationInfo) -> tuple[OnPlane, ...]:
    if not isinstance(value, list | tuple):
        return (_plane(value),)
    planes: list[OnPlane] = []
    problems: list[FieldProblem] = []
    for number, text in enumerate(value):
        try:
            planes.append(text if isinstance(text, OnPlane) else _plane(text))
        except LengthError as error:
            problems.append(FieldProblem((number,), error.message, error.hint))
    if problems:
        raise FieldProblems(*problems)
    return tuple(planes)


def _plane(text: object) -> OnPlane:
    axis, equals, at = str(text).partition("=")
    if axis.strip() not in get_args(Axis) or not equals:
        written = repr(text) if isinstance(text, str) else toml_value(text)
        raise LengthError(
            f"cannot read {written} as a plane", 'write it such as "y = 580" or "y = 580 ± 0.5"'
        )
    return OnPlane(cast(Axis, axis.strip()), parse_measured(at))


def _taped(value: object, info: ValidationInfo) -> Measured:
    measured = read_distance(value, info.data.get("tool", "tape"), info)
    if measured.value == 0:
        raise LengthError("a distance of 0 makes two points one", "write the distance")
    return measured


def _coordinate(value: object, info: ValidationInfo) -> Measured:
    measured = value if isinstance(value, Measured) else parse_measured(value)
    tools = (info.context or {}).get("tools", {})
    return with_tool(measured, info.data.get("tool", "tape"), tools)


_PLANE = r"^\s*[xyz]\s*=.*[0-9].*$"
_PLANE_SCHEMA = {"type": "string", "pattern": _PLANE}
Taped = Annotated[Measured, ReadBy(_taped, DISTANCE_SCHEMA)]
ByTool = Annotated[Measured, ReadBy(_coordinate, COORDINATE_SCHEMA), Unit("mm")]
Planes = Annotated[
    tuple[OnPlane, ...],
    ReadBy(_planes, {"anyOf": [_PLANE_SCHEMA, {"type": "array", "items": _PLANE_SCHEMA}]}),
]


class PointConfig(Config):
    """[points.NAME]: a point on the vehicle: X rearward, Y to the vehicle's right, Z up."""

    tool: ToolName = Field(
        default="tape",
        description="What this point's coordinates and distances were read with: its ± counts "
        "for those written without one. Usual: tape.",
        examples=["tape"],
    )
    at: tuple[ByTool, ByTool, ByTool] | None = Field(
        default=None,
        description="Measured coordinates [x, y, z] from the datum: X rearward of it, Y to the "
        "vehicle's right of the centre plane, Z up. One that the datum itself fixes is written "
        '"580 ± 0".',
        examples=[[0, "580 ± 0.5", 300]],
    )
    tape: dict[PointName, Taped] = Field(
        default={},
        description="Straight distances from this point to others, centre to centre, each "
        "written once. Take one or two more than are needed: they expose a misread.",
        examples=[{"A2": "159.5 ± 0.5"}],
    )
    on: Planes = Field(
        default=(),
        description="A plane that the point lies on, such as the face of a rail; or a list of two. "
        "Without a ± it is taken as exact.",
        examples=["y = 580 ± 0.5"],
    )
    side: Literal["front", "rear", "left", "right", "above", "below"] | None = Field(
        default=None,
        description="Which of the two mirror places is meant, where the distances fit both: the "
        "one further to this side.",
        examples=["above"],
    )
    drop: tuple[PointName, ...] = Field(
        default=(),
        description="Points whose distance to this one is shown but not used, such as a reading "
        "that turned out wrong.",
        examples=[["B1"]],
    )
    mirror_of: PointName | None = Field(
        default=None,
        description="Take this point as the mirror of another across the centre plane. Bodies "
        "differ 3 to 8 mm from left to right: measure both sides where it matters.",
        examples=["A1"],
    )

    @field_validator("drop", mode="after")
    @classmethod
    def _drops_what_is_there(cls, drop: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
        tape = info.data.get("tape", {})
        problems = [
            FieldProblem((i,), f"there is no distance to {name!r} here", "name a point of `tape`")
            for i, name in enumerate(drop)
            if "tape" in info.data and name not in tape
        ]
        if problems:
            raise FieldProblems(*problems)
        return drop

    @model_validator(mode="after")
    def _is_one_point(self) -> Self:
        if self.mirror_of is None:
            return self
        remedy = "leave it out, or leave out mirror_of"
        problems = [
            FieldProblem((name,), "is given beside mirror_of", remedy)
            for name in ("at", "tape", "on", "side")
            if getattr(self, name)
        ]
        if problems:
            raise FieldProblems(*problems)
        return self
