"""First positions, by closed forms and not by luck.

Points are placed one after the other, each from the three tightest of its spheres (distances to
points already placed) and planes (measured coordinates). Two of the three leave a line, the line
meets the third in two places: both are kept, as branches. Where fewer than three are at hand the
place is sampled round the circle or ball that is left, and later points close the figure.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from parts.trade.tape.network import SIDES, Fit, Floats, Mask, Network, settle_all

CRITICAL = 3.29  # normal deviate passed by 1 good reading in 1000, either way
BRANCHES = 24
SAMPLED_BRANCHES = 96
ROUND = 24  # samples round a circle
SMALL = 12  # points; up to here every branch is settled, beyond only the best few
SETTLED = 1e-6  # mm; a step shorter than this changes nothing in what follows
NEAREST = 1e-3  # places nearer than this are not told apart by what is measured from them
SAME = 0.01  # places nearer than this are one


@dataclass(frozen=True, slots=True)
class _Hold:
    """What holds a point: a sphere about point `of`, or (of = -1) a plane across `axis`."""

    of: int
    axis: int
    value: float
    sigma: float


def explore(
    net: Network, use: Mask, seeds: tuple[Floats, ...] = (), turns: int = 200
) -> tuple[Fit, ...]:
    """All distinct least squares positions found from all branches (or `seeds`), best first."""
    small = len(net.names) <= SMALL
    branches = np.array(seeds) if seeds else _branches(net, use)
    fits: list[Fit] = []
    for fit in settle_all(net, branches[: SAMPLED_BRANCHES if small else 6], use, turns):
        if not any(np.abs(fit.at - other.at).max() < SAME for other in fits):
            fits.append(fit)
    return tuple(sorted(fits, key=lambda fit: fit.chi_square))


def _branches(net: Network, use: Mask) -> Floats:
    """Positions (branches, n, 3), the best fitting first."""
    holds = _holds(net, use)
    at = np.zeros((1, len(net.names), 3))
    cost = np.zeros(1)
    placed: set[int] = set()
    room = BRANCHES
    while len(placed) < len(net.names):
        free = [p for p in range(len(net.names)) if p not in placed]
        ready = {p: [h for h in holds[p] if h.of < 0 or h.of in placed] for p in free}
        point = max(free, key=lambda p: (_planes(ready[p]) == 3, len(ready[p])))
        mine = sorted(ready[point], key=lambda hold: hold.sigma)
        found, sampled = _candidates(at, mine, sorted(placed))
        if sampled:
            room = SAMPLED_BRANCHES
        at, cost = _grow(at, cost, point, found, mine, None if sampled else net.sides[point])
        keep = np.argsort(cost, kind="stable")[:room]
        at, cost = at[keep], cost[keep]
        placed.add(point)
    return at


def _holds(net: Network, use: Mask) -> list[list[_Hold]]:
    holds: list[list[_Hold]] = [[] for _ in net.names]
    count = len(net.start)
    for i in np.flatnonzero(use):
        value, sigma = float(net.value[i]), float(net.sigma[i])
        if i < count:
            a, b = int(net.start[i]), int(net.end[i])
            holds[a].append(_Hold(b, -1, value, sigma))
            holds[b].append(_Hold(a, -1, value, sigma))
        else:
            holds[net.owner[i - count]].append(_Hold(-1, int(net.axis[i - count]), value, sigma))
    return holds


def _planes(holds: list[_Hold]) -> int:
    return len({hold.axis for hold in holds if hold.of < 0})


def _candidates(at: Floats, holds: list[_Hold], placed: list[int]) -> tuple[Floats, bool]:
    """Places for one point, (branches, places, 3), and whether they are only samples."""
    flat = {hold.axis: hold.value for hold in reversed(holds) if hold.of < 0}
    middle = at[:, placed].mean(axis=1) if placed else np.zeros((len(at), 3))
    for axis, value in flat.items():
        middle[:, axis] = value
    if len(flat) == 3:
        return middle[:, None], False
    spheres = [hold for hold in holds if hold.of >= 0]
    if not spheres:  # anywhere, but off every plane and line of the others
        middle += [0.0 if axis in flat else 100.0 * (axis + 2) for axis in range(3)]
        return middle[:, None], False
    planes = [_Hold(-1, axis, value, 0.0) for axis, value in flat.items()]
    found = [
        place
        for first in spheres[:1] + spheres[3:4]
        for one, two in combinations((planes + [s for s in spheres if s is not first])[:4], 2)
        if (place := _two_places(at, first, one, two)) is not None
    ]
    if found:
        return np.concatenate(found, axis=1), False
    return _samples(at, spheres[0], planes + spheres[1:]), True


def _as_plane(at: Floats, first: _Hold, other: _Hold) -> tuple[Floats, Floats]:
    """Unit normal (b, 3) and offset (b,): the plane itself, or the one in which two balls meet.

    Balls about one place meet in none: then the normal is shorter.
    """
    normal = np.zeros((len(at), 3))
    if other.of < 0:
        normal[:, other.axis] = 1
        return normal, np.full(len(at), other.value)
    near, far = at[:, first.of], at[:, other.of]
    normal = far - near
    reach = np.maximum(np.linalg.norm(normal, axis=1), NEAREST)
    normal /= reach[:, None]
    along = (first.value**2 - other.value**2 + reach**2) / (2 * reach)
    return normal, _dot(normal, near) + along


def _dot(a: Floats, b: Floats) -> Floats:
    product: Floats = np.einsum("...i,...i->...", a, b)
    return product


def _two_places(at: Floats, ball: _Hold, one: _Hold, two: _Hold) -> Floats | None:
    """Where a ball meets the line that two others leave: (b, 2, 3); None if they leave no line.

    Balls that just miss are brought together and the two places kept a little apart, so that a
    reading error cannot hide that there are two.
    """
    (n1, c1), (n2, c2) = _as_plane(at, ball, one), _as_plane(at, ball, two)
    line = np.cross(n1, n2)
    lean = np.linalg.norm(line, axis=1)
    if lean.min() < 1e-3:
        return None
    line /= lean[:, None]
    centre = at[:, ball.of]
    off1, off2, cosine = c1 - _dot(n1, centre), c2 - _dot(n2, centre), _dot(n1, n2)
    share = 1 / lean**2
    foot = ((off1 - cosine * off2) * share)[:, None] * n1
    foot += ((off2 - cosine * off1) * share)[:, None] * n2
    half = np.sqrt(np.maximum(ball.value**2 - _dot(foot, foot), 2 * ball.value * ball.sigma))
    across = half[:, None] * line
    return np.stack([centre + foot + across, centre + foot - across], axis=1)


def _samples(at: Floats, ball: _Hold, others: list[_Hold]) -> Floats:
    """Places round the circle of a ball and one more hold, or all over the ball; (b, k, 3)."""
    centre = at[:, ball.of]
    if not others:
        grid = np.array([v for v in np.ndindex(3, 3, 3) if v != (1, 1, 1)]) - 1.0
        grid /= np.linalg.norm(grid, axis=1)[:, None]
        around: Floats = centre[:, None] + ball.value * grid
        return around
    normal, offset = _as_plane(at, ball, others[0])
    height = offset - _dot(normal, centre)
    none = np.linalg.norm(normal, axis=1) < 0.5
    normal[none], height[none] = (0.0, 0.0, 1.0), 0.0
    aside = np.eye(3)[np.abs(normal).argmin(axis=1)]
    u = np.cross(normal, aside)
    u /= np.linalg.norm(u, axis=1)[:, None]
    v = np.cross(normal, u)
    turn = (np.arange(ROUND) + 0.3) * (2 * np.pi / ROUND)
    radius = np.sqrt(np.maximum(ball.value**2 - height**2, 2 * ball.value * ball.sigma))
    ring = np.cos(turn)[:, None] * u[:, None] + np.sin(turn)[:, None] * v[:, None]
    places: Floats = (centre + height[:, None] * normal)[:, None] + radius[:, None, None] * ring
    return places


def _grow(
    at: Floats, cost: Floats, point: int, places: Floats, holds: list[_Hold], side: str | None
) -> tuple[Floats, Floats]:
    """One branch for each distinct polished place; being on the wrong side costs a little."""
    count = places.shape[1]
    spheres = [hold for hold in holds if hold.of >= 0]
    centres = np.repeat(at[:, [hold.of for hold in spheres]], count, axis=0)
    polished, misfit = _polish(places.reshape(-1, 3), centres, spheres, holds)
    polished, misfit = polished.reshape(-1, count, 3), misfit.reshape(-1, count)
    grown, costs = [], []
    for branch, (where, worth) in enumerate(zip(polished, misfit, strict=True)):
        chosen = _distinct(where, worth)
        extra = worth[chosen] + cost[branch]
        if side is not None:
            axis, sign = next(v for k, v in SIDES.items() if k == side)
            height = sign * where[chosen, axis]
            extra = extra + CRITICAL**2 * (height < height.max() - SAME)
        copies = np.repeat(at[branch][None], len(chosen), axis=0)
        copies[:, point] = where[chosen]
        grown.append(copies)
        costs.append(extra)
    return np.concatenate(grown), np.concatenate(costs)


def _distinct(where: Floats, worth: Floats) -> NDArray[np.intp]:
    """Indices of places more than 0.5 mm apart, best first."""
    left = np.argsort(worth, kind="stable")
    chosen: list[int] = []
    while len(left) and len(chosen) < ROUND:
        chosen.append(int(left[0]))
        left = left[np.abs(where[left] - where[left[0]]).max(axis=1) > 0.5]
    return np.array(chosen, dtype=np.intp)


def _polish(
    x: Floats, centres: Floats, spheres: list[_Hold], holds: list[_Hold]
) -> tuple[Floats, Floats]:
    """A few damped Gauss-Newton steps on one point alone, all branches at once."""
    planes = [hold for hold in holds if hold.of < 0]
    axes = [hold.axis for hold in planes]
    reading = np.array([hold.value for hold in spheres + planes])
    sigma = np.array([hold.sigma for hold in spheres + planes])
    flat = np.broadcast_to(np.eye(3)[axes], (len(x), len(axes), 3))

    def misfit(at: Floats) -> tuple[Floats, Floats]:
        span = at[:, None] - centres
        length = np.maximum(np.linalg.norm(span, axis=2), 1e-9)
        rows = np.concatenate([span / length[..., None], flat], axis=1) / sigma[:, None]
        return rows, (np.concatenate([length, at[:, axes]], axis=1) - reading) / sigma

    stride = 0.3 * min((hold.value for hold in spheres), default=1.0)
    best, least = x, np.full(len(x), np.inf)
    for _ in range(6):
        rows, wrong = misfit(x)
        worth = _dot(wrong, wrong)
        better = worth < least
        best, least = np.where(better[:, None], x, best), np.where(better, worth, least)
        normal = np.einsum("nki,nkj->nij", rows, rows)
        normal += np.eye(3) * (1e-6 * np.einsum("nii->n", normal) + 1e-12)[:, None, None]
        step = -np.linalg.solve(normal, np.einsum("nki,nk->ni", rows, wrong)[..., None])[..., 0]
        long = np.linalg.norm(step, axis=1)
        x = x + step * np.minimum(1, stride / np.maximum(long, 1e-12))[:, None]
        if long.max() < SETTLED:
            break
    return best, least
