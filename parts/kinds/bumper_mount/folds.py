"""Which folds join the two faces: one where they meet within reach, else a step of two."""

from __future__ import annotations

import numpy as np

from parts.kinds.bumper_mount.bracket import (
    LEAST_TURN_DEG,
    MOST_TURN_DEG,
    BoltHole,
    Chain,
    Sheet,
    one_bend,
    two_bends,
)
from parts.kinds.bumper_mount.config import BumperMount
from parts.kinds.bumper_mount.faces import NoLayout
from parts.kinds.bumper_mount.holes import clear_of_bend
from parts.sheet.reach import ContactFace, OutOfReach


def folds(
    config: BumperMount,
    sheet: Sheet,
    rail: ContactFace,
    bar: ContactFace,
    rail_holes: tuple[BoltHole, ...],
    bar_holes: tuple[BoltHole, ...],
) -> Chain:
    """One bend where the faces meet within reach, else a step of two; raises NoLayout."""
    rail_at = np.array([hole.at for hole in rail_holes])
    bar_at = np.array([hole.at for hole in bar_holes])
    why = ""
    if config.bends != "two":
        try:
            chain = one_bend(sheet, rail, bar, rail_at, bar_at)
            why = _why_not_one(config, chain)
            if not why:
                return chain
        except OutOfReach as error:
            why = str(error)
        if config.bends == "one":
            raise NoLayout(
                "bends", f"one bend does not do: {why}", "faces that meet within reach",
                'say bends = "two", or raise reach',
            )  # fmt: skip
    clear = (clear_of_bend(rail_holes), clear_of_bend(bar_holes))
    not_one = f"one bend does not do: {why}; " if why else ""
    try:
        chain = two_bends(sheet, rail, bar, rail_at, bar_at, clear)
    except (OutOfReach, ValueError) as error:
        raise NoLayout(
            "bends", f"{not_one}no step fits: {error}", "a web between the two ends",
            "check the points and faces",
        ) from error  # fmt: skip
    sharpest = max(abs(bend.turn_deg) for bend in chain.bends)
    if sharpest > MOST_TURN_DEG:
        raise NoLayout(
            "bends",
            f"{not_one}the step would have to turn by {sharpest:.0f} degrees",
            f"{MOST_TURN_DEG:.0f} degrees at most",
            "the two ends are too near each other: use smaller bolts, or a packer",
        )
    return chain


def _why_not_one(config: BumperMount, chain: Chain) -> str:
    turn = abs(chain.bends[0].turn_deg)
    if turn < LEAST_TURN_DEG:
        return f"the faces are only {turn:.1f} degrees from parallel"
    if turn > MOST_TURN_DEG:
        return f"it would have to turn by {turn:.1f} degrees"
    far = max(chain.near.max(), chain.far.max())
    if far > config.reach:
        return f"the faces meet {far:.0f} mm from a hole, over the reach of {config.reach:.0f}"
    return ""
