"""Where the pivot is: given, or the best place of its room."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

import numpy as np
from numpy.typing import NDArray

from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.section import Around, shifted
from parts.sheet.curve import Point
from parts.sheet.loop import Loop, box, contains
from parts.trade.swing import Contour, PivotMap, Section, neck_spare, pivot_map
from parts.trade.swing.contours import contours
from parts.trade.swing.curves import Floats, Points, gathered, reaches
from parts.trade.swing.exact import least_over_swing
from parts.trade.swing.flattened import flattened

LEVEL = 0.05  # mm; clearances that differ by less are the same to a fabricator
FIRM = 2.0  # mm round a pivot in which the clearance should not change, where there is a choice
FINEST = 1.0  # mm between pivots where it matters, in a room of a usual size
MOST_ACROSS = 120  # steps across a larger one
COARSE = 4  # times as far apart where it does not
MOST_NEAR = 300  # pivots among which the best is looked for anew with every ±
MOST_TRIES = 12  # pivots that are tried for an arm, best first


@dataclass(frozen=True, eq=False)
class Sought:
    """The map of a room for the pivot, the places worth trying, best first, how far the best
    moves with the ± of what was measured (mm, back and up), and the line up to which hub and neck
    have room."""

    map: PivotMap
    tries: tuple[Point, ...]
    plus_minus: Point | None
    for_neck: Contour

    @property
    def best(self) -> Point | None:
        return self.tries[0] if self.tries else None


def sought(config: HingeBracket, around: Around, room: Loop) -> Sought:
    """The map of the room: the lid clears by its wish, the hub clears what it turns beside, and
    the neck keeps within the height of its room."""
    neck = _Neck(config, around)
    error = worst_plus_minus(around.lid)
    levels = (config.clearance / 2, config.clearance + error)
    low_u, low_v, high_u, high_v = box(room)
    finest = max(FINEST, max(high_u - low_u, high_v - low_v) / MOST_ACROSS)
    found = pivot_map(
        around.lid, room, config.clearance, COARSE * finest, finest, levels, neck.spare
    )
    allowed = np.flatnonzero(found.allowed)
    for_neck = contours(found.pivots, neck.spare(found.pivots), found.corners, 0.0)
    if not len(allowed):
        return Sought(found, (), None, for_neck)
    pivots = found.pivots[allowed]
    order = _ranked(pivots, found.clearance[allowed], neck)
    tries = tuple(_as_point(pivots[i]) for i in _spread(pivots, order))
    near = _near(found, room, error, neck)
    return Sought(found, tries, _moves(config, around, near), for_neck)


class _Neck:
    """What the arm asks of a pivot: its hub and its neck, seen without laying it out."""

    def __init__(self, config: HingeBracket, around: Around) -> None:
        fixed = around.told_to_arm
        self.curves = gathered([curve for item in fixed for curve in item.curves])
        self.hub = config.arm.hub / 2 + config.arm_clearance
        passed = [item for item in fixed if item.name in around.passed_under]
        lowest = min(p[1] for p in config.arm_room) if config.arm_room else -1e6
        self.below = neck_spare(passed, config.neck_clearance, config.arm.width, lowest)

    def spare(self, pivots: Points) -> Floats:
        """How much is to spare at each pivot; both parts change by 2 mm per mm at most."""
        beside = reaches(self.curves, pivots)[0].min(axis=1) - self.hub
        return np.asarray(np.minimum(beside, self.below(pivots)))


def _ranked(pivots: Points, clearance: Floats, neck: _Neck) -> NDArray[np.intp]:
    """Best first. Among pivots with the same clearance those that keep it 2 mm around, and of
    them the one with the shallowest neck; then the others by clearance."""
    level = clearance >= clearance.max() - LEVEL
    firm = np.zeros(len(pivots))
    rows = np.flatnonzero(level)
    others = pivots[~level]
    if len(others):
        away = pivots[rows][:, None, :] - others[None, :, :]
        firm[rows] = np.minimum(np.hypot(away[..., 0], away[..., 1]).min(axis=1), FIRM)
    else:
        firm[rows] = FIRM
    shallow = neck.below(pivots)
    merit = np.where(level, clearance.max(), np.floor(clearance / LEVEL) * LEVEL)
    return np.lexsort((-shallow, -firm, -merit))


def _spread(pivots: Points, order: NDArray[np.intp]) -> list[int]:
    """The first of the order, and more of it that are not next to one chosen already."""
    chosen: list[int] = []
    span = float(np.hypot(*np.ptp(pivots, axis=0)))
    apart = max(3.0, span / 8)
    for i in order:
        if len(chosen) == MOST_TRIES:
            break
        if all(hypot(*(pivots[i] - pivots[j])) >= apart for j in chosen):
            chosen.append(int(i))
    return chosen


def _near(found: PivotMap, room: Loop, error: float, neck: _Neck) -> Points:
    """The pivots of a map that would do, or might if one outline were off by its ±; of many, those
    that clear by most."""
    close = (found.clearance >= found.wish - 2 * error) & (
        neck.spare(found.pivots) >= -2 * error
    )
    rows = [
        int(i)
        for i in np.flatnonzero(close)
        if found.allowed[i] or contains([room], _as_point(found.pivots[i]))
    ]
    rows.sort(key=lambda i: -found.clearance[i])
    return np.asarray(found.pivots[rows[:MOST_NEAR]])


def _moves(config: HingeBracket, around: Around, pivots: Points) -> Point:
    """How far the best pivot moves with the ±: each outline off by its own ±, back and up, this
    way and that, one at a time; the greater of both ways, added as squares."""
    best = _best_of(config, around, pivots)
    back = up = 0.0
    for both in _otherwise(around):
        moved_by = np.abs([_best_of(config, changed, pivots) - best for changed in both])
        du, dv = moved_by.max(axis=0)
        back, up = hypot(back, float(du)), hypot(up, float(dv))
    return (back, up)


def _best_of(config: HingeBracket, around: Around, pivots: Points) -> Points:
    """The best of the pivots that would do; where none would, the one that lacks least."""
    neck = _Neck(config, around)
    clearance = least_over_swing(flattened(around.lid), pivots).distance
    spare = neck.spare(pivots)
    rows = np.flatnonzero((clearance >= config.clearance) & (spare >= 0))
    if not len(rows):
        return np.asarray(pivots[int(np.minimum(clearance - config.clearance, spare).argmax())])
    first = _ranked(pivots[rows], clearance[rows], neck)[0]
    return np.asarray(pivots[rows[first]])


def _otherwise(around: Around) -> Iterator[tuple[Around, Around]]:
    """All that is round a hinge as it would be with one outline off by its ±: rearward and
    forward, then up and down."""
    for item in (*around.carried, *around.fixed):
        by = item.plus_minus
        if by > 0 and item.name != "lid skin":
            yield shifted(around, item.name, (by, 0.0)), shifted(around, item.name, (-by, 0.0))
            yield shifted(around, item.name, (0.0, by)), shifted(around, item.name, (0.0, -by))


def worst_plus_minus(section: Section) -> float:
    """± of a clearance between the two least surely measured outlines, mm."""
    moving = max(item.plus_minus for item in section.moving)
    return hypot(moving, max(item.plus_minus for item in section.fixed))


def _as_point(row: Points) -> Point:
    return (round(float(row[0]), 6), round(float(row[1]), 6))
