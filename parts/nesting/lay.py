"""From wanted blanks to a nest: sizes of sheet chosen, blanks laid, the off-cut told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from parts.nesting import rectangles, true_shape
from parts.nesting.boxes import fitting
from parts.nesting.given import Size
from parts.nesting.model import Nest, Rules, Sheet, Wanted
from parts.nesting.off_cut import off_cut_of
from parts.nesting.rectangles import Copy


def nest_of(
    stocks: tuple[str, ...],
    material: str,
    thickness: float,
    wanted: Sequence[Wanted],
    rules: Rules,
    seconds: int = 0,
) -> Nest:
    """The blanks of one material and thickness on sheets; by true shape where `seconds`, those
    for each sheet, are more than 0.

    The sizes of sheet that take the least metal are chosen; a blank that fits none is left over.
    """
    copies = [(k, copy) for k, one in enumerate(wanted) for copy in range(1, one.quantity + 1)]
    sheets, left = _laid(wanted, copies, rules.sizes, rules)
    over: dict[int, int] = {}
    for number, _ in left:
        over[number] = over.get(number, 0) + 1
    nest = _with_off_cut(
        Nest(stocks, material, thickness, tuple(wanted), rules, sheets, tuple(over.items()))
    )
    if not seconds or not sheets:
        return nest
    found = true_shape.relaid(nest, seconds)
    if isinstance(found, str):
        return replace(nest, note=found)
    closer = _with_off_cut(replace(nest, sheets=found, by="true shape"))
    if closer.sheets_less_strip < nest.sheets_less_strip - 1e-6:
        return closer
    return replace(nest, note="Laid by true shape it took no less sheet: laid by boxes.")


def _with_off_cut(nest: Nest) -> Nest:
    if not nest.sheets:
        return nest
    found = off_cut_of(nest.sheets[-1], nest.wanted, nest.rules.gap.value)
    return replace(nest, off_cut=found)


def _laid(
    wanted: Sequence[Wanted], copies: Sequence[Copy], sizes: Sequence[Size], rules: Rules
) -> tuple[tuple[Sheet, ...], tuple[Copy, ...]]:
    """Sheets of the size that leaves least over and takes least metal, then of the others for
    what it leaves; and the copies that fit none."""
    best: tuple[tuple[int, float, int], Size, list[Copy], tuple[Sheet, ...]] | None = None
    for size in sizes:
        room = (size[0] - 2 * rules.margin.value, size[1] - 2 * rules.margin.value)
        fits = {number: bool(fitting(wanted[number], room)) for number, _ in copies}
        here = [copy for copy in copies if fits[copy[0]]]
        sheets = rectangles.lay(wanted, here, size, rules) if here else ()
        score = (len(copies) - len(here), sum(sheet.area for sheet in sheets), len(sheets))
        if here and (best is None or score < best[0]):
            best = (score, size, here, sheets)
    if best is None:
        return (), tuple(copies)
    _, size, here, sheets = best
    left = [copy for copy in copies if copy not in set(here)]
    others = [other for other in sizes if other != size]
    more, over = _laid(wanted, left, others, rules) if left else ((), ())
    return (*more, *sheets), over
