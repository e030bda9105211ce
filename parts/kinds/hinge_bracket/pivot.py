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
from parts.sheet.loop import Loop, box
from parts.trade.swing import PivotMap, Section, neck_spare, pivot_map
from parts.trade.swing.curves import Floats, Points, gathered, reaches
from parts.trade.swing.exact import least_over_swing
from parts.trade.swing.flattened import flattened

LEVEL = 0.05  # mm; clearances that differ by less are the same to a fabricator
FIRM = 2.0  # mm round a pivot in which the clearance should not change, where there is a choice
FINEST = 1.0  # mm between pivots where it matters, in a room of a usual size
MOST_ACROSS = 120  # steps across a larger one
COARSE = 4  # times as far apart where it does not
MOST_TRIES = 12  # pivots that are tried for an arm, best first


@dataclass(frozen=True, eq=False)
class Sought:
    """The map of a room for the pivot, the places worth trying, best first, and how far the best
    moves with the ± of what was measured (mm, back and up)."""

    map: PivotMap
    tries: tuple[Point, ...]
    plus_minus: Point | None

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
    if not len(allowed):
        return Sought(found, (), None)
    pivots = found.pivots[allowed]
    order = _ranked(pivots, found.clearance[allowed], neck)
    tries = tuple(_as_point(pivots[i]) for i in _spread(pivots, order))
    return Sought(found, tries, _moves(around.lid, pivots, neck))


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


def _moves(section: Section, pivots: Points, neck: _Neck) -> Point:
    """How far the best pivot moves with the ±: each outline nearer and further by its own ±, back
    and up, one at a time, added as squares."""
    best = _best_of(section, pivots, neck)
    back = up = 0.0
    for changed in _otherwise(section):
        du, dv = _best_of(changed, pivots, neck) - best
        back, up = hypot(back, float(du)), hypot(up, float(dv))
    return (back, up)


def _best_of(section: Section, pivots: Points, neck: _Neck) -> Points:
    clearance = least_over_swing(flattened(section), pivots).distance
    return np.asarray(pivots[_ranked(pivots, clearance, neck)[0]])


def _otherwise(section: Section) -> Iterator[Section]:
    """The section as it would be with one outline off by its ±, rearward or up."""
    for item in (*section.moving, *section.fixed):
        if item.plus_minus > 0 and item.name != "lid skin":
            yield shifted(section, item.name, (item.plus_minus, 0.0))
            yield shifted(section, item.name, (0.0, item.plus_minus))


def worst_plus_minus(section: Section) -> float:
    """± of a clearance between the two least surely measured outlines, mm."""
    moving = max(item.plus_minus for item in section.moving)
    return hypot(moving, max(item.plus_minus for item in section.fixed))


def _as_point(row: Points) -> Point:
    return (round(float(row[0]), 6), round(float(row[1]), 6))
