"""Gap, margin and sizes of sheet: the job file's own, else the tables'."""

from __future__ import annotations

from parts.nesting.given import Given, Size
from parts.nesting.model import Rules
from parts.sheet.press import Sourced
from parts.tables import find, rows


def rules_for(thickness: float, own: tuple[Size, ...], given: Given) -> Rules:
    """What sheet of a thickness is laid by; `own` are the sizes that its stock states.

    >>> rules = rules_for(2, (), Given(shop_sheets=((2000, 1000),)))
    >>> rules.gap.value, rules.margin.value, rules.sizes
    (6.0, 10.0, ((2000, 1000),))
    >>> rules_for(8, (), Given()).gap.value  # one and a half thicknesses
    12.0
    """
    gap = _gap(thickness, given)
    margin = _rule("edge margin", thickness) if given.margin is None else _own(given.margin)
    return Rules(gap, margin, *_sizes(own, given))


def _gap(thickness: float, given: Given) -> Sourced:
    if given.gap is not None:
        return _own(given.gap)
    usual = _rule("gap between parts", thickness)
    if given.least_gap is not None and given.least_gap > usual.value:
        return Sourced(given.least_gap, "the least gap of your cutter")
    return usual


def _own(value: float) -> Sourced:
    return Sourced(value, "your own value")


def _rule(name: str, thickness: float) -> Sourced:
    row = find("nesting_rules", name)
    value = max(float(row["least_mm"]), float(row["per_thickness"]) * thickness)
    return Sourced(value, row["source"])


def _sizes(own: tuple[Size, ...], given: Given) -> tuple[tuple[Size, ...], str]:
    for sizes, source in (
        (own, "the sheet of the stock"),
        (given.shop_sheets, "the sheets of the shop"),
        (given.cutter_sheets, "the sheets of the cutter"),
    ):
        if sizes:
            return tuple(dict.fromkeys(sizes)), source
    usual = rows("sheet_sizes")
    sizes = tuple((float(row["along_mm"]), float(row["across_mm"])) for row in usual)
    return sizes, usual[0]["source"]
