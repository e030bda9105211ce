"""Lengths as a shop writes them. 1 inch is 25.4 mm exactly (international inch, 1959)."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.trade.lengths import (
    LengthError,
    Measured,
    parse_angle,
    parse_length,
    parse_measured,
    parse_measured_angle,
)

INCH = Fraction(254, 10)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        (12, 12), (12.5, 12.5), (-3, -3), ("12", 12), ("12mm", 12), ("  7  mm ", 7),
        ("26.5in", 673.1), ("26.5 IN", 673.1), ("26.5 in.", 673.1), ('26.5"', 673.1),
        ('1 3/8"', 34.925), ("1-3/8 in", 34.925), ("1 3/8 inch", 34.925), ("1 ⅜″", 34.925),
        ("1⅜ in", 34.925), ("3/8 in", 9.525), ("⅜ in", 9.525), ("11/8 in", 34.925),
        ("1½ in", 38.1), ('1½"', 38.1), ("1 3⁄8 in", 34.925), ("1 3/8''", 34.925),
        ("2 ft 6 in", 762), ("2' 6\"", 762), ("2'6\"", 762), ("2'-6\"", 762), ("2ft", 609.6),
        ("2'6 1/2\"", 774.7), ("2′ 6″", 762), ("60 thou", 1.524), ("60thou", 1.524),
        ("1,5 mm", 1.5), ("0,125 in", 3.175), (".5in", 12.7), ("1.200 in", 30.48),
        ("10 cm", 100), ("1m", 1000), ("1 m 20 cm", 1200), ("-3mm", -3), ("−3 mm", -3),
        ('-1 3/8"', -34.925), ("1234,5 mm", 1234.5), ("0", 0),
    ],
)  # fmt: skip
def test_a_length_reads_as_the_shop_means_it(text: object, mm: float) -> None:
    assert parse_length(text) == mm


@pytest.mark.parametrize(
    ("text", "part_of_message"),
    [
        ("", "empty"), ("   ", "empty"), ("abc", "cannot read"), ("12 mm mm", "cannot read"),
        ("3/0 in", "divides by nothing"), ("1 2", "no unit after '1'"),
        ("1 3/8", "no unit after '1 3/8'"), ("3/8", "no unit"), ("2'6", "no unit after '6'"),
        ("5 furlong", "'furlong' is no unit of length"), ("1.5 3/8 in", "no unit"),
        ("6\" 2'", "' after \""),
        ("2 in 6 in", "in after in"), ("12mm3", "no unit after '3'"), ("1e3 mm", "no unit"),
        ("--3", "cannot read"), ("1,200 mm", "ambiguous"), ("1,200", "ambiguous"),
        ("12,345,678 mm", "ambiguous"), ("1 11/8 in", "fraction of 11/8"),
        ("2.5 ft 6 in", "'2.5' is not whole"), ("2 ft 30 mm", "mixes"), ("6 mil", "a mil is"),
        ("1/2/3 in", "no unit"), ("5 - 3 in", "no unit"), ("9" * 100, "too long"),
        ("nan", "cannot read"), ("inf", "cannot read"), ("１２ mm", "cannot read"),
        (math.nan, "nan is no length"), (math.inf, "inf is no length"), (-math.inf, "-inf is"),
        (10**400, "so large"), (True, "true is no length"), ([1], "a list is no length"),
        (None, "no length"), ("16ga", "is a gauge"), ("16.5ga", "is no gauge"),
        ("947 deg", "'deg' is no unit of length"), ("6°", "'°' is no unit of length"),
        ("2 ft 6 kg", "'kg' is no unit of length"), ("1%", "'%' is no unit of length"),
    ],
)  # fmt: skip
def test_what_is_no_length_or_could_be_two_is_refused(text: object, part_of_message: str) -> None:
    with pytest.raises(LengthError) as caught:
        parse_length(text)
    assert part_of_message in caught.value.message
    assert caught.value.hint


def test_an_ambiguous_thousand_is_answered_with_both_readings() -> None:
    with pytest.raises(LengthError) as caught:
        parse_length("1,200 mm")
    assert caught.value.hint == "write 1200 or 1.200"


# Machinery's Handbook 31st ed. p. 1453: 16 gauge is 0.0598 in in steel, 0.0508 in in aluminium
@pytest.mark.parametrize(
    ("text", "family", "inch"),
    [
        ("16ga", "steel", "0.0598"), ("16 gauge", "steel", "0.0598"),
        ("16 ga.", "aluminium", "0.0508"), ("16GA", "aluminium", "0.0508"),
    ],
)  # fmt: skip
def test_a_gauge_counts_by_the_metal(text: str, family: str, inch: str) -> None:
    assert parse_length(text, family) == pytest.approx(float(Fraction(inch) * INCH), abs=1e-12)


def test_a_gauge_that_the_metal_lacks_is_refused() -> None:
    with pytest.raises(LengthError, match="no 99 gauge"):
        parse_length("99ga", "steel")


@given(st.integers(0, 40), st.integers(1, 127), st.sampled_from(["in", '"', " inch", "″", "''"]))
def test_inches_in_128ths_come_back_exactly(whole: int, top: int, unit: str) -> None:
    mm = float((whole + Fraction(top, 128)) * INCH)
    assert parse_length(f"{whole} {top}/128{unit}") == mm
    assert parse_length(f"{whole}-{top}/128 {unit}") == mm


@given(st.integers(0, 30), st.integers(0, 11), st.integers(0, 999))
def test_feet_and_decimal_inches_add_up_exactly(feet: int, inches: int, thou: int) -> None:
    mm = float((12 * feet + inches + Fraction(thou, 1000)) * INCH)
    assert parse_length(f"{feet} ft {inches}.{thou:03d} in") == mm
    assert parse_length(f"{feet}' {inches}.{thou:03d}\"") == mm


@given(st.floats(-1e6, 1e6))
def test_a_number_is_mm_as_it_stands(mm: float) -> None:
    assert parse_length(mm) == mm


@given(st.decimals(-99999, 99999, places=3, allow_nan=False))
def test_a_decimal_text_is_the_nearest_float(mm: object) -> None:
    assert parse_length(f"{mm} mm") == float(str(mm))


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_and_nothing_else(text: str) -> None:
    for parse in (parse_length, parse_angle, parse_measured, parse_measured_angle):
        try:
            read = parse(text)
        except LengthError:
            continue
        value = read.value if isinstance(read, Measured) else read
        assert math.isfinite(value)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        (6.5, 6.5), (90, 90), ("90", 90), ("6.5deg", 6.5), ("6.5 degrees", 6.5), ("6.5°", 6.5),
        ("6,5°", 6.5), ("6°30'", 6.5), ("6° 30′", 6.5), ("6° 30' 15\"", 6.5 + 15 / 3600),
        ("-2.9°", -2.9), ("−2°15'", -2.25), ("6º", 6), ("6°7.5'", 6.125),
    ],
)  # fmt: skip
def test_an_angle_reads_in_degrees(text: object, degrees: float) -> None:
    assert parse_angle(text) == pytest.approx(degrees, abs=1e-12)


@pytest.mark.parametrize(
    "text",
    ["", "abc", "1 rad", "6 mm", "6°60'", "6°30'60\"", "6.5°30'", "30'", "6 30'", "1:30", True,
     math.nan, "6°30", "5%"],
)  # fmt: skip
def test_what_is_no_angle_is_refused(text: object) -> None:
    with pytest.raises(LengthError):
        parse_angle(text)


@pytest.mark.parametrize(
    ("text", "value", "plus_minus"),
    [
        (412, 412, None), ("412", 412, None), ("412 ± 1", 412, 1), ("412±1", 412, 1),
        ("412 +- 1", 412, 1), ("412 +/- 1", 412, 1), ("412 mm ± 1 mm", 412, 1),
        ("412 ± 1 mm", 412, 1), ("159.5 ± 0.5", 159.5, 0.5),
        ("16 1/4 in ± 1/16 in", 412.75, 1.5875), ('16¼" ± 1/16"', 412.75, 1.5875),
        ("-12 ± 0.5", -12, 0.5), ('22 13/16" ± 0', 579.4375, 0), ("412 ± 0 in", 412, 0),
        ("0 ± 1/16 in", 0, 1.5875),
    ],
)  # fmt: skip
def test_a_reading_keeps_its_plus_minus(
    text: object, value: float, plus_minus: float | None
) -> None:
    assert parse_measured(text, "tape") == Measured(value, plus_minus, "tape")


@pytest.mark.parametrize(
    "text",
    ["± 1", "412 ±", "412 ± 1 ± 2", "412 ± -1", "16.25 in ± 0.06", "412 ± 1/16 in",
     "412 ± x", "x ± 1", "412 ± 1%", True],
)  # fmt: skip
def test_a_reading_whose_plus_minus_is_unclear_is_refused(text: object) -> None:
    with pytest.raises(LengthError):
        parse_measured(text)


def test_an_angle_is_measured_with_its_plus_minus() -> None:
    assert parse_measured_angle("2.9° ± 0.2°", "level") == Measured(2.9, 0.2, "level")


@pytest.mark.parametrize(("text", "unit"), [("6 mm", "mm"), ("0.1 rad", "rad"), ("5%", "%")])
def test_a_unit_that_is_none_of_angle_is_named(text: str, unit: str) -> None:
    with pytest.raises(LengthError, match=f"'{unit}' is no unit of angle"):
        parse_angle(text)
