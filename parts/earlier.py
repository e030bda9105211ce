"""Files of an earlier build of a part: which of them still hold when only some are made anew."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

PAPER = "proof.json"


@dataclass(frozen=True, slots=True)
class Earlier:
    """What an earlier build recorded: of what it was made, and its files' rows, by name."""

    made_from: str
    rows: Mapping[str, Mapping[str, Any]]

    @classmethod
    def of(cls, folder: Path) -> Earlier:
        """What `folder` records; nothing where there is no record that can be read."""
        try:
            paper = json.loads((folder / PAPER).read_text(encoding="utf-8"))
            rows = {str(row["name"]): row for row in paper["files"]}
            return cls(str(paper.get("made_from", "")), rows)
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            return cls("", {})


def carry_over(
    folder: Path, new: Path, written: Collection[str], made_from: str
) -> tuple[dict[str, Mapping[str, Any]], tuple[str, ...]]:
    """Copy files of the earlier build in `folder` that were not written again into `new`.

    Only those that were made from the same, and have not been changed since they were proved.
    Returns their rows for the new record, by name, and the names of the others, which will go.
    """
    earlier = Earlier.of(folder)
    kept: dict[str, Mapping[str, Any]] = {}
    gone: list[str] = []
    for name, row in earlier.rows.items():
        file = folder / name
        if name in written or Path(name).name != name or not file.is_file():
            continue
        if earlier.made_from == made_from and _sha256(file) == row.get("sha256"):
            shutil.copy2(file, new / name)
            kept[name] = row
        else:
            gone.append(name)
    return kept, tuple(gone)


def files_in(folder: Path) -> bool:
    """Whether an earlier build left anything there."""
    return folder.is_dir() and any(folder.iterdir())


def _sha256(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
