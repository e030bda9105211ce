"""JSON schema of a job file, for editors: completion, hover texts and marks while typing."""

from collections.abc import Mapping
from typing import Any

from pydantic.json_schema import JsonSchemaMode, models_json_schema

from parts import kinds
from parts.job.models import FILE_SAFE, BendBookRow, JobHead, ShopConfig, StockConfig
from parts.job.points import PointConfig
from parts.kinds.fields import Config

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_MODE: JsonSchemaMode = "validation"


def job_schema() -> dict[str, Any]:
    """The schema of a whole job file; the same for the same kinds, whatever the run."""
    builds = [kinds.kind_config(name) for name in sorted(kinds.KINDS)]
    sections: dict[str, type[Config]] = {
        "job": JobHead,
        "shop": ShopConfig,
        "stock": StockConfig,
        "bend_book": BendBookRow,
        "points": PointConfig,
    }
    models = [*sections.values(), *builds]
    by_model, definitions = models_json_schema([(model, _MODE) for model in models])
    parts = [{"allOf": [by_model[model, _MODE]], "required": ["kind"]} for model in builds]
    of = {name: by_model[model, _MODE] for name, model in sections.items()}
    return {
        "$schema": DIALECT,
        "title": "job file",
        "type": "object",
        "additionalProperties": False,
        "required": ["job"],
        "properties": {
            "job": of["job"],
            "shop": of["shop"],
            "stock": _named(of["stock"], "The sheets of the job, by name."),
            "bend_book": {
                "type": "array",
                "items": of["bend_book"],
                "description": "What your own brake does; it goes before any rule.",
            },
            "points": _named(of["points"], "The measured points, by name."),
            "parts": _named(
                {"oneOf": parts} if parts else {"type": "object"},
                "The parts to build, by name; `kind` decides which keys a part has.",
            )
            | {"propertyNames": {"pattern": FILE_SAFE}},
        },
        "$defs": definitions.get("$defs", {}),
    }


def _named(schema: Mapping[str, Any], description: str) -> dict[str, Any]:
    return {"type": "object", "additionalProperties": schema, "description": description}
