"""What a job file gives for a part and its axle, key by key, for the record on paper."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypeGuard

from parts.job import JobFile

SAID_ELSEWHERE = ("kind", "note", "stock", "hand")


def as_given(job: JobFile, name: str) -> tuple[tuple[str, str], ...]:
    """Every key that was written, lengths in mm, with ± and tool where there are any; keys within
    a table after its name."""
    part = job.parts[name].model_dump(exclude_unset=True)
    rows = [row for row in told(part) if row[0] not in SAID_ELSEWHERE]
    axle = part.get("axle")
    if isinstance(axle, str) and axle in job.axles:
        rows += told(job.axles[axle].model_dump(exclude_unset=True), f"axle {axle}: ")
    return tuple(rows)


def told(keys: Mapping[str, object], before: str = "") -> Iterator[tuple[str, str]]:
    """Keys and values of a table in words.

    >>> lid = {"depth": 760.0, "fold": {"value": 10.0, "plus_minus": 0.5, "tool": "rule"}}
    >>> list(told({"lid": lid, "pivot": (-72.0, -18.0)}))
    [('lid, depth', '760'), ('lid, fold', '10 ± 0.5, by rule'), ('pivot', '(-72, -18)')]
    """
    for key, value in keys.items():
        name = before + key.replace("_", " ")
        if isinstance(value, Mapping) and not _is_reading(value):
            yield from told(value, f"{name}, ")
        elif _is_rows(value):
            for number, row in enumerate(value, 1):
                yield from told(row, f"{name} {number}, ")
        elif value is not None:
            yield name, _words(value)


def _is_rows(value: object) -> TypeGuard[tuple[Mapping[str, object], ...]]:
    return isinstance(value, tuple) and bool(value) and all(isinstance(v, Mapping) for v in value)


def _is_reading(value: Mapping[str, object]) -> bool:
    return set(value) == {"value", "plus_minus", "tool"}


def _words(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{round(value, 4):g}"
    if isinstance(value, tuple | list):
        inner = ", ".join(map(_words, value))
        return inner if any(isinstance(one, str | tuple) for one in value) else f"({inner})"
    if isinstance(value, Mapping):
        words = _words(value["value"])
        if value["plus_minus"] is not None:
            words += f" ± {_words(value['plus_minus'])}"
        return words + (f", by {str(value['tool']).replace('_', ' ')}" if value["tool"] else "")
    return str(value)
