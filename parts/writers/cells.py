"""Cells of a table that a spreadsheet opens."""

from __future__ import annotations

FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")  # what begins so is reckoned


def guarded(cell: str | int) -> str | int:
    """A cell that a spreadsheet shows as it is, and does not reckon: words that begin as a
    formula does get an apostrophe before them.

    >>> guarded("=1+1"), guarded("fold 5 mm"), guarded(-2)
    ("'=1+1", 'fold 5 mm', -2)
    """
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(FORMULA) else cell
