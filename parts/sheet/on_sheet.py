"""Whether a blank lies on a sheet of the shop's, with the grain as its bends ask for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from parts.report import Finding, Severity
from parts.sheet.fold import Folded
from parts.sheet.grain import grain_of
from parts.sheet.loop import Loop, box, directions, moved
from parts.sheet.shop import SLACK, Rack, Shop, tenths_up

Size = tuple[float, float]


@dataclass(frozen=True, slots=True)
class OffSheet:
    """A blank that lies on no sheet: its size as it comes nearest to one, and by how much it is
    then too long and too wide, mm. With `grain` the first of each size is along the grain."""

    size: Size
    sheet: Size
    grain: bool

    @property
    def too_long(self) -> float:
        return max(self.size[0] - self.sheet[0], 0.0)

    @property
    def too_wide(self) -> float:
        return max(self.size[1] - self.sheet[1], 0.0)


def on_sheet(folded: Folded, rack: Rack, shop: Shop, to_fit: str = "") -> Iterator[Finding]:
    """The finding for a blank that lies on no sheet; `to_fit` says what would make it smaller.

    >>> from parts.sheet.blank import Blank
    >>> from parts.sheet.fold import fold
    >>> from parts.sheet.loop import polygon
    >>> from parts.sheet.stock import Stock, material
    >>> plate = fold(Blank(2, polygon([(0, 0), (90, 0), (90, 40), (0, 40)]), (), (), (5, 5)))
    >>> rack = Rack(Stock("plate", material("DC01"), 2), sheet=(89.5, 60))
    >>> print(next(on_sheet(plate, rack, Shop())))
    refused: blank: 90.0 x 40.0 mm, 0.5 mm too long for the sheet of 89.5 x 60 mm; needs a sheet
    that holds it, turned or not - make it that much smaller, or cut it in two and weld [the sheet
    on the rack]
    """
    off = off_sheet(folded, rack, shop)
    if off is None:
        return
    over = ((off.too_long, "long"), (off.too_wide, "wide"))
    words = " and ".join(f"{tenths_up(by):g} mm too {way}" for by, way in over if by > SLACK)
    along = " (along the grain x across it)" if off.grain else ""
    yield Finding(
        Severity.REFUSES,
        "blank",
        f"{off.size[0]:.1f} x {off.size[1]:.1f} mm{along}, {words} for the sheet of "
        f"{off.sheet[0]:g} x {off.sheet[1]:g} mm",
        "a sheet that holds it with the grain square to its sharpest bends" if off.grain else
        "a sheet that holds it, turned or not",
        to_fit or "make it that much smaller, or cut it in two and weld",
        "the sheet on the rack" if rack.sheet is not None else "the shop's sheets",
    )  # fmt: skip


def off_sheet(folded: Folded, rack: Rack, shop: Shop) -> OffSheet | None:
    """How the blank misses the sheet it comes nearest to; None where it lies on one, as drawn or
    turned to one of its own edges, or where no sheet is stated.

    Where a bend needs the grain to run a certain way, the blank is only turned by half a turn.
    """
    sheets = (rack.sheet,) if rack.sheet is not None else shop.sheets
    if not sheets:
        return None
    grain = grain_of(folded, rack.stock.material)
    outline = folded.blank.outline
    if grain is None:
        sheets = tuple((max(sheet), min(sheet)) for sheet in sheets)
        sizes = [_size(outline, angle_deg) for angle_deg in directions(outline)]
        sizes = [(max(size), min(size)) for size in sizes]
    else:
        sizes = [_size(outline, grain.angle_deg)]
    tried = [OffSheet(size, sheet, grain is not None) for size, sheet in product(sizes, sheets)]
    nearest = min(tried, key=lambda off: off.too_long + off.too_wide)
    if max(nearest.too_long, nearest.too_wide) <= SLACK:
        return None
    return nearest


def _size(outline: Loop, angle_deg: float) -> Size:
    """Length along a direction, and across it."""
    x0, y0, x1, y1 = box(moved(outline, turn_deg=-angle_deg))
    return x1 - x0, y1 - y0
