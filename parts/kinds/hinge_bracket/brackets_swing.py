"""The pad and the brackets swung: what moves with the lid against what stays, and the reverse."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.figures import GEOMETRY
from parts.kinds.hinge_bracket.metal import Cut
from parts.kinds.hinge_bracket.pieces import Metal
from parts.report import Finding, Severity
from parts.trade.swing import Outline, Section, Swing, swing

ARM_PIECES = ("arm", "doubler")  # the arm has its own proof; a doubler lies within it
SHORT = 0.005  # mm


def bracket_swings(config: HingeBracket, metal: Metal) -> Iterator[Finding]:
    """Where a bracket strikes, or comes nearer than an arm may.

    As the section sees them, wherever along the axis they are: on the safe side.
    """
    one = metal.swung
    stays = tuple(replace(item, against=None) for item in one.around.told_to_arm)
    for cut in metal.cuts:
        if cut.name in ARM_PIECES:
            continue
        own = tuple(_outlines(cut))
        moving, fixed = (own, stays) if cut.swings else (one.around.carried, own)
        found = swing(Section(moving, fixed, config.opening), one.pivot)
        if found.clearance < config.arm_clearance - SHORT:
            yield _finding(config, cut, found)


def _outlines(cut: Cut) -> Iterator[Outline]:
    for number, loop in enumerate(cut.side_view):
        yield Outline(cut.name if number == 0 else f"{cut.name}, {number + 1}", loop)


def _finding(config: HingeBracket, cut: Cut, found: Swing) -> Finding:
    other = found.item if cut.swings else found.mover
    if found.strikes:
        words = f"it strikes the {other} at {found.angle_deg:.1f}°"
    else:
        words = f"{found.clearance:.2f} mm to the {other} at {found.angle_deg:.1f}°"
    refuses = found.strikes or config.if_less == "refuse"
    return Finding(
        Severity.REFUSES if refuses else Severity.MENTIONS, f"{cut.name}, swinging", words,
        f"{config.arm_clearance:g} mm all through the swing",
        "a shorter foot, another face, or a mount further off", GEOMETRY,
    )  # fmt: skip
