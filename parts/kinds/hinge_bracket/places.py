"""How places of the section are written in a job file, and how they are read for judging.

All places are told from the lid's front edge where it is nearest the hinge: back along the lid,
then up, both off a straight edge laid on the lid; below the lid is negative.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Any

from pydantic import Field

from parts.kinds.fields import Angle, Length
from parts.kinds.hinge_bracket.rounded import too_round
from parts.kinds.problems import FieldProblem
from parts.trade.lengths import LengthError, parse_length, parse_measured

NotNegative = Annotated[Length, Field(ge=0)]
Spot = tuple[Length, Length]
Corner = Annotated[tuple[Length, ...], Field(min_length=2, max_length=3)]
Corners = Annotated[tuple[Corner, ...], Field(min_length=2)]
Line = tuple[Spot, Spot]
Turn = Annotated[Angle, Field(gt=20, lt=150)]
Fence = Annotated[tuple[Spot, ...], Field(min_length=3)]
PLUS_MINUS = 0.7  # of a place, by square off a straight edge; common practice


def as_length(value: object) -> float | None:
    """A length as written, or None where it cannot be read: that is told by its own field."""
    try:
        return parse_length(value)
    except LengthError:
        return None


def as_measured(value: object) -> float | None:
    """The value of a length written with or without its ±, or None where it cannot be read."""
    try:
        return parse_measured(value).value
    except LengthError:
        return None


def as_spot(value: object) -> tuple[float, float] | None:
    """A place as written, or None where it cannot be read."""
    if not isinstance(value, list | tuple) or len(value) not in (2, 3):
        return None
    back, up = as_length(value[0]), as_length(value[1])
    return None if back is None or up is None else (back, up)


def in_keys(keys: object, *names: str) -> object:
    """What stands under these names, one within the other; None where one is not there."""
    for name in names:
        keys = keys.get(name) if isinstance(keys, Mapping) else getattr(keys, name, None)
    return keys


def no_room(loc: tuple[str, ...], corners: object) -> Iterator[FieldProblem]:
    """Said of corners that enclose nothing."""
    if not isinstance(corners, Sequence) or isinstance(corners, str) or len(corners) < 3:
        return
    spots = [spot for spot in map(as_spot, corners) if spot is not None]
    if len(spots) < len(corners):
        return  # told by the corners themselves
    ends = [*spots[1:], spots[0]]
    twice = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(spots, ends, strict=True))
    if abs(twice) < 2:
        yield FieldProblem(loc, "encloses nothing", "give its corners in order, round the space")


def rounded_too_much(points: object, closed: bool) -> Iterator[FieldProblem]:
    """Said of corners written twice, and of radii that find no room beside their corner."""
    if not isinstance(points, list | tuple):
        return
    spots = [as_spot(point) for point in points]
    radii = [as_length(p[2]) if isinstance(p, list | tuple) and len(p) == 3 else 0.0
             for p in points]  # fmt: skip
    read = [spot for spot in spots if spot is not None]
    known = [radius for radius in radii if radius is not None]
    if len(read) < len(points) or len(known) < len(points):
        return
    for number, message, remedy in too_round(read, known, closed):
        yield FieldProblem(("points", number), message, remedy)


def no_line(keys: Mapping[str, Any], *names: str) -> Iterator[FieldProblem]:
    """Said of lines whose two ends are one point."""
    for name in names:
        value = keys.get(name)
        ends = [as_spot(end) for end in value] if isinstance(value, list | tuple) else []
        if len(ends) == 2 and ends[0] is not None and ends[0] == ends[1]:
            yield FieldProblem((name,), "has both ends at one point", "write two points of it")
