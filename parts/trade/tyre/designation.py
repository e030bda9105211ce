"""Tyre sizes as the sidewall has them, read and written.

Four ways of writing: metric 255/60R15, flotation 31x10.50R15LT, numeric 7.50-16 and letter
G78-15. Case, spaces between the parts, `×` for x, and what follows the size (load index, speed
symbol, load range, plies) make no difference: 'P 255/60 ZR 15' is read, and so is the old way
of putting the speed letter before the R, 225/70HR15. What could mean two
tyres, or is not quite a size, is refused with the nearest right form: '255/60-15' does not say
radial or bias-ply, and '31x10,50R15' has a comma where every sidewall has a point.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

Construction = Literal["radial", "bias", "belted"]

EXAMPLES = "as on the sidewall, such as 255/60R15, LT285/75R16, 31x10.50R15LT, 7.50-16 or G78-15"

_LONGEST = 60  # characters; a longer text is no tyre size
_CONSTRUCTION: dict[str, Construction] = {"R": "radial", "D": "bias", "B": "belted", "-": "bias"}
_TAIL = r"""(?:\s*/?\s*[A-N](?![0-9A-Z])|\s*(?:XL|RF)(?![0-9A-Z])
    |\s+(?:LR\s?[A-N]|\(?[0-9]{2,3}(?:/[0-9]{2,3})?[A-Z][0-9]?\)?|[0-9]{1,2}\s?PR|M\+S|TL|TT)
    (?![0-9A-Z]))*"""
_RIM = r"(?P<rim>[0-9]{2}(?:\.5)?)(?![0-9.])"
_METRIC = re.compile(
    rf"""(?P<service>P|LT|ST|T)?\s*(?P<width>[0-9]{{3}})\s*/\s*(?P<series>[0-9]{{2}})\s*
    (?P<speed>[SHVZ]?)\s*(?P<build>[RDB])\s*{_RIM}\s*(?P<after>LT|C)?{_TAIL}""",
    re.VERBOSE,
)
_FLOTATION = re.compile(
    rf"""(?P<service>LT)?\s*(?P<outside>[0-9]{{2}}(?:\.[0-9]{{1,2}})?)\s*X\s*
    (?P<width>[0-9]{{1,2}}\.[0-9]{{1,2}})\s*(?P<build>[R-])\s*{_RIM}\s*(?P<after>LT)?{_TAIL}""",
    re.VERBOSE,
)
_NUMERIC = re.compile(
    rf"""(?P<width>[0-9]{{1,2}}\.[0-9]{{1,2}})\s*(?P<build>[R-])\s*{_RIM}\s*(?P<after>LT|C)?
    {_TAIL}""",
    re.VERBOSE,
)
_LETTER = re.compile(
    rf"""(?P<letter>[A-N])\s*(?P<build>R?)\s*(?P<series>[0-9]{{2}})\s*-\s*{_RIM}\s*
    (?P<after>LT)?{_TAIL}""",
    re.VERBOSE,
)


class DesignationError(ValueError):
    """Text that is no tyre size: `message` what is wrong, `hint` the nearest right form."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(f"{message}; {hint}")
        self.message = message
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Metric:
    """255/60R15: section width in mm, series (height in hundredths of width), rim code in inches.

    `service`: P, T, LT or ST stand before the size, C (commercial) behind it, blank is passenger.
    """

    width: int
    series: int
    rim_code: float
    construction: Construction = "radial"
    service: str = ""
    z: bool = False  # the Z of ZR; says nothing of size

    def __str__(self) -> str:
        before, after = ("", "C") if self.service == "C" else (self.service, "")
        build = {"radial": "R", "bias": "D", "belted": "B"}[self.construction]
        z = "Z" if self.z else ""
        return f"{before}{self.width}/{self.series:02}{z}{build}{self.rim_code:g}{after}"


@dataclass(frozen=True, slots=True)
class Flotation:
    """31x10.50R15LT: outside diameter, section width and rim code, all in inches."""

    outside_in: float
    width_in: float
    rim_code: float
    construction: Construction = "radial"
    service: str = ""  # LT or blank

    def __str__(self) -> str:
        build = "R" if self.construction == "radial" else "-"
        return f"{self.outside_in:g}x{self.width_in:.2f}{build}{self.rim_code:g}{self.service}"


@dataclass(frozen=True, slots=True)
class Numeric:
    """7.50-16: section width and rim code in inches; how high it is, only a table knows."""

    width_in: float
    rim_code: float
    construction: Construction = "bias"
    service: str = ""  # LT, C or blank

    def __str__(self) -> str:
        build = "R" if self.construction == "radial" else "-"
        return f"{self.width_in:.2f}{build}{self.rim_code:g}{self.service}"


@dataclass(frozen=True, slots=True)
class Letter:
    """HR70-15: load letter, series, rim code in inches; how wide it is, only a table knows."""

    letter: str
    series: int
    rim_code: float
    construction: Construction = "bias"
    service: str = ""  # LT or blank

    def __str__(self) -> str:
        build = "R" if self.construction == "radial" else ""
        return f"{self.letter}{build}{self.series}-{self.rim_code:g}{self.service}"


Designation = Metric | Flotation | Numeric | Letter


