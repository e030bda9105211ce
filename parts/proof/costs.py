"""The cost on a page, read back: its lines add up, as anyone would add them."""

from __future__ import annotations

import re
from html import unescape

from parts.proof.ledger import Ledger

TOTAL = "cost of all"
HALF = 0.0051  # of the last decimal of each line, and a hair


def check_cost(text: str, wanted: bool, ledger: Ledger) -> None:
    """Hold the lines of a page's cost against their sum; `wanted` where rates were given."""
    section = text.partition('<section id="cost">')[2].partition("</section>")[0]
    rows = [
        (unescape(name), [float(cell) for cell in re.findall(r'<td class="number">([^<]*)<', rest)])
        for name, rest in re.findall(r'<tr><th scope="row">([^<]*)</th>(.*?)</tr>', section)
    ]
    if not ledger.same("a cost where rates are given", wanted, bool(rows)) or not rows:
        return
    names = [name for name, _ in rows]
    if not ledger.same("the sum of the cost", 1, names.count(TOTAL)):
        return
    at = names.index(TOTAL)
    for column, total in enumerate(rows[at][1]):
        summed = sum(amounts[column] for _, amounts in rows[:at])
        ledger.near("sums of the cost", summed, total, HALF * (at + 1), "", f"column {column + 1}")
