"""How numbers, names and checks are said on paper to somebody who has never seen the tool."""

from __future__ import annotations

from parts.part import Piece
from parts.report import Figure, digits

HANDS = ("right", "left")
UNITS = {"deg": "°", "mm2": "mm²", "mm3": "mm³", "N m": "N·m"}


def unit_words(unit: str) -> str:
    """A unit as it is printed.

    >>> unit_words("deg"), unit_words("mm")
    ('°', 'mm')
    """
    return UNITS.get(unit, unit)


def value_words(figure: Figure) -> str:
    """A figure's value with its ±, no unit.

    >>> value_words(Figure("turn angle", 95.99, "deg", plus_minus=0.42))
    '95.99 ± 0.42'
    """
    spread = "" if figure.plus_minus is None else f" ± {digits(figure.plus_minus, figure.unit)}"
    return digits(figure.value, figure.unit) + spread


def name_words(name: str) -> str:
    """A name from a job file as words.

    >>> name_words("rear_mount")
    'rear mount'
    """
    return " ".join(name.replace("_", " ").split())


def piece_words(piece: Piece) -> str:
    """A piece by its hand and name."""
    return f"{piece.hand} {name_words(piece.name)}".strip()


def hand_of(name: str) -> tuple[str, str]:
    """The hand that a name begins with, or "", and the rest of it.

    >>> hand_of("left: band inside radius"), hand_of("tyre: width")
    (('left', 'band inside radius'), ('', 'tyre: width'))
    """
    hand, _, rest = name.partition(": ")
    return (hand, rest) if hand in HANDS else ("", name)
