"""The command line: sentences and exit status.

0 done, 1 a part was refused, 2 the input cannot be read, 3 a proof failed.
"""

from __future__ import annotations

import errno
import json
import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
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


class Unusable(Exception):
    """The work cannot go on: what to say of it; `problems` says the same as data."""

    def __init__(self, message: str, problems: Sequence[Mapping[str, Any]] = ()) -> None:
        super().__init__(message)
        self.problems = list(problems) or [{"message": message}]


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
            if isinstance(error, OSError) and error.errno == errno.ENOSPC:
                _stop(Unusable("the answer cannot be written: there is no room left"), False)
            if os.environ.get(outcome.DEBUG) == "1":
                raise
            _stop(Unusable(outcome.fault(error)), as_json)
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
    help="Only these files: step, on_vehicle, dxf, script, drawing, fold_sheet, templates, "
    "cut_list, job_sheet, figures; of the whole job: all_cut, nesting, cutter_pack, overview. "
    "Others of an earlier build stay if they still hold.",
)
JSON = click.option("--json", "as_json", is_flag=True, help="One JSON document on stdout.")


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="tinwright")
def main() -> None:
    """Shop measurements in; folded sheet-metal parts that fit, out."""


@main.command()
@click.argument("kind")
def new(kind: str) -> None:
    """Print a commented starter job for a KIND of part; for "cutter", a profile of a cutter."""
    from parts.job.starter import CUTTER, starter, starter_profile
    from parts.kinds.fields import FieldProblems

    try:
        click.echo(starter_profile() if kind == CUTTER else starter(kind), nl=False)
    except FieldProblems as error:
        raise Unusable(str(error)) from error


@main.command()
@JOB
@PART
@JSON
def check(job: Path, names: tuple[str, ...], as_json: bool) -> None:
    """Findings and figures of a JOB; writes nothing."""
    loaded = _load(job)
    done = []
    for name in _names(loaded, names):
        try:
            done.append(outcome.checked(loaded.part(name)))
        except Exception as error:
            done.append(outcome.faulty(name, error))
        if not as_json:
            _say_checked(done[-1])
    if as_json:
        _print_json(done)
    sys.exit(max(_status(one) for one in done))


@main.command()
@JOB
@PART
@OUT
@ONLY
@click.option(
    "--workers",
    type=click.IntRange(min=1),
    default=None,
    help="How many parts to build at once. Left out: one a core.",
)
@JSON
def build(
    job: Path,
    names: tuple[str, ...],
    out: Path,
    only: tuple[str, ...],
    workers: int | None,
    as_json: bool,
) -> None:
    """Check a JOB, write its files, and prove them.

    What an earlier build made from the same measurements is left as it is. Once every part of
    the job is built, the papers of the whole job follow, in OUT/JOB/all_parts.
    """
    from parts.batch import build_all

    loaded = _load(job)
    of_parts, of_job = _writers(only)
    named = _names(loaded, names)
    done: list[Done] = []
    with Progress() as progress:
        if of_parts or not of_job:
            parts = build_all(loaded, named, out, of_parts, workers, progress.tell)
        else:
            parts = (outcome.checked(loaded.part(name), out) for name in named)
        for one in parts:
            done.append(one)
            progress.clear()
            _say_done(one, as_json)
        if of_job or not of_parts:
            whole = _whole(loaded, done, out, of_job, progress.tell)
            progress.clear()
            _say_whole(loaded, whole, as_json)
            done += [whole] if whole else []
    if as_json:
        _print_json(done)
    sys.exit(max(_status(one) for one in done))


@main.command()
@JOB
@PART
@OUT
def match(job: Path, names: tuple[str, ...], out: Path) -> None:
    """Say whether the files in OUT are still what the JOB asks for; writes nothing."""
    from parts.matching import mismatches

    loaded = _load(job)
    parts = [loaded.part(name) for name in _names(loaded, names)]
    found = {part.name: mismatches(part, out) for part in parts}
    if len(parts) == len(loaded.names) and not any(part.refused for part in parts):
        found["all parts"] = mismatches(loaded.whole(parts), out)
    for name, wrong in found.items():
        click.echo("\n".join(f"{name}: {why}" for why in wrong) or f"{name}: matches")
    sys.exit(REFUSED if any(found.values()) else DONE)


