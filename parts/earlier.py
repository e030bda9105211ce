"""What an earlier build left in a folder: what of it still holds when it is built again."""

from __future__ import annotations

import errno
import hashlib
import json
import shutil
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

PAPER = "proof.json"
ALL_PARTS = "all_parts"  # the folder of the papers of a whole job; no part may be called so

Rows = Mapping[str, Mapping[str, Any]]


@dataclass(frozen=True, slots=True)
class Made:
    """What something is made from, as the digest of its content, and what makes it: versions."""

    of: str
    by: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Earlier:
    """What an earlier build recorded: how it was made, which writers ran, its files by name."""

    made: Made
    writers: tuple[str, ...]
    rows: Rows

    @classmethod
    def of(cls, folder: Path) -> Earlier:
        """What `folder` records; nothing where there is no record that can be read."""
        try:
            paper = json.loads((folder / PAPER).read_text(encoding="utf-8"))
            rows = {_plain_name(row["name"]): dict(row) for row in paper["files"]}
            made = Made(str(paper.get("made_from", "")), dict(paper.get("made_by", {})))
            return cls(made, tuple(paper.get("writers", ())), rows)
        except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
            return cls(Made("", {}), (), {})

    def changed_in(self, folder: Path) -> tuple[str, ...]:
        """Names of its files that are gone from `folder` or not as they were proved."""
        return tuple(
            name for name, row in self.rows.items() if _sha256(folder / name) != row.get("sha256")
        )

    def still_holds(self, folder: Path, made: Made, writers: Iterable[str]) -> bool:
        """Whether all that these writers would make lies there, as it was proved."""
        ran = set(writers) <= set(self.writers)
        return ran and self.made == made and not self.changed_in(folder)


@dataclass(frozen=True, slots=True)
class Over:
    """What is carried over of an earlier build: rows for the record, and whole writers."""

    rows: Rows
    writers: tuple[str, ...]


NOTHING = Over({}, ())


def carry_over(folder: Path, new: Path, written: Collection[str], made: Made) -> Over:
    """Copy files of the earlier build in `folder` that were not written again into `new`.

    Only those that were made from and by the same, and not changed since they were proved.
    """
    earlier = Earlier.of(folder)
    if earlier.made != made:
        return NOTHING
    lost = earlier.changed_in(folder)
    rows = {n: row for n, row in earlier.rows.items() if n not in written and n not in lost}
    for name in rows:
        shutil.copy2(folder / name, new / name)
        if _sha256(new / name) != rows[name].get("sha256"):
            raise OSError(errno.EAGAIN, "it changes while it is copied", str(folder / name))
    short = {earlier.rows[name].get("writer") for name in lost}
    return Over(rows, tuple(name for name in earlier.writers if name not in short))


def carry_own(folder: Path, new: Path, known: Collection[str]) -> tuple[str, ...]:
    """Copy into `new` what lies in `folder` and no build made: the user's own; returns its names.

    `known` are the names of files that a build made or makes.
    """
    if not folder.is_dir():
        return ()
    own = sorted(path for path in folder.iterdir() if path.name not in known)
    for path in own:
        if path.is_dir() and not path.is_symlink():
            shutil.copytree(path, new / path.name, symlinks=True)
        else:
            shutil.copy2(path, new / path.name, follow_symlinks=False)
    return tuple(path.name for path in own)


def files_in(folder: Path) -> bool:
    """Whether an earlier build left anything there."""
    return folder.is_dir() and any(folder.iterdir())


def _plain_name(name: str) -> str:
    """The name, if it is that of a file in the folder itself; raises ValueError."""
    if Path(name).name != name:
        raise ValueError(f"{name!r} is no plain file name")
    return name


def _sha256(path: Path) -> str:
    """Of a file's bytes; "" for one that cannot be read."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""
