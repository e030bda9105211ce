"""The command line: sentences and exit status.

0 done, 1 a part was refused, 2 the input cannot be read, 3 a proof failed.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from parts.progress import Progress

if TYPE_CHECKING:
    from parts.make import Job
    from parts.part import Part

DONE, REFUSED, UNREADABLE, UNPROVED = 0, 1, 2, 3

JOB = click.argument("job", type=click.Path(path_type=Path))
PART = click.option("--part", "names", multiple=True, metavar="NAME", help="Only this part.")
OUT = click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("output"),
    show_default=True,
    help="Folder for the files: they go to OUT/JOB/PART.",
)
ONLY = click.option(
    "--only", metavar="WRITER,...", default="", help="Only these files: step, dxf, script, figures."
)
JSON = click.option("--json", "as_json", is_flag=True, help="One JSON document on stdout.")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="tinwright")
def main() -> None:
    """Shop measurements in; folded sheet-metal parts that fit, out."""


@main.command()
@click.argument("kind")
def new(kind: str) -> None:
    """Print a commented starter job for a KIND of part."""
    from parts.job.starter import starter
    from parts.kinds.fields import FieldProblems

    try:
        click.echo(starter(kind), nl=False)
    except FieldProblems as error:
        _fail(str(error), UNREADABLE)


@main.command()
@JOB
@PART
@JSON
def check(job: Path, names: tuple[str, ...], as_json: bool) -> None:
    """Findings and figures of a JOB; writes nothing."""
    loaded = _load(job)
    parts = [loaded.part(name) for name in _names(loaded, names)]
    if as_json:
        _print_json(parts, {})
    else:
        for part in parts:
            _tell(part)
            click.echo(_verdict(part))
    sys.exit(REFUSED if any(part.refused for part in parts) else DONE)


@main.command()
@JOB
@PART
@OUT
@ONLY
@JSON
def build(job: Path, names: tuple[str, ...], out: Path, only: str, as_json: bool) -> None:
    """Check a JOB, write its files, and prove them."""
    from parts.make import build as build_part
    from parts.proof import ProofFailed

    loaded = _load(job)
    wanted = _writers(only)
    parts: list[Part] = []
    files: dict[str, list[str]] = {}
    status = DONE
    for name in _names(loaded, names):
        part = loaded.part(name)
        parts.append(part)
        if part.refused:
            status = max(status, REFUSED)
            if not as_json:
                _tell(part)
                click.echo(_verdict(part))
            continue
        try:
            with Progress(f"{part.name}: ") as progress:
                made = build_part(part, out, wanted, progress.tell)
        except ProofFailed as error:
            status = UNPROVED
            click.echo(f"{part.name}: the proof failed, nothing was written:\n{error}", err=True)
            continue
        except OSError as error:
            where = error.filename or out
            _fail(
                f"{where}: cannot be written: {error.strerror or error}; nothing was changed, "
                "make room or choose another folder with --out",
                UNREADABLE,
            )
        files[name] = [path.as_posix() for path in made]
        if not as_json:
            for finding in part.findings:
                click.echo(str(finding))
            for path in files[name]:
                click.echo(path)
    if as_json:
        _print_json(parts, files)
    sys.exit(status)


@main.command()
@JOB
@PART
@click.option("--port", type=int, default=None, help="Port of the viewer.")
def show(job: Path, names: tuple[str, ...], port: int | None) -> None:
    """Put the parts, at their places on the vehicle, into the 3D viewer."""
    from parts import view

    loaded = _load(job)
    parts = [loaded.part(name) for name in _names(loaded, names)]
    for part in parts:
        if part.refused:
            click.echo(_verdict(part), err=True)
    try:
        click.echo(view.show(parts, port))
    except view.NoViewer as error:
        _fail(str(error), UNREADABLE)
    sys.exit(REFUSED if any(part.refused for part in parts) else DONE)


@main.command()
def schema() -> None:
    """Print the JSON schema of job files, for editors."""
    from parts.job.schema import job_schema

    click.echo(json.dumps(job_schema(), indent=2, ensure_ascii=False))


def _load(job: Path) -> Job:
    from parts.job import JobError
    from parts.make import load

    try:
        return load(job)
    except JobError as error:
        _fail(str(error), UNREADABLE)
        raise


def _names(job: Job, names: tuple[str, ...]) -> tuple[str, ...]:
    from parts.kinds.fields import did_you_mean

    if not job.names:
        _fail(
            f"{job.file.path}: has no parts; add a section such as [parts.NAME] with a kind",
            UNREADABLE,
        )
    for name in names:
        if name not in job.names:
            _fail(
                f"--part: {job.file.path} has no part '{name}'; {did_you_mean(name, job.names)}",
                UNREADABLE,
            )
    return names or job.names


def _writers(only: str) -> tuple[str, ...]:
    from parts import writers
    from parts.tables import UnknownName

    wanted = tuple(word.strip() for word in only.split(",") if word.strip())
    try:
        for name in wanted:
            writers.load(name)
    except UnknownName as error:
        _fail(f"--only: {error}", UNREADABLE)
    return tuple(name for name in writers.WRITERS if name in wanted)


def _tell(part: Part) -> None:
    from parts.telling import told

    for line in told(part):
        click.echo(line)


def _verdict(part: Part) -> str:
    count = sum(finding.refuses for finding in part.findings)
    if count:
        noun = "finding" if count == 1 else "findings"
        return f"{part.name}: refused by {count} {noun}"
    return f"{part.name}: can be built"


def _print_json(parts: Iterable[Part], files: dict[str, list[str]]) -> None:
    from parts.writers.figures import as_dict

    document: dict[str, Any] = {
        "parts": [{**as_dict(part), "files": files.get(part.name, [])} for part in parts]
    }
    click.echo(json.dumps(document, indent=1, ensure_ascii=False))


def _fail(message: str, status: int) -> None:
    click.echo(message, err=True)
    sys.exit(status)


if __name__ == "__main__":
    main()
