"""Everything the shop and its cutter would refuse of a folded sheet, in one run."""

from __future__ import annotations

from collections.abc import Iterator

from parts.report import Finding, Severity
from parts.sheet.allowance import BendBook
from parts.sheet.bendable import bendable
from parts.sheet.collide import self_collisions
from parts.sheet.cuttable import cuttable
from parts.sheet.fold import Folded
from parts.sheet.on_sheet import on_sheet
from parts.sheet.shop import Rack, Shop


def check_sheet(
    folded: Folded, rack: Rack, book: BendBook, shop: Shop, to_fit: str = ""
) -> Iterator[Finding]:
    """Findings of every check: the part hitting itself, bending, cutting, lying on its sheet.

    `to_fit` says what would make the blank smaller, where that is known.
    """
    yield from _hits_itself(folded)
    yield from bendable(folded, rack, book, shop)
    yield from cuttable(folded.blank, shop)
    yield from on_sheet(folded, rack, shop, to_fit)


def _hits_itself(folded: Folded) -> Iterator[Finding]:
    for hit in self_collisions(folded):
        x, y, z = hit.point
        yield Finding(
            Severity.REFUSES,
            f"{hit.first} and {hit.second}",
            f"run into each other once folded, near ({x:.1f}, {y:.1f}, {z:.1f})",
            "metal clear of metal",
            "shorten one, cut a relief, or turn it less",
            "computed from the folded shape",
        )
