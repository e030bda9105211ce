"""How sure the folds are: what the measured points and angles leave open, at 95 %."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from parts.kinds.bench import WIDE_95, Spots
from parts.kinds.bumper_mount.bracket import one_bend, two_bends
from parts.kinds.bumper_mount.config import BumperMount
from parts.kinds.bumper_mount.faces import Angles, NoLayout, contact_faces
from parts.kinds.bumper_mount.holes import clear_of_bend
from parts.kinds.bumper_mount.layout import Bracket
from parts.kinds.bumper_mount.side import Side
from parts.place import Vector
from parts.sheet.allowance import Allowance

SMALL_STEP = 0.01  # mm, to find how a fold changes with a coordinate

Half = float | None  # a 95 % half width; None where nothing measured reaches it


@dataclass(frozen=True, slots=True)
class Spreads:
    """95 % half widths: of the turns from rail to bar (degrees), of the distances from each rail
    hole and each stud to the start of its bend (mm).

    `unknown` says why there are none; it is empty where they could be worked out.
    """

    turns: tuple[Half, ...]
    near: tuple[Half, ...]
    far: tuple[Half, ...]
    unknown: str = ""


def spreads(
    config: BumperMount,
    side: Side,
    spots: Spots,
    bracket: Bracket,
    allowances: tuple[Allowance, ...],
) -> Spreads:
    """Each measured angle moved by its own error, effects added as squares; the coordinates of
    the points by their covariance, with the folds' slope to each; to a distance the ± of the bend
    allowance on top: a bend that takes up more or less moves the hole against it.
    """
    chain = bracket.chain
    counts = (len(chain.bends), len(chain.near), len(chain.far))
    nominal = np.concatenate([[b.turn_deg for b in chain.bends], chain.near, chain.far])
    by_angle = np.zeros(len(nominal))
    slopes = np.zeros((len(nominal), len(spots.covariance)))
    measured = Angles.measured(side)
    try:
        for name, error in _angle_errors(side):

            def turned(way: float, name: str = name, error: float = error) -> Vector:
                angles = replace(measured, **{name: getattr(measured, name) + way * error})
                return _folds(config, side, spots, bracket, angles)

            by_angle += (_moved_either_way(turned) - nominal) ** 2
        for i, name, axis in _coordinates(side, spots, bracket):

            def shifted(way: float, name: str = name, axis: int = axis) -> Vector:
                at = spots.at(name) + way * SMALL_STEP * np.eye(3)[axis]
                moved = replace(spots, positions={**spots.positions, name: at})
                return _folds(config, side, moved, bracket, measured)

            moved = _moved_either_way(shifted)
            slopes[:, i] = (moved - nominal) / SMALL_STEP
    except (NoLayout, ValueError) as error:
        turns, near, far = ((None,) * count for count in counts)
        return Spreads(turns, near, far, str(error).partition("; ")[0])
    by_points = np.einsum("bi,ij,bj->b", slopes, spots.covariance, slopes)
    squares = by_angle + WIDE_95**2 * np.maximum(by_points, 0.0)
    first, last = (allowances[i].plus_minus_mm or 0.0 for i in (0, counts[0] - 1))
    squares[counts[0] : counts[0] + counts[1]] += first**2
    squares[counts[0] + counts[1] :] += last**2
    halves = [float(half) if half > 1e-9 else None for half in np.sqrt(squares)]
    return Spreads(
        tuple(halves[: counts[0]]),
        tuple(halves[counts[0] : counts[0] + counts[1]]),
        tuple(halves[counts[0] + counts[1] :]),
    )


def _moved_either_way(folds: Callable[[float], Vector]) -> Vector:
    """The folds with something moved one way; where that leaves none, with it moved the other.

    The other way's effect comes out with the opposite sign: near enough alike for a slope, which
    is turned back here.
    """
    try:
        return folds(1.0)
    except ValueError:
        back = folds(-1.0)
        return 2 * folds(0.0) - back


def _angle_errors(side: Side) -> Iterator[tuple[str, float]]:
    """The angles that the faces rest on, with their ±; a face by three points rests on none."""
    rail, bar = side.rail_face, side.bar_face
    by_angles = []
    if rail.points is None:
        by_angles += [("toe", rail.toe), ("rail_lean", rail.lean)]
    if bar.points is None:
        by_angles += [("sweep", bar.sweep), ("bar_lean", bar.lean)]
    for name, angle in by_angles:
        if angle.plus_minus:
            yield name, angle.plus_minus


def _coordinates(
    side: Side, spots: Spots, bracket: Bracket
) -> Iterator[tuple[int, str, int]]:
    """Every coordinate that the folds rest on and that has an error: number, point, axis."""
    used = {*(side.rail_face.points or ()), *(side.bar_face.points or ())}
    used |= {*side.rail_holes, *side.bar_studs}
    for number, name in enumerate(spots.positions):
        for axis in range(3):
            i = 3 * number + axis
            if name in used and spots.covariance[i, i] > 0:
                yield i, name, axis


def _folds(
    config: BumperMount, side: Side, spots: Spots, bracket: Bracket, angles: Angles
) -> Vector:
    """Turns and distances (n,) of as many bends, had the points and angles been these."""
    rail, bar = contact_faces(side, spots, bracket.hand, config.bumper, angles)
    rail_at = np.array([rail.foot(spots.at(flat.hole.name)) for flat in bracket.rail_holes])
    bar_at = np.array([bar.foot(spots.at(flat.hole.name)) for flat in bracket.bar_holes])
    if len(bracket.chain.bends) == 1:
        chain = one_bend(bracket.sheet, rail, bar, rail_at, bar_at)
    else:
        clear = (
            clear_of_bend(tuple(flat.hole for flat in bracket.rail_holes)),
            clear_of_bend(tuple(flat.hole for flat in bracket.bar_holes)),
        )
        chain = two_bends(bracket.sheet, rail, bar, rail_at, bar_at, clear)
    return np.concatenate([[bend.turn_deg for bend in chain.bends], chain.near, chain.far])
