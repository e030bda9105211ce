"""Values of a wrong shape, such as a list where a section belongs: how they should be written."""

import re
from collections.abc import Mapping
from typing import Any, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from parts.job.errors import Problem, Source
from parts.job.model_types import field_at, models_in, opened, types_at
from parts.job.toml_write import toml_key, toml_value
from parts.kinds.fields import Loc


def wrong_shape(
    typed: str, value: object, at: Loc, loc: Loc, model: type[BaseModel]
) -> tuple[str, str] | None:
    """What is wrong and what would be right, for pydantic's error type of a wrong shape.

    `loc` leads to the value from `model`, whose section stands at `at`; None for another error.
    """
    if typed.startswith(("list", "tuple")):
        return _no_list(value, at, loc, model)
    if typed.startswith(("dict", "model_type")):
        return "must be a section", _as_section(value, at, loc, model)
    return None


def not_a_section(loc: Loc, source: Source, value: object = None) -> Problem:
    """The problem of a plain value where a section belongs."""
    remedy = f"write [{_header(loc)}] with keys under it"
    if isinstance(value, list) and value and all(isinstance(item, Mapping) for item in value):
        remedy = f"write [{_header(loc)}], in single brackets"
    elif loc[0] == "points" and isinstance(value, list) and len(value) == 3:
        remedy = f"write {toml_key(str(loc[-1]))} = {{ at = {toml_value(value)} }}"
    return source.problem(loc, "must be a section", remedy)


def _no_list(value: object, at: Loc, loc: Loc, model: type[BaseModel]) -> tuple[str, str]:
    of_sections = any(True for _ in models_in(_items(model, loc)))
    if of_sections and isinstance(value, Mapping):
        remedy = f"write [[{_header(at + loc)}]], in double brackets, for each"
        return "is one section, not a list of them", remedy
    if isinstance(value, str) and not of_sections and (words := re.split(r"[,;\s]+", value)):
        return "must be a list", f"write {toml_value([word for word in words if word])}"
    return "must be a list", _such_as(field_at(model, loc), "[1, 2]")


def _as_section(value: object, at: Loc, loc: Loc, model: type[BaseModel]) -> str:
    if isinstance(value, list) and value and all(isinstance(item, Mapping) for item in value):
        return f"write [{_header(at + loc)}], in single brackets"
    field = field_at(model, loc)
    return _such_as(field, "") if field and field.examples else "write it with keys of its own"


def _such_as(field: FieldInfo | None, usual: str) -> str:
    example = toml_value(field.examples[0]) if field and field.examples else usual
    return f"write it such as {example}"


def _items(model: type[BaseModel], loc: Loc) -> list[Any]:
    """The types that the items of the list at `loc` may have."""
    lists = [hint for hint in types_at(model, loc) if get_origin(hint) in (list, tuple)]
    return [inner for hint in lists for inner in opened(get_args(hint)[0])]


def _header(loc: Loc) -> str:
    return ".".join(toml_key(part) for part in loc if isinstance(part, str))
