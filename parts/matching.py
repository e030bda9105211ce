"""Whether what lies in a folder is still what its job file asks for; no kernel, nothing written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from parts.building import folder_of, folder_of_whole, made_from
from parts.content import made_by
from parts.earlier import Earlier
from parts.part import Part
from parts.whole import WholeJob


def mismatches(what: Part | WholeJob, out: Path) -> tuple[str, ...]:
    """Why the files of a part, or of a whole job, no longer hold, in sentences; () if they do."""
    if isinstance(what, Part):
        if what.refused:
            return ("the job file now has it refused",)
        return tuple(_of(folder_of(what, out), made_from(what, out), "the job file has"))
    changed = "the job file, or the files of its parts, have"
    return tuple(_of(folder_of_whole(what, out), made_from(what, out), changed))


def _of(folder: Path, of: str, changed: str) -> Iterator[str]:
    earlier = Earlier.of(folder)
    if not earlier.rows:
        yield f"{folder.as_posix()} holds no build that can be read"
        return
    if earlier.made.of != of:
        yield f"{changed} changed since: build it again before cutting"
    other = [*_other(earlier.made.by, made_by())]
    if other:
        yield f"it was made by other versions ({', '.join(other)}): build it again"
    for name in earlier.changed_in(folder):
        gone = "is gone" if not (folder / name).exists() else "was changed since it was proved"
        yield f"{name} {gone}"


def _other(then: Mapping[str, str], now: Mapping[str, str]) -> Iterator[str]:
    """What has another version now; the code of tinwright itself only where nothing else tells."""
    names = [name for name in {**then, **now} if then.get(name) != now.get(name)]
    for name in names:
        if name != "code":
            yield f"{name} {then.get(name, 'unknown')}, now {now.get(name, 'unknown')}"
    if names == ["code"]:
        yield "tinwright's own code"
