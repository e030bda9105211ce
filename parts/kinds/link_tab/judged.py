"""What is wrong between the keys of a link tab, as they are written."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from parts.kinds.link_tab.measured import as_length
from parts.kinds.problems import FieldProblem
from parts.kinds.sides import sides_measured

STANDS_ON = ("tube", "plate", "foot")


def judged(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    """Every problem between keys, each at the key it is told at."""
    yield from sides_measured(keys)
    yield from _stands_on_one(keys)
    yield from _bolt_of_its_class(keys)
    yield from _loaded(keys)
    edge, hole = as_length(keys.get("edge")), as_length(keys.get("hole"))
    if edge is not None and hole is not None and edge <= hole / 2:
        yield FieldProblem(
            ("edge",), f"is {edge:g} mm round a hole of {hole:g} mm",
            f"measure from the hole's centre: over {hole / 2:g}",
        )  # fmt: skip
    if keys.get("shear") == "single" and keys.get("strap") is not None:
        yield FieldProblem(
            ("strap",), "needs two tabs to close", "leave it out in single shear"
        )
    if keys.get("shear") == "single" and keys.get("gap") is not None:
        yield FieldProblem(("gap",), "lies between two tabs", "leave it out in single shear")


def _stands_on_one(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    given = [key for key in STANDS_ON if keys.get(key) is not None]
    if not given:
        yield FieldProblem(
            (), "does not say what it stands on", "add the table `tube`, `plate` or `foot`"
        )
    for key in given[1:]:
        yield FieldProblem((key,), f"is given beside {given[0]}", "keep one of them")
    for side in ("right", "left"):
        written = keys.get(side)
        if not isinstance(written, Mapping):
            continue
        if "tube" in given:
            if written.get("axis") is None and keys.get("axle") is None:
                yield FieldProblem(
                    (side,), "does not say where the tube runs",
                    "give two points as `axis`, or the `axle` whose tube it is",
                )  # fmt: skip
        elif given and written.get("face") is None:
            yield FieldProblem(
                (side,), "does not say where the face lies", f"add the table `{side}.face`"
            )
        if given and "tube" not in given and written.get("from_axis") is not None:
            yield FieldProblem(
                (side, "from_axis"), "there is no tube to measure from", "give `hole` instead"
            )


def _loaded(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    links = [
        side for side in ("right", "left")
        if isinstance(keys.get(side), Mapping) and keys[side].get("link") is not None
    ]  # fmt: skip
    if links and keys.get("axle") is None:
        yield FieldProblem(
            (links[0], "link"), "belongs to no axle", 'name the axle, such as axle = "rear"'
        )
    for side in ("right", "left"):
        if isinstance(keys.get(side), Mapping) and side not in links and keys.get("force") is None:
            yield FieldProblem(
                ("force",), f"is missing, and the {side} side names no link to work it out from",
                "write the force in the link, N, or name its `link`",
            )  # fmt: skip


def _bolt_of_its_class(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    """Inch bolts come in grades, metric ones in classes such as 8.8."""
    name = str(keys.get("bolt", "M16"))
    grade = "grade" in str(keys.get("bolt_class", "")).lower()
    inch = re.match(r"\s*\d+\s*/\s*\d+|.*UN[CF]", name, re.IGNORECASE) is not None
    if inch and not grade:
        yield FieldProblem(
            ("bolt",), "is an inch bolt, but the strength class is metric",
            'write the grade of the bolt, such as bolt_class = "grade 8"',
        )  # fmt: skip
    elif grade and not inch:
        yield FieldProblem(
            ("bolt_class",), f"is an inch grade, but {name} is a metric bolt",
            'write the class of the bolt, such as bolt_class = "10.9"',
        )  # fmt: skip
