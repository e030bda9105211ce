"""Points that the readings do not fix, what would fix them, and distances that cannot meet."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from parts.trade.tape.mirror import flatness, neighbours
from parts.trade.tape.network import (
    NORMAL_95,
    NOT_AT_ALL,
    Fit,
    Floats,
    Mask,
    Network,
    Quality,
    design,
    settle,
)
from parts.trade.tape.survey import Reason

WAYS = ("fore and aft (x)", "left and right (y)", "up and down (z)")
FREE = 1000.0  # standard deviation, mm, from which a point counts as not fixed
HELPS = 25.0  # a reading is worth proposing when it cuts a variance to a 25th
TOLD = 5  # loose points whose distances are held against one another
SHOWN = 12  # possible positions over which a proposal is weighed


@dataclass(frozen=True, slots=True, eq=False)
class _Ball:
    """A distance as a ball about the point it was measured from."""

    label: str
    point: str
    centre: Floats
    radius: float
    plus_minus: float


def loose_points(net: Network, fit: Fit, found: Quality, use: Mask) -> tuple[int, ...]:
    """Points not fixed: free altogether, or so weakly that straight-line errors no longer hold.

    The second: a point that shifts by s across a distance d lengthens it by s²/2d. Where that is
    more than the ± of the distance for s of one standard deviation, the point lies in (or near)
    the plane of the points it was measured from.
    """
    return _loose(net, fit.at, found.covariance, use)


def _loose(net: Network, at: Floats, covariance: Floats, use: Mask) -> tuple[int, ...]:
    count = len(net.names)
    blocks = covariance.reshape(count, 3, count, 3)
    each = np.arange(count)
    widest = np.linalg.eigvalsh(blocks[each, :, each, :])[:, 2]
    loose = set(np.flatnonzero(widest > FREE**2).tolist())
    used = np.flatnonzero(use[: len(net.start)])
    a, b = net.start[used], net.end[used]
    between = blocks[a, :, a, :] + blocks[b, :, b, :] - blocks[a, :, b, :] - blocks[b, :, a, :]
    span = at[a] - at[b]
    apart = np.linalg.norm(span, axis=1)
    unit = span / np.maximum(apart, 1e-9)[:, None]
    length = np.maximum(apart, NORMAL_95 * net.sigma[used])  # it is not known any better
    flat = np.eye(3) - unit[:, :, None] * unit[:, None, :]
    across = np.linalg.eigvalsh(flat @ between @ flat)[:, 2]
    weak = across / (2 * length) > NORMAL_95 * net.sigma[used]
    for one, two in zip(a[weak], b[weak], strict=True):
        loose.add(int(one if widest[one] >= widest[two] else two))
    return tuple(sorted(loose))


def not_fixed(net: Network, fits: tuple[Fit, ...], use: Mask) -> tuple[Reason, ...]:
    """One reason for each freedom: the point, how it can move, what to measure to stop it.

    Proposed is the distance that leaves the point the smallest error ellipsoid, averaged over the
    positions it could have; a coordinate where no distance to a fixed point helps.
    """
    shown = fits[:SHOWN]
    normals = [_normal(design(net, fit.at)[use]) for fit in shown]
    loose = _loose(net, shown[0].at, _inverse(normals[0]), use)
    reasons: list[Reason] = []
    told: set[int] = set()
    while loose:
        point = min(loose, key=lambda p: (len(set(neighbours(net, p, use)) & set(loose)), p))
        way = _way(net, shown[0], _inverse(normals[0]), point, loose, use)
        asked: list[str] = []
        still = loose
        while point in still and len(asked) < 3:
            best = _best_reading(net, shown, normals, point, still, asked, use)
            asked.append(best[0])
            normals = [n + np.outer(r, r) for n, r in zip(normals, best[1], strict=True)]
            still = _loose(net, shown[0].at, _inverse(normals[0]), use)
        also = [net.names[p] for p in loose if p != point and p not in still]
        name = f"{net.names[point]} (and with it {', '.join(also)})" if also else net.names[point]
        words = f"{name} is not fixed: {way}; measure {' and '.join(asked)} as well"
        reasons.append(Reason("not fixed", (net.names[point], *also), words))
        told.add(point)
        loose = tuple(p for p in still if p not in told)
    return tuple(reasons)


def _normal(rows: Floats) -> Floats:
    normal: Floats = rows.T @ rows + np.eye(rows.shape[1]) * NOT_AT_ALL**-2
    return normal


def _inverse(normal: Floats) -> Floats:
    try:
        return np.asarray(np.linalg.inv(normal), dtype=np.float64)
    except np.linalg.LinAlgError:  # readings exact to all digits beside a point that is free
        size, ways = np.linalg.eigh(normal)
        return np.asarray((ways / np.maximum(size, NOT_AT_ALL**-2)) @ ways.T, dtype=np.float64)


def _best_reading(
    net: Network,
    shown: tuple[Fit, ...],
    normals: list[Floats],
    point: int,
    loose: tuple[int, ...],
    asked: list[str],
    use: Mask,
) -> tuple[str, list[Floats]]:
    """Name of the reading to add, and its row of the design at each possible position."""
    tape = net.sigma[: len(net.start)]
    sigma = float(np.median(tape)) if len(tape) else 1 / NORMAL_95
    covariances = [_inverse(normal) for normal in normals]

    def gain(rows: list[Floats]) -> float:
        """Mean log of how much smaller the variance of the point's worst reading becomes."""
        own = slice(3 * point, 3 * point + 3)
        gains = []
        for covariance, row in zip(covariances, rows, strict=True):
            reach = covariance[own] @ row
            less = covariance[own, own] - np.outer(reach, reach) / (1 + row @ covariance @ row)
            old, new = np.linalg.slogdet(covariance[own, own])[1], np.linalg.slogdet(less)[1]
            gains.append(float(old - new) if np.isfinite(old) and np.isfinite(new) else 0.0)
        return float(np.mean(gains))

    def distance_rows(other: int) -> list[Floats]:
        rows = []
        for fit in shown:
            row = np.zeros((len(net.names), 3))
            span = fit.at[point] - fit.at[other]
            row[point] = span / max(float(np.linalg.norm(span)), 1e-9) / sigma
            row[other] = -row[point]
            rows.append(row.ravel())
        return rows

    name = net.names[point]
    linked = neighbours(net, point, use)
    options = {
        f"{name}-{net.names[other]}": distance_rows(other)
        for other in range(len(net.names))
        if other != point and other not in loose and other not in linked
    }
    options = {text: rows for text, rows in options.items() if text not in asked}
    scores = {text: gain(rows) for text, rows in options.items()}
    if not scores or max(scores.values()) < np.log(HELPS):
        units = np.eye(3 * len(net.names))[3 * point : 3 * point + 3] / sigma
        options = {
            text: [units[k]] * len(shown)
            for k, axis in enumerate("xyz")
            if (text := f"the {axis} of {name}") not in asked
        }
        scores = {text: gain(rows) for text, rows in options.items()}
    best = max(scores, key=lambda text: scores[text])
    return best, options[best]


