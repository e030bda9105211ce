"""A page for a browser from its template: every word escaped, but for what is marked as it is.

What several templates share lies beside this file.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote


def rendered(template: Path, **words: object) -> str:
    """The page that a template (a file) makes of these; raises for a word that it has not."""
    return str(_template(template).render(**words))


@cache
def _template(path: Path) -> Any:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader([path.parent, Path(__file__).parent]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["link"] = quote
    return environment.get_template(path.name)
