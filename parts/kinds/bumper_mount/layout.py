"""From measurements to a bracket: faces, folds, holes, outline, blank."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from parts.kinds.bench import Bench
from parts.kinds.bumper_mount.bracket import BoltHole, Chain, FlatHole, Sheet, flat_holes
from parts.kinds.bumper_mount.config import BumperMount
from parts.kinds.bumper_mount.faces import Angles, NoLayout, contact_faces
from parts.kinds.bumper_mount.flange import return_flange
from parts.kinds.bumper_mount.folds import folds
from parts.kinds.bumper_mount.holes import bolt_holes, neck_length, with_more_metal
from parts.kinds.bumper_mount.outline import Disc, Return, Root, bosses, outline, root
from parts.kinds.bumper_mount.room import refuse_holes_in_bend, refuse_short_web
from parts.kinds.bumper_mount.sections import (
    bolt_section,
    distance_to_line,
    screening_force_n,
    waist_needed,
    width_needed,
)
from parts.kinds.bumper_mount.side import Hand, Side
from parts.sheet.blank import Bend, Blank
from parts.sheet.curve import Point
from parts.sheet.reach import ContactFace
from parts.sheet.shop import Rack
from parts.trade.bolts import bolt

MOST_METAL = 1.5  # metal round a rail bolt, over what the rules ask, where the load wants it
WIDENINGS = 6  # rounds of widening; each comes nearer by most of what is missing


@dataclass(frozen=True, eq=False)
class Bracket:
    """One hand's bracket, laid out: everything that figures and findings are drawn from."""

    hand: Hand
    rack: Rack
    sheet: Sheet
    radius_source: str
    rail: ContactFace
    bar: ContactFace
    chain: Chain
    rail_holes: tuple[FlatHole, ...]
    bar_holes: tuple[FlatHole, ...]
    roots: tuple[Root, ...]
    flange: Return | None
    blank: Blank


@dataclass(frozen=True, eq=False)
class _Given:
    """What holds for every round of the layout."""

    config: BumperMount
    bench: Bench
    hand: Hand
    rack: Rack
    sheet: Sheet
    radius_source: str
    rail: ContactFace
    bar: ContactFace
    bar_holes: tuple[BoltHole, ...]


def lay_out_bracket(
    config: BumperMount, side: Side, bench: Bench, hand: Hand
) -> Bracket:
    """The bracket of one hand.

    Raises NoLayout where the measurements leave none, NoTooling where the shop cannot bend it.
    """
    rack = bench.racks[config.stock]
    radius = bench.inside_radius(rack)
    bench.allowance(rack, 90.0)  # a sheet that no rule answers for is refused as such
    sheet = Sheet(
        rack.stock.thickness, radius.value, lambda turn: bench.allowance(rack, turn).length_mm
    )
    rail, bar = contact_faces(side, bench.spots, hand, config.bumper, Angles.measured(side))
    rail_holes = bolt_holes(config, side, bench.spots, rail, hand, "rail", sheet)
    bar_holes = bolt_holes(config, side, bench.spots, bar, hand, "bar", sheet)
    given = _Given(config, bench, hand, rack, sheet, radius.source, rail, bar, bar_holes)
    bracket = _drawn(given, rail_holes)
    most = [MOST_METAL * hole.boss for hole in rail_holes]
    for _ in range(WIDENINGS):
        wider = _widened(given, bracket, most)
        if wider is None:
            break
        try:
            bracket = _drawn(given, wider)
        except NoLayout:
            break
    return bracket


def _widened(
    given: _Given, bracket: Bracket, most: list[float]
) -> tuple[BoltHole, ...] | None:
    """The rail holes with the metal that the load asks for at the bolts; None where it is there.

    Where one bend joins the faces it lies fast, and the metal has to end at its neck.
    """
    flats, chain = bracket.rail_holes, bracket.chain
    section = bolt_section(bracket.blank, bracket.flange, chain, flats, bracket.bar_holes)
    force = screening_force_n(given.config)
    short = width_needed(force, section.arm, given.rack.stock) - section.width
    if short < 0.01:
        return None
    fastener, wider = bolt(given.config.rail_bolt), []
    for flat, limit in zip(flats, most, strict=True):
        boss = min(flat.hole.boss + short / 2 + 0.01, limit)
        if len(chain.bends) == 1:
            room = -max(chain.bends[0].ahead(end) for end in flat.ends)
            boss = min(boss, room - neck_length(given.sheet.thickness))
        boss = max(boss, flat.hole.boss)
        wider.append(with_more_metal(flat.hole, boss, fastener, given.sheet))
    grown = any(b.boss > flat.hole.boss + 0.01 for b, flat in zip(wider, flats, strict=True))
    return tuple(wider) if grown else None


def _drawn(given: _Given, rail_holes: tuple[BoltHole, ...]) -> Bracket:
    """The bracket round the holes as they are; raises NoLayout."""
    config, rack, sheet = given.config, given.rack, given.sheet
    t = sheet.thickness
    chain = folds(config, sheet, given.rail, given.bar, rail_holes, given.bar_holes)
    flat_rail = flat_holes(chain.base, rail_holes)
    flat_bar = flat_holes(chain.end, given.bar_holes)
    legs: list[tuple[Disc, ...]] = [bosses(flat_rail), *([()] * (len(chain.bends) - 1))]
    legs.append(bosses(flat_bar))
    neck = neck_length(t)
    studs = np.array([hole.at for hole in given.bar_holes])
    refuse_holes_in_bend(flat_rail, chain.bends[0], neck, beyond=False)
    refuse_holes_in_bend(flat_bar, chain.bends[-1], neck, beyond=True)
    roots = tuple(
        root(
            reach.bend,
            (legs[0], legs[-1]),
            waist_needed(config, rack.stock, distance_to_line(studs, reach.apex, reach.line)),
            neck,
        )
        for reach in chain.reaches
    )
    refuse_short_web(roots)
    flange = None
    if config.return_flange > 0:
        flange = return_flange(config, given.bench, rack, chain, legs, roots)
    try:
        drawn = outline(tuple(legs), roots, flange)
    except ValueError as error:
        raise NoLayout(
            "outline", str(error), "bosses clear of the bend", "see the distances of the holes"
        ) from error
    blank = Blank(
        t,
        drawn,
        tuple(flat.cutout() for flat in (*flat_rail, *flat_bar)),
        (*(trimmed(r) for r in roots), *((flange.bend,) if flange else ())),
        _base_point(roots[0]),
    )
    return Bracket(
        given.hand, rack, sheet, given.radius_source, given.rail, given.bar, chain,
        flat_rail, flat_bar, roots, flange, blank,
    )  # fmt: skip


def trimmed(crossing: Root) -> Bend:
    """The bend with its line drawn from edge to edge of the metal."""
    bend = crossing.bend
    (x, y), d = bend.start, bend.along
    ends = [(x + v * d[0], y + v * d[1]) for v in (crossing.low, crossing.high)]
    return replace(bend, start=ends[0], end=ends[1])


def _base_point(first: Root) -> Point:
    """A point of the rail leg that is metal for sure: in the middle of the neck."""
    (x, y), d, n = first.bend.start, first.bend.along, first.bend.across
    v, u = (first.low + first.high) / 2, -first.neck / 2
    return (x + v * d[0] + u * n[0], y + v * d[1] + u * n[1])
