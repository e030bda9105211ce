"""A model's complaints in a fabricator's words, each at its own key of the job file."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from parts.job.errors import ENOUGH, Problem, Source
from parts.job.model_types import field_at, models_in, types_at, unit_at
from parts.job.shapes import wrong_shape
from parts.job.toml_write import toml_value
from parts.kinds.fields import FieldProblems, KindConfig, Loc, did_you_mean, nearest
from parts.trade.lengths import LengthError, parse_angle, parse_length

SLIP = 0.75  # likeness from which a choice is taken for misspelt: other words are other things

_WORDS = {  # pydantic's error type: what is wrong, what would be right
    "greater_than": ("must be more than {gt}", "{got}"),
    "greater_than_equal": ("must be at least {ge}", "{got}"),
    "less_than": ("must be less than {lt}", "{got}"),
    "less_than_equal": ("must be at most {le}", "{got}"),
    "multiple_of": ("must be a multiple of {multiple_of}", "{got}"),
    "finite_number": ("must be a finite number", "write a number"),
    "string_too_short": ("is too short", "write at least {min_length} characters"),
    "string_too_long": ("is too long", "write at most {max_length} characters"),
    "string_pattern_mismatch": ("is not of the right form", "it must match {pattern}"),
    "too_short": ("has {items}", "it needs at least {min_length}"),
    "too_long": ("has {items}", "it may have at most {max_length}"),
    "missing_positional_only_argument": ("has too few items", "write all of them"),
    "unexpected_positional_argument": ("has too many items", "leave the last out"),
}
_DATE = r"\d{4}-\d{1,2}-\d{1,2}"
_TYPES = (  # beginning of pydantic's error type: what the value must be, an example
    ("string", "a text", 'write it in quotes: "..."'),
    ("int", "a whole number", "write it such as 2, without quotes"),
    ("float", "a number", "write it such as 2.5, without quotes"),
    ("bool", "true or false", "write true or false, without quotes"),
    ("date", "a date", "write it such as 2026-05-04, without quotes"),
)


def problems_of(
    error: ValidationError, model: type[BaseModel], at: Loc, keys: object, source: Source
) -> list[Problem]:
    """What is wrong with `keys`, the section of the job file at `at` that `model` refused."""
    details = [(_true_loc(d, keys), d) for d in error.errors(include_url=False)[:ENOUGH]]
    guesses = _misspelt(details)
    plain: list[Problem] = []
    told: set[str] = set()
    choices: dict[Loc, Problem] = {}  # of values that fit none of several types
    for loc, detail in details:
        if detail["type"] == "missing" and loc in guesses.values():
            continue
        within = (other for other, _ in details if other != loc and other[: len(loc)] == loc)
        if detail["type"] == "too_short" and any(within):
            continue  # items that are wrong were left out of the count
        found = list(_problems(detail, loc, model, guesses.get(loc), at, source))
        if detail["type"] == "value_error":  # what is wrong between keys comes after each's own
            found = [problem for problem in found if problem.field not in told]
        told |= {problem.field for problem in found}
        if detail["loc"] == loc or detail["loc"][-1] == "[key]":
            plain += found
        else:
            for problem in found:
                choices[loc] = _either(choices[loc], problem) if loc in choices else problem
    return plain + list(choices.values())


def common_problems(
    at: Loc, keys: Mapping[str, object], context: Mapping[str, object], source: Source
) -> list[Problem]:
    """What is wrong with the keys that every part has, in one whose kind is not known.

    Its other keys cannot be judged, unless one is likely a misspelt common key; what is missing
    is told once the kind is known.
    """
    lacking = [name for name in KindConfig.model_fields if name not in keys]
    judged = {
        name: value
        for name, value in keys.items()
        if name in KindConfig.model_fields or nearest(name, lacking, SLIP)
    }
    try:
        KindConfig.model_validate({**judged, "kind": ""}, context=dict(context))
    except ValidationError as error:
        found = problems_of(error, KindConfig, at, judged, source)
        return [problem for problem in found if problem.message != "is missing"]
    return []


def _problems(
    detail: ErrorDetails,
    loc: Loc,
    model: type[BaseModel],
    meant: Loc | None,
    at: Loc,
    source: Source,
) -> Iterator[Problem]:
    cause = (detail.get("ctx") or {}).get("error")
    at_key = detail["type"] == "missing" or detail["loc"][-1:] == ("[key]",)
    if isinstance(cause, FieldProblems):
        for problem in cause.problems:
            where = at + loc + problem.loc
            yield source.problem(where, problem.message, problem.remedy, at_key=at_key)
    elif isinstance(cause, LengthError):
        yield source.problem(at + loc, cause.message, cause.hint)
    elif detail["type"] == "missing" and isinstance(loc[-1], int):
        remedy = f"write all of them: {_meaning(loc[:-1], model)}"
        yield source.problem(at + loc[:-1], "has too few values", remedy)
    elif detail["type"] == "extra_forbidden":
        yield _unknown_key(loc, model, meant, at, source)
    else:
        shape = wrong_shape(detail["type"], detail["input"], at, loc, model)
        message, remedy = shape or _words(detail, loc, model)
        yield source.problem(at + loc, message, remedy, at_key=at_key)


def _either(first: Problem, second: Problem) -> Problem:
    """One problem for a value that fits none of several types."""
    if second.message in first.message:
        return first
    return replace(
        first,
        message=f"{first.message}, or {second.message}",
        remedy=f"{first.remedy}, or {second.remedy}",
    )


# Keys


def _misspelt(details: Iterable[tuple[Loc, ErrorDetails]]) -> dict[Loc, Loc]:
    """Unknown keys that are likely meant for a missing one of the same section."""
    details = list(details)
    missing = [loc for loc, detail in details if detail["type"] == "missing"]
    guesses: dict[Loc, Loc] = {}
    for loc, detail in details:
        if detail["type"] == "extra_forbidden":
            here = [m for m in missing if m[:-1] == loc[:-1] and m not in guesses.values()]
            if near := nearest(str(loc[-1]), [str(m[-1]) for m in here]):
                guesses[loc] = (*loc[:-1], near)
    return guesses


def _unknown_key(
    loc: Loc, model: type[BaseModel], meant: Loc | None, at: Loc, source: Source
) -> Problem:
    if meant:
        message = f"is no key of this section, and {meant[-1]} is missing"
        remedy = f"did you mean {meant[-1]!r}?"
    else:
        message = "is no key of this section"
        remedy = did_you_mean(str(loc[-1]), _keys(model, loc[:-1]))
    return source.problem(at + loc, message, remedy, at_key=True)


def _keys(model: type[BaseModel], loc: Loc) -> list[str]:
    for kind in models_in(types_at(model, loc)):
        return list(kind.model_fields)
    return []


def _true_loc(detail: ErrorDetails, keys: object) -> Loc:
    """The error's place in the data, without the names that pydantic gives to choices of type."""
    loc: list[str | int] = []
    last = len(detail["loc"]) - 1
    for number, part in enumerate(detail["loc"]):
        inside = isinstance(keys, Mapping) and part in keys
        if inside or (isinstance(keys, list) and isinstance(part, int) and part < len(keys)):
            keys = keys[part]  # type: ignore[index]
            loc.append(part)
        elif number == last and detail["type"] == "missing":
            loc.append(part)
    return tuple(loc)


