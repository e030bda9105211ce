"""What a model's fields are made of: the types and marks behind lists, choices and names."""

from collections.abc import Iterable, Iterator
from typing import Annotated, Any, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from parts.kinds.fields import Loc, MeasuredWith, Unit


def types_at(model: type[BaseModel], loc: Loc) -> list[Any]:
    """The types that the field at `loc` may have, with their annotations' marks among them."""
    hints = opened(model)
    for part in loc:
        hints = [inner for hint in hints for inner in _inside(hint, part)]
    return hints


def opened(hint: Any) -> list[Any]:
    """A type, or the choices and marks that it is made of."""
    if get_origin(hint) is Annotated:
        first, *marks = get_args(hint)
        return [*opened(first), *marks]
    if get_origin(hint) in (list, tuple, dict) or isinstance(hint, type):
        return [hint]
    return [inner for choice in get_args(hint) for inner in opened(choice)] or [hint]


def _inside(hint: Any, part: str | int) -> list[Any]:
    if isinstance(hint, type) and issubclass(hint, BaseModel):
        field = hint.model_fields.get(str(part))
        return [*opened(field.annotation), *field.metadata] if field else []
    if get_origin(hint) in (list, tuple) and isinstance(part, int):
        items = [arg for arg in get_args(hint) if arg is not Ellipsis]
        return opened(items[min(part, len(items) - 1)])
    return opened(get_args(hint)[1]) if get_origin(hint) is dict else []


def models_in(hints: Iterable[Any]) -> Iterator[type[BaseModel]]:
    return (hint for hint in hints if isinstance(hint, type) and issubclass(hint, BaseModel))


def unit_at(model: type[BaseModel], loc: Loc) -> str:
    for hint in types_at(model, loc):
        if isinstance(hint, Unit):
            return hint.name
        if isinstance(hint, MeasuredWith):
            return hint.unit
    return ""


def field_at(model: type[BaseModel], loc: Loc) -> FieldInfo | None:
    """The field at `loc`, if one of a model stands there."""
    for parent in models_in(types_at(model, loc[:-1])):
        return parent.model_fields.get(str(loc[-1]))
    return None
