"""What became of a part: checked, built, refused, unproved, not written, or at fault."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from parts.earlier import ALL_PARTS, files_in

if TYPE_CHECKING:
    from parts.building import Built
    from parts.part import Part
    from parts.whole import WholeJob

DEBUG = "TINWRIGHT_DEBUG"
Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Done:
    """A part and what became of it; `left` is the folder of an earlier build that still stands.

    `status` is checked, built, refused, unproved (the proof failed), unwritten (the disk would not
    have it) or fault (an error that nobody foresaw). `part` is None where it was not laid out.
    """

    name: str
    part: Part | None
    status: str
    problems: tuple[str, ...] = ()
    built: Built | None = None
    left: Path | None = None

    def as_dict(self) -> dict[str, Any]:
        """The part's figures, with its status, problems and files."""
        from parts.writers.figures import as_dict

        return {
            **(as_dict(self.part) if self.part else {"part": self.name}),
            "status": self.status,
            "problems": [{"message": problem} for problem in self.problems],
            **files_of(self.built),
            "earlier_build": self.left.as_posix() if self.left else None,
        }


def files_of(built: Built | None) -> dict[str, Any]:
    """Where the files of a build are, as plain data."""
    if built is None:
        return {"files": [], "kept": [], "removed": [], "own": [], "unchanged": False}
    return {
        "files": [path.as_posix() for path in built.files],
        "kept": [path.as_posix() for path in built.kept],
        "removed": list(built.removed),
        "own": [path.as_posix() for path in built.own],
        "unchanged": built.unchanged,
    }


def checked(part: Part, out: Path | None = None) -> Done:
    """A part that was laid out and checked; files of an earlier build may lie in `out`."""
    left = _left(part, out) if out else None
    if part.refused:
        refusals = tuple(str(finding) for finding in part.findings if finding.refuses)
        return Done(part.name, part, "refused", refusals, left=left)
    return Done(part.name, part, "checked", left=left)


def _left(part: Part, out: Path) -> Path | None:
    from parts.building import folder_of

    folder = folder_of(part, out)
    return folder if files_in(folder) else None


def built(part: Part, out: Path, only: tuple[str, ...], tell: Tell) -> Done:
    """Write and prove a part, unless it is refused; what stands in the way becomes its status."""
    from parts.building import build

    before = checked(part, out)
    if part.refused:
        return before
    return _attempt(before, out, lambda: build(part, out, only, tell))


def built_whole(whole: WholeJob, out: Path, only: tuple[str, ...], tell: Tell) -> Done:
    """Write and prove the papers of a whole job, as `built` does a part."""
    from parts.building import build_whole, folder_of_whole

    folder = folder_of_whole(whole, out)
    before = Done(ALL_PARTS, None, "checked", left=folder if files_in(folder) else None)
    return _attempt(before, out, lambda: build_whole(whole, out, only, tell))


def faulty(name: str, error: Exception) -> Done:
    """A part that could not even be laid out; raises the error itself where that is asked for."""
    if os.environ.get(DEBUG) == "1":
        raise error
    return Done(name, None, "fault", (fault(error),))


def ended(part: Part, out: Path) -> Done:
    """A part whose process was ended twice by the system, or by somebody, while it was built."""
    why = (
        f"{part.name}: the process that built it was ended from outside, twice; memory may be "
        f"short: build it alone, with --part {part.name}"
    )
    return replace(checked(part, out), status="fault", problems=(why,))


def _attempt(before: Done, out: Path, build: Callable[[], Built]) -> Done:
    from parts.proof import ProofFailed

    try:
        return replace(before, status="built", built=build(), left=None)
    except ProofFailed as error:
        wrong = tuple(str(one) for one in error.disagreements)
        return replace(before, status="unproved", problems=wrong)
    except OSError as error:
        message = (
            f"{error.filename or out}: cannot be written: {error.strerror or error}; nothing was "
            "changed, make room or choose another folder with --out"
        )
        return replace(before, status="unwritten", problems=(message,))
    except Exception as error:
        if os.environ.get(DEBUG) == "1":
            raise
        return replace(before, status="fault", problems=(fault(error),))


def fault(error: Exception) -> str:
    """A sentence for an error that nobody foresaw."""
    words = " ".join(str(error).split())[:200]
    what = f"{type(error).__name__}: {words}" if words else type(error).__name__
    return (
        f"tinwright cannot go on ({what}); this is a fault of its own: please report it with the "
        f"job file, {DEBUG}=1 in the environment shows where it is"
    )
