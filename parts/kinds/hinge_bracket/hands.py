"""Where a lid closes on a finger, and whether it needs a second latch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.swings import Swung
from parts.report import Finding, Severity
from parts.trade.swing import Section, clearance_curve, swing

FINGER = 25.0  # mm that keep a finger from being crushed: ISO 13854 table 1
CLOSES = 8.0  # mm by which a gap must close to catch one; from memory: a fingertip's thickness
COARSE_DEG = 10.0


def pinched(one: Swung) -> Iterator[Finding]:
    """Gaps that take a finger at one angle and crush it at another."""
    caught = list(_caught(one))
    if caught:
        yield Finding(
            Severity.MENTIONS, "hands", f"it closes on a finger: {'; '.join(caught)}",
            f"{FINGER:g} mm wherever a hand can reach, or hands kept away",
            "close it by the handle; a guard where children reach", "ISO 13854",
        )  # fmt: skip


def _caught(one: Swung) -> Iterator[str]:
    lid = one.around.lid
    for thing in one.by_thing:
        found = thing.swing
        most = max(thing.shut, thing.open)
        if found.strikes or found.item.startswith("seal"):
            continue
        if _catches(found.clearance, most):
            yield (
                f"{found.mover} to {found.item}, {most:.0f} to {found.clearance:.1f} mm at "
                f"{found.angle_deg:.0f}°"
            )
    if one.arm is None:
        return
    for item in one.around.told_to_arm:
        if item.name.startswith("seal"):
            continue
        alone = Section((one.arm.outline,), (replace(item, against=None),), lid.opening_deg)
        near = swing(alone, one.pivot)
        most = max(row.clearance for row in clearance_curve(alone, one.pivot, COARSE_DEG))
        if _catches(near.clearance, most):
            yield (
                f"arm to {item.name}, {most:.0f} to {near.clearance:.1f} mm at "
                f"{near.angle_deg:.0f}°"
            )


def _catches(least: float, most: float) -> bool:
    return least < FINGER and most - least >= CLOSES


def second_latch(config: HingeBracket) -> Iterator[Finding]:
    """Said of a lid that the wind would open."""
    if config.lid.runs == "forward":
        yield Finding(
            Severity.MENTIONS, "latch",
            "the lid opens into the wind: once its latch lets go it is thrown open on the road",
            "a second latch that holds it without the first",
            "fit a safety catch that a hand must find under the lid's edge",
            "49 CFR 571.113 S4.2",
        )  # fmt: skip
