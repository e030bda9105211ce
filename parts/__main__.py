"""The command line: sentences and exit status.

0 done, 1 a part was refused, 2 the input cannot be read, 3 a proof failed.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from parts import outcome
from parts.outcome import Done
from parts.progress import Progress

if TYPE_CHECKING:
    from parts.make import Job
    from parts.part import Part

DONE, REFUSED, UNREADABLE, UNPROVED = 0, 1, 2, 3
STOPPED = 130  # by the user, as shells count it
DEBUG = "TINWRIGHT_DEBUG"


class Unusable(Exception):
    """The work cannot go on: what to say of it; `problems` says the same as data."""

    def __init__(
        self, message: str, problems: Sequence[Mapping[str, Any]] = (), done: Sequence[Done] = ()
    ) -> None:
        super().__init__(message)
        self.problems = list(problems) or [{"message": message}]
        self.done = done


class Commands(click.Group):
    """Commands that end in a sentence, or with --json in a document, and never in a traceback."""

    def main(self, *args: Any, **named: Any) -> Any:
        """Run a command and leave with its status."""
        if not named.get("standalone_mode", True):
            return super().main(*args, **named)
        words = args[0] if args else named.get("args")
        as_json = "--json" in (sys.argv[1:] if words is None else words)
        try:
            status = super().main(*args, **named | {"standalone_mode": False})
        except Unusable as error:
            _stop(error, as_json)
        except click.ClickException as error:
            if as_json:
                _stop(Unusable(error.format_message()), as_json)
            error.show()
            sys.exit(UNREADABLE)
        except click.Abort:
            click.echo("stopped", err=True)
            sys.exit(STOPPED)
        except Exception as error:
            if os.environ.get(DEBUG) == "1":
                raise
            _stop(Unusable(_fault(error)), as_json)
        sys.exit(status or DONE)


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
    "--only",
    metavar="WRITER,...",
    multiple=True,
    help="Only these files: step, on_vehicle, dxf, script, drawing, templates, cut_list, "
    "job_sheet, figures. Others of an earlier build stay if they still hold.",
)
JSON = click.option("--json", "as_json", is_flag=True, help="One JSON document on stdout.")


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
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
        raise Unusable(str(error)) from error


@main.command()
@JOB
@PART
@JSON
def check(job: Path, names: tuple[str, ...], as_json: bool) -> None:
    """Findings and figures of a JOB; writes nothing."""
    loaded = _load(job)
    done = [outcome.checked(loaded.part(name)) for name in _names(loaded, names)]
    if as_json:
        _print_json(done)
    else:
        for one in done:
            _say(_told(one.part))
    sys.exit(max(_status(one) for one in done))


@main.command()
@JOB
@PART
@OUT
@ONLY
@JSON
def build(
    job: Path, names: tuple[str, ...], out: Path, only: tuple[str, ...], as_json: bool
) -> None:
    """Check a JOB, write its files, and prove them."""
    from parts.telling import told_built, told_left

    loaded = _load(job)
    wanted = _writers(only)
    done: list[Done] = []
    for name in _names(loaded, names):
        one = _built(loaded.part(name), out, wanted, done)
        done.append(one)
        if as_json:
            continue
        if one.built:
            _say(told_built(one.part, one.built.files, one.built.kept, one.built.removed))
        elif one.status == "refused":
            _say(_told(one.part))
        else:
            click.echo(f"{name}: the proof failed, nothing was written:", err=True)
            click.echo("\n".join(one.problems), err=True)
        if one.left:
            click.echo(f"{name}: {told_left(one.left)}", err=one.status == "unproved")
    if as_json:
        _print_json(done)
    sys.exit(max(_status(one) for one in done))


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
        raise Unusable(str(error)) from error
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
        raise Unusable(str(error), [problem.as_dict() for problem in error.problems]) from error


def _names(job: Job, names: tuple[str, ...]) -> tuple[str, ...]:
    from parts.kinds.fields import did_you_mean

    if not job.names:
        raise Unusable(
            f"{job.file.path}: has no parts; add a section such as [parts.NAME] with a kind"
        )
    for name in names:
        if name not in job.names:
            known = did_you_mean(name, job.names)
            raise Unusable(f"--part: {job.file.path} has no part '{name}'; {known}")
    return tuple(dict.fromkeys(names)) or job.names


def _writers(only: tuple[str, ...]) -> tuple[str, ...]:
    from parts import writers
    from parts.tables import UnknownName

    wanted = [word.strip() for words in only for word in words.split(",")]
    if "" in wanted:
        known = ", ".join(writers.WRITERS)
        raise Unusable(f"--only: a name is missing; write one or more of {known}")
    try:
        for name in wanted:
            writers.load(name)
    except UnknownName as error:
        raise Unusable(f"--only: {error}") from error
    return tuple(name for name in writers.WRITERS if name in wanted)


def _built(part: Part, out: Path, wanted: tuple[str, ...], before: Sequence[Done]) -> Done:
    """Write and prove one part; `before` are the parts that are done already."""
    try:
        with Progress(f"{part.name}: ") as progress:
            return outcome.built(part, out, wanted, progress.tell)
    except OSError as error:
        message = (
            f"{error.filename or out}: cannot be written: {error.strerror or error}; nothing was "
            "changed, make room or choose another folder with --out"
        )
        raise Unusable(message, done=[*before, outcome.checked(part, out)]) from error


def _status(done: Done) -> int:
    return {"refused": REFUSED, "unproved": UNPROVED}.get(done.status, DONE)


def _told(part: Part) -> Iterator[str]:
    from parts.telling import told

    yield from told(part)
    yield _verdict(part)


def _say(lines: Iterator[str]) -> None:
    for line in lines:
        click.echo(line)


def _verdict(part: Part) -> str:
    count = sum(finding.refuses for finding in part.findings)
    if count:
        noun = "finding" if count == 1 else "findings"
        return f"{part.name}: refused by {count} {noun}"
    return f"{part.name}: can be built"


def _print_json(done: Sequence[Done], problems: Sequence[Mapping[str, Any]] = ()) -> None:
    document = {"parts": [one.as_dict() for one in done], "problems": list(problems)}
    click.echo(json.dumps(document, indent=1, ensure_ascii=False))


def _fault(error: Exception) -> str:
    """A sentence for an error that nobody foresaw."""
    words = " ".join(str(error).split())[:200]
    what = f"{type(error).__name__}: {words}" if words else type(error).__name__
    return (
        f"tinwright cannot go on ({what}); this is a fault of its own: please report it with the "
        f"job file, {DEBUG}=1 in the environment shows where it is"
    )


def _stop(error: Unusable, as_json: bool) -> None:
    click.echo(str(error), err=True)
    if as_json:
        _print_json(error.done, error.problems)
    sys.exit(UNREADABLE)


if __name__ == "__main__":
    main()
