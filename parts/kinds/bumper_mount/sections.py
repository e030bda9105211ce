"""How much plate there is across a line, and how much of it the screening load asks for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from parts.kinds.bumper_mount.bracket import Chain, FlatHole
from parts.kinds.bumper_mount.config import BumperMount
from parts.kinds.bumper_mount.outline import Return
from parts.place import Vector
from parts.sheet.blank import Blank
from parts.sheet.curve import Point, distance
from parts.sheet.fold import stretches
from parts.sheet.stock import Stock
from parts.trade.bolts import bolt

GRAVITY = 9.80665  # m/s2, standard
RESERVE = 1.5  # waist and bosses are made this many times as strong as the screening load asks

Run = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Section:
    """The weakest section of the rail leg at its bolt nearest the bend.

    `arm` is the greatest distance from it to a stud, square to the fold; `width` is that of the
    plate, holes taken off. `slot_end` tells that the bolt sits at the far end of its slot there.
    """

    hole: str
    arm: float
    width: float
    slot_end: bool


def screening_force_n(config: BumperMount) -> float:
    """The force the bar is taken to pull with, in any direction, N."""
    return config.bar_mass * GRAVITY * config.load_g


def width_needed(force_n: float, arm: float, stock: Stock) -> float:
    """Width of plate that bends with RESERVE in hand: 6 F e / (w t^2) against yield."""
    return 6 * force_n * arm * RESERVE / (stock.thickness**2 * stock.material.yield_mpa)


def waist_needed(config: BumperMount, stock: Stock, arm: float) -> float:
    """Least width at a bend: what the load asks, and twice the rail bolt's diameter."""
    strong = width_needed(screening_force_n(config), arm, stock)
    return max(strong, 2 * bolt(config.rail_bolt).diameter)


def distance_to_line(points: Vector, on_line: Vector, line: Vector) -> float:
    """Greatest distance of points (n, 3) from a line: the longest arm a force there can have."""
    off = points - on_line
    return float(np.linalg.norm(off - np.outer(off @ line, line), axis=1).max())


def plate_width(blank: Blank, point: Point, along: Point, flange: Return | None) -> float:
    """Width of the leg's own plate across a line, less every opening the line crosses.

    A return flange stands on edge: the plate counts only to where its bend starts.

    >>> from parts.sheet.blank import Cutout
    >>> from parts.sheet.loop import circle, polygon
    >>> plate = polygon([(0, 0), (60, 0), (60, 40), (0, 40)])
    >>> holes = (Cutout("a", circle((15, 20), 10)), Cutout("b", circle((45, 20), 8)))
    >>> round(plate_width(Blank(5, plate, holes, (), (5, 5)), (15, 20), (1, 0), None), 6)
    42.0
    """
    runs = stretches(blank.outline, point, along)
    low, high = min(runs, key=lambda run: max(run[0], -run[1], 0.0))
    if flange is not None:
        low, high = _before_return((low, high), point, along, flange)
    taken = (
        max(0.0, min(high, end) - max(low, start))
        for cutout in blank.cutouts
        for start, end in stretches(cutout.loop, point, along)
    )
    return max(0.0, high - low - sum(taken))


def _before_return(run: Run, point: Point, along: Point, flange: Return) -> Run:
    """The part of a run across the leg that lies before the return's bend, where they cross."""
    bend, (low, high) = flange.bend, run
    rate = along[0] * bend.across[0] + along[1] * bend.across[1]
    if abs(rate) < 1e-9:
        return run
    v = -bend.ahead(point) / rate
    crossing = (point[0] + v * along[0], point[1] + v * along[1])
    if not 0 <= bend.beside(crossing) <= distance(bend.start, bend.end):
        return run
    return (low, min(high, v)) if rate > 0 else (max(low, v), high)


def bolt_section(
    blank: Blank,
    flange: Return | None,
    chain: Chain,
    rail_holes: tuple[FlatHole, ...],
    bar_holes: tuple[FlatHole, ...],
) -> Section:
    """The section of the rail leg across its bolt nearest the bend, wherever in the slot it sits.

    Of the slot's middle and both its ends the one that bends most.
    """
    reach = chain.reaches[0]
    flat = rail_holes[int(chain.near.argmin())]
    studs = np.array([stud.hole.at for stud in bar_holes])
    found = []
    for spot in dict.fromkeys((flat.center, *flat.ends)):
        arm = distance_to_line(studs, chain.base.apply([*spot, 0.0]), reach.line)
        width = plate_width(blank, spot, reach.bend.along, flange)
        found.append(Section(flat.hole.name, arm, width, spot != flat.center))
    return max(found, key=lambda one: one.arm / max(one.width, 1e-9))
