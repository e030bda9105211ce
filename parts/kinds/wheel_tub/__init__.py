"""Wheel tub: side disc, rolled band and inner skin, sized to a tyre that moves.

seen from the rear, right hand          seen from the side

     disc |¯¯¯¯¯ band ¯¯¯¯| skin             .--------.
          |               |                .'   tyre   '.
          |   ( tyre )    |               /      o       \\
   rail []|               |          ____/                \\____
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

from parts.kinds.bench import Bench, NoTooling
from parts.kinds.sides import made_as_mirror, of_hand
from parts.kinds.wheel_tub.assumed import assumptions
from parts.kinds.wheel_tub.blanks import Cut, NoTub
from parts.kinds.wheel_tub.by_pose import axle_table, hand_tables
from parts.kinds.wheel_tub.config import Hand, TubSide, WheelTub
from parts.kinds.wheel_tub.figures import (
    cut_figures,
    hand_figures,
    limits_in_words,
    may_miss_in_words,
    tyre_figures,
)
from parts.kinds.wheel_tub.findings import findings, of_tyre, wishes
from parts.kinds.wheel_tub.layout import Tub, lay_out_tub
from parts.kinds.wheel_tub.scenery import Swept, scenery
from parts.kinds.wheel_tub.sweeps import Sweeps, sweeps_or_findings
from parts.kinds.wheel_tub.to_fit import to_fit
from parts.part import Part, Piece
from parts.report import Figure, Finding, Severity, Table
from parts.scenery import Later
from parts.sheet.allowance import Allowance
from parts.sheet.fold import Folded
from parts.sheet.soundness import fold_or_findings

__all__ = ["WheelTub", "lay_out"]

CAUTIONS = (
    "No clearance shown here counts until it was checked with the real wheel at full bump, at full "
    "droop, and one wheel up with the other down, and again after a test drive.",
    "Measure the tyre; the sidewall number is nominal, and the next set may be larger.",
    "Cutting or notching a chassis rail, or widening inner guards, needs approval in many places; "
    "some codes limit the rim width behind a tubbed guard. A licensed engineer decides.",
    "Leave seat-belt anchors and their reinforcements alone.",
    "Grind zinc off both faces, 25 mm or more on each side of a weld, and wear a rated respirator: "
    "its fume makes you ill hours later. Recoat afterwards.",
    "Any welding on the vehicle: disconnect the battery and control units, earth near the weld, no "
    "fuel, sealer, foam or undercoat within reach, fire watch for 30 minutes.",
    "No sharp joint may face the tyre. Drain and seal where water can stand between skin and body.",
    "Cut and offer up paper or card with the tyre at bump before cutting sheet.",
)


@dataclass(frozen=True, eq=False)
class _Hand:
    """What is made for one hand and said of it; without sweeps where no tub could be laid out."""

    findings: tuple[Finding, ...]
    sweeps: Sweeps | None = None
    pieces: tuple[Piece, ...] = ()
    figures: tuple[Figure, ...] = ()
    tables: tuple[Table, ...] = ()
    summary: tuple[str, ...] = ()
    swept: Swept | None = None


def lay_out(name: str, config: WheelTub, bench: Bench) -> Part:
    """The tub of each hand asked for, with its clearances, figures and findings."""
    gear = bench.gears[config.axle]
    hands = [_hand(config, bench, hand) for hand in config.hands]
    used = _points_used(config)
    return Part(
        bench.job, name, config.kind, bench.made_on,
        tuple(piece for hand in hands for piece in hand.pieces),
        (*tyre_figures(gear), *(figure for hand in hands for figure in hand.figures)),
        (*of_tyre(gear), *(finding for hand in hands for finding in hand.findings)),
        CAUTIONS, bench.measurements_of(used), config.note, bench.spots.listed(used),
        (axle_table(gear), *(table for hand in hands for table in hand.tables)),
        summary=(
            *(sentence for hand in hands for sentence in hand.summary),
            *may_miss_in_words([hand.sweeps for hand in hands if hand.sweeps]),
        ),
        assumptions=tuple(assumptions(config, bench)),
        later=Later(partial(scenery, gear, tuple(h.swept for h in hands if h.swept is not None))),
    )  # fmt: skip


def _points_used(config: WheelTub) -> tuple[str, ...]:
    names: list[str] = []
    for side in (config.right, config.left):
        if side is not None:
            names += side.body_side.points
            names += (name for clear in side.keep_clear for name in clear.points)
    return tuple(dict.fromkeys(names))


def _hand(config: WheelTub, bench: Bench, hand: Hand) -> _Hand:
    """One hand's tub, from its own measurements or those of the other hand mirrored."""
    side = config.side(hand)
    if side is not None:
        return _laid_out(config, side, bench, hand)
    other = config.left or config.right
    assert other is not None
    made = _laid_out(config, other, bench.mirrored(), hand)
    return replace(made, findings=(made_as_mirror(hand), *made.findings))


def _laid_out(config: WheelTub, side: TubSide, bench: Bench, hand: Hand) -> _Hand:
    try:
        tub = lay_out_tub(config, side, bench, hand)
    except (NoTub, NoTooling) as no:
        refusal = Finding(
            Severity.REFUSES, f"{hand}: {no.where}", no.found, no.needed, no.remedy,
            "computed from the measured surround",
        )  # fmt: skip
        return _Hand((refusal,))
    sweeps, unproved = sweeps_or_findings(tub)
    if sweeps is None:
        return _Hand(tuple(of_hand(hand, unproved)))
    wished = wishes(config, side)
    said = list(of_hand(hand, findings(config, side, bench, tub, sweeps)))
    pieces = []
    for cut in tub.cuts:
        folded, wrong = fold_or_findings(cut.blank)
        said += (replace(one, where=f"{hand} {cut.name}: {one.where}") for one in wrong)
        if folded is not None:
            pieces.append(_piece(config, bench, tub, sweeps, cut, folded))
    figures = hand_figures(config, tub, sweeps, wished)
    tables = hand_tables(tub, sweeps)
    return _Hand(
        tuple(said), sweeps, tuple(pieces),
        tuple(replace(figure, name=f"{hand}: {figure.name}") for figure in figures),
        tuple(replace(table, title=f"{hand}: {table.title}") for table in tables),
        tuple(f"{hand}: {words}" for words in limits_in_words(tub, sweeps, wished)),
        Swept(hand, side, {name: one.travels for name, one in sweeps.least.items()}),
    )  # fmt: skip


def _piece(
    config: WheelTub, bench: Bench, tub: Tub, sweeps: Sweeps, cut: Cut, folded: Folded
) -> Piece:
    rack = tub.rack
    allowances = tuple(
        Allowance(bend.allowance, 0.5, "rolled: the middle of the sheet")
        if bend.radius == tub.room.path.radius
        else bench.allowance(rack, bend.turn_deg)
        for bend in cut.blank.bends
    )
    return Piece(
        cut.name, tub.hand, rack.stock, folded, cut.place, allowances, cut.faces,
        tuple(cut_figures(tub, cut, folded)), rack.die_v, config.quantity, rack.sheet,
        inside_radius=rack.inside_radius,
        to_fit=to_fit(config, tub, sweeps, cut.name, folded, bench.shop),
    )  # fmt: skip

