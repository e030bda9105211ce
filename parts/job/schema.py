"""JSON schema of a job file, for editors: completion, hover texts and marks while typing."""

from collections.abc import Mapping
from typing import Any

from pydantic.json_schema import JsonSchemaMode, models_json_schema

from parts import kinds
from parts.job.axle import AxleConfig
from parts.job.cutter import CuttingConfig
from parts.job.models import FILE_SAFE, BendBookRow, JobHead, ShopConfig, StockConfig
from parts.job.nesting import NestingConfig
from parts.job.papers import PapersConfig
from parts.job.points import PointConfig
from parts.job.rates import RatesConfig
from parts.kinds.fields import Config

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_MODE: JsonSchemaMode = "validation"


def job_schema() -> dict[str, Any]:
    """The schema of a whole job file; the same for the same kinds, whatever the run."""
    builds = [kinds.kind_config(name) for name in sorted(kinds.KINDS)]
    sections: dict[str, type[Config]] = {
        "job": JobHead,
        "shop": ShopConfig,
        "papers": PapersConfig,
        "cutting": CuttingConfig,
        "nesting": NestingConfig,
        "rates": RatesConfig,
        "stock": StockConfig,
        "bend_book": BendBookRow,
        "points": PointConfig,
        "axle": AxleConfig,
    }
    models = [*sections.values(), *builds]
    by_model, definitions = models_json_schema([(model, _MODE) for model in models])
    of = {name: by_model[model, _MODE] for name, model in sections.items()}
    by_kind = {
        name: by_model[model, _MODE]
        for name, model in zip(sorted(kinds.KINDS), builds, strict=True)
    }
    schema: dict[str, Any] = _without_null({
        "$schema": DIALECT,
        "title": "job file",
        "type": "object",
        "additionalProperties": False,
        "required": ["job"],
        "properties": {
            "job": of["job"],
            "shop": of["shop"],
            "papers": of["papers"],
            "cutting": of["cutting"],
            "nesting": of["nesting"],
            "rates": of["rates"],
            "stock": _named(of["stock"], "The sheets of the job, by name."),
            "bend_book": {
                "type": "array",
                "items": of["bend_book"],
                "description": "What your own brake does; it goes before any rule.",
            },
            "points": _named(of["points"], "The measured points, by name."),
            "axle": _named(of["axle"], "The axles: wheels and what they move on, by name."),
            "parts": _named(
                _part(by_kind),
                "The parts to build, by name; `kind` decides which keys a part has.",
            )
            | {"propertyNames": {"pattern": FILE_SAFE}},
        },
        "$defs": definitions.get("$defs", {}),
    })  # fmt: skip
    return schema


def _part(by_kind: Mapping[str, Any]) -> dict[str, Any]:
    """A part's schema: `kind` is looked at first, so that an editor tells what is wrong inside."""
    return {
        "type": "object",
        "required": ["kind"],
        "properties": {"kind": {"enum": list(by_kind)}},
        "additionalProperties": True,  # each kind says what it allows
        "allOf": [
            {
                "if": {"properties": {"kind": {"const": name}}, "required": ["kind"]},
                "then": model,
            }
            for name, model in by_kind.items()
        ],
    }


def _without_null(schema: Any) -> Any:
    """The schema without null, which TOML does not have: one choice is then no choice."""
    if isinstance(schema, list):
        return [_without_null(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    rest = {k: _without_null(v) for k, v in schema.items() if (k, v) != ("default", None)}
    choices = [one for one in rest.get("anyOf", ()) if one != {"type": "null"}]
    if "anyOf" in rest and len(choices) == 1:
        del rest["anyOf"]
        return {**choices[0], **rest}
    return {**rest, "anyOf": choices} if choices else rest


def _named(schema: Mapping[str, Any], description: str) -> dict[str, Any]:
    return {"type": "object", "additionalProperties": schema, "description": description}
