"""Bumper mount: a hidden bracket from the frame rail to the back of the bumper bar.

rail leg on the rail's face        seen from above, right hand:

    o   o                          rail  =====o===o======.
         `---. bend                                      | bar leg
             |                     bar   ~~~~~~~~~~~~~~~~o~~~~~
             o  bar leg
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from parts.kinds.bench import Bench, NoTooling
from parts.kinds.bumper_mount.assumed import assumptions, load_cases
from parts.kinds.bumper_mount.clearances import gaps
from parts.kinds.bumper_mount.config import BumperMount
from parts.kinds.bumper_mount.faces import Angles, NoLayout, contact_faces
from parts.kinds.bumper_mount.figures import GEOMETRY, figures
from parts.kinds.bumper_mount.findings import findings
from parts.kinds.bumper_mount.fit import off_face
from parts.kinds.bumper_mount.layout import Bracket, lay_out_bracket
from parts.kinds.bumper_mount.scenery import scenery
from parts.kinds.bumper_mount.screens import screens
from parts.kinds.bumper_mount.side import Hand, Side
from parts.kinds.bumper_mount.spreads import spreads
from parts.kinds.sides import made_as_mirror, of_hand
from parts.part import Part, Piece
from parts.report import Finding, Severity
from parts.scenery import Later
from parts.sheet.soundness import fold_or_findings

__all__ = ["BumperMount", "lay_out"]

TOOLING = "the stock, the bend book and the table of dies"

CAUTIONS = (
    "Not a towing, lifting, jacking or recovery point. Not tested for a crash.",
    "Bumpers, pedestrian edges and airbag triggers are regulated: ask before fitting it to a road "
    "vehicle. A licensed engineer decides on the loads; the screening here rests on an assumed "
    "load and certifies nothing.",
    "Round all outside edges to at least 2.5 mm.",
    "Holes in the rail stay round and drilled, no more than bolt + 1 mm; slots belong in the "
    "bracket. No new holes in rail flanges.",
    "Put washers of 3 mm or more over the slots, tighten to the torque of the bolt's class, and "
    "check again after the first drive.",
    "Welding on the vehicle: disconnect the battery and control units, earth near the weld, no "
    "fuel, sealer or foam within reach, fire watch for 30 minutes. Grind zinc off first.",
    "Cut and offer up the first part, or a card of it, before cutting the rest.",
)


def lay_out(name: str, config: BumperMount, bench: Bench) -> Part:
    """The bracket of each hand asked for, with its figures and findings."""
    pieces: list[Piece] = []
    brackets: list[Bracket] = []
    found: list[Finding] = []
    used = tuple(dict.fromkeys(_points_used(config)))
    for hand in config.hands:
        side, table = config.side(hand), bench
        if side is None:
            side = config.left or config.right
            table = bench.mirrored()
            found.append(made_as_mirror(hand))
        assert side is not None
        piece, bracket, said = _one_hand(config, side, table, hand)
        pieces += piece
        brackets += bracket
        found += said
    return Part(
        bench.job,
        name,
        config.kind,
        bench.made_on,
        tuple(pieces),
        (),
        tuple(found),
        CAUTIONS,
        bench.measurements_of(used),
        config.note,
        bench.spots.listed(used),
        assumptions=tuple(assumptions(config, pieces)),
        load_cases=tuple(load_cases(config)),
        later=Later(partial(scenery, tuple(brackets))),
    )


def _points_used(config: BumperMount) -> Iterator[str]:
    for side in (config.right, config.left):
        if side is not None:
            yield from (*side.rail_holes, *side.bar_studs)
            yield from (*(side.rail_face.points or ()), *(side.bar_face.points or ()))
            yield from (clear.point for clear in side.keep_clear)


def _one_hand(
    config: BumperMount, side: Side, bench: Bench, hand: Hand
) -> tuple[list[Piece], list[Bracket], list[Finding]]:
    try:
        bracket = lay_out_bracket(config, side, bench, hand)
    except (NoLayout, NoTooling) as no:
        finding = Finding(
            Severity.REFUSES, f"{hand}: {no.where}", no.found, no.needed, no.remedy,
            TOOLING if isinstance(no, NoTooling) else GEOMETRY,
        )  # fmt: skip
        return [], [], [finding, *of_hand(hand, _off_faces(config, side, bench, hand))]
    folded, unsound = fold_or_findings(bracket.blank)
    if folded is None:
        return [], [bracket], list(of_hand(hand, unsound))
    allowances = tuple(bench.allowance(bracket.rack, b.turn_deg) for b in bracket.blank.bends)
    screened = tuple(screens(config, bracket))
    spread = spreads(config, side, bench.spots, bracket, allowances)
    clear = tuple(gaps(config, side, bench.spots, bracket, folded))
    piece = Piece(
        "bracket",
        hand,
        bracket.rack.stock,
        folded,
        bracket.chain.base,
        allowances,
        _faces(bracket),
        tuple(figures(bracket, folded, allowances, spread, clear)),
        bracket.rack.die_v,
        config.quantity,
        bracket.rack.sheet,
        screened,
        bracket.rack.inside_radius,
    )
    said = findings(config, side, bench.spots, bracket, folded, screened, spread, clear)
    return [piece], [bracket], list(of_hand(hand, said))


def _off_faces(
    config: BumperMount, side: Side, bench: Bench, hand: Hand
) -> Iterator[Finding]:
    """Points off their faces, where no bracket could be laid out: often they are the reason."""
    try:
        faces = contact_faces(side, bench.spots, hand, config.bumper, Angles.measured(side))
    except NoLayout:
        return
    yield from off_face(side, bench.spots, *faces)



def _faces(bracket: Bracket) -> str:
    """What the drawn face of the rail leg looks at: away from the rail."""
    out = bracket.rail.metal
    words = (("rearward", "forward"), ("right", "left"), ("up", "down"))
    axis = max(range(3), key=lambda i: abs(out[i]))
    return f"away from the rail, {words[axis][0 if out[axis] > 0 else 1]}"
