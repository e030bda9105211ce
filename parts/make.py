"""The walk: read, lay out, check, write, prove."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from parts import kinds
from parts.earlier import PAPER, carry_over
from parts.job import JobFile, read_job
from parts.job.bench import bench_of
from parts.kinds.bench import Bench
from parts.kinds.fields import did_you_mean
from parts.part import Part, Piece
from parts.report import Finding
from parts.sheet.check import check_sheet
from parts.stage import staged

OUTPUT = Path("output")


def load(path: str | Path) -> Job:
    """Read a job file and solve its points; raises JobError with all that is wrong in it."""
    job = read_job(Path(path))
    return Job(job, bench_of(job))


class UnknownPart(KeyError):
    """A part that the job does not have; the message offers the nearest."""

    def __str__(self) -> str:
        return str(self.args[0])


@dataclass(frozen=True, eq=False)
class Job:
    """A job that was read: its parts, laid out when asked for."""

    file: JobFile
    bench: Bench

    @property
    def names(self) -> tuple[str, ...]:
        """The parts, in the file's order."""
        return tuple(self.file.parts)

    def part(self, name: str) -> Part:
        """Lay out and check one part; raises UnknownPart (a KeyError) for a name it lacks."""
        if name not in self.file.parts:
            raise UnknownPart(f"{self.file.path} has no part {name!r}; "
                              f"{did_you_mean(name, self.names)}")  # fmt: skip
        part = kinds.lay_out(name, self.file.parts[name], self.bench)
        found = (finding for piece in part.pieces for finding in _checked(piece, self.bench))
        paper = self.file.papers.as_setting()
        return replace(part, findings=(*part.findings, *found), paper=paper)

    def parts(self, names: Iterable[str] = ()) -> Iterator[Part]:
        """Lay out and check the parts of those names, or all."""
        return (self.part(name) for name in (names or self.names))


def _checked(piece: Piece, bench: Bench) -> Iterator[Finding]:
    """What the sheet itself shows of a piece, named with its hand."""
    of = f"{piece.hand} {piece.name}".strip()
    for finding in check_sheet(piece.folded, piece.rack, bench.book, bench.shop, piece.to_fit):
        yield replace(finding, where=f"{of}: {finding.where}")


@dataclass(frozen=True, slots=True)
class Built:
    """What a build left in the part's folder, and what it took away.

    `files` were made and proved now; `kept` are of an earlier build from the same measurements;
    `removed` names those of an earlier build that no longer held.
    """

    files: tuple[Path, ...]
    kept: tuple[Path, ...] = ()
    removed: tuple[str, ...] = ()


def folder_of(part: Part, out: Path = OUTPUT) -> Path:
    """Where a part's files go."""
    return out / part.job / part.name


def build(
    part: Part,
    out: Path = OUTPUT,
    only: Iterable[str] = (),
    tell: Callable[[str], None] = lambda stage: None,
) -> Built:
    """Write a part's files, or those of some writers `only`, and prove them.

    They appear together in `out`/JOB/PART, and only if the proof holds: else ProofFailed is
    raised and what was there stays. With `only`, the other writers' files of an earlier build
    stay if they were made from the same. A refused part must not be built (ValueError).
    """
    from parts import proof, writers  # not wanted by a check

    if part.refused:
        raise ValueError(f"{part.name} is refused: nothing is written")
    folder, only = folder_of(part, out), tuple(only)
    kept: Mapping[str, Mapping[str, Any]] = {}
    removed: tuple[str, ...] = ()
    with staged(folder) as new:
        written: list[Path] = []
        for name in only or writers.WRITERS:
            tell(f"writing {name}")
            written += writers.load(name).write(part, new)
        tell("proving")
        record = proof.prove(part, new, written).as_dict()
        made_from = _fingerprint(part)
        if only:
            kept, removed = carry_over(folder, new, {path.name for path in written}, made_from)
        rows = sorted((*record["files"], *kept.values()), key=lambda row: str(row["name"]))
        record = {"made_from": made_from, **record, "files": rows}
        paper = new / PAPER
        paper.write_text(json.dumps(record, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    files = tuple(folder / path.name for path in (*written, paper))
    return Built(files, tuple(folder / name for name in kept), removed)


def _fingerprint(part: Part) -> str:
    """SHA-256 of all that a writer may read of a part: equal for equal files."""
    from parts.writers.figures import as_dict

    blanks = [repr(piece.blank) for piece in part.pieces]
    text = json.dumps([as_dict(part), blanks], ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()
