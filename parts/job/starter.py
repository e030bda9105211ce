"""A commented job file to begin with, written from the models' own descriptions and examples."""

import textwrap
from collections.abc import Collection, Iterator, Mapping
from math import dist
from types import MappingProxyType
from typing import get_args, get_origin

from pydantic.fields import FieldInfo

from parts import kinds
from parts.job.axle import AxleConfig
from parts.job.cutter import CutterProfile, CuttingConfig
from parts.job.model_types import models_in, opened
from parts.job.models import BendBookRow, JobHead, ShopConfig, StockConfig
from parts.job.nesting import NestingConfig
from parts.job.papers import PapersConfig
from parts.job.points import PointConfig
from parts.job.rates import RatesConfig
from parts.job.toml_write import toml_key, toml_value
from parts.kinds.fields import Config
from parts.trade.lengths import parse_measured

_HEAD = """\
Job file: what was measured, the sheets on the rack, the parts to build. Lengths are mm, or text \
with a unit: "26.5in", '1 3/8"', "2 ft 6 in". X is rearward, Y to the vehicle's right, Z up. \
A key behind a # without a space may be left out; take the # away to use it."""
_PROFILE_HEAD = """\
Profile of a cutter: how it wants its files, and what it can do. Name this file in a job, in \
cutters under [cutting]. Lengths are mm, or text with a unit. A key behind a # without a space may \
be left out; take the # away to use it."""
CUTTER = "cutter"
_HEAD_GIVEN = ("name", "vehicle", "stance")
_WIDTH = 96


def starter(kind: str) -> str:
    """A job file with one part of `kind`, which `read_job` accepts as it stands.

    Raises `FieldProblems` for an unknown kind, ValueError if the kind lacks an example.
    """
    model = kinds.kind_config(kind)
    stock = model.starter_stock or {str(_example(model.model_fields["stock"])): {}}
    head = {name: _example(JobHead.model_fields[name]) for name in _HEAD_GIVEN}
    lines = [*_comment(_HEAD), "", *_section("[job]", JobHead, head)]
    for number, (name, keys) in enumerate(stock.items()):
        lines += _named("stock", name, StockConfig, keys, number == 0)
    row = ["Your own bends go before any rule; one such section for each:"]
    lines += ["", *_comment(*row), *_section("[[bend_book]]", BendBookRow, {}, wanted=False)]
    lines += ["", *_section("[shop]", ShopConfig, {}, wanted=False)]
    lines += ["", *_section("[papers]", PapersConfig, {}, wanted=False)]
    lines += ["", *_section("[cutting]", CuttingConfig, {}, wanted=False)]
    lines += ["", *_section("[nesting]", NestingConfig, {}, wanted=False)]
    lines += ["", *_rates(next(iter(stock)), kind)]
    lines += _points(model.starter_points)
    for number, (name, keys) in enumerate(model.starter_axles.items()):
        lines += _named("axle", name, AxleConfig, keys, number == 0)
    part = {"kind": kind, "stock": next(iter(stock)), **model.starter_keys}
    lines += ["", *_section(f"[parts.{toml_key(kind)}]", model, part)]
    return "\n".join(lines) + "\n"


def _rates(stock: str, part: str) -> Iterator[str]:
    """The rates, shown with the names of this job."""
    shown: dict[str, object] = {}
    for name, field in RatesConfig.model_fields.items():
        example = _example(field)
        if isinstance(example, Mapping) and name != "per_hour":
            shown[name] = {part if name == "hours" else stock: next(iter(example.values()))}
    yield from _section("[rates]", RatesConfig, {}, wanted=False, shown=shown)


def starter_profile() -> str:
    """The profile of a cutter to begin with, which `read_profile` accepts as it stands."""
    name = _example(CutterProfile.model_fields["name"])
    lines = _section("", CutterProfile, {"name": name})
    return "\n".join([*_comment(_PROFILE_HEAD), *lines]) + "\n"


