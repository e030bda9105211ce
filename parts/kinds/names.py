"""Names in a job file, of things in the job or in a table; an unknown one is refused.

Names that belong to one job (stock, points) are checked only when the validation context lists
them: `{"stock": [...], "points": [...]}`.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from parts.kinds.problems import FieldProblem, FieldProblems, did_you_mean
from parts.tables import folded, rows

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
            message = f"there is no {self.what} {name!r}"
            raise FieldProblems(FieldProblem((), message, did_you_mean(name, names)))
        return names[same[0]]


def _of_job(key: str) -> Callable[[Mapping[str, Any]], Mapping[str, str] | None]:
    def names(context: Mapping[str, Any]) -> Mapping[str, str] | None:
        return {name: name for name in context[key]} if key in context else None

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

MaterialName = Annotated[str, NameOf("material", _of_table("materials"), fixed=True)]
"""Name of a row of materials.csv, or one of its other names."""

BoltName = Annotated[str, NameOf("bolt", _of_table("bolts"), fixed=True)]
"""Name of a row of bolts.csv, such as M12."""

ToolName = Annotated[str, NameOf("measuring tool", _of_table("measuring_tools"), fixed=True)]
"""Name of a row of measuring_tools.csv, such as tape."""

PropertyClass = Annotated[str, NameOf("property class", _of_table("property_classes"), fixed=True)]
"""Strength class of a bolt, such as 8.8 or grade 8."""
