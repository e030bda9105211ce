"""What is found of the lid's weight and of its struts."""

from __future__ import annotations

from collections.abc import Iterator

from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.figures import STATICS
from parts.kinds.hinge_bracket.struts import Hanging
from parts.kinds.hinge_bracket.weight import SCALES
from parts.report import Finding, Severity
from parts.trade.strut import findings as strut_findings

REFUSES, MENTIONS = Severity.REFUSES, Severity.MENTIONS
PRACTICE = "common practice"


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
