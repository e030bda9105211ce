"""The papers of a whole job, read back from disk and held against all of its parts."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from parts.proof import Proof
from parts.proof.job_sheets import check_cut_list
from parts.proof.ledger import Ledger
from parts.proof.nests import check_nesting
from parts.proof.overviews import check_overview
from parts.proof.packs import check_pack
from parts.whole import WholeJob

CheckOfJob = Callable[[Path, WholeJob, Ledger], None]


def prove_whole(whole: WholeJob, folder: Path, written: Iterable[Path]) -> Proof:
    """Hold every written file against the job; writes nothing.

    `folder` is where the files lie. Raises ProofFailed with every disagreement, in words with
    numbers; a file that nothing reads back is one.
    """
    ledgers = []
    for name in sorted({Path(path).name for path in written}):
        ledger = Ledger(name)
        ledgers.append(ledger)
        check = _check_of(name, whole)
        if check is None:
            ledger.wrong("the file", "one that is read back", "one that nothing reads back")
        else:
            check(folder / name, whole, ledger)
    names = [ledger.file for ledger in ledgers]
    return Proof.of(ledgers, folder, names)


def _check_of(name: str, whole: WholeJob) -> CheckOfJob | None:
    """What reads a file of that name back."""
    if name == f"{whole.stem_of('cut_list')}.csv":
        return _cut_list
    if name == f"{whole.stem_of('overview')}.html":
        return check_overview
    if name == f"{whole.stem_of('nesting')}.pdf":
        return check_nesting
    if name in {f"{whole.stem_of(cutter.name)}.zip" for cutter in whole.cutters}:
        return check_pack
    return None


def _cut_list(path: Path, whole: WholeJob, ledger: Ledger) -> None:
    check_cut_list(path, whole.parts, ledger)