# Words


def _words(detail: ErrorDetails, loc: Loc, model: type[BaseModel]) -> tuple[str, str]:
    """What is wrong and what would be right, for an error of pydantic's own."""
    typed, context = detail["type"], detail.get("ctx") or {}
    if typed == "missing":
        return "is missing", _how_to_add(loc, model)
    if typed in ("literal_error", "enum", "union_tag_invalid"):
        expected = str(context.get("expected") or context.get("expected_tags"))
        names = [one or other for one, other in re.findall(r"'([^']*)'|\"([^\"]*)\"", expected)]
        listed = names[0] if len(names) == 1 else f"one of {', '.join(names)}"
        near = nearest(str(detail["input"]), names, SLIP)
        remedy = f"did you mean {near!r}?" if near and len(names) > 1 else f"write {listed}"
        written = detail["input"]
        shown = repr(written) if isinstance(written, str) else toml_value(written)
        return f"{shown} is not known here", remedy
    if typed in _WORDS:
        message, remedy = _WORDS[typed]
        unit = unit_at(model, loc)
        values = {key: _shown(value, unit) for key, value in context.items()}
        count = context.get("actual_length")
        values["items"] = "1 item" if count == 1 else f"{count} items"
        values["got"] = f"it is {_shown(_in_unit(detail['input'], unit), unit)}"
        return message.format(**values), remedy.format(**values)
    if typed.startswith("date") and re.fullmatch(_DATE, str(detail["input"]).strip()):
        return "there is no such date", "write year-month-day, such as 2026-05-04"
    for beginning, what, example in _TYPES:
        if typed.startswith(beginning):
            return f"must be {what}", example
    message = detail["msg"].removeprefix("Value error, ").removeprefix("Assertion failed, ")
    what, _, remedy = message.partition("; ")
    return what, remedy or "correct it"


def _how_to_add(loc: Loc, model: type[BaseModel]) -> str:
    """The line that is missing, with what it means."""
    field, meaning = field_at(model, loc), _meaning(loc, model)
    example = toml_value(field.examples[0]) if field and field.examples else "..."
    return f"add {loc[-1]} = {example}" + (f" ({meaning})" if meaning else "")


def _meaning(loc: Loc, model: type[BaseModel]) -> str:
    """The first sentence of a field's description."""
    field = field_at(model, loc)
    return (field.description or "").split(". ")[0].removesuffix(".") if field else ""


def _in_unit(value: object, unit: str) -> object:
    """A value that a limit refused, in the unit of the limit."""
    read = {"mm": parse_length, "°": parse_angle}.get(unit)
    return read(value) if read and isinstance(value, str) else value


def _shown(value: object, unit: str) -> str:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return str(value)
    return f"{value:g}{unit}" if unit == "°" else f"{value:g} {unit}".rstrip()