@main.command()
@JOB
@PART
@click.option(
    "--port", type=int, help="Port of the viewer; without it an open one is found, else started."
)
@click.option("--watch", is_flag=True, help="Draw again whenever the JOB is saved, until Ctrl-C.")
@click.option("--open", "open_page", is_flag=True, help="Open the viewer's page in the browser.")
@click.option("--once", is_flag=True, help="Show in a viewer that is open already, and end.")
@click.option("--bare", is_flag=True, help="The parts alone: no tyre, lid, rail or points.")
def show(
    job: Path,
    names: tuple[str, ...],
    port: int | None,
    watch: bool,
    open_page: bool,
    once: bool,
    bare: bool,
) -> None:
    """Put the parts, at their places on the vehicle, into a 3D viewer.

    A viewer that is open, such as an editor's, is shown in and keeps the picture. Where none is,
    one is started on this machine alone: open the page whose address is printed. It goes on
    until Ctrl-C, which is the usual way to end it: status 0.
    """
    from parts import view

    refused = False

    def draw() -> list[Part]:
        nonlocal refused
        try:
            loaded = _load(job)
            parts = [loaded.part(name) for name in _names(loaded, names)]
        except Unusable as error:
            raise view.Unreadable(str(error)) from error
        except Exception as error:
            if not watch or os.environ.get(outcome.DEBUG) == "1":
                raise
            raise view.Unreadable(outcome.fault(error)) from error  # the picture stays
        refused = any(part.refused for part in parts)
        for part in parts:
            if part.refused:
                click.echo(_verdict(part), err=True)
        return parts

    if watch and once:
        raise Unusable("--once ends after the first picture, --watch does not: choose one of them")
    asked = view.Asked(port, (job,) if watch else (), open_page, once, not bare)
    try:
        stopped = view.show(draw, asked, click.echo, partial(click.echo, err=True))
    except (view.NoViewer, view.Unreadable) as error:
        raise Unusable(str(error)) from error
    sys.exit(REFUSED if refused and not stopped else DONE)


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


def _writers(only: tuple[str, ...]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The writers of parts and those of the whole job that `--only` names."""
    from parts.tables import UnknownName
    from parts.writers import WRITERS
    from parts.writers.whole import WRITERS_OF_JOB

    known = (*WRITERS, *WRITERS_OF_JOB)
    wanted = [word.strip() for words in only for word in words.split(",")]
    if "" in wanted:
        raise Unusable(f"--only: a name is missing; write one or more of {', '.join(known)}")
    for name in wanted:
        if name not in known:
            error = UnknownName("writer", name, "the files tinwright writes", known)
            raise Unusable(f"--only: {error}")
    return (
        tuple(name for name in WRITERS if name in wanted),
        tuple(name for name in WRITERS_OF_JOB if name in wanted),
    )


def _whole(
    loaded: Job, done: Sequence[Done], out: Path, only: tuple[str, ...], tell: outcome.Tell
) -> Done | None:
    """The papers of the whole job; None while a part of it is missing, or is not as it should."""
    parts = [one.part for one in done if one.part and one.status in ("built", "checked")]
    if [part.name for part in parts] != list(loaded.names):
        return None
    home = out / loaded.file.head.name
    return outcome.built_whole(loaded.whole(parts, home), out, only, tell)


def _say_checked(one: Done) -> None:
    """What a check found of a part."""
    if one.part:
        _say(_told(one.part))
    else:
        click.echo("\n".join(one.problems), err=True)


def _say_done(one: Done, as_json: bool) -> None:
    """What became of a part that was to be built."""
    from parts.telling import told_built, told_left, told_unchanged

    if one.status == "unproved":
        click.echo(f"{one.name}: the proof failed, nothing was written:", err=True)
    if one.status in ("unproved", "unwritten", "fault"):
        click.echo("\n".join(one.problems), err=True)
    if as_json:
        return
    if one.part and one.built and one.built.unchanged:
        _say(told_unchanged(one.part, one.built.kept))
    elif one.part and one.built:
        _say(told_built(one.part, one.built))
    elif one.part and one.status == "refused":
        _say(_told(one.part))
    if one.left and one.status != "checked":
        click.echo(f"{one.name}: {told_left(one.left)}", err=one.status != "refused")


def _say_whole(loaded: Job, whole: Done | None, as_json: bool) -> None:
    """What became of the papers of the whole job."""
    from parts.telling import told_whole

    if whole is None:
        if not as_json:
            click.echo("the papers of the whole job wait until all of its parts are built")
        return
    if whole.built and not as_json:
        _say(told_whole(loaded.file.head.name, whole.built))
    elif not whole.built:
        _say_done(whole, as_json)


def _status(done: Done) -> int:
    statuses = {"refused": REFUSED, "unwritten": UNREADABLE, "fault": UNREADABLE}
    return (statuses | {"unproved": UNPROVED}).get(done.status, DONE)


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


def _stop(error: Unusable, as_json: bool) -> None:
    click.echo(str(error), err=True)
    if as_json:
        _print_json((), error.problems)
    sys.exit(UNREADABLE)


if __name__ == "__main__":
    main()