def parse_designation(text: str) -> Designation:
    """The size a sidewall states; raises `DesignationError` with the nearest right form.

    >>> parse_designation("P 255/60 ZR 15 102W").series
    60
    >>> str(parse_designation("31X10.5 r15 lt"))
    '31x10.50R15LT'
    >>> parse_designation("255/60-15")
    Traceback (most recent call last):
    ...
    parts.trade.tyre.designation.DesignationError: '255/60-15' does not say how the tyre is built;
    write 255/60R15 (radial) or 255/60D15 (bias-ply)
    """
    if len(text) > _LONGEST:
        raise DesignationError("the text is too long for a tyre size", f"write it {EXAMPLES}")
    plain = _plain(text)
    found = _read(plain)
    if found is None:
        raise _malformed(text, plain)
    if isinstance(found, Metric):
        _check_metric(text, found)
    elif isinstance(found, Flotation):
        _check_flotation(text, found)
    return found


def _plain(text: str) -> str:
    return " ".join(text.upper().replace("×", "X").replace("*", "X").split())


def _read(plain: str) -> Designation | None:
    if m := _METRIC.fullmatch(plain):
        before, after = m["service"] or "", m["after"] or ""
        if before and after == "LT" and before != "LT":
            return None
        # behind another service's letters a C is the load range; alone, the commercial tyre
        return Metric(
            int(m["width"]), int(m["series"]), float(m["rim"]), _CONSTRUCTION[m["build"]],
            before or after, m["speed"] == "Z",
        )  # fmt: skip
    if m := _FLOTATION.fullmatch(plain):
        return Flotation(
            float(m["outside"]), float(m["width"]), float(m["rim"]), _CONSTRUCTION[m["build"]],
            m["service"] or m["after"] or "",
        )  # fmt: skip
    if m := _NUMERIC.fullmatch(plain):
        return Numeric(
            float(m["width"]), float(m["rim"]), _CONSTRUCTION[m["build"]], m["after"] or ""
        )
    if m := _LETTER.fullmatch(plain):
        return Letter(
            m["letter"], int(m["series"]), float(m["rim"]), _CONSTRUCTION[m["build"] or "-"],
            m["after"] or "",
        )  # fmt: skip
    return None


def _check_metric(text: str, size: Metric) -> None:
    """Refuses what no tyre has: widths and series go by fives."""
    width = min(max(5 * round(size.width / 5), 105), 455)
    series = min(max(5 * round(size.series / 5), 25), 95)
    if (width, series) != (size.width, size.series):
        nearest = Metric(
            width, series, size.rim_code, size.construction, size.service, size.z
        )  # fmt: skip
        what = (
            f"width {size.width} (105 to 455 by 5)" if width != size.width
            else f"series {size.series} (25 to 95 by 5)"
        )  # fmt: skip
        raise DesignationError(f"{text!r} has a {what}", f"the nearest size is {nearest}")


def _check_flotation(text: str, size: Flotation) -> None:
    """Refuses a tyre that does not go over its own rim, such as 15x10.50R31."""
    if size.outside_in < size.rim_code + 6:
        raise DesignationError(
            f"{text!r} has an outside diameter of {size.outside_in:g} in on a rim of "
            f"{size.rim_code:g} in",
            "a size reads outside x width R rim, as in 31x10.50R15LT",
        )


def _malformed(text: str, plain: str) -> DesignationError:
    if m := re.fullmatch(r"(P|LT|ST|T)? ?([0-9]{3}) ?/ ?([0-9]{2}) ?- ?([0-9]{2})( .*)?", plain):
        before, width, series, rim = m[1] or "", m[2], m[3], m[4]
        return DesignationError(
            f"{text!r} does not say how the tyre is built",
            f"write {before}{width}/{series}R{rim} (radial) or "
            f"{before}{width}/{series}D{rim} (bias-ply)",
        )
    for repaired in _repairs(plain):
        if (found := _read(repaired)) is not None:
            return DesignationError(f"{text!r} is no tyre size", f"did you mean {found}?")
    return DesignationError(f"{text!r} is no tyre size", f"write it {EXAMPLES}")


def _repairs(plain: str) -> list[str]:
    """What the text may have been meant to be, the likeliest first."""
    pointed = plain.replace(",", ".")
    patterns = (
        (r"(P|LT|ST|T)?[ -]?([0-9]{3})[ /.X-]*([0-9]{2})[ /.-]*Z?R?[ /.-]*([0-9]{2})\b.*",
         r"\1\2/\3R\4"),
        (r"([0-9]{3}) ?R ?([0-9]{2})\b.*", r"\1/80R\2"),
        (r"([0-9]{1,2})([0-9]{2}) ?[-/X ] ?([0-9]{2})", r"\1.\2-\3"),
        (r"([0-9]{1,2}\.[0-9]{1,2}) ?[/X ] ?([0-9]{2})", r"\1-\2"),
        (r"([0-9]{2})[ X/]+([0-9]{1,2})(?:\.([0-9]{1,2}))?[ /X-]*R?[ /X-]*([0-9]{2}) ?(LT)?.*",
         r"\1X\2.\3R\4\5"),
        (r"([A-N]) ?(R?)[ -]?([0-9]{2}) ?[/X R]? ?([0-9]{2})\b.*", r"\1\2\3-\4"),
    )  # fmt: skip
    found = [pointed]
    for pattern, form in patterns:
        if m := re.fullmatch(pattern, pointed):
            found.append(m.expand(form).replace(".R", ".0R"))
    return found
