"""The starter jobs of the real kinds: whatever is taken into use in them makes sense."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from parts.job import JobError, Problem, read_job
from parts.job.solving import spots_of
from parts.job.starter import starter

KINDS = ("bumper_mount", "link_tab", "wheel_tub")
HEADER = re.compile(r"#?\[+([\w.]+)\]+$")
KEY = re.compile(r"#(\w+) = ")
# keys of which one goes instead of another, as their descriptions say
INSTEAD = {
    "k": "allowance_90", "allowance_90": "k", "back_space": "offset",
    "point": "corners", "corners": "point", "link": "hole", "from_axis": "hole",
}  # fmt: skip


POINTED = (
    "face", "keep_clear", "body_side] points", "links", "arms", "swing", "kingpins", "axis",
    "springs", "bump_stops",
)  # fmt: skip


def sections(text: str) -> Iterator[tuple[int, int]]:
    """First line and end of every section."""
    lines = text.splitlines()
    starts = [i for i, line in enumerate(lines) if HEADER.match(line)]
    yield from zip(starts, [*starts[1:], len(lines)], strict=True)


def in_use_one_at_a_time(kind: str) -> Iterator[tuple[str, str]]:
    """The starter with one key taken into use; a section that is not in use, with all its keys."""
    text = starter(kind)
    lines = text.splitlines()
    for start, end in sections(text):
        header = lines[start]
        keys = {KEY.match(lines[i])[1]: i for i in range(start + 1, end) if KEY.match(lines[i])}
        if not header.startswith("#"):
            for key, i in keys.items():
                used = [*lines[:i], lines[i][1:], *lines[i + 1 :]]
                for n in range(start + 1, end):
                    if lines[n].startswith(f"{INSTEAD.get(key)} = "):
                        used[n] = f"#{lines[n]}"
                yield f"{header} {key}", "\n".join(used)
        elif header.count(".") < 2 or ".right" in header:
            for left_out in [key for key in keys if INSTEAD.get(key) in keys] or (None,):
                used = list(lines)
                for key, i in {"": start, **keys}.items():
                    if key != left_out:
                        used[i] = lines[i][1:]
                if "test_strip" not in header:
                    yield f"{header} without {left_out}", "\n".join(used)


def problems(job: Path) -> tuple[Problem, ...]:
    try:
        spots_of(read_job(job))
    except JobError as error:
        return error.problems
    return ()


CASES = [(kind, *case) for kind in KINDS for case in in_use_one_at_a_time(kind)]


@pytest.mark.parametrize(("kind", "what", "text"), CASES, ids=[f"{c[0]} {c[1]}" for c in CASES])
def test_what_the_starter_shows_behind_a_hash_agrees_with_the_rest(
    tmp_path: Path, kind: str, what: str, text: str
) -> None:
    job = tmp_path / "job.toml"
    job.write_text(text, encoding="utf-8")
    # three points of a face go instead of its angles; points have to be measured first
    pointed = any(word in what for word in POINTED)
    allowed = ("is given as well as three points", "there is no point '")
    told = [p for p in problems(job) if not (pointed and p.message.startswith(allowed))]
    assert told == []


def test_many_keys_are_tried() -> None:
    assert len(CASES) > 80


def test_the_tape_that_the_starter_shows_is_the_distance_of_its_points() -> None:
    # from (947, 580, 452) to (1001, 580, 448): the root of 54² + 4² is 54.148
    assert '#tape = { A2 = "54.1 ± 1" }' in starter("bumper_mount")