def _points(points: Mapping[str, Mapping[str, object]]) -> Iterator[str]:
    """The points; what the first shows behind a # agrees with what is measured of them all."""
    for number, (name, keys) in enumerate(points.items()):
        if number:
            yield from _named("points", name, PointConfig, keys, False)
            continue
        shown = {"tape": _tape_of_first(points), "drop": [], **_plane_of(keys)}
        yield ""
        yield from _section(
            f"[points.{toml_key(name)}]", PointConfig, keys, shown=shown, without=("mirror_of",)
        )
    if points:
        first = next(iter(points))
        yield ""
        yield from _comment(PointConfig.model_fields["mirror_of"].description or "")
        yield f"#[points.{toml_key(first + '_other_side')}]"
        yield f"#mirror_of = {toml_value(first)}"


def _tape_of_first(points: Mapping[str, Mapping[str, object]]) -> Mapping[str, object]:
    """The distance from the first point to the second, where both have coordinates."""
    first, *others = points.items()
    here = _coordinates(first[1])
    for name, keys in others[:1]:
        there = _coordinates(keys)
        if here and there:
            return {name: f"{dist(here, there):.1f} ± 1"}
    return {}


def _plane_of(keys: Mapping[str, object]) -> Mapping[str, object]:
    at = _coordinates(keys)
    return {"on": f"y = {at[1]:g} ± 0.5"} if at else {}


def _coordinates(keys: Mapping[str, object]) -> tuple[float, ...]:
    at = keys.get("at")
    return tuple(parse_measured(v).value for v in at) if isinstance(at, list | tuple) else ()


def _named(
    section: str, name: str, model: type[Config], keys: Mapping[str, object], explained: bool
) -> Iterator[str]:
    """A section with a name; only the first of several is explained."""
    yield ""
    header = f"[{section}.{toml_key(name)}]"
    if explained:
        yield from _section(header, model, keys)
        return
    yield header
    for key, value in keys.items():
        yield f"{key} = {toml_value(value)}"


def _section(
    header: str,
    model: type[Config],
    given: Mapping[str, object],
    *,
    wanted: bool = True,
    shown: Mapping[str, object] = MappingProxyType({}),
    without: Collection[str] = (),
) -> Iterator[str]:
    """The lines of a section: every key explained, those that may be left out behind a #.

    Keys in `given` are written with its values; a model in a field gets a section of its own.
    `shown` are values to show behind the # instead of the fields' examples; keys in `without`
    are not shown.
    """
    yield header if wanted else f"#{header}"
    later: list[tuple[str, Mapping[str, object]]] = []
    for name, field in model.model_fields.items():
        if name in without:
            continue
        active = wanted and (field.is_required() or name in given)
        value = given.get(name, shown.get(name, _example(field)))
        if _nested(field) and (not value or isinstance(value, Mapping)):
            later.append((name, value if isinstance(value, Mapping) else {}))
            continue
        if value is None and active:
            raise ValueError(f"{model.__name__}.{name} has no example for the starter job")
        yield from _comment(field.description or "")
        written = "" if value is None else f" {toml_value(value)}"
        yield f"{'' if active else '#'}{toml_key(name)} ={written}"
    path = header.strip("[]")
    for name, keys in later:
        field = model.model_fields[name]
        yield ""
        yield from _comment(field.description or "")
        inner = f"{path}.{toml_key(name)}"
        inner = f"[[{inner}]]" if _is_list(field) else f"[{inner}]"
        active = wanted and (field.is_required() or name in given)
        yield from _section(inner, _nested(field)[0], keys, wanted=active)


def _example(field: FieldInfo) -> object:
    """What a field is shown with; None is a blank to fill in."""
    if field.examples:
        return field.examples[0]
    return field.default if isinstance(field.default, str | int | float | list | tuple) else None


def _nested(field: FieldInfo) -> list[type[Config]]:
    """The models that a field holds, itself or in a list."""
    found: list[type[Config]] = []
    for hint in opened(field.annotation):
        inner = opened(get_args(hint)[0]) if get_origin(hint) in (list, tuple) else [hint]
        found += [kind for kind in models_in(inner) if issubclass(kind, Config)]
    return found


def _is_list(field: FieldInfo) -> bool:
    return any(get_origin(hint) in (list, tuple) for hint in opened(field.annotation))


def _comment(*texts: str) -> Iterator[str]:
    for text in texts:
        yield from textwrap.wrap(
            text, _WIDTH, initial_indent="# ", subsequent_indent="# ", break_long_words=False
        )
