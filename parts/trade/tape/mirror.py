"""Two places that fit equally: the side said for a point decides, else both are told."""

from __future__ import annotations

import numpy as np

from parts.trade.tape.network import SIDES, Fit, Floats, Mask, Network
from parts.trade.tape.start import CRITICAL
from parts.trade.tape.survey import Reason

APART = 0.5  # places nearer than this are not called two


def choose(
    net: Network, fits: tuple[Fit, ...], use: Mask
) -> tuple[tuple[Fit, ...], tuple[Reason, ...]]:
    """The fits still possible, the best first, and what must be said to settle them.

    A fit is a rival of the best when its chi-square is less than 3.29² above: two places that
    differ by less cannot be told apart 999 times in 1000.
    """
    rivals = tuple(fit for fit in fits if fit.chi_square <= fits[0].chi_square + CRITICAL**2)
    left = rivals
    hinted = [p for p, side in enumerate(net.sides) if side is not None]
    while hinted:
        point = min(hinted, key=lambda p: len(_places(left, p)))
        hinted.remove(point)
        left = _on_side(net, left, point)
    if against := _overruled(net, rivals, left):
        words = (
            f"the sides said for {' and '.join(against)} do not go together: "
            "no place that fits the distances has them all; look at the vehicle again"
        )
        return left, (Reason("sides disagree", tuple(against), words),)
    return left, _questions(net, left, use)


def _places(fits: tuple[Fit, ...], point: int) -> list[Floats]:
    places: list[Floats] = []
    for fit in fits:
        if all(np.linalg.norm(fit.at[point] - other) > APART for other in places):
            places.append(fit.at[point])
    return places


def _on_side(net: Network, fits: tuple[Fit, ...], point: int) -> tuple[Fit, ...]:
    """The fits with the point furthest to its side; all of them if that side says nothing."""
    side = net.sides[point]
    assert side is not None
    axis, sign = SIDES[side]
    height = np.array([sign * fit.at[point, axis] for fit in fits])
    spread = np.ptp([fit.at[point] for fit in fits], axis=0)
    if spread[axis] < max(APART, 0.1 * float(spread.max())):
        return fits
    return tuple(fit for fit, h in zip(fits, height, strict=True) if h >= height.max() - APART)


def _overruled(net: Network, rivals: tuple[Fit, ...], left: tuple[Fit, ...]) -> list[str]:
    """Names of all hinted points, if a point with two places is left on the wrong one."""
    hinted = [p for p, side in enumerate(net.sides) if side is not None]
    two = [p for p in hinted if len(_places(rivals, p)) == 2]
    if all(any(fit in _on_side(net, rivals, p) for fit in left) for p in two):
        return []
    return [net.names[p] for p in two]


def _questions(net: Network, left: tuple[Fit, ...], use: Mask) -> tuple[Reason, ...]:
    """One question for each choice; points that go over together are one choice."""
    reasons = []
    while len(left) > 1:
        open_points = [p for p in range(len(net.names)) if len(_places(left, p)) > 1]
        if not open_points:
            break
        point = min(open_points, key=lambda p: len(_places(left, p)))
        stay = tuple(
            fit for fit in left if np.linalg.norm(fit.at[point] - left[0].at[point]) <= APART
        )
        along = [p for p in open_points if p != point and len(_places(stay, p)) == 1]
        reasons.append(_question(net, left, point, along, use))
        left = stay
    return tuple(reasons)


def _question(
    net: Network, left: tuple[Fit, ...], point: int, along: list[int], use: Mask
) -> Reason:
    name = net.names[point]
    places = sorted(_places(left, point)[:4], key=lambda place: tuple(-place))
    axis = int(np.ptp(places, axis=0).argmax())
    down, up = (next(s for s, v in SIDES.items() if v == (axis, sign)) for sign in (-1, 1))
    if axis == 2:
        down, up = up, down
    shown = " or ".join("({:.1f}, {:.1f}, {:.1f})".format(*(place + 0.0)) for place in places)
    others = f" ({', '.join(net.names[p] for p in along)} with it)" if along else ""
    words = (
        f'{name}{others} could be at {shown}: say side = "{down}" or "{up}", '
        f"or measure one more distance {_off_what(net, left[0], point, use)}"
    )
    if example := _telling(net, left, point, places, use):
        words += f", such as {name}-{example}"
    return Reason("two places", (name,), words)


def neighbours(net: Network, point: int, use: Mask) -> list[int]:
    """Points with a distance in use to this one, in the order of the points."""
    used = use[: len(net.start)]
    ends = zip(net.start[used], net.end[used], strict=True)
    return sorted({int(a if b == point else b) for a, b in ends if point in (a, b)})


def flatness(at: Floats) -> int:
    """1 if points (k, 3) lie on one line, 2 if in one plane, to a thousandth of their size."""
    size = np.linalg.svd(at - at[0], compute_uv=False)
    return int(np.sum(size > 1e-3 * size[0]))


def _off_what(net: Network, fit: Fit, point: int, use: Mask) -> str:
    held = neighbours(net, point, use)
    names = [net.names[p] for p in held]
    if len(names) == 2:
        return f"to a point off the line {names[0]}-{names[1]}"
    if len(names) > 2 and flatness(fit.at[held]) == 2:
        return f"to a point off the plane of {', '.join(names)}"
    return "to another point"


def _telling(
    net: Network, left: tuple[Fit, ...], point: int, places: list[Floats], use: Mask
) -> str | None:
    """The point whose distance would differ most between the places, if it tells them apart."""
    linked = neighbours(net, point, use)
    best, gap = None, 2 * CRITICAL * float(np.median(net.sigma[: len(net.start)], axis=0))
    for other in range(len(net.names)):
        if other == point or other in linked or len(_places(left, other)) > 1:
            continue
        spans = [float(np.linalg.norm(place - left[0].at[other])) for place in places[:2]]
        if abs(spans[0] - spans[1]) > gap:
            best, gap = net.names[other], abs(spans[0] - spans[1])
    return best
