"""What is said of a fold order: that there is none, or that it takes tools not every shop has.

No order refuses, as a channel that is too deep does: the tools it was tried on are the furthest
that the rows of brake_limits.csv go, and a shop with better ones says so. A sheet that is refused
already for one of its turns, channels or profiles is not told the same twice.
"""

from __future__ import annotations

from collections.abc import Iterator

from parts.report import Finding, Severity
from parts.sheet.bend_side import bend_sides
from parts.sheet.fold import Folded
from parts.sheet.fold_order.steps import FoldOrder, NoOrder
from parts.sheet.shop import Shop
from parts.sheet.tooling import tooling

NEEDED = "an order in which nothing that was bent before strikes punch or beam, die or table"


def order_findings(folded: Folded, order: FoldOrder | NoOrder, shop: Shop) -> Iterator[Finding]:
    """That no order was found, or one finding for each kind of unusual tool."""
    bends = folded.blank.bends
    if isinstance(order, FoldOrder):
        yield from _unusual(folded, order)
    elif order.given_up or not any(
        finding.refuses for finding in tooling(folded, bend_sides(folded.blank), shop)
    ):
        names = [bends[number].name for number in order.blocked]
        yield Finding(
            Severity.MENTIONS if order.given_up else Severity.REFUSES,
            f"fold order of bend{'s' if len(names) > 1 else ''} {', '.join(names)}",
            order.why, NEEDED, order.remedy, order.source,
        )  # fmt: skip


def _unusual(folded: Folded, order: FoldOrder) -> Iterator[Finding]:
    bends = folded.blank.bends
    for kind in sorted({kind for step in order.steps for kind in step.unusual}):
        names = [bends[n].name for step in order.steps if kind in step.unusual for n in step.bends]
        yield Finding(
            Severity.MENTIONS,
            f"fold order, bend{'s' if len(names) > 1 else ''} {', '.join(names)}",
            f"only {kind} clears what is bent before",
            "that tool, which not every shop has",
            "see that it is on the rack, or change what stands in its way; [shop] punch_height, "
            "punch_thickness, die_height and die_shoulder say what there is",
            order.source,
        )
