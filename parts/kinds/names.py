"""Names in a job file, of things in the job or in a table; an unknown one is refused.

Names that belong to one job (stock, points) are checked only when the validation context lists
them, as a list, or as a mapping of each name to itself: `{"stock": [...], "points": [...]}`.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    ValidationInfo,
    WithJsonSchema,
)
from pydantic_core import CoreSchema, core_schema

from parts.kinds.problems import (
    FieldProblem,
    FieldProblems,
    did_you_mean,
    known_names,
    nearest,
)
from parts.tables import UnknownName, folded, rows
from parts.trade.bolts import bolt

JsonSchema = dict[str, Any]


@dataclass(frozen=True, slots=True)
class NameOf:
    """Marks a text as the name of something known; an unknown one is refused.

    `names` maps every accepted name to the name proper, given the validation context, or is None
    while the names are not known; `fixed` says that they come from a table, so that the JSON
    schema can list them; then case, spaces and hyphens do not matter, and a name that looks like
    a number may be written as one.
    """

    what: str
    names: Callable[[Mapping[str, Any]], Mapping[str, str] | None]
    fixed: bool = False

    def __get_pydantic_core_schema__(
        self, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        checked = core_schema.with_info_after_validator_function(self._check, handler(source))
        if not self.fixed:
            return checked
        return core_schema.no_info_before_validator_function(_number_as_text, checked)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchema:
        if not self.fixed:
            return handler(schema)
        names = list(self.names({}) or ())
        numbers = [float(name) for name in names if re.fullmatch(r"[0-9.]+", name)]
        return {"enum": [*names, *numbers]}

    def _check(self, name: str, info: ValidationInfo) -> str:
        names = self.names(info.context or {})
        if names is None:
            return name
        if name in names:
            return names[name]
        same = [known for known in names if folded(known) == folded(name)] if self.fixed else []
        if not same:
            remedy = did_you_mean(name, names)
            if self.fixed and not nearest(name, names):
                remedy = known_names(dict.fromkeys(names.values()))
            raise FieldProblems(FieldProblem((), f"there is no {self.what} {name!r}", remedy))
        return names[same[0]]


def _of_job(key: str) -> Callable[[Mapping[str, Any]], Mapping[str, str] | None]:
    def names(context: Mapping[str, Any]) -> Mapping[str, str] | None:
        known = context.get(key)
        if known is None or isinstance(known, Mapping):
            return known
        return {name: name for name in known}

    return names


def _of_table(table: str) -> Callable[[Mapping[str, Any]], Mapping[str, str]]:
    def names(context: Mapping[str, Any]) -> Mapping[str, str]:
        found: dict[str, str] = {}
        for row in rows(table):
            aliases = row.get("also_called") or ""
            found |= dict.fromkeys([row["name"], *filter(None, aliases.split("|"))], row["name"])
        return found

    return names


def _number_as_text(value: object) -> object:
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return str(value) if is_number else value


StockName = Annotated[str, NameOf("stock", _of_job("stock"))]
"""Name of a [stock.NAME] of the job."""

PointName = Annotated[str, NameOf("point", _of_job("points"))]
"""Name of a [points.NAME] of the job."""

AxleName = Annotated[str, NameOf("axle", _of_job("axle"))]
"""Name of an [axle.NAME] of the job."""

MaterialName = Annotated[str, NameOf("material", _of_table("materials"), fixed=True)]
"""Name of a row of materials.csv, or one of its other names."""


def _bolt(name: str) -> str:
    try:
        return bolt(name).name
    except UnknownName:
        remedy = _other_bolts(name)
    except ValueError as error:  # the size is known, the thread is not
        remedy = str(error).rpartition("; ")[2]
    raise FieldProblems(FieldProblem((), f"there is no bolt {name!r}", remedy))


def _other_bolts(name: str) -> str:
    """The remedy for a size that no table holds: its neighbours, or the likely name."""
    coarse = [row["name"] for row in rows("bolts") if row["series"] == "metric coarse"]
    if found := re.match(r"[Mm]\s*([0-9]+(?:\.[0-9]+)?)", name):
        near = sorted(coarse, key=lambda size: abs(float(size[1:]) - float(found[1])))[:2]
        return f"the nearest are {' and '.join(sorted(near, key=coarse.index))}"
    return did_you_mean(name, (row["name"] for row in rows("bolts")), most=None)


def _bolt_spellings() -> Iterator[str]:
    for row in rows("bolts"):
        yield row["name"]
        size = re.split("[x-]", row["name"])[0]
        if row["pitch_mm"]:
            yield f"{size}x{row['pitch_mm']}"
        else:
            tpi, series = row["threads_per_inch"], row["series"]
            yield from (f"{size} {series}", f"{size} in {series}", f'{size}" {series}')
            yield from (f"{size}-{tpi}", f'{size}"-{tpi}')


BoltName = Annotated[
    str,
    BeforeValidator(_number_as_text),
    AfterValidator(_bolt),
    WithJsonSchema({"enum": list(dict.fromkeys(_bolt_spellings()))}),
]
"""A bolt of bolts.csv in any spelling of the trade, such as M12, M12x1.75 or 1/2 in UNC."""

ToolName = Annotated[str, NameOf("measuring tool", _of_table("measuring_tools"), fixed=True)]
"""Name of a row of measuring_tools.csv, such as tape."""

PropertyClass = Annotated[str, NameOf("property class", _of_table("property_classes"), fixed=True)]
"""Strength class of a bolt, such as 8.8 or grade 8."""


def names_used(model: BaseModel, what: str) -> Iterator[str]:
    """Every name of a `what` ("point", "axle", ...) in a config, wherever its fields hold one."""
    for name, field in type(model).model_fields.items():
        yield from _names_in(getattr(model, name), field.annotation, field.metadata, what)


def _names_in(value: object, hint: Any, marks: Iterable[object], what: str) -> Iterator[str]:
    if any(isinstance(mark, NameOf) and mark.what == what for mark in marks):
        if isinstance(value, str):
            yield value
    elif get_origin(hint) is Annotated:
        inner, *more = get_args(hint)
        yield from _names_in(value, inner, more, what)
    elif isinstance(value, BaseModel):
        yield from names_used(value, what)
    elif isinstance(value, Mapping) and get_origin(hint) is dict:
        for_keys, for_values = get_args(hint)
        for key, item in value.items():
            yield from _names_in(key, for_keys, (), what)
            yield from _names_in(item, for_values, (), what)
    elif isinstance(value, list | tuple) and get_origin(hint) in (list, tuple):
        items = [item for item in get_args(hint) if item is not Ellipsis]
        for number, item in enumerate(value):
            yield from _names_in(item, items[min(number, len(items) - 1)], (), what)
    elif get_origin(hint) in (Union, UnionType):
        for choice in get_args(hint):
            yield from _names_in(value, choice, (), what)
