"""Write, prove, put in place: what `make` lays out becomes files, if it is not there already."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from parts.content import digest, made_by
from parts.earlier import ALL_PARTS, NOTHING, PAPER, Earlier, Made, carry_over, carry_own
from parts.part import Part
from parts.stage import alone, staged, tidy
from parts.whole import WholeJob

OUTPUT = Path("output")
LOOSE = "figures.json"
ENDINGS = (
    ".step", ".dxf", ".py", "-drawing.pdf", "-folding.pdf", "-template.pdf", "-nesting.pdf",
    "-cut_list.csv", "-job_sheet.html", "-overview.html", ".zip",
)  # fmt: skip; of the files that builds make
Tell = Callable[[str], None]
Write = Callable[[Any, Path], list[Path]]


@dataclass(frozen=True, slots=True)
class Built:
    """What a build left in a folder, and what it took away.

    `files` were made and proved now; `kept` are of an earlier build from the same measurements;
    `removed` names those of an earlier build that no longer held, `own` what else lay there and
    still does. Where nothing had changed, `files` is empty and all are `kept`.
    """

    files: tuple[Path, ...]
    kept: tuple[Path, ...] = ()
    removed: tuple[str, ...] = ()
    own: tuple[Path, ...] = ()

    @property
    def unchanged(self) -> bool:
        """Whether everything lay there already."""
        return not self.files


def folder_of(part: Part, out: Path = OUTPUT) -> Path:
    """Where a part's files go."""
    return out / part.job / part.name


def folder_of_whole(whole: WholeJob, out: Path = OUTPUT) -> Path:
    """Where the papers of a whole job go."""
    return out / whole.job / ALL_PARTS


def tidy_up(part: Part, out: Path) -> None:
    """Remove what a build of a part left that was ended before it was done."""
    tidy(folder_of(part, out))


def made_from(what: Part | WholeJob, out: Path) -> str:
    """Digest of all that the files of a part, or of a whole job, are made from.

    The papers of a whole job take in files of its parts, as they lie proved in `out`.
    """
    if isinstance(what, Part):
        return digest(what)
    of_parts = [Earlier.of(folder_of(part, out)).rows for part in what.parts]
    proved = [{name: str(row.get("sha256")) for name, row in rows.items()} for rows in of_parts]
    return digest((digest(what), proved))


def is_built(part: Part, out: Path = OUTPUT, only: Iterable[str] = ()) -> bool:
    """Whether all that `build` would write lies there, proved, and unchanged since."""
    from parts import writers

    folder = folder_of(part, out)
    made = Made(made_from(part, out), made_by())
    return Earlier.of(folder).still_holds(folder, made, tuple(only) or writers.WRITERS)


def build(
    part: Part, out: Path = OUTPUT, only: Iterable[str] = (), tell: Tell = lambda stage: None
) -> Built:
    """Write a part's files, or those of some writers `only`, and prove them.

    They appear together in `out`/JOB/PART, and only if the proof holds: else ProofFailed is
    raised and what was there stays. Where all of them lie there already, made from the same by the
    same code and unchanged since, nothing is done. With `only`, the other writers' files of an
    earlier build stay if they still hold. A refused part must not be built (ValueError).
    """
    from parts import proof, writers  # not wanted by a check

    if part.refused:
        raise ValueError(f"{part.name} is refused: nothing is written")
    wanted = tuple(only) or writers.WRITERS
    writes = {name: (lambda p, f, name=name: writers.load(name).write(p, f)) for name in wanted}
    of, folder = made_from(part, out), folder_of(part, out)
    return _built(part, of, folder, writes, proof.prove, bool(only), tell)


def build_whole(
    whole: WholeJob, out: Path = OUTPUT, only: Iterable[str] = (), tell: Tell = lambda stage: None
) -> Built:
    """Write the papers of a whole job into `out`/JOB/all_parts and prove them, as `build` does."""
    from parts.proof.whole import prove_whole
    from parts.writers import whole as writers

    wanted = tuple(only) or writers.WRITERS_OF_JOB
    writes = {name: (lambda w, f, name=name: writers.load(name).write(w, f)) for name in wanted}
    of, folder = made_from(whole, out), folder_of_whole(whole, out)
    return _built(whole, of, folder, writes, prove_whole, bool(only), tell)


def _built(
    what: Part | WholeJob,
    of: str,
    folder: Path,
    writes: Mapping[str, Write],
    prove: Callable[[Any, Path, list[Path]], Any],
    some: bool,
    tell: Tell,
) -> Built:
    made = Made(of, made_by())
    earlier = Earlier.of(folder)
    if earlier.still_holds(folder, made, writes):
        return Built((), tuple(folder / name for name in (*earlier.rows, PAPER)))
    with ExitStack() as until_placed, staged(folder) as new:
        written: list[Path] = []
        by: dict[str, str] = {}
        for name, write in writes.items():
            tell(f"writing {name}")
            files = write(what, new)
            by |= {path.name: name for path in files}
            written += files
        tell("proving")
        rows = prove(what, new, written).as_dict()["files"]
        for row in rows:
            row["writer"] = by[row["name"]]
        until_placed.enter_context(alone(folder.parent))
        earlier = Earlier.of(folder)  # another run may have been here meanwhile
        names = {path.name for path in written}
        over = carry_over(folder, new, names, made) if some else NOTHING
        before = {*earlier.rows, *_of_no_record(folder, what)}
        own = carry_own(folder, new, {*before, *names, PAPER})
        record = {
            "made_from": made.of,
            "made_by": dict(made.by),
            "writers": [*writes, *(name for name in over.writers if name not in writes)],
            "files": sorted((*rows, *over.rows.values()), key=lambda row: str(row["name"])),
        }
        paper = new / PAPER
        paper.write_text(json.dumps(record, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return Built(
        files=tuple(folder / path.name for path in (*written, paper)),
        kept=tuple(folder / name for name in over.rows),
        removed=tuple(name for name in sorted(before) if name not in {*names, *over.rows}),
        own=tuple(folder / name for name in own),
    )


def _of_no_record(folder: Path, what: Part | WholeJob) -> set[str]:
    """Files that a build made, by their names, whatever a record says: none of the user's own."""
    if not folder.is_dir():
        return set()
    stem = f"{what.stem_of()}-"
    names = {path.name for path in folder.iterdir()}
    ours = {name for name in names if name.startswith(stem) and name.endswith(ENDINGS)}
    return ours | names & {LOOSE}
