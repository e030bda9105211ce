"""What is wrong with a laid-out bumper mount, or worth knowing before it is cut."""

from __future__ import annotations

from collections.abc import Iterator

from parts.kinds.bench import Spots
from parts.kinds.bumper_mount.clearances import Gap
from parts.kinds.bumper_mount.config import BumperMount
from parts.kinds.bumper_mount.figures import GEOMETRY
from parts.kinds.bumper_mount.fit import (
    cross_error,
    kept_clear,
    off_face,
    parallel_slots,
    past_the_rail,
    spanner_room,
)
from parts.kinds.bumper_mount.layout import Bracket
from parts.kinds.bumper_mount.side import Side
from parts.kinds.bumper_mount.spreads import Spreads
from parts.report import Finding, Severity
from parts.sheet.cuttable import cuttable
from parts.sheet.fold import Folded
from parts.sheet.shop import Shop
from parts.trade.bolts import property_class
from parts.trade.screening import PRELOADED, Screen


def findings(
    config: BumperMount,
    side: Side,
    spots: Spots,
    bracket: Bracket,
    folded: Folded,
    screened: tuple[Screen, ...],
    spread: Spreads,
    clear: tuple[Gap, ...],
) -> Iterator[Finding]:
    """What is wrong with one hand's bracket, or worth knowing before it is cut."""
    yield from off_face(side, spots, bracket.rail, bracket.bar)
    yield from past_the_rail(bracket, folded)
    yield from parallel_slots(bracket)
    yield from cross_error(spots, bracket, config)
    yield from spanner_room(config, bracket, folded)
    yield from kept_clear(clear)
    yield from _sharp_corners(bracket)
    yield from _no_spread(spread)
    for screen in screened:
        if not screen.holds:
            yield _failed(screen)
    yield from _not_preloaded(config)


def _sharp_corners(bracket: Bracket) -> Iterator[Finding]:
    """Outside corners of the finished outline that are rounded by too little."""
    for finding in cuttable(bracket.blank, Shop(), round_corners=True):
        if finding.where.startswith("corner at "):
            yield finding


def _no_spread(spread: Spreads) -> Iterator[Finding]:
    """An angle without a ± would read as exact."""
    if spread.unknown:
        yield Finding(
            Severity.MENTIONS,
            "bends",
            "the ± of the turns and of the holes' distances could not be worked out: within the "
            f"error of what was measured no bracket may fit ({spread.unknown})",
            "points and angles that fit the bracket wherever in their ± they lie",
            "measure closer, or try it in card first",
            GEOMETRY,
        )


def _not_preloaded(config: BumperMount) -> Iterator[Finding]:
    name = property_class(config.bolt_class).name
    if name not in PRELOADED:
        yield Finding(
            Severity.MENTIONS,
            "screening, slip of the joints",
            f"{name} is not a preloaded class: nothing holds the slots but the bolts' shanks",
            f"bolts of class {' or '.join(PRELOADED)}, tightened to their preload",
            "take bolts of such a class, or pin the joints once the bar is set",
            "EN 1993-1-8 3.1.2",
        )


REMEDIES = {
    "bending": "thicker stock, more edge, or a shorter leg",
    "give": "thicker stock, a wider bracket, or a shorter leg",
    "slip": "tighten to the class's torque, use washers that grip, or pin the joint once set",
    "hole": "move the holes apart, or round holes for slots",
    "edge": "more edge",
}


def _failed(screen: Screen) -> Finding:
    serious = not screen.name.startswith(("slip", "give"))
    remedy = next(
        (text for word, text in REMEDIES.items() if screen.name.startswith(word)),
        "a larger bolt or a higher class",
    )
    return Finding(
        Severity.REFUSES if serious else Severity.MENTIONS,
        f"screening, {screen.name}",
        f"{screen.found:.1f} {screen.unit}",
        f"{screen.limit:.1f} {screen.unit}",
        remedy,
        screen.source,
    )
