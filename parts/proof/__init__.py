"""Nothing is handed over unproved: every file is read back from disk and held to the part.

Other code than wrote a file reads it, and the files are held against each other: the DXF's
circles, folded by other means, must meet the holes of the STEP file; its bends are found again in
its own cylinders; the script is run. See `prove`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from parts.part import Part
from parts.proof.drawing import Drawing
from parts.proof.drawings import check_drawing
from parts.proof.flats import check_dxf
from parts.proof.fold_sheets import check_fold_sheet
from parts.proof.job_sheets import check_cut_list, check_job_sheet
from parts.proof.ledger import Disagreement, Ledger
from parts.proof.numbers import check_figures
from parts.proof.placed import check_set
from parts.proof.runs import check_script
from parts.proof.solids import check_step
from parts.proof.templates import check_template

if TYPE_CHECKING:
    from parts.solid.read import ShapeFacts

WHOLE = (".step", ".dxf", ".py", ".pdf", ".csv", ".html", "figures.json")

__all__ = ["Check", "Disagreement", "Proof", "ProofFailed", "prove"]


@dataclass(frozen=True, slots=True)
class Check:
    """One kind of check in one file: how many were made, the worst one, what was allowed."""

    file: str
    what: str
    count: int
    worst: float | None
    allowed: float | None
    unit: str


@dataclass(frozen=True, slots=True)
class Proof:
    """What was held against what, and the SHA-256 of every file as it was read."""

    checks: tuple[Check, ...]
    sha256: dict[str, str]

    @classmethod
    def of(cls, ledgers: Sequence[Ledger], folder: Path, names: Iterable[str]) -> Proof:
        """What the ledgers hold, and the files as they lie; raises ProofFailed."""
        wrong = [one for ledger in ledgers for one in ledger.disagreements]
        if wrong:
            raise ProofFailed(wrong)
        checks = tuple(check for ledger in ledgers for check in _checks(ledger))
        return cls(checks, {name: _sha256(folder / name) for name in sorted(names)})

    def as_dict(self) -> dict[str, Any]:
        """For `proof.json`; deviations to two figures, for they differ from machine to machine."""
        return {
            "files": [
                {
                    "name": name,
                    "sha256": digest,
                    "checks": [_row(check) for check in self.checks if check.file == name],
                }
                for name, digest in self.sha256.items()
            ]
        }


class ProofFailed(Exception):
    """The files do not agree with the part or with each other; `disagreements` says where."""

    def __init__(self, disagreements: Sequence[Disagreement]) -> None:
        self.disagreements = tuple(disagreements)
        super().__init__("\n".join(str(one) for one in disagreements))


def prove(part: Part, folder: Path, written: Iterable[Path]) -> Proof:
    """Hold every written file against the part and the other files; writes nothing.

    `folder` is where the part's files lie, `written` those that this build wrote; only they are
    proved. Raises ProofFailed with every disagreement, in words with numbers.
    """
    names = {Path(path).name for path in written}
    ledgers: list[Ledger] = []

    def opened(name: str) -> Ledger:
        ledgers.append(Ledger(name))
        return ledgers[-1]

    drawings: dict[int, Drawing] = {}
    centers: dict[int, Any] = {}
    stems = [part.stem(piece) for piece in part.pieces]
    for number, (piece, stem) in enumerate(zip(part.pieces, stems, strict=True)):
        if stems.index(stem) != number:
            opened(stem).wrong("the name", "one piece to a name", "two pieces of the same name")
        for name, marked in ((f"{stem}.dxf", False), (f"{stem}-marked.dxf", True)):
            if name in names:
                drawing = check_dxf(folder / name, part, piece, marked, opened(name))
                if drawing is not None:
                    drawings.setdefault(number, drawing)
        shape: ShapeFacts | None = None
        if f"{stem}.step" in names:
            name = f"{stem}.step"
            facts = check_step(folder / name, piece, stem, drawings.get(number), opened(name))
            if facts is not None:
                shape = facts.shape
                centers[number] = shape.center_of_mass
        if f"{stem}.py" in names:
            check_script(folder / f"{stem}.py", piece, shape, opened(f"{stem}.py"))
        name = f"{stem}-drawing.pdf"
        if name in names:
            check_drawing(folder / name, part, piece, opened(name))
        name = f"{stem}-folding.pdf"
        if name in names:
            check_fold_sheet(folder / name, part, piece, opened(name))
        name = f"{stem}-template.pdf"
        if name in names:
            words = (part.job, piece.hand or "no hand", "100 mm")
            edges = (curve for loop in piece.blank.loops for curve in loop)
            check_template(folder / name, edges, part.paper, words, opened(name))
    for sketch in part.sketches:
        name = f"{part.stem_of(sketch.title)}-template.pdf"
        if name in names:
            edges = (curve for shape in sketch.shapes for curve in shape.curves)
            words = (part.job, part.name, "100 mm")
            check_template(folder / name, edges, part.paper, words, opened(name))
    together = f"{part.stem_of('on_vehicle')}.step"
    if together in names:
        check_set(folder / together, part, opened(together))
    for name, check in _of_part(part, folder, names):
        if name in names:
            check(opened(name))
    if "figures.json" in names:
        ledger = opened("figures.json")
        check_figures(folder / "figures.json", part, drawings, centers, ledger)
    return Proof.of(ledgers, folder, names)


def _of_part(
    part: Part, folder: Path, names: Collection[str]
) -> Iterator[tuple[str, Callable[[Ledger], None]]]:
    """The papers of the part as a whole, and what reads them back."""
    page = f"{part.stem_of('job_sheet')}.html"
    yield page, lambda ledger: check_job_sheet(folder / page, part, _to_be(names), ledger)
    table = f"{part.stem_of('cut_list')}.csv"
    yield table, lambda ledger: check_cut_list(folder / table, (part,), ledger)


def _to_be(names: Collection[str]) -> set[str] | None:
    """The files of the folder once it is proved; None where only some writers wrote."""
    whole = all(any(name.endswith(ending) for name in names) for ending in WHOLE)
    return {*names, "proof.json"} if whole else None


def _checks(ledger: Ledger) -> Iterable[Check]:
    for what, tally in ledger.tallies.items():
        yield Check(ledger.file, what, tally.count, tally.worst, tally.allowed, tally.unit)


def _row(check: Check) -> dict[str, Any]:
    row: dict[str, Any] = {"what": check.what, "count": check.count}
    if check.worst is not None:
        row |= {"worst": float(f"{check.worst:.2g}"), "allowed": check.allowed, "unit": check.unit}
    return row


def _sha256(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
