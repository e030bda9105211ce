"""Links and rigid arms, and how far a pose is from keeping them: mm, with derivatives."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from parts.place import Vector
from parts.trade.axle.pose import Floats, Point
from parts.trade.axle.rigid import FREE, ROLL, TWIST, YAW, Rigid, X, Y, third_bound

LOOSE = 0.01  # mm of play in a link that lets the axle move 100 mm: not located (our own limit)
TWIST_ARM = 150.0  # mm at which a twist counts as much as a shift; half the usual link spread
_HELD = ("fore and aft", "sideways", "up and down")
_CURE = {
    X: ("move fore and aft", "a side link, its chassis and its axle end"),
    Y: ("move sideways", "the lateral bar, both its ends, or what else holds the axle sideways"),
    YAW: ("steer about its middle", "a side link on each side"),
    TWIST: ("twist about its own line", "an upper link as well as the lower ones"),
}


@dataclass(frozen=True, slots=True)
class Link:
    """A link with a joint at each end: side link or lateral bar; both ends at ride.

    >>> Link("bar", (0, -390, 331), (0, 330, 331)).length
    720.0
    """

    name: str
    chassis: Point
    axle: Point

    @property
    def length(self) -> float:
        return float(np.linalg.norm(np.subtract(self.axle, self.chassis)))


@dataclass(frozen=True, slots=True)
class Arm:
    """An arm fixed to the axle, pivoted on the chassis: torque arm or ladder bar.

    `holds` are the directions the pivot holds: "xz" where a lateral bar says what sideways is,
    "xyz" for a joint that is all the location there is, "z" for an arm hung on a shackle.
    """

    name: str
    pivot: Point
    holds: str = "xz"

    def __post_init__(self) -> None:
        if not self.holds or set(self.holds) - set("xyz"):
            raise ValueError(f"{self.name}: holds is {self.holds!r}; write one or more of x, y, z")


@dataclass(frozen=True, slots=True, eq=False)
class Misfit:
    """How far m poses are from keeping k lengths: value (m, k), first (m, k, 6), second
    (m, k, 6, 6)."""

    value: Floats
    first: Floats
    second: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Linkage:
    """All that locates one axle, as arrays. `names` (k,) name the rows."""

    rigid: Rigid
    names: tuple[str, ...]
    chassis: Vector  # (links, 3)
    length: Floats  # (links,)
    local: Vector  # (links, 3), axle ends in the axle's own axes
    pivot: Vector  # (held, 3)
    pivot_local: Vector  # (held, 3)
    axis: tuple[int, ...]  # (held,)

    @staticmethod
    def of(rigid: Rigid, links: tuple[Link, ...], arms: tuple[Arm, ...]) -> Linkage:
        """Raises ValueError for a link of no length or a freedom that nothing holds."""
        for link in links:
            if link.length < 1.0:
                raise ValueError(f"{link.name}: its two ends are one point; measure both")
        held = [(arm, "xyz".index(axis)) for arm in arms for axis in arm.holds]
        pivots = _points([arm.pivot for arm, _ in held])
        linkage = Linkage(
            rigid,
            (*(link.name for link in links), *(f"{arm.name} ({_HELD[i]})" for arm, i in held)),
            _points([link.chassis for link in links]),
            np.array([link.length for link in links]),
            rigid.local(_points([link.axle for link in links])),
            pivots,
            rigid.local(pivots),
            tuple(i for _, i in held),
        )
        linkage._refuse_loose()
        return linkage

    @property
    def determinate(self) -> bool:
        """Whether there are as many lengths to keep as freedoms; more are least squares."""
        return len(self.names) == len(FREE)

    def misfit(self, numbers: Floats) -> Misfit:
        """At m poses (m, 6)."""
        ends = self.rigid.spread(numbers, self.local)
        size, way, value, first = self._stretch(ends.at, ends.first)
        bent = np.swapaxes(ends.first, -1, -2) @ ends.first
        bent -= first[..., :, None] * first[..., None, :]
        curved = way[..., None, :] @ ends.second.reshape(*way.shape, 36)
        second = bent / size[..., None, None] + curved.reshape(bent.shape)
        if not self.axis:
            return Misfit(value, first, second)
        held = self.rigid.spread(numbers, self.pivot_local)
        value, first = self._with_held(value, first, held.at, held.first)
        rows = np.arange(len(self.axis))
        return Misfit(
            value, first, np.concatenate([second, held.second[:, rows, self.axis]], axis=1)
        )

    def errors(self, numbers: Floats) -> tuple[Floats, Floats]:
        """The `value` and `first` of `misfit`, without the work for the rest."""
        _, _, value, first = self._stretch(*self.rigid.rates(numbers, self.local))
        if not self.axis:
            return value, first
        return self._with_held(value, first, *self.rigid.rates(numbers, self.pivot_local))

    def _stretch(self, at: Floats, rates: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Size and direction of the links, by how much they are too long, and its derivatives."""
        off = at - self.chassis
        size = np.sqrt((off * off).sum(axis=-1))
        way = off / size[..., None]
        return size, way, size - self.length, (way[..., None, :] @ rates)[..., 0, :]

    def _with_held(
        self, value: Floats, first: Floats, at: Floats, rates: Floats
    ) -> tuple[Floats, Floats]:
        """The links' rows followed by those of the pivots."""
        rows = np.arange(len(self.axis))
        return (
            np.concatenate([value, (at - self.pivot)[:, rows, self.axis]], axis=1),
            np.concatenate([first, rates[:, rows, self.axis]], axis=1),
        )

    def third_bound(self, numbers: Floats, radius: Floats) -> Floats:
        """Bound (k, 6, 6, 6) on the third derivatives within `radius` (6,) of a pose (6,).

        From |D³|r| [a, b, c]| ≤ 3 |a| |b| |c| / |r|², |D²|r| [a, b]| ≤ |a| |b| / |r| and the
        chain rule. Infinite where a link could shrink to nothing.
        """
        thirds = third_bound(self.local)
        most = np.linalg.norm(self.local, axis=1)[:, None].repeat(6, axis=1)
        most[:, :3] = 1.0
        most[:, TWIST] = np.hypot(self.local[:, 0], self.local[:, 2])
        seconds = np.zeros((len(most), 6, 6))
        seconds[:, 3:, 3:] = most[:, ROLL, None, None]
        seconds[:, TWIST, 3:] = seconds[:, 3:, TWIST] = most[:, TWIST, None]
        at = self.rigid.rates(numbers[None], self.local)[0][0]
        least = np.linalg.norm(at - self.chassis, axis=1) - most @ radius
        size = np.where(least > 0, least, np.nan)[:, None, None, None]
        pair = np.einsum("kab,kc->kabc", seconds, most)
        pair += np.einsum("kac,kb->kabc", seconds, most) + np.einsum("kbc,ka->kabc", seconds, most)
        triple = 3 * np.einsum("ka,kb,kc->kabc", most, most, most)
        links = np.nan_to_num(triple / size**2 + pair / size + thirds, nan=np.inf)
        return np.concatenate([links, third_bound(self.pivot_local)])

    def binding(self, numbers: Floats) -> str:
        """Name of what stops the axle near a pose (6,) that cannot be passed."""
        value, first = (found[0] for found in self.errors(numbers[None]))
        if np.abs(value).max() > 1e-6:
            return self.names[int(np.abs(value).argmax())]
        left, _, _ = np.linalg.svd(first[:, FREE] / self._scale())
        return self.names[int(np.abs(left[:, len(FREE) - 1]).argmax())]

    def _scale(self) -> Floats:
        return np.array([1.0, 1.0, self.rigid.half, TWIST_ARM])

    def _refuse_loose(self) -> None:
        first = self.errors(self.rigid.ride[None])[1][0][:, FREE] / self._scale()
        _, size, ways = np.linalg.svd(np.vstack([first, np.zeros((len(FREE), len(FREE)))]))
        loose = [FREE[int(np.abs(way).argmax())] for way in ways[size < LOOSE]]
        if loose:
            free = " and ".join(_CURE[i][0] for i in sorted(set(loose)))
            cure = "; ".join(_CURE[i][1] for i in sorted(set(loose)))
            raise ValueError(f"the axle is free to {free}; measure {cure}")


def _points(points: list[Point]) -> Vector:
    return np.array(points, dtype=float).reshape(-1, 3)
