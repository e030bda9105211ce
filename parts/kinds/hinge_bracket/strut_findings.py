"""What is found of the lid's weight and of its struts."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.figures import STATICS
from parts.kinds.hinge_bracket.struts import Hanging, strut_y
from parts.kinds.hinge_bracket.swings import Swung
from parts.kinds.hinge_bracket.weight import SCALES
from parts.report import Finding, Severity
from parts.sheet.curve import Line, curve_distance
from parts.sheet.loop import moved
from parts.trade.strut import findings as strut_findings
from parts.trade.strut import looked_at
from parts.trade.swing import opened

REFUSES, MENTIONS = Severity.REFUSES, Severity.MENTIONS
PRACTICE = "common practice"
COARSE_DEG = 2.0


def weight(hanging: Hanging) -> Iterator[Finding]:
    """Said where two sources disagree by more than their ±."""
    known = hanging.weighed
    for source, off in known.others:
        if off.within:
            continue
        words = f"{off.name}: {known.source} {off.found:.2f} {off.unit}, {source} {off.given:.2f}"
        yield Finding(
            MENTIONS, "weight", str(off) if known.source == SCALES else words,
            "sources that agree within their ±", "weigh it again, with all that is fitted",
            STATICS,
        )  # fmt: skip


def struts(config: HingeBracket, hanging: Hanging) -> Iterator[Finding]:
    """What is found of the struts, or of there being none."""
    if config.struts is None:
        yield Finding(
            MENTIONS, "struts", "none: nothing but a hand holds the lid open", "a prop, or struts",
            "add the table `struts`, or fit a prop that locks", PRACTICE,
        )  # fmt: skip
    elif hanging.hung is not None:
        yield from strut_findings(hanging.hung, hanging.rules, hanging.room)
    elif hanging.found is not None:
        yield Finding(
            REFUSES, "struts", f"none of {hanging.found.tried} tried will do",
            "struts that keep it shut hot and hold it cold, within their lengths",
            "larger areas for the mounts, or less asked of them: the table says why each fails",
            STATICS,
        )  # fmt: skip


def beside_arm(config: HingeBracket, one: Swung, hanging: Hanging, thickness: float
               ) -> Iterator[Finding]:  # fmt: skip
    """Said where the strut swings through the arm."""
    hung, arm, asked = hanging.hung, one.arm, config.struts
    if hung is None or arm is None or asked is None:
        return
    y = strut_y(asked, one.side.y)
    aside = sorted((y - one.side.y, y - asked.aside - one.side.y))
    off = 0.0 if aside[0] <= 0 <= aside[1] else min(map(abs, aside))
    need = hung.strut.tube / 2 + hanging.rules.gap
    if off >= need + thickness / 2:
        return
    on_lid, on_body = map(hanging.in_lid_axes, (hung.mounts.lid, hung.mounts.body))
    least, at = min(
        (_apart(one, on_lid, on_body, float(angle)), float(angle))
        for angle in looked_at(config.opening, COARSE_DEG)
    )
    if hypot(least, max(off - thickness / 2, 0.0)) < need:
        yield Finding(
            REFUSES, "strut beside the arm",
            f"its axis comes to {least:.1f} mm of the arm at {at:.0f}°, and lies {off:.0f} mm "
            "beside the hinge plane",
            f"{need + thickness / 2:.1f} mm beside the hinge plane: half the tube, half the arm "
            f"and {hanging.rules.gap:g}",
            "set `struts.y` further out or in", PRACTICE,
        )  # fmt: skip


def _apart(
    one: Swung, on_lid: tuple[float, float], on_body: tuple[float, float], angle_deg: float
) -> float:
    """Distance of the strut's axis from the arm in the section, at an angle; 0 where it crosses.

    Both are seen from the lid, so that the arm stays.
    """
    seen = opened(on_body, one.pivot, -angle_deg)
    assert one.arm is not None
    axis = Line(seen, on_lid)
    return min(curve_distance(axis, curve)[0] for curve in moved(one.arm.outline.curves))
