"""All points from all readings at once, with their errors, or the reasons why not."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from parts.trade.tape.freedom import impossible, loose_points, not_fixed
from parts.trade.tape.mirror import choose
from parts.trade.tape.misread import CHECKED, LEAST_CHANCE, agrees, misreads
from parts.trade.tape.network import (
    NORMAL_95,
    Fit,
    Floats,
    Mask,
    Network,
    Quality,
    computed,
    design,
    network,
    quality,
)
from parts.trade.tape.start import explore
from parts.trade.tape.survey import (
    CheckedReading,
    Distance,
    Matrix,
    OnPlane,
    Point,
    Reason,
    Solution,
    SolvedPoint,
    Vector,
)

FOUND_8_IN_10 = 4.13  # Baarda 1968: 0.1 % false alarms, 80 % power; from memory


def adjust(
    points: Sequence[Point],
    distances: Sequence[Distance],
    planes: Sequence[OnPlane] = (),
) -> Solution:
    """Solve all points together by weighted least squares; coordinates and errors in mm.

    Each ± is 1.96 standard deviations. A measured coordinate is a reading like any other and may
    move within its ±. Errors of the results come from the ± of the readings alone ('a priori'),
    not from how well the readings happen to agree: with the two or three spare readings a shop
    has, agreement is mostly luck, and errors taken from it would swing by half or double. The
    agreement is tested instead, by the chi-square test on the whole ('a posteriori') and by each
    standardised residual; if it is worse than the ± allow, the set is refused, because then the ±
    are not true either.

    Raises ValueError for readings that cannot be meant: unknown or doubled names, lengths not
    over 0, negative ±. Everything else that is wrong is told in `reasons`.

    A 3-4-5 triangle in the plane z = 0:

    >>> from parts.trade.tape import Measured
    >>> fixed = Measured(0, 0)
    >>> a = Point("A", fixed, fixed, fixed)
    >>> b = Point("B", Measured(400, 0), fixed, fixed)
    >>> c = Point("C", z=fixed, side="right")
    >>> tapes = [Distance("A", "C", Measured(300, 1)), Distance("B", "C", Measured(500, 1))]
    >>> found = adjust([a, b, c], tapes).points[2]
    >>> round(found.x, 6) + 0.0, round(found.y, 6), round(found.plus_minus[1], 6)
    (0.0, 300.0, 1.0)
    """
    net = network(points, distances, planes)
    if not net.names:
        return Solution((), (), (), 0, 0.0, 1.0, (), ())
    use = net.kept
    fits = explore(net, use)
    found = quality(net, fits[0], use)
    loose = loose_points(net, fits[0], found, use)
    if loose:
        reasons: tuple[Reason, ...] = ()
        if found.chance < LEAST_CHANCE:
            reasons = misreads(net, fits, use) or impossible(net, fits[0], loose, use)
            reasons = reasons or (_scatter(net, found), *not_fixed(net, fits, use))
        reasons = reasons or not_fixed(net, fits, use)
        chi_square = fits[0].chi_square
        return Solution((), (), (), found.degrees, chi_square, found.chance, reasons, ())
    left, reasons = choose(net, fits, use)
    found = quality(net, left[0], use)
    if not agrees(found):
        reasons += misreads(net, fits, use) or (_scatter(net, found),)
    return _solution(net, left[0], found, use, reasons)


def point_error_along(solution: Solution, name: str, direction: Vector) -> float:
    """95 % half width, mm, of a point's position along a direction of any length.

    Raises ValueError for a name that was not solved or a direction of no length.
    """
    return _along(covariance_between(solution, name, name), direction)


def relative_error_along(solution: Solution, a: str, b: str, direction: Vector) -> float:
    """95 % half width, mm, of where b lies from a along a direction.

    Less than the two points' own errors together when they were measured from the same marks.
    """
    crossed = covariance_between(solution, a, b)
    both = covariance_between(solution, a, a) + covariance_between(solution, b, b)
    return _along(both - crossed - crossed.T, direction)


def covariance_between(solution: Solution, a: str, b: str) -> Floats:
    """Covariance of the coordinates of a (rows) with those of b (columns); (3, 3) in mm²."""
    names = [point.name for point in solution.points]
    for name in (a, b):
        if name not in names:
            raise ValueError(f"point {name!r} was not solved; solved are: {', '.join(names)}")
    i, j = 3 * names.index(a), 3 * names.index(b)
    return np.array([row[j : j + 3] for row in solution.covariance[i : i + 3]])


def _along(covariance: Floats, direction: Vector) -> float:
    length = float(np.linalg.norm(direction))
    if not 0 < length < np.inf:
        raise ValueError(f"direction {direction} has no length; give a vector such as (0, 0, 1)")
    unit = np.array(direction) / length
    return NORMAL_95 * float(np.sqrt(max(float(unit @ covariance @ unit), 0.0)))


def _scatter(net: Network, found: Quality) -> Reason:
    size = np.where(found.redundancy >= CHECKED, np.abs(found.standardised), 0.0)
    worst = tuple(net.labels[i] for i in np.argsort(-size, kind="stable")[:3] if size[i] > 1)
    words = (
        "the readings disagree by more than their ± allow, and no single one explains it; "
        f"look first at {', '.join(worst)}, else give a wider ±"
    )
    return Reason("scatter", worst, words)


def _solution(
    net: Network, fit: Fit, found: Quality, use: Mask, reasons: tuple[Reason, ...]
) -> Solution:
    spread = NORMAL_95 * np.sqrt(np.diag(found.covariance)).reshape(-1, 3)
    points = []
    for i, (name, at, plus_minus) in enumerate(zip(net.names, fit.at, spread, strict=True)):
        own = found.covariance[3 * i : 3 * i + 3, 3 * i : 3 * i + 3]
        x, y, z = at.tolist()
        points.append(SolvedPoint(name, x, y, z, tuple(plus_minus.tolist()), _matrix(own)))
    checked = _checked(net, fit, found, use)
    count = len(net.start)
    return Solution(
        points=tuple(points),
        distances=checked[:count],
        coordinates=checked[count:],
        redundancy=found.degrees,
        chi_square=fit.chi_square,
        chance=found.chance,
        reasons=reasons,
        covariance=_matrix(found.covariance),
    )


def _checked(net: Network, fit: Fit, found: Quality, use: Mask) -> tuple[CheckedReading, ...]:
    rows = design(net, fit.at) * net.sigma[:, None]
    width = NORMAL_95 * np.sqrt(np.einsum("ki,ij,kj->k", rows, found.covariance, rows))
    adjusted = computed(net, fit.at)
    checked = []
    for i, label in enumerate(net.labels):
        share = float(found.redundancy[i]) if use[i] else None
        tested = share is not None and share >= CHECKED
        sigma = float(net.sigma[i])
        checked.append(
            CheckedReading(
                name=label,
                measured=float(net.value[i]),
                plus_minus=NORMAL_95 * sigma,
                used=bool(use[i]),
                adjusted=float(adjusted[i]),
                adjusted_plus_minus=float(width[i]),
                residual=float(adjusted[i] - net.value[i]),
                redundancy=share,
                standardised=float(found.standardised[i]) if tested else None,
                least_misread=FOUND_8_IN_10 * sigma / share**0.5 if tested and share else None,
            )
        )
    return tuple(checked)


def _matrix(array: Floats) -> Matrix:
    return tuple(tuple(row) for row in array.tolist())