def _way(
    net: Network, fit: Fit, covariance: Floats, point: int, loose: tuple[int, ...], use: Mask
) -> str:
    """How the point can move, in words."""
    held = neighbours(net, point, use)
    names = [net.names[p] for p in held]
    flat = sorted({int(net.axis[i]) for i in np.flatnonzero(net.owner == point)})
    axes, turns = np.linalg.eigh(covariance[3 * point : 3 * point + 3, 3 * point : 3 * point + 3])
    if not held:
        free = [way for k, way in enumerate(WAYS) if k not in flat]
        return f"nothing holds it {' or '.join(free)}"
    if not set(held) & set(loose) and not flat:
        if len(held) == 1:
            return f"free to swing every way about {names[0]}"
        if len(held) == 2 or flatness(fit.at[held]) == 1:
            return f"free to swing about the line {names[0]}-{names[-1]}"
        if flatness(fit.at[held]) == 2:
            return (
                f"it lies in or near the plane of {', '.join(names)}, "
                f"and distances in a plane do not hold it {_mainly(turns[:, 2])}"
            )
    some = axes[1] > FREE**2
    return "free to move" + (" several ways" if some else f" {_mainly(turns[:, 2])}")


def _mainly(direction: Floats) -> str:
    return WAYS[int(np.abs(direction).argmax())]


