"""What became of a part: checked, built, refused or unproved."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from parts.earlier import files_in

if TYPE_CHECKING:
    from parts.make import Built
    from parts.part import Part


@dataclass(frozen=True, slots=True)
class Done:
    """A part and what became of it; `left` is the folder of an earlier build that still stands."""

    part: Part
    status: str
    problems: tuple[str, ...] = ()
    built: Built | None = None
    left: Path | None = None

    def as_dict(self) -> dict[str, Any]:
        """The part's figures, with its status, problems and files."""
        from parts.writers.figures import as_dict

        built = self.built
        return {
            **as_dict(self.part),
            "status": self.status,
            "problems": [{"message": problem} for problem in self.problems],
            "files": [path.as_posix() for path in built.files] if built else [],
            "kept": [path.as_posix() for path in built.kept] if built else [],
            "removed": list(built.removed) if built else [],
            "earlier_build": self.left.as_posix() if self.left else None,
        }


def checked(part: Part, out: Path | None = None) -> Done:
    """A part that was laid out and checked; files of an earlier build may lie in `out`."""
    from parts.make import folder_of

    left = folder_of(part, out) if out else None
    left = left if left and files_in(left) else None
    if part.refused:
        refusals = tuple(str(finding) for finding in part.findings if finding.refuses)
        return Done(part, "refused", refusals, left=left)
    return Done(part, "checked", left=left)


def built(part: Part, out: Path, only: tuple[str, ...], tell: Callable[[str], None]) -> Done:
    """Write and prove a part, unless it is refused; raises OSError where it cannot be written."""
    from parts.make import build
    from parts.proof import ProofFailed

    before = checked(part, out)
    if part.refused:
        return before
    try:
        return Done(part, "built", built=build(part, out, only, tell))
    except ProofFailed as error:
        wrong = tuple(str(one) for one in error.disagreements)
        return Done(part, "unproved", wrong, left=before.left)
