"""What a job file says of how blanks are laid on sheets; plain data, read without the metal."""

from __future__ import annotations

from dataclasses import dataclass

Size = tuple[float, float]  # of a sheet: along the grain, across it


@dataclass(frozen=True, slots=True)
class Given:
    """What the job file says of nesting; None or () where it says nothing.

    `shop_sheets` are sizes that the shop can get, `cutter_sheets` those of the cutter it sends to.
    `least_gap` is the least metal that the cutter leaves between two cuts. `seconds` is the time
    for each sheet that is laid by true shape.
    """

    gap: float | None = None
    margin: float | None = None
    true_shape: bool = False
    seconds: int = 5
    shop_sheets: tuple[Size, ...] = ()
    cutter_sheets: tuple[Size, ...] = ()
    least_gap: float | None = None
