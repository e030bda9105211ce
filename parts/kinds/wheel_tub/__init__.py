"""Wheel tub: side disc, rolled band and inner skin, sized to a tyre that moves.

seen from the rear, right hand          seen from the side

     disc |¯¯¯¯¯ band ¯¯¯¯| skin             .--------.
          |               |                .'   tyre   '.
          |   ( tyre )    |               /      o       \\
   rail []|               |          ____/                \\____
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from parts.kinds.bench import Bench, NoTooling
from parts.kinds.sides import made_as_mirror
from parts.kinds.wheel_tub.blanks import Cut, NoTub
from parts.kinds.wheel_tub.config import Hand, TubSide, WheelTub
from parts.kinds.wheel_tub.figures import cut_figures, tub_figures
from parts.kinds.wheel_tub.findings import findings, wishes
from parts.kinds.wheel_tub.layout import Tub, lay_out_tub
from parts.kinds.wheel_tub.sweeps import sweeps_of
from parts.part import Part, Piece
from parts.report import Figure, Finding, Severity
from parts.sheet.allowance import Allowance
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


def lay_out(name: str, config: WheelTub, bench: Bench) -> Part:
    """The tub of each hand asked for, with its clearances, figures and findings."""
    pieces: list[Piece] = []
    found: list[Finding] = []
    figures: list[Figure] = []
    for hand in config.hands:
        side, table = config.side(hand), bench
        if side is None:
            side = config.left or config.right
            table = bench.mirrored()
            found.append(made_as_mirror(hand))
        assert side is not None
        made, told, said = _one_hand(config, side, table, hand)
        pieces += made
        figures += told
        found += said
    return Part(
        bench.job, name, config.kind, bench.made_on, tuple(pieces), tuple(figures), tuple(found),
        CAUTIONS, bench.measurements_of(_points_used(config)), config.note,
        bench.spots.listed(_points_used(config)),
    )  # fmt: skip


def _points_used(config: WheelTub) -> tuple[str, ...]:
    names: list[str] = []
    for side in (config.right, config.left):
        if side is not None:
            names += side.body_side.points
            names += (name for clear in side.keep_clear for name in clear.points)
    return tuple(dict.fromkeys(names))


def _one_hand(
    config: WheelTub, side: TubSide, bench: Bench, hand: Hand
) -> tuple[list[Piece], list[Figure], list[Finding]]:
    try:
        tub = lay_out_tub(config, side, bench, hand)
    except (NoTub, NoTooling) as no:
        refusal = Finding(
            Severity.REFUSES, f"{hand}: {no.where}", no.found, no.needed, no.remedy,
            "computed from the measured surround",
        )  # fmt: skip
        return [], [], [refusal]
    sweeps = sweeps_of(tub)
    figures = [
        replace(figure, name=f"{hand}: {figure.name}")
        for figure in tub_figures(tub, sweeps, wishes(config, side))
    ]
    said = list(_of_hand(hand, findings(config, side, bench, tub, sweeps)))
    pieces = []
    for cut in tub.cuts:
        piece, wrong = _piece(config, bench, tub, cut)
        pieces += piece
        said += _of_hand(hand, wrong)
    return pieces, figures, said


def _piece(
    config: WheelTub, bench: Bench, tub: Tub, cut: Cut
) -> tuple[list[Piece], tuple[Finding, ...]]:
    folded, wrong = fold_or_findings(cut.blank)
    if folded is None:
        return [], tuple(replace(one, where=f"{cut.name}: {one.where}") for one in wrong)
    rack = tub.rack
    allowances = tuple(
        Allowance(bend.allowance, 0.5, "rolled: the middle of the sheet")
        if bend.radius == tub.room.path.radius
        else bench.allowance(rack, bend.turn_deg)
        for bend in cut.blank.bends
    )
    piece = Piece(
        cut.name, tub.hand, rack.stock, folded, cut.place, allowances, cut.faces,
        tuple(cut_figures(tub, cut, folded)), rack.die_v, config.quantity, rack.sheet,
        inside_radius=rack.inside_radius,
    )  # fmt: skip
    return [piece], ()


def _of_hand(hand: Hand, said: Iterator[Finding] | tuple[Finding, ...]) -> Iterator[Finding]:
    return (replace(finding, where=f"{hand}: {finding.where}") for finding in said)

