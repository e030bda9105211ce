"""Lengths, angles and measured values as a shop writes them, read exactly.

A bare number is millimetres (or degrees); text may carry its unit: `26.5in`, `1 3/8"`,
`2 ft 6 in`, `60 thou`, `6°30'`, `412 ± 1`. Text that could mean two lengths is refused, never
guessed. Arithmetic is done in fractions and turned into a float once, at the end.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from parts.sheet.stock import gauge_thickness

LENGTH_EXAMPLES = 'such as 12, "12 mm", "26.5in", \'1 3/8"\' or "2 ft 6 in"'
ANGLE_EXAMPLES = 'such as 6.5, "6.5°" or "6°30\'"'
MEASURED_EXAMPLES = "such as 412, \"412 ± 1\" or '16 1/4 in ± 1/16 in'"

_INCH = Fraction(254, 10)
_FOOT = 12 * _INCH
_METRIC = {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000)}
_IMPERIAL = {
    **dict.fromkeys(("inches", "inch", "in", '"', "″", "”", "“", "''", "′′", "’’"), _INCH),
    **dict.fromkeys(("feet", "foot", "ft", "'", "′", "’"), _FOOT),
    "thou": _INCH / 1000,
}
_UNITS = _METRIC | _IMPERIAL
_VULGAR = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip

_DECIMAL = r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+"
_UNIT = "|".join(re.escape(unit) for unit in sorted(_UNITS, key=len, reverse=True))
_TERM = re.compile(
    rf"""(?:(?P<whole>[0-9]+)(?:\s+|-\x20?))?(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)
    |(?P<decimal>{_DECIMAL})""",
    re.VERBOSE,
)
_UNIT_HERE = re.compile(rf"\s*(?P<unit>{_UNIT})(?![a-z])\.?", re.IGNORECASE)
_BETWEEN = re.compile(r"\s*-?\s*")
_THOUSANDS = re.compile(r"(?<![0-9.,])[1-9][0-9]{0,2}(?:,[0-9]{3})+(?![0-9])")
_GAUGE = re.compile(r"([0-9]+)\s*(?:ga|gauge|gage)\.?", re.IGNORECASE)
_ANGLE = re.compile(
    rf"""(?P<deg>{_DECIMAL})\s*(?P<sign>°|º|˚|degrees|degree|deg)?\.?
    (?:\s*(?P<min>{_DECIMAL})\s*(?:'(?!')|′(?!′)|’(?!’)|min))?
    (?:\s*(?P<sec>{_DECIMAL})\s*(?:\"|″|”|''|′′|’’|sec))?""",
    re.VERBOSE | re.IGNORECASE,
)
_NO_UNIT = re.compile(rf"(?:{_DECIMAL})\s*(?P<word>[^\W\d_]+|%)\s*$")
_DECIMAL_GAUGE = re.compile(r"[0-9]*[.,][0-9]+\s*(?:ga|gauge|gage)\.?", re.IGNORECASE)
_PLUS_MINUS = re.compile(r"\s*(?:±|\+\s*/?\s*[-−])\s*")
_LONGEST = 60  # characters; a longer text is no length
MOST_MM = 1e6  # a kilometre
MOST_TURN = 3600  # degrees


class LengthError(ValueError):
    """Text that is no length, angle or measured value: `message` what is wrong, `hint` the cure."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(f"{message}; {hint}")
        self.message = message
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Measured:
    """A value read off a tool: mm or degrees, ± half the width that holds 95 % of readings.

    `plus_minus` and `tool` are None until the tool, and with it the usual ±, is known.
    """

    value: float
    plus_minus: float | None = None
    tool: str | None = None


def parse_length(value: object, material_family: str | None = None) -> float:
    """Length in mm from a number (mm) or a text; raises `LengthError`.

    A gauge ("16ga") is a thickness only together with the material's family.

    >>> parse_length("26.5in"), parse_length('1 3/8"'), parse_length("2 ft 6 in")
    (673.1, 34.925, 762.0)
    """
    if not isinstance(value, str):
        return _on_a_vehicle(value, _number(value, "length", LENGTH_EXAMPLES))
    text, sign = _signed(value, "length", LENGTH_EXAMPLES)
    if _DECIMAL_GAUGE.fullmatch(text):
        raise LengthError(f"{value!r} is no gauge", "a gauge is a whole number, such as 16ga")
    if gauge := _GAUGE.fullmatch(text):
        return _gauge(value, int(gauge[1]), material_family)
    return _on_a_vehicle(value, float(sign * _terms(value, text)))


def parse_angle(value: object) -> float:
    """Angle in degrees from a number (degrees) or a text; raises `LengthError`.

    >>> parse_angle("6°30'"), parse_angle("6.5deg")
    (6.5, 6.5)
    """
    if not isinstance(value, str):
        return _number(value, "angle", ANGLE_EXAMPLES)
    text, sign = _signed(value, "angle", ANGLE_EXAMPLES)
    found = _ANGLE.fullmatch(text)
    if not found:
        if other := _NO_UNIT.match(text):
            word = other["word"]
            raise LengthError(f"{word!r} is no unit of angle", f"write degrees, {ANGLE_EXAMPLES}")
        raise LengthError(f"cannot read {value!r} as an angle", f"write degrees, {ANGLE_EXAMPLES}")
    parts = [found["deg"], found["min"], found["sec"]]
    given = [part for part in parts if part is not None]
    if len(given) > 1 and not found["sign"]:
        raise LengthError(f"{value!r} has no degree sign", f"write degrees, {ANGLE_EXAMPLES}")
    if any(not part.isdigit() for part in given[:-1]):
        raise LengthError(
            f"{value!r} has a decimal before its last part", "only the last part may have decimals"
        )
    degrees, minutes, seconds = (_fraction(part or "0") for part in parts)
    if minutes >= 60 or seconds >= 60:
        raise LengthError(f"{value!r} has 60 or more minutes or seconds", "carry them over")
    angle = float(sign * (degrees + minutes / 60 + seconds / 3600))
    if abs(angle) > MOST_TURN:
        raise LengthError(f"{value!r} is many whole turns", f"write degrees, {ANGLE_EXAMPLES}")
    return angle


def parse_measured(value: object, tool: str | None = None) -> Measured:
    """Measured length in mm from a number or a text with or without its ±; raises `LengthError`.

    A ± of 0 needs no unit.

    >>> parse_measured("16 1/4 in ± 1/16 in"), parse_measured("1 in ± 0").plus_minus
    (Measured(value=412.75, plus_minus=1.5875, tool=None), 0.0)
    """
    if not isinstance(value, str):
        number = _number(value, "length", MEASURED_EXAMPLES)
        return Measured(_on_a_vehicle(value, number), None, tool)
    reading, spread = _split_measured(value)
    if spread is None:
        return Measured(parse_length(reading), None, tool)
    measured = Measured(parse_length(reading), _not_negative(value, parse_length(spread)), tool)
    mixed = _is_imperial(reading) != _is_imperial(spread)
    if mixed and measured.value and measured.plus_minus:  # nothing is nothing in every unit
        raise LengthError(
            f"{value!r} mixes units on the two sides of ±", "write the unit on both sides"
        )
    return measured


def parse_measured_angle(value: object, tool: str | None = None) -> Measured:
    """Measured angle in degrees from a number or a text; raises `LengthError`.

    >>> parse_measured_angle("2.9° ± 0.2°", "level")
    Measured(value=2.9, plus_minus=0.2, tool='level')
    """
    if not isinstance(value, str):
        return Measured(_number(value, "angle", ANGLE_EXAMPLES), None, tool)
    reading, spread = _split_measured(value)
    if spread is None:
        return Measured(parse_angle(reading), None, tool)
    return Measured(parse_angle(reading), _not_negative(value, parse_angle(spread)), tool)


def _number(value: object, noun: str, examples: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        what = str(value).lower() if isinstance(value, bool) else _kind_of(value)
        raise LengthError(f"{what} is no {noun}", f"write a number or a text, {examples}")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        what = f"{value}" if isinstance(value, float) else "so large a number"
        raise LengthError(f"{what} is no {noun}", f"write a number or a text, {examples}")
    return number


def _on_a_vehicle(value: object, length: float) -> float:
    """The length in mm, unless nothing about a vehicle is so long."""
    if abs(length) > MOST_MM:
        what = f"{value:g} mm" if isinstance(value, int | float) else repr(value)
        raise LengthError(f"{what} is more than a kilometre", "look at its unit and its point")
    return length


def _kind_of(value: object) -> str:
    """What a value is called that is neither number nor text."""
    if isinstance(value, Mapping):
        return "a section with keys"
    if value is None:
        return "nothing"
    return "a list" if isinstance(value, list | tuple) else "a date or a time of day"


def _signed(value: str, noun: str, examples: str) -> tuple[str, int]:
    """The text without its sign and with plain fractions, and the sign as 1 or -1."""
    text = "".join(f" {_VULGAR[c]}" if c in _VULGAR else c for c in value)
    text = text.replace("⁄", "/").replace("\N{NO-BREAK SPACE}", " ").strip()
    if not text:
        raise LengthError(f"an empty text is no {noun}", f"write a number or a text, {examples}")
    if len(text) > _LONGEST:
        raise LengthError(f"the text is too long for a {noun}", f"write it {examples}")
    if found := _THOUSANDS.search(text):
        plain = found[0].replace(",", "")
        raise LengthError(
            f"{value!r} is ambiguous", f"write {plain} or {found[0].replace(',', '.', 1)}"
        )
    if text[0] in "-−":
        return text[1:].lstrip(), -1
    return text, 1


def _terms(value: str, text: str) -> Fraction:
    """Sum in mm of the terms of a length, units going from large to small, one system."""
    total, last, at = Fraction(0), None, 0
    while at < len(text):
        term = _TERM.match(text, at)
        if not term:
            raise LengthError(
                f"cannot read {value!r} as a length at {text[at:]!r}",
                f"write it {LENGTH_EXAMPLES}",
            )
        unit_found = _UNIT_HERE.match(text, term.end())
        at = unit_found.end() if unit_found else term.end()
        unit = unit_found["unit"].lower() if unit_found else None
        _check_unit(value, unit, last, term, text[at:])
        total += _amount(value, term) * _UNITS[unit or "mm"]
        last = unit
        if at < len(text) and (between := _BETWEEN.match(text, at)):
            at = between.end() if between.end() < len(text) else at
    return total


def _check_unit(
    value: str, unit: str | None, last: str | None, term: re.Match[str], rest: str
) -> None:
    if unit is None and re.match(r"\s*mil(?![a-z])", rest, re.IGNORECASE):
        raise LengthError(
            f"{value!r} is ambiguous: a mil is a millimetre to some and 1/1000 in to others",
            "write mm or thou",
        )
    if unit is None and (word := re.match(r"\s*([^\W\d_]+|[%°º˚])", rest)):
        raise LengthError(
            f"cannot read {value!r} as a length: {word[1]!r} is no unit of length",
            f"write it {LENGTH_EXAMPLES}",
        )
    if unit is None and (rest.strip() or last or term["top"]):
        raise LengthError(
            f"cannot read {value!r} as a length: no unit after {term[0].strip()!r}",
            f"write it {LENGTH_EXAMPLES}",
        )
    if rest.strip() and not (term["decimal"] or "").isdigit():
        raise LengthError(
            f"cannot read {value!r} as a length: {term[0].strip()!r} is not whole",
            "only the last part may have a fraction or decimals, as in 2 ft 6 1/2 in",
        )
    if last is None or unit is None:
        return
    if (last in _METRIC) != (unit in _METRIC):
        raise LengthError(f"{value!r} mixes mm and inches", "write it in one of them")
    if _UNITS[unit] >= _UNITS[last]:
        raise LengthError(
            f"cannot read {value!r} as a length: {unit} after {last}",
            "units go from large to small, as in 2 ft 6 in",
        )


def _amount(value: str, term: re.Match[str]) -> Fraction:
    if term["decimal"]:
        return _fraction(term["decimal"])
    top, bottom = int(term["top"]), int(term["bottom"])
    if bottom == 0:
        raise LengthError(f"{value!r} divides by nothing", "write it as in 3/8 in")
    if term["whole"] and top >= bottom:
        raise LengthError(
            f"{value!r} has a whole number and a fraction of {top}/{bottom}",
            "write a fraction smaller than one, as in 1 3/8 in",
        )
    return int(term["whole"] or 0) + Fraction(top, bottom)


def _fraction(decimal: str) -> Fraction:
    return Fraction(decimal.replace(",", "."))


def _gauge(value: str, gauge: int, family: str | None) -> float:
    if family is None:
        raise LengthError(
            f"{value!r} is a gauge, and a gauge differs from metal to metal",
            "write mm or inches here, or the gauge as a stock's thickness beside its material",
        )
    try:
        return gauge_thickness(gauge, family)
    except ValueError as error:
        what, _, known = str(error).partition("; ")
        raise LengthError(what, f"{known}, or write the thickness in mm") from error


def _split_measured(value: str) -> tuple[str, str | None]:
    reading, *spreads = _PLUS_MINUS.split(value)
    if len(spreads) > 1:
        raise LengthError(f"{value!r} has more than one ±", f"write it {MEASURED_EXAMPLES}")
    if not spreads:
        return reading, None
    if not spreads[0].strip() or not reading.strip():
        raise LengthError(
            f"{value!r} has nothing on one side of ±", f"write it {MEASURED_EXAMPLES}"
        )
    return reading, spreads[0]


def _is_imperial(text: str) -> bool:
    return any(unit in _IMPERIAL for unit in re.findall(_UNIT, text.lower()))


def _not_negative(value: str, plus_minus: float) -> float:
    if plus_minus < 0:
        raise LengthError(
            f"{value!r} has a ± of {plus_minus:g}", "write a ± of 0 (taken as exact) or more"
        )
    return plus_minus
