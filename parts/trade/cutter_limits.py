"""What a cutter cannot make, in words, and how a piece is ordered of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from parts.report import Finding, Severity
from parts.sheet.bend_side import is_rolled
from parts.sheet.blank import Bend, Blank
from parts.sheet.cuttable import cuttable
from parts.sheet.fold import Folded
from parts.sheet.loop import Loop, box, directions, moved
from parts.sheet.on_sheet import off_sheet
from parts.sheet.shop import SLACK, Rack, Shop, limits, tenths_up
from parts.sheet.stock import Stock
from parts.tables import folded as plainly
from parts.trade.cutter import Cutter, Size

HEM_DEG = 165.0  # turned further than this, sheet is folded onto itself
FLAT, BENT, BEND_HERE = "flat", "bent", "flat, we bend it"
STATED = limits("web", 1.0, stated=1.0)[0].source  # what a limit says that the shop states itself


def comes(cutter: Cutter, blank: Blank) -> str:
    """How a piece is ordered: FLAT, BENT, or BEND_HERE where the cutter cannot bend all of it.

    >>> from parts.sheet.loop import polygon
    >>> from parts.trade.cutter import Limits
    >>> strip = polygon([(0, 0), (90, 0), (90, 20), (0, 20)])
    >>> ell = Blank(4, strip, (), (Bend("lip", (40, 20), (40, 0), 90, 5, 10),), (5, 5))
    >>> comes(Cutter("near"), ell), comes(Cutter("far", limits=Limits(bends=False)), ell)
    ('bent', 'flat, we bend it')
    """
    if not blank.bends:
        return FLAT
    able = cutter.limits.bends and not any(_not_made(cutter, blank))
    return BENT if able else BEND_HERE


def _not_made(cutter: Cutter, blank: Blank) -> Iterator[tuple[Bend, str]]:
    """Bends of a sort that the cutter does not make, each with the word for the sort."""
    for bend in blank.bends:
        if is_rolled(bend, blank.thickness):
            if not cutter.limits.rolls:
                yield bend, "roll"
        elif abs(bend.turn_deg) > HEM_DEG and not cutter.limits.hems:
            yield bend, "hem"


def beyond(cutter: Cutter, folded: Folded, stock: Stock) -> Iterator[Finding]:
    """Where a piece goes beyond what this cutter can do, in words; what it does not bend."""
    blank = folded.blank
    yield from _thickness(cutter, stock)
    yield from _sizes(cutter, blank)
    yield from _sheets(cutter, folded, stock)
    yield from _cuts(cutter, blank)
    yield from _bends(cutter, blank)


def _said(cutter: Cutter, where: str, found: str, needed: str, remedy: str) -> Finding:
    severity = Severity.REFUSES if cutter.limits.refuses else Severity.MENTIONS
    return Finding(severity, where, found, needed, remedy, f"profile of cutter {cutter.name}")


def _thickness(cutter: Cutter, stock: Stock) -> Iterator[Finding]:
    """One finding where the cutter keeps no such sheet."""
    if not cutter.limits.thicknesses:
        return
    metal, t = stock.material.name, stock.thickness
    ours = [(least, most) for name, least, most in cutter.limits.thicknesses
            if plainly(name) == plainly(metal)]  # fmt: skip
    if not ours:
        names = ", ".join(name for name, _, _ in cutter.limits.thicknesses)
        yield _said(cutter, "material", f"{metal}, which it does not keep", names,
                         "choose one of these, or send it to another cutter")  # fmt: skip
    elif not any(least - SLACK <= t <= most + SLACK for least, most in ours):
        ranges = " or ".join(f"{least:g} to {most:g} mm" for least, most in ours)
        yield _said(cutter, "thickness", f"{t:g} mm {metal}", ranges,
                         "choose another sheet, or send it to another cutter")  # fmt: skip


def _sizes(cutter: Cutter, blank: Blank) -> Iterator[Finding]:
    bent = comes(cutter, blank) == BENT
    largest = cutter.limits.largest_bent if bent else cutter.limits.largest_flat
    what = "bends" if bent else "cuts"
    if largest is None:
        return
    found = [(_over(size, largest), size) for size in _turned(blank.outline)]
    (long, wide), size = min(found, key=lambda one: sum(one[0]))
    over = [f"{tenths_up(by):g} mm too {way}" for by, way in ((long, "long"), (wide, "wide"))
            if by > SLACK]  # fmt: skip
    if over:
        yield _said(
            cutter,
            "blank",
            f"{size[0]:.1f} x {size[1]:.1f} mm, {' and '.join(over)}",
            f"{max(largest):g} x {min(largest):g} mm, the largest it {what}",
            "make it that much smaller, cut it in two and weld, or send it to another cutter",
        )


def _sheets(cutter: Cutter, folded: Folded, stock: Stock) -> Iterator[Finding]:
    off = off_sheet(folded, Rack(stock), Shop(sheets=cutter.limits.sheets))
    if off is None:
        return
    along = " (along the grain x across it)" if off.grain else ""
    yield _said(cutter, 
        "blank", f"{off.size[0]:.1f} x {off.size[1]:.1f} mm{along} lies on none of its sheets",
        " or ".join(f"{a:g} x {b:g} mm" for a, b in cutter.limits.sheets),
        "make it smaller, cut it in two and weld, or ask for a larger sheet",
    )  # fmt: skip


def _cuts(cutter: Cutter, blank: Blank) -> Iterator[Finding]:
    """Holes and webs under the cutter's own limits; those of the trade are told elsewhere."""
    hole, gap, t = cutter.limits.least_hole, cutter.limits.least_gap, blank.thickness
    shop = Shop(
        least_hole=None if hole is None else hole * t,
        least_slot=None if hole is None else hole * t,
        least_gap=None if gap is None else gap * t,
    )
    for one in cuttable(blank, shop):
        if one.source == STATED:
            said = _said(cutter, one.where, one.found, one.needed, one.remedy)
            yield replace(one, severity=said.severity, source=said.source)


def _bends(cutter: Cutter, blank: Blank) -> Iterator[Finding]:
    """Turns that are too sharp for it; and, never refused, what comes flat after all."""
    if not cutter.limits.bends:
        return
    most = cutter.limits.most_turn_deg
    for bend in blank.bends:
        turn = abs(bend.turn_deg)
        if most is None or is_rolled(bend, blank.thickness) or turn > HEM_DEG:
            continue
        if turn > most + 1e-9:
            yield _said(cutter, 
                bend.name, f"turned by {turn:.4g}° from flat", f"{most:g}° at most",
                "turn it less, or order the piece flat and bend it yourself",
            )  # fmt: skip
    for bend, sort in _not_made(cutter, blank):
        found = _said(cutter, 
            bend.name, f"a {sort}, which it does not make", "a cutter that makes it, or you",
            "it is ordered flat: bend it yourself, or name another cutter",
        )  # fmt: skip
        yield replace(found, severity=Severity.MENTIONS)


def _turned(outline: Loop) -> Iterator[Size]:
    """The box round a blank turned to each of its edges, the longer side first."""
    for angle_deg in directions(outline):
        x0, y0, x1, y1 = box(moved(outline, turn_deg=-angle_deg))
        yield max(x1 - x0, y1 - y0), min(x1 - x0, y1 - y0)


def _over(size: Size, largest: Size) -> Size:
    """How much each side is over, the longer first.

    >>> _over((300, 100), (90, 310))
    (0.0, 10)
    """
    return max(size[0] - max(largest), 0.0), max(size[1] - min(largest), 0.0)
