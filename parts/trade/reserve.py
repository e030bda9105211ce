"""Screens made and compared: what was found against a limit, and which reserve is least."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf

from parts.tables import find

JUST = 1e-6  # a reserve short of 1 by less than this holds
AT_LIMIT = 1e-6  # share of a limit by which a value may miss it and still be at it


@dataclass(frozen=True, slots=True)
class Screen:
    """One check. `reserve` of 1 just holds, less does not, 2 holds twice over."""

    name: str
    found: float
    limit: float
    unit: str
    reserve: float
    source: str
    note: str = ""

    @property
    def holds(self) -> bool:
        return self.reserve >= 1 - JUST

    @property
    def limit_words(self) -> str:
        """What the limit is: the most or the least that holds; "limit" for one that is just met.

        >>> at_most("shear", 700, 27500, "N", "").limit_words
        'at most'
        >>> at_least("edge", 12, 16.5, "mm", "").limit_words
        'at least'
        """
        if abs(self.found - self.limit) <= AT_LIMIT * abs(self.limit):
            return "limit"
        return "at most" if (self.found < self.limit) == self.holds else "at least"


def at_most(
    name: str, found: float, limit: float, unit: str, source: str, note: str = ""
) -> Screen:
    """A screen that holds while what was found is no more than the limit; signs are left out.

    >>> at_most("shear", -250, 1000, "N", "by hand").reserve
    4.0
    """
    reserve = limit / abs(found) if found else inf
    return Screen(name, found, limit, unit, reserve, source, note)


def at_least(
    name: str, found: float, limit: float, unit: str, source: str, note: str = ""
) -> Screen:
    """A screen that holds while what was found is no less than the limit.

    >>> at_least("end", 30, 20, "mm", "by hand").reserve
    1.5
    """
    return Screen(name, found, limit, unit, found / limit if limit > 0 else inf, source, note)


def least(screens: Iterable[Screen]) -> Screen:
    """The screen with the least reserve, the first of equals; raises ValueError without any.

    >>> least([at_most("a", 1, 3, "N", "-"), at_most("b", 1, 2, "N", "-")]).name
    'b'
    """
    screens = tuple(screens)
    if not screens:
        raise ValueError("nothing was screened: there is no least reserve")
    return min(screens, key=lambda screen: screen.reserve)


def aisc_phi(name: str) -> float:
    """The resistance factor of AISC 360 (LRFD) by the name of its row.

    >>> aisc_phi("rupture")
    0.75
    """
    return float(find("aisc_factors", name, what="AISC resistance factor")["phi"])
