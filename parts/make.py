"""The walk: read, lay out, check. What passes is written and proved in `building`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from parts import kinds
from parts.job import JobFile, read_job
from parts.job.as_given import as_given
from parts.job.bench import bench_of
from parts.kinds.bench import Bench
from parts.kinds.fields import did_you_mean
from parts.nesting.given import Given
from parts.part import Part, Piece
from parts.report import Finding
from parts.sheet.check import check_sheet
from parts.sheet.fold_order.findings import order_findings
from parts.trade.cost import Rates
from parts.trade.cutter import Cutter
from parts.trade.cutter_limits import beyond
from parts.whole import WholeJob


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
        shop = self.bench.shop
        part = replace(part, pieces=tuple(replace(piece, shop=shop) for piece in part.pieces))
        cutters = self.file.cutters
        found = [one for piece in part.pieces for one in _checked(piece, self.bench, cutters)]
        paper = self.file.papers.as_setting()
        head = self.file.head
        return replace(
            part, findings=(*part.findings, *found), paper=paper, vehicle=head.vehicle,
            stance=head.stance, as_given=as_given(self.file, name), nesting=self._nesting,
            rates=self._rates,
        )  # fmt: skip

    def parts(self, names: Iterable[str] = ()) -> Iterator[Part]:
        """Lay out and check the parts of those names, or all."""
        return (self.part(name) for name in (names or self.names))

    def whole(self, parts: Sequence[Part], home: Path | None = None) -> WholeJob:
        """All parts together, as laid out; `home` is the folder of their folders of files."""
        head = self.file.head
        paper = self.file.papers.as_setting()
        return WholeJob(
            head.name, tuple(parts), head.vehicle, head.stance, head.date, paper,
            self.file.cutters, self._nesting, self._rates, home,
        )  # fmt: skip

    @property
    def _nesting(self) -> Given:
        return self.file.nesting.as_given(self.file.shop, self.file.cutters)

    @property
    def _rates(self) -> Rates | None:
        return None if self.file.rates is None else self.file.rates.as_rates()


def _checked(piece: Piece, bench: Bench, cutters: Sequence[Cutter]) -> Iterator[Finding]:
    """What the sheet itself shows of a piece, and what its cutters say, named with its hand."""
    of = f"{piece.hand} {piece.name}".strip()
    for finding in check_sheet(piece.folded, piece.rack, bench.book, bench.shop, piece.to_fit):
        yield replace(finding, where=f"{of}: {finding.where}")
    for finding in order_findings(piece.folded, piece.fold_order, piece.shop):
        yield replace(finding, where=f"{of}: {finding.where}")
    for cutter in cutters:
        for finding in beyond(cutter, piece.folded, piece.stock):
            yield replace(finding, where=f"{of}: {finding.where}")
