"""Left and right: which sides a part needs measured, and what may stand in for one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, Literal

from parts.kinds.problems import FieldProblem
from parts.report import Finding, Severity

Hand = Literal["left", "right"]


def hands_of(asked: Literal["left", "right", "pair"]) -> tuple[Hand, ...]:
    """The hands to make, right first.

    >>> hands_of("pair"), hands_of("left")
    (('right', 'left'), ('left',))
    """
    return ("right", "left") if asked == "pair" else (asked,)


def of_hand(hand: str, said: Iterable[Finding]) -> Iterator[Finding]:
    """Findings, each with the hand, or the piece, that it is of."""
    return (replace(finding, where=f"{hand}: {finding.where}") for finding in said)


def sides_measured(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    """What is wrong between `hand`, `mirror` and the tables `right` and `left` of a part."""
    hand = str(keys.get("hand"))
    wanted = {"pair": ("right", "left"), "right": ("right",), "left": ("left",)}.get(hand, ())
    measured = [side for side in ("right", "left") if keys.get(side) is not None]
    missing = [side for side in wanted if side not in measured]
    mirror = keys.get("mirror") is True
    if mirror and len(measured) == 2:
        yield FieldProblem(
            ("mirror",), "both sides are measured", "leave mirror out, or one of the sides"
        )
    elif missing and not measured:
        yield FieldProblem(
            ("hand",), "no side is measured", f"add the table `{missing[0]}` to this part"
        )
    elif missing and not mirror:
        yield FieldProblem(
            ("hand",),
            f"the {missing[0]} side is not measured",
            f"add the table `{missing[0]}`, or `mirror = true` to make it as the mirror image of "
            "the other",
        )


def made_as_mirror(hand: str) -> Finding:
    """Said of a side that stands in for one that was not measured."""
    return Finding(
        Severity.MENTIONS,
        hand,
        "made as the mirror image of the other side, which alone was measured",
        "both sides measured: bodies differ 3 to 8 mm from left to right",
        "offer up a card on this side first",
        "common practice",
    )
