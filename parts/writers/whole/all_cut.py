"""The cut list of all parts of a job, `JOB-cut_list.csv`: the rows of every part's own."""

from __future__ import annotations

from pathlib import Path

from parts.whole import WholeJob
from parts.writers.cut_list import text


def write(whole: WholeJob, folder: Path) -> list[Path]:
    """Write the cut list; returns the file."""
    path = folder / f"{whole.stem_of('cut_list')}.csv"
    path.write_text(text(*whole.parts), encoding="utf-8", newline="")
    return [path]
