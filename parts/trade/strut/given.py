"""What every number given about a lid and its struts must be: a number, and often over zero."""

from __future__ import annotations

from math import isfinite

Point = tuple[float, float]  # rearward and up from the hinge pivot, lid shut, mm


def over_zero(what: str, **values: float) -> None:
    """Raise ValueError for the first value that is not a number over zero.

    >>> over_zero("lid", mass_kg=-3)
    Traceback (most recent call last):
    ValueError: lid: mass kg is -3; needs a number over 0
    """
    for name, value in values.items():
        if not (isfinite(value) and value > 0):
            raise ValueError(f"{what}: {_worded(name)} is {value:g}; needs a number over 0")


def not_below_zero(what: str, **values: float) -> None:
    """Raise ValueError for the first value that is not a number of 0 or more."""
    for name, value in values.items():
        if not (isfinite(value) and value >= 0):
            raise ValueError(f"{what}: {_worded(name)} is {value:g}; needs a number of 0 or more")


def a_point(what: str, point: Point) -> None:
    """Raise ValueError unless both coordinates are numbers."""
    if len(point) != 2 or not all(isfinite(c) for c in point):
        raise ValueError(
            f"{what} is {point}; needs two numbers, mm rearward and mm up from the pivot"
        )


def _worded(name: str) -> str:
    return name.replace("_", " ")
