"""Sets of surfaces measured together: flat ones all at once, others one by one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector
from parts.trade.sweep.creep import Creep
from parts.trade.sweep.flats import Flats
from parts.trade.sweep.nearest import leading
from parts.trade.sweep.surfaces import Block, Curved, Plate, Surface
from parts.trade.sweep.wheel import Wheel

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]


class Group(Protocol):
    """A `count` b of bodies that are measured together."""

    @property
    def count(self) -> int: ...

    def near(self, wheel: Wheel, centers: Vector, axes: Vector) -> Floats:
        """A clearance (n, b) that no body falls short of, told quickly."""
        ...

    def met(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        which: Rows,
        limit: Floats | None = None,
    ) -> tuple[Floats, Vector]:
        """Least signed distance (m,) from wheels to one body each, and where (m, 3); it need not
        be right where it is not under `limit` (m,)."""
        ...

    def parted(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        which: Rows,
        creep: Creep,
        boxes: Rows,
        wanted: Floats,
        ways: Vector | None = None,
    ) -> Floats:
        """A clearance (m,) to one body each that holds over all that wheels in some `boxes` of a
        creep (m,) may, or -inf where that is not easily told; where it is `wanted` (m,) or more
        it need not be the best. `ways` (m, 3) are directions from the wheel in which to look for
        a plane between the two; without, the body's own.
        """
        ...


@dataclass(frozen=True, eq=False)
class Alone:
    """One surface that is not flat."""

    surface: Curved

    @property
    def count(self) -> int:
        return 1

    def near(self, wheel: Wheel, centers: Vector, axes: Vector) -> Floats:
        return self.surface.nearer_than(wheel, centers, axes)[:, None]

    def met(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        which: Rows,
        limit: Floats | None = None,
    ) -> tuple[Floats, Vector]:
        return self.surface.clearance(wheel, centers, axes, limit)

    def parted(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        which: Rows,
        creep: Creep,
        boxes: Rows,
        wanted: Floats,
        ways: Vector | None = None,
    ) -> Floats:
        return self.surface.parted(wheel, centers, axes, creep, boxes, wanted, ways)


@dataclass(frozen=True, eq=False)
class Together:
    """A number k of sets of surfaces, as few groups of bodies, b in all; `whose` (b,) tells the
    set that each body is of."""

    groups: tuple[Group, ...]
    whose: Rows
    count: int

    @classmethod
    def of(cls, sets: Sequence[Sequence[Surface]]) -> Together:
        """Raises ValueError for a set of no surfaces."""
        if not all(sets):
            raise ValueError("no surfaces to tell the clearance to")
        flat, rest = [], []
        for number, surfaces in enumerate(sets):
            for one in surfaces:
                if isinstance(one, Plate | Block):
                    flat.append((number, one.body))
                else:
                    rest.append((number, Alone(one)))
        groups: list[Group] = [alone for _, alone in rest]
        if flat:
            groups.insert(0, Flats(tuple(body for _, body in flat)))
        whose = np.array([number for number, _ in [*flat, *rest]])
        return cls(tuple(groups), whose, len(sets))

    @property
    def spans(self) -> Iterator[tuple[Group, slice]]:
        """Every group, and which of the b bodies are its own."""
        start = 0
        for group in self.groups:
            yield group, slice(start, start + group.count)
            start += group.count

    @cached_property
    def _of_set(self) -> list[Rows]:
        return [np.flatnonzero(self.whose == number) for number in range(self.count)]

    def near(self, wheel: Wheel, centers: Vector, axes: Vector) -> Floats:
        """A clearance (n, b) that no body falls short of, told quickly."""
        return np.concatenate([group.near(wheel, centers, axes) for group in self.groups], axis=1)

    def clearance(
        self, wheel: Wheel, centers: Vector, axes: Vector, limit: Floats | None = None
    ) -> tuple[Floats, Vector]:
        """Least clearance (n, k) to each set of wheels at centres and axes (n, 3), and where
        (n, k, 3); inf where it is not under `limit` (n, k)."""
        if limit is None:
            limit = np.full((len(centers), self.count), np.inf)
        return self._clearance(wheel, centers, axes, limit, self.near(wheel, centers, axes))

    def _clearance(
        self, wheel: Wheel, centers: Vector, axes: Vector, limit: Floats, near: Floats
    ) -> tuple[Floats, Vector]:
        """The body of each set that seems nearest is measured first, then those that could be
        nearer."""
        gap = limit.copy().ravel()  # of a wheel and a set each
        foot = np.zeros((len(gap), 3))
        rows = np.arange(len(centers))
        first = np.zeros(near.shape, dtype=bool)
        for own in self._of_set:
            first[rows, own[near[:, own].argmin(axis=1)]] = True
        for chosen in (first, ~first):
            hopeful = chosen & (near < gap.reshape(limit.shape)[:, self.whose])
            for group, span in self.spans:
                rows, which = np.nonzero(hopeful[:, span])
                if len(rows):
                    pairs = rows * self.count + self.whose[span][which]
                    found, at = group.met(wheel, centers[rows], axes[rows], which, gap[pairs])
                    lead = leading(found, pairs)
                    lead = lead[found[lead] < gap[pairs[lead]]]
                    gap[pairs[lead]], foot[pairs[lead]] = found[lead], at[lead]
        gap = np.where(gap.reshape(limit.shape) < limit, gap.reshape(limit.shape), np.inf)
        return gap, foot.reshape(*limit.shape, 3)

    def least_of_each(self, wheel: Wheel, centers: Vector, axes: Vector) -> Floats:
        """The least clearance (s, k) to each set of surfaces, in s lists of n poses: centres and
        axes (s, n, 3). What seems nearest of each list is measured first, then what could be
        nearer."""
        lists, n, _ = centers.shape
        c, a = centers.reshape(-1, 3), axes.reshape(-1, 3)
        near = self.near(wheel, c, a)
        seems = np.stack([near[:, own].min(axis=1) for own in self._of_set], axis=1)
        seems = seems.reshape(lists, n, self.count)
        first = np.full(seems.shape, -np.inf)
        np.put_along_axis(first, seems.argmin(axis=1)[:, None], np.inf, axis=1)
        gap, _ = self._some(wheel, c, a, first.reshape(-1, self.count), near)
        gap = gap.reshape(seems.shape).min(axis=1)
        rest = np.where((first == -np.inf) & (seems < gap[:, None]), gap[:, None], -np.inf)
        found, _ = self._some(wheel, c, a, rest.reshape(-1, self.count), near)
        return np.asarray(np.minimum(gap, found.reshape(seems.shape).min(axis=1)))

    def _some(
        self, wheel: Wheel, centers: Vector, axes: Vector, limit: Floats, near: Floats
    ) -> tuple[Floats, Vector]:
        """As `_clearance`, but of those wheels alone that have a limit over -inf."""
        gap, foot = np.full(limit.shape, np.inf), np.zeros((*limit.shape, 3))
        rows = np.flatnonzero((limit > -np.inf).any(axis=1))
        if len(rows):
            gap[rows], foot[rows] = self._clearance(
                wheel, centers[rows], axes[rows], limit[rows], near[rows]
            )
        return gap, foot
