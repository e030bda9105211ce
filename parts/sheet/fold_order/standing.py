"""The metal as it hangs on a bend that is being made: what was bent before stands up from it.

Seen along the bend, with the inside of the bend up: x runs away from the middle of the bend on
either side, z up from the inner face of the flat beside it, y along the bend.

            z ^      |  a flange bent before
              |      |
        ------+------'  the flat that hangs on the bend, before the stroke
              0 -> x
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import ceil, cos, degrees

import numpy as np

from parts.place import HERE, Place
from parts.sheet.bend_side import Span
from parts.sheet.bent import rolled_all
from parts.sheet.blank import Bend
from parts.sheet.fold_order.convex import Array, Outline, cut, hull
from parts.sheet.fold_order.metal import Hanging, Metal
from parts.sheet.fold_order.stroke import Stroke
from parts.sheet.profile import same_way

SLICE_DEG = 10.0  # a bend is taken as slices of at most so much turn
SHORTEST = 15.0  # mm of punch over its horns
HAIR = 1e-4  # mm; metal that reaches no deeper past the end of a tool stands beside it


@dataclass(frozen=True, eq=False)
class Standing:
    """One region before a stroke, seen along the bend.

    `around` is an outline round all of it, `along` the stretch along the bend that it takes up,
    `nearest` how near it comes to the upright over the bend, `spans` where there is metal to bend.
    `first_turn_deg` is the turn of the bend nearest the
    stroke that was made before, + for one to the same side; None where that runs another way, or
    where there is none.
    """

    metal: Metal
    seen: Seen
    spans: tuple[Span, ...]
    around: Outline
    along: Span
    nearest: float
    first_turn_deg: float | None
    _beside: dict[float, tuple[Outline, ...]] = field(default_factory=dict)

    def reached(self, short: float) -> tuple[Span, ...]:
        """The stretches of a tool that ends so far short of the metal to bend, at both ends; a
        body of SHORTEST is left where there is room for one."""
        ends = [(span, min(short, max(0.0, (span[1] - span[0] - SHORTEST) / 2)))
                for span in self.spans]  # fmt: skip
        return tuple((low + by + HAIR, high - by - HAIR) for (low, high), by in ends)

    def beside(self, short: float) -> tuple[Outline, ...]:
        """Convex outlines of what lies within the length of such a tool."""
        if short not in self._beside:
            self._beside[short] = _outlines(
                points for ring in self._rings for low, high in self.reached(short)
                for points in _within(ring, low, high)
            )  # fmt: skip
        return self._beside[short]

    @cached_property
    def anywhere(self) -> tuple[Outline, ...]:
        """Convex outlines of all of it."""
        return _outlines(ring.reshape(-1, 3)[:, [0, 2]] for ring in self._rings)

    @cached_property
    def _rings(self) -> list[Array]:
        """Both skins (2, n, 3) of every convex piece."""
        seen = self.seen
        return [seen.of(skins) for skins in _skins(self.metal, seen.region, seen.bent)]


@dataclass(frozen=True, eq=False)
class Seen:
    """How a region is seen along a bend, `first`, from one side: its place first, then the view.

    `bent` tells that it is a bend, and made.
    """

    region: int
    bent: bool
    first: Bend
    thickness: float
    side: int
    place: Place

    def of(self, skins: Sequence[Array]) -> Array:
        """Skins of n points (n, 3) each as x away from the middle of the bend, y along it, z up."""
        points = np.stack([self.place.apply(skin) for skin in skins])
        flat = points[:, :, :2] - np.array(self.first.start)
        x = self.side * (flat @ np.array(self.first.across) - self.first.allowance / 2)
        z = points[:, :, 2] - self.thickness if self.first.up else -points[:, :, 2]
        return np.stack([x, flat @ np.array(self.first.along), z], axis=2)


def standing(
    metal: Metal, stroke: Stroke, spans: tuple[Span, ...], one: Hanging, made: int
) -> Standing:
    """A region as it stands before a stroke, the bends `made` (bits) behind it."""
    blank, first = metal.folded.blank, stroke.bend
    place = HERE
    for number, leaves in one.crossed:
        if made >> number & 1:
            move = metal.moves[number]
            place = place.then(move if leaves else move.inverse())
    own = metal.folded.regions[one.region].bend
    bent = own is not None and bool(made >> own & 1)
    seen = Seen(one.region, bent, first, blank.thickness, one.side, place)
    points = seen.of(_rough(metal, one.region, bent)).reshape(-1, 3)
    around = hull(points[:, [0, 2]])
    assert around is not None
    along = (float(points[:, 1].min()), float(points[:, 1].max()))
    return Standing(
        metal, seen, spans, around, along, stroke.nearest(around),
        _first_turn(blank.bends, first, one, made),
    )  # fmt: skip


def _outlines(groups: Iterable[Array]) -> tuple[Outline, ...]:
    return tuple(outline for outline in map(hull, groups) if outline is not None)


def _first_turn(bends: tuple[Bend, ...], first: Bend, one: Hanging, made: int) -> float | None:
    for number, _ in one.crossed:
        if made >> number & 1:
            if not same_way(bends[number], first):
                return None
            return abs(bends[number].turn_deg) * (1 if bends[number].up == first.up else -1)
    return None


def _rough(metal: Metal, number: int, bent: bool) -> tuple[Array, Array]:
    """Points (n, 3) on both skins that go round all of a region."""
    flat = np.vstack(metal.pieces[number])
    bend = metal.folded.bend_of(metal.folded.regions[number])
    if bend is None or not bent:
        return _flat_skins(flat, metal.folded.blank.thickness)
    beside = (flat - np.array(bend.start)) @ np.array(bend.along)
    ahead = np.linspace(0.0, bend.allowance, _count(bend) + 1)
    rows = [
        np.array(bend.start) + np.outer(ahead, bend.across) + low * np.array(bend.along)
        for low in (beside.min(), beside.max())
    ]
    return _bent_skins(bend, metal.folded.blank.thickness, np.vstack(rows))


def _skins(metal: Metal, number: int, bent: bool) -> Iterator[tuple[Array, Array]]:
    """Both skins of every convex piece of a region, in its own flat axes, (n, 3) each."""
    t = metal.folded.blank.thickness
    bend = metal.folded.bend_of(metal.folded.regions[number])
    for flat in metal.pieces[number]:
        if bend is None or not bent:
            yield _flat_skins(flat, t)
        else:
            yield from (_bent_skins(bend, t, part) for part in _slices(bend, flat))


def _flat_skins(flat: Array, thickness: float) -> tuple[Array, Array]:
    return (
        np.column_stack([flat, np.zeros(len(flat))]),
        np.column_stack([flat, np.full(len(flat), thickness)]),
    )


def _bent_skins(bend: Bend, thickness: float, flat: Array) -> tuple[Array, Array]:
    """Skins that chords between slices stay outside of: the outer one is drawn further out."""
    outer = (bend.radius + thickness) * (1 / cos(bend.turn_rad / _count(bend) / 2) - 1)
    back, drawn = (-outer, thickness) if bend.up else (0.0, thickness + outer)
    return rolled_all(bend, thickness, flat, back), rolled_all(bend, thickness, flat, drawn)


def _count(bend: Bend) -> int:
    return ceil(degrees(bend.turn_rad) / SLICE_DEG)


def _slices(bend: Bend, flat: Array) -> Iterator[Array]:
    """A piece of a bend cut along it, so that every slice is nearly flat once bent."""
    across = np.array(bend.across)
    start = float(np.dot(bend.start, across))
    count = _count(bend)
    for k in range(count):
        low = start + bend.allowance * k / count
        high = start + bend.allowance * (k + 1) / count
        part = cut(cut(flat, across, high), -across, -low)
        if len(part) > 2:
            yield part


def _within(ring: Array, low: float, high: float) -> Iterator[Array]:
    """Corners (n, 2), x and z, of what lies between two planes across the bend, if anything."""
    points = ring.reshape(-1, 3)
    if points[:, 1].max() <= low or points[:, 1].min() >= high:
        return
    if points[:, 1].min() >= low and points[:, 1].max() <= high:
        yield points[:, [0, 2]]
        return
    count = ring.shape[1]
    i = np.arange(count)
    after = np.roll(i, -1)
    ends = np.vstack([
        np.column_stack([i, after]), np.column_stack([i, after]) + count,
        np.column_stack([i, i + count]),
    ])  # fmt: skip
    a, b = points[ends[:, 0]], points[ends[:, 1]]
    kept = [points[(points[:, 1] >= low) & (points[:, 1] <= high)]]
    for plane in (low, high):
        over = (a[:, 1] - plane) * (b[:, 1] - plane) < 0
        share = (plane - a[over, 1]) / (b[over, 1] - a[over, 1])
        kept.append(a[over] + share[:, None] * (b[over] - a[over]))
    found = np.vstack(kept)
    if len(found) > 1:
        yield found[:, [0, 2]]