def impossible(net: Network, fit: Fit, loose: tuple[int, ...], use: Mask) -> tuple[Reason, ...]:
    """For the first loose points whose distances cannot meet: which are out, and by how much."""
    reasons = []
    count = len(net.start)
    for point in loose[:TOLD]:
        mine = [int(i) for i in np.flatnonzero(use[:count]) if point in (net.start[i], net.end[i])]
        without = use.copy()
        without[mine] = False
        at = settle(net, fit.at, without).at
        balls = [
            _Ball(
                net.labels[i],
                net.names[other := int(net.start[i] + net.end[i]) - point],
                at[other],
                float(net.value[i]),
                NORMAL_95 * float(net.sigma[i]),
            )
            for i in mine
        ]
        clauses = [text for one, two in combinations(balls, 2) if (text := _pair(one, two))]
        if not clauses:
            clauses = [text for three in combinations(balls, 3) for text in _triple(three)]
        if clauses:
            name = net.names[point]
            words = f"the distances to {name} do not meet: {'; '.join(clauses)}: measure again"
            reasons.append(Reason("impossible", tuple(net.labels[i] for i in mine), words))
    return tuple(reasons)


def _pair(one: _Ball, two: _Ball) -> str | None:
    """Two balls too far apart, or one inside the other."""
    apart = float(np.linalg.norm(one.centre - two.centre))
    between = f"{one.point}-{two.point} is {apart:.1f}"
    short = apart - one.radius - two.radius
    if short > one.plus_minus + two.plus_minus:
        both = f"{one.label} {one.radius:g} and {two.label} {two.radius:g}"
        return f"{both} are together {short:.1f} too short, {between}"
    long, other = (one, two) if one.radius > two.radius else (two, one)
    over = long.radius - other.radius - apart
    if over > one.plus_minus + two.plus_minus:
        other_text = f"{other.label} {other.radius:g}"
        return f"{long.label} {long.radius:g} is {over:.1f} too long for {other_text}, {between}"
    return None


def _triple(balls: tuple[_Ball, ...]) -> list[str]:
    """Each of three distances against the least and most that the other two allow."""
    clauses = []
    for k in range(3):
        mine, one, two = balls[k], balls[k - 1], balls[k - 2]
        line = two.centre - one.centre
        apart = float(np.linalg.norm(line))
        if apart < 1e-6:
            continue
        along = (one.radius**2 - two.radius**2 + apart**2) / (2 * apart)
        radius = float(np.sqrt(max(one.radius**2 - along**2, 0.0)))
        away = mine.centre - one.centre - along * line / apart
        height = float(away @ line) / apart
        aside = float(np.sqrt(max(float(away @ away) - height**2, 0.0)))
        least, most = np.hypot(height, aside - radius), np.hypot(height, aside + radius)
        with_two = f"with {one.label} and {two.label}"
        if mine.radius > most:
            out = mine.radius - most
            clauses.append(
                f"{mine.label} reads {mine.radius:g}, {with_two} it can be {most:.1f} at most "
                f"({out:.1f} too long)"
            )
        elif mine.radius < least:
            out = least - mine.radius
            clauses.append(
                f"{mine.label} reads {mine.radius:g}, {with_two} it can be {least:.1f} at least "
                f"({out:.1f} too short)"
            )
    return clauses
