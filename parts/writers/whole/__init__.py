"""Papers of a whole job, one file of code each; they are written once all of its parts are proved.

Every writer has `write(whole, folder) -> list[Path]`; its name is what `--only` takes.
"""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import Protocol, cast

from parts.whole import WholeJob

WRITERS_OF_JOB = (  # in the order they run; the last links to the others
    "all_cut", "nesting", "cutter_pack", "overview",
)  # fmt: skip


class WriterOfJob(Protocol):
    """A module of this room."""

    def write(self, whole: WholeJob, folder: Path) -> list[Path]:
        """Write every file of this kind for the job into the folder; returns them in order."""


def load(name: str) -> WriterOfJob:
    """The writer called `name`, one of WRITERS_OF_JOB."""
    return cast(WriterOfJob, import_module(f"parts.writers.whole.{name}"))
