"""Forces in what holds an axle: links pull or push along their own lines, and no other way.

An axle on links can move two ways, up and down and in roll (its motions); what carries it there
are the springs or bump stops. Their forces follow from virtual work: over each motion the loads
and the springs together do no work. The links carry the rest. Four of them do so in one way
only; where there are more, of all the ways that balance the one with the least sum of squared
forces is taken. That is how links of equal stiffness share a load (least complementary energy).
A force with which spare links only fight each other, such as when they bind in roll, is not in
it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from parts.place import Vector
from parts.trade.axle.links import TWIST_ARM
from parts.trade.axle.pose import Floats

LOOSE = 1e-3  # a line that holds less than this of a motion does not hold it (our own limit)
BALANCED = 1e-6  # of the load: what may be left over
WAYS = ("fore and aft", "sideways", "up and down", "in roll", "in pitch about its own line",
        "in yaw")  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """A line of force on the axle: through `at` (3,), along the unit vector `way` (3,)."""

    name: str
    at: Vector
    way: Vector


@dataclass(frozen=True, slots=True, eq=False)
class Load:
    """A force (3,) in N at a point (3,), and a couple (3,) in N mm."""

    force_n: Vector
    at: Vector
    couple_nmm: Vector


@dataclass(frozen=True, slots=True)
class Shared:
    """Forces in N along each line, by name, and how many lines there are to spare."""

    links: tuple[tuple[str, float], ...]
    springs: tuple[tuple[str, float], ...]
    spare: int


@dataclass(frozen=True, slots=True, eq=False)
class Stand:
    """How an axle stands at one pose, ready for any load: names, force of each link (n, 6) and
    spring (m, 6) per unit of scaled load, what is left over (6, 6), and the scale (6,)."""

    links: tuple[str, ...]
    springs: tuple[str, ...]
    about: Vector
    scale: Floats
    by_links: Floats
    by_springs: Floats
    left_over: Floats
    spare: int


def stand(
    links: tuple[Line, ...],
    springs: tuple[Line, ...],
    motions: Floats,
    about: Vector,
    half: float,
) -> Stand:
    """What links and springs do for an axle.

    `motions` (k, 6) are the velocities, of the point `about` and angular, that the links leave
    free; `half` is half the track, which weighs turns against shifts.
    """
    scale = np.array([1.0, 1.0, 1.0, 1 / half, 1 / TWIST_ARM, 1 / half])
    held = _wrenches(links, about) * scale[:, None]
    carried = _wrenches(springs, about) * scale[:, None]
    free, _ = np.linalg.qr((motions / scale).T) if len(motions) else (np.zeros((6, 0)), None)
    rest = np.eye(6) - free @ free.T
    stiff = rest @ held
    pulled = -np.linalg.pinv(stiff, rcond=LOOSE) @ rest
    through = free.T @ (np.eye(6) + held @ pulled)
    pushed = np.zeros((0, 6))
    if springs:
        pushed = -np.linalg.pinv(through @ carried, rcond=LOOSE) @ through
    both = np.eye(6) + carried @ pushed
    rank = int(np.linalg.matrix_rank(stiff, tol=LOOSE)) if links else 0
    return Stand(
        links=tuple(line.name for line in links),
        springs=tuple(line.name for line in springs),
        about=about,
        scale=scale,
        by_links=pulled @ both,
        by_springs=pushed,
        left_over=both + held @ pulled @ both,
        spare=len(links) + len(springs) - rank - len(motions),
    )


def shared(how: Stand, loads: tuple[Load, ...]) -> Shared:
    """How links and springs balance the loads; ValueError naming the direction of a load that
    nothing carries.

    A bar across takes a push from the side, here 100 N to the right:

    >>> bar = Line("bar", np.array([0.0, 330, 300]), np.array([0.0, -1, 0]))
    >>> held = stand((bar,), (), np.zeros((0, 6)), np.array([0.0, 0, 300]), half=750.0)
    >>> push = Load(np.array([0.0, 100, 0]), np.array([0.0, 700, 300]), np.zeros(3))
    >>> shared(held, (push,)).links
    (('bar', 100.0),)
    """
    load = _total(loads, how.about) * how.scale
    _refuse_rest(how.left_over @ load, load)
    return Shared(
        _named(how.links, how.by_links @ load),
        _named(how.springs, how.by_springs @ load),
        how.spare,
    )


def _named(names: tuple[str, ...], forces_n: Floats) -> tuple[tuple[str, float], ...]:
    return tuple((name, float(f) + 0.0) for name, f in zip(names, forces_n, strict=True))


def _wrenches(lines: tuple[Line, ...], about: Vector) -> Floats:
    """Force and moment (6, n) of 1 N along each line."""
    if not lines:
        return np.zeros((6, 0))
    return np.array([[*line.way, *np.cross(line.at - about, line.way)] for line in lines]).T


def _total(loads: tuple[Load, ...], about: Vector) -> Floats:
    """Force and moment (6,) of all loads."""
    total = np.zeros(6)
    for load in loads:
        total[:3] += load.force_n
        total[3:] += np.cross(load.at - about, load.force_n) + load.couple_nmm
    return total


def _refuse_rest(rest: Floats, load: Floats) -> None:
    """ValueError if the scaled balance leaves anything over, naming its direction."""
    most = int(np.abs(rest).argmax())
    if abs(rest[most]) <= BALANCED * max(float(np.abs(load).max()), 1.0):
        return
    carrier = "spring" if most in (2, 3) else "link"
    raise ValueError(
        f"no {carrier} carries the load {WAYS[most]}; give one that does: its point on the "
        "chassis and on the axle"
    )
