"""Where the mounts of a strut may be: rectangles, and the points tried in them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parts.trade.strut.given import Point, a_point

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle from `low` to `high` corner, lid shut, seen from the pivot; `steps` each way.

    A corner equal to the other makes a line or a single point, tried once.

    >>> Area((0, 0), (100, 50), (3, 2)).points().tolist()
    [[0.0, 0.0], [0.0, 50.0], [50.0, 0.0], [50.0, 50.0], [100.0, 0.0], [100.0, 50.0]]
    """

    low: Point
    high: Point
    steps: tuple[int, int] = (6, 6)

    def __post_init__(self) -> None:
        a_point("low corner of the area", self.low)
        a_point("high corner of the area", self.high)
        if not (self.low[0] <= self.high[0] and self.low[1] <= self.high[1]):
            raise ValueError(
                f"area from {self.low} to {self.high}; needs the rear upper corner last"
            )
        if not all(n >= 1 for n in self.steps):
            raise ValueError(f"area in {self.steps} steps; needs at least one each way")

    @property
    def count(self) -> int:
        """How many points are tried."""
        return len(self._along(0)) * len(self._along(1))

    def points(self) -> Floats:
        """The points tried, (n, 2)."""
        grid = np.meshgrid(self._along(0), self._along(1), indexing="ij")
        return np.stack(grid, axis=-1).reshape(-1, 2)

    def _along(self, axis: int) -> Floats:
        low, high, steps = self.low[axis], self.high[axis], self.steps[axis]
        if low == high:
            return np.array([low], dtype=float)
        return np.linspace(low, high, steps) if steps > 1 else np.array([(low + high) / 2])


def pairs(lid: Area, body: Area) -> tuple[Floats, Floats]:
    """Every point of one with every point of the other: mounts (n, 2) on lid and body."""
    on_lid, on_body = lid.points(), body.points()
    return (
        np.repeat(on_lid, len(on_body), axis=0),
        np.tile(on_body, (len(on_lid), 1)),
    )
