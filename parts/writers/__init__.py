"""What the shop gets: one file of code per format, loaded only when asked for.

Every writer has `write(part, folder) -> list[Path]`; its name is what `--only` takes.
"""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import Protocol, cast

from parts.part import Part
from parts.tables import UnknownName

WRITERS = (
    "step", "on_vehicle", "dxf", "script", "drawing", "fold_sheet", "templates", "cut_list",
    "job_sheet", "figures",
)  # fmt: skip; in the order they run


class Writer(Protocol):
    """A module of this room."""

    def write(self, part: Part, folder: Path) -> list[Path]:
        """Write every file of this kind for the part into the folder; returns them in order."""


def load(name: str) -> Writer:
    """The writer called `name`; raises UnknownName for any other word.

    >>> load("dfx")
    Traceback (most recent call last):
    parts.tables.UnknownName: writer 'dfx' is not in ...; did you mean dxf?
    """
    if name not in WRITERS:
        raise UnknownName("writer", name, "the files tinwright writes", WRITERS)
    return cast(Writer, import_module(f"parts.writers.{name}"))
