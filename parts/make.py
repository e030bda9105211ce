"""The walk: read, lay out, check, write, prove."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from parts import kinds
from parts.job import JobFile, read_job
from parts.job.bench import bench_of
from parts.kinds.bench import Bench
from parts.part import Part, Piece
from parts.report import Finding
from parts.sheet.check import check_sheet
from parts.stage import staged

OUTPUT = Path("output")


def load(path: str | Path) -> Job:
    """Read a job file and solve its points; raises JobError with all that is wrong in it."""
    job = read_job(Path(path))
    return Job(job, bench_of(job))


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
        """Lay out and check one part; KeyError for a name the job does not have."""
        part = kinds.lay_out(name, self.file.parts[name], self.bench)
        found = (finding for piece in part.pieces for finding in _checked(piece, self.bench))
        return replace(part, findings=(*part.findings, *found))

    def parts(self, names: Iterable[str] = ()) -> Iterator[Part]:
        """Lay out and check the parts of those names, or all."""
        return (self.part(name) for name in (names or self.names))


def _checked(piece: Piece, bench: Bench) -> Iterator[Finding]:
    for finding in check_sheet(piece.folded, piece.rack, bench.book, bench.shop):
        yield replace(finding, where=f"{piece.hand}: {finding.where}" if piece.hand else
                      finding.where)  # fmt: skip


def build(
    part: Part,
    out: Path = OUTPUT,
    only: Iterable[str] = (),
    tell: Callable[[str], None] = lambda stage: None,
) -> list[Path]:
    """Write a part's files and prove them; returns the files made.

    They appear together in `out`/JOB/PART, and only if the proof holds: else ProofFailed is
    raised and what was there stays. A refused part must not be built (ValueError).
    """
    from parts import proof, writers  # not wanted by a check

    if part.refused:
        raise ValueError(f"{part.name} is refused: nothing is written")
    folder = out / part.job / part.name
    with staged(folder) as new:
        written: list[Path] = []
        for name in only or writers.WRITERS:
            tell(f"writing {name}")
            written += writers.load(name).write(part, new)
        tell("proving")
        proved = proof.prove(part, new, written)
        paper = new / "proof.json"
        paper.write_text(
            json.dumps(proved.as_dict(), indent=1, ensure_ascii=False) + "\n", encoding="utf-8"
        )
    return [folder / path.name for path in (*written, paper)]
