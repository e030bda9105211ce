"""Tyres and wheels, against published sheets, regulations and arithmetic done by hand."""

from math import hypot, pi, tau

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import ConvexHull
from shapely.geometry import LineString, MultiPoint, Point, Polygon

from parts.tables import UnknownName, rows
from parts.trade.lengths import Measured
from parts.trade.tyre import (
    DesignationError,
    Flotation,
    Letter,
    Metric,
    Numeric,
    from_back_space,
    from_offset,
    measured_tyre,
    parse_designation,
    standard_sizes,
    tyre_size,
    wheel_centre_y,
)
from parts.trade.tyre.section import measured_section, rounded_section, section_of

INCH = 25.4

# Reading a size


@pytest.mark.parametrize(
    ("text", "found"),
    [  # as owners' manuals print them
        ("P215/65R15XL 95H", Metric(215, 65, 15, service="P")),
        ("215/65R15 96H", Metric(215, 65, 15)),
        ("LT235/85R16C", Metric(235, 85, 16, service="LT")),
        ("T145/80D18 103M", Metric(145, 80, 18, "bias", "T")),
        ("31x10.5 R15 LT", Flotation(31, 10.5, 15, service="LT")),
        ("ST225/75R15", Metric(225, 75, 15, service="ST")),
        ("LT285/75R16 126/123Q", Metric(285, 75, 16, service="LT")),
        ("285/75R16LT", Metric(285, 75, 16, service="LT")),
        ("255/40ZR18 (99Y)", Metric(255, 40, 18, z=True)),
        ("195/75R16C 107/105R", Metric(195, 75, 16, service="C")),
        ("255/60B15", Metric(255, 60, 15, "belted")),
        ("31x10.50-15LT", Flotation(31, 10.5, 15, "bias", "LT")),
        ("33×12.50R16.5LT", Flotation(33, 12.5, 16.5, service="LT")),
        ("7.50-16", Numeric(7.5, 16)),
        ("7.50R16LT 112/110M", Numeric(7.5, 16, "radial", "LT")),
        ("7.60-15", Numeric(7.6, 15)),
        ("G78-15", Letter("G", 78, 15)),
        ("HR70-15", Letter("H", 70, 15, "radial")),
        # leniently: spaces, case and the old place of the speed letter mislead nobody
        ("P 255/60 ZR 15", Metric(255, 60, 15, service="P", z=True)),
        ("225/70hr15", Metric(225, 70, 15)),
    ],
)
def test_a_size_is_read_as_the_sidewall_means_it(text, found):
    assert parse_designation(text) == found


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("31x10,50R15", "did you mean 31x10.50R15?"),
        ("31x10R15", "did you mean 31x10.00R15?"),
        ("31/10.50R15LT", "did you mean 31x10.50R15LT?"),
        ("255/60-15", "write 255/60R15 (radial) or 255/60D15 (bias-ply)"),
        ("LT 255/60-15 102H", "write LT255/60R15 (radial) or LT255/60D15 (bias-ply)"),
        ("255-60-15", "did you mean 255/60R15?"),
        ("255/60/15", "did you mean 255/60R15?"),
        ("255 60 15", "did you mean 255/60R15?"),
        ("255.60.R15", "did you mean 255/60R15?"),
        ("255/60R15 round", "did you mean 255/60R15?"),
        ("165R13", "did you mean 165/80R13?"),
        ("750-16", "did you mean 7.50-16?"),
        ("7.05/16", "did you mean 7.05-16?"),
        ("G78x15", "did you mean G78-15?"),
        ("253/60R15", "the nearest size is 255/60R15"),
        ("255/62R15", "the nearest size is 255/60R15"),
        ("15x10.50R31", "a size reads outside x width R rim, as in 31x10.50R15LT"),
    ],
)
def test_a_malformed_size_is_refused_with_the_nearest_right_form(text, hint):
    with pytest.raises(DesignationError) as refused:
        parse_designation(text)
    assert refused.value.hint == hint
    assert repr(text) in refused.value.message


@pytest.mark.parametrize("text", ["", "tyre", "255/60R15102H", "R15", "9" * 99])
def test_what_resembles_no_size_is_refused_with_examples(text):
    with pytest.raises(DesignationError, match="write it as on the sidewall, such as 255/60R15"):
        parse_designation(text)


@given(st.text(alphabet="0123456789PLTSXRDBZC/-., xrG()", max_size=20))
def test_any_text_is_read_or_refused_and_never_anything_else(text):
    try:
        found = parse_designation(text)
    except DesignationError:
        return
    assert parse_designation(str(found)) == found


RIMS = st.sampled_from([13.0, 14.0, 15.0, 16.0, 16.5, 17.0, 18.0, 20.0, 22.0])
FIVES = st.integers(21, 70).map(lambda n: 5 * n)
HUNDREDTHS = st.integers(400, 1450).map(lambda n: n / 100)
TWO = st.sampled_from(["radial", "bias"])
SIZES = st.one_of(
    st.builds(
        Metric, FIVES, st.integers(5, 19).map(lambda n: 5 * n), RIMS,
        st.sampled_from(["radial", "bias", "belted"]),
        st.sampled_from(["", "P", "T", "LT", "ST", "C"]), st.booleans(),
    ),
    st.builds(Flotation, st.integers(28, 44).map(float), HUNDREDTHS, RIMS, TWO,
              st.sampled_from(["", "LT"])),
    st.builds(Numeric, HUNDREDTHS, RIMS, TWO, st.sampled_from(["", "LT", "C"])),
    st.builds(Letter, st.sampled_from("ABCDEFGHJKLMN"), st.sampled_from([50, 60, 70, 78]),
              RIMS, TWO, st.sampled_from(["", "LT"])),
)  # fmt: skip


@given(SIZES, st.sampled_from(["", " 102H", " 116/113Q", "  M+S", " (99Y)", " 8PR"]))
def test_a_size_written_and_read_again_is_the_same_whatever_follows_it(size, tail):
    assert parse_designation(f"{size}{tail}") == size
    assert parse_designation(f" {str(size).lower()}{tail.lower()} ") == size


# Design dimensions


@pytest.mark.parametrize(
    ("size", "rim", "width", "diameter", "greatest_diameter", "greatest_width"),
    [  # UN R30 6.1 and ISO 4000-1, worked by hand; most rows stand so in European tyre lists
        ("155/80R13", 4.5, 157, 578, 587.9, 163.3),
        ("175/70R13", 5.0, 177, 576, 585.8, 184.1),
        ("185/65R15", 5.5, 189, 621, 630.6, 196.6),
        ("195/65R15", 6.0, 201, 635, 645.2, 209.0),
        ("205/60R15", 6.0, 209, 627, 636.8, 217.4),
        ("205/55R16", 6.5, 214, 632, 641.0, 222.6),
        ("215/65R16", 6.5, 221, 686, 697.2, 229.8),
        ("225/70R15", 6.5, 228, 697, 709.6, 237.1),
        ("225/45R17", 7.5, 225, 634, 642.1, 234.0),
        ("235/75R15", 6.5, 235, 733, 747.1, 244.4),
        ("235/60R16", 7.0, 240, 688, 699.3, 249.6),
        ("255/60R15", 7.5, 260, 687, 699.2, 270.4),
        ("265/70R16", 8.0, 272, 778, 792.9, 282.9),
        ("285/75R16", 8.0, 286, 834, 851.1, 297.4),
    ],
)
def test_design_dimensions_are_those_of_the_standard(
    size, rim, width, diameter, greatest_diameter, greatest_width
):
    found = tyre_size(size)
    assert found.measuring_rim_in == found.rim_width_in == rim
    assert (found.measuring_rim_width.value, found.design_diameter.value) == (width, diameter)
    assert found.design_width.value == width
    assert found.greatest_diameter.value == pytest.approx(greatest_diameter, abs=0.05 + 1e-9)
    assert found.greatest_width.value == pytest.approx(greatest_width, abs=0.05 + 1e-9)


@pytest.mark.parametrize(
    ("rim", "inches"), [(5.5, 8.03), (6.0, 8.23), (6.5, 8.43), (7.0, 8.63), (7.5, 8.83)]
)  # a tyre seller's published table for 205/60R15: half a unit of the last digit
def test_width_follows_the_rim_as_a_seller_s_table_has_it(rim, inches):
    found = tyre_size("205/60R15", rim).design_width.value / INCH
    assert found == pytest.approx(inches, abs=0.005)


def test_p205_60r15_is_what_the_tire_and_rim_association_lists():
    # section 8.23 in, diameter 24.69 in, section at most 104 %, section height at most 103 %
    found = tyre_size("P205/60R15")
    assert found.design_width.value / INCH == pytest.approx(8.23, abs=0.005)
    assert found.design_diameter.value / INCH == pytest.approx(24.69, abs=0.006)
    assert found.greatest_width.value / INCH == pytest.approx(8.23 * 1.04, abs=0.005)
    # its new tyre's limit of 24.98 lies inside ours in service, by a height of 4.84 in x 1 %
    assert 0.08 < found.greatest_diameter.value / INCH - 24.98 < 0.11


def test_255_60r15_has_its_published_nominal_figures():
    found = tyre_size("255/60R15")
    assert found.nominal_width.value == 255
    assert found.nominal_diameter.value / INCH == pytest.approx(27.04, abs=0.0075)
    assert found.design_diameter.value == 687
    assert pi * found.design_diameter.value == pytest.approx(2158, abs=0.5)
    assert 1609344 / (pi * found.design_diameter.value) == pytest.approx(746, abs=0.5)


def test_225_70r15_has_its_published_nominal_diameter():
    assert tyre_size("225/70R15").nominal_diameter.value / INCH == pytest.approx(27.4, abs=0.05)


def test_section_height_is_rounded_before_it_is_doubled():
    # 205 x 65 % = 133.25 -> 133: 381 + 266; 245 x 70 % = 171.5 -> 172: 406 + 344, where a
    # seller's page that does not round prints 749
    assert tyre_size("205/65R15").design_diameter.value == 647
    assert tyre_size("245/70R16").design_diameter.value == 750
    assert tyre_size("245/70R16").nominal_diameter.value == pytest.approx(406.4 + 343)
    # 205 x 50 % = 102.5 and 225 x 70 % = 157.5: halves go up, not to the even number
    assert tyre_size("205/50R16").design_diameter.value == 406 + 2 * 103
    assert tyre_size("225/70R15").design_diameter.value == 381 + 2 * 158


def test_255_60r15_on_a_ten_inch_rim_is_a_tub_s_worth_wider():
    # by steps 260 + 5 x 5.08 = 285.4; by the formula without its rounding 285.2
    found = tyre_size("255/60R15", 10)
    assert found.design_width.value == pytest.approx(285.4)
    assert found.design_width.value == pytest.approx(285.2, abs=0.5)
    assert found.greatest_width.value == pytest.approx(296.6, abs=0.5)
    assert found.greatest_diameter.value / 2 == pytest.approx(349.6, abs=0.05)
    assert any("2.5 in wider than the measuring rim of 7.5 in" in note for note in found.notes)


@pytest.mark.parametrize(
    ("size", "rims", "diameter_in", "width_in"),
    [  # a maker's sheet of an all-terrain pattern; rims least, measuring, most
        ("LT235/85R16", (6.0, 6.5, 7.5), 31.7, 9.3),
        ("LT245/75R16", (6.5, 7.0, 8.0), 30.5, 9.8),
        ("LT265/75R16", (7.0, 7.5, 9.0), 31.7, 10.5),
        ("LT285/75R16", (7.5, 8.0, 9.5), 32.8, 11.3),
        ("LT305/70R16", (8.0, 9.0, 10.0), 32.8, 12.2),
        ("LT315/75R16", (8.0, 8.5, 10.5), 34.6, 12.3),
        ("LT255/75R17", (6.5, 7.0, 8.5), 32.0, 10.0),
    ],
)
def test_light_truck_sizes_are_as_a_maker_measured_them(size, rims, diameter_in, width_in):
    found = tyre_size(size)
    assert found.measuring_rim_in == rims[1]
    assert found.nominal_diameter.value / INCH == pytest.approx(diameter_in, abs=0.065)
    assert found.measuring_rim_width.value / INCH == pytest.approx(width_in, abs=0.1)
    # mud patterns and raised letters run 0.15 to 0.5 in over: still within what is greatest
    assert found.greatest_diameter.value / INCH > diameter_in + 0.5
    assert not any("measuring rim" in note for note in tyre_size(size, rims[2] - 0.5).notes)


# 49 CFR 571.109 App. A: the size factor (diameter + section) has a least value


@pytest.mark.parametrize(
    ("size", "rim", "section_in", "size_factor_in"),
    [("H78-15", 6.0, 8.55, 36.50), ("7.60-15", 5.5, 7.90, 36.05)],
)
def test_old_sizes_have_the_section_and_size_factor_of_the_federal_table(
    size, rim, section_in, size_factor_in
):
    found = tyre_size(size)
    assert found.measuring_rim_in == rim
    assert found.design_width.value / INCH == pytest.approx(section_in)
    total = (found.design_width.value + found.design_diameter.value) / INCH
    assert size_factor_in <= total <= 1.03 * size_factor_in
    # the standard lets a tyre be 7 % wider than its list; bias-ply in service: 6 % and the list's ±
    assert found.greatest_width.value / INCH >= 1.07 * section_in


def test_7_60_15_has_the_diameter_of_a_maker_s_list():
    assert tyre_size("7.60-15").design_diameter.value / INCH == pytest.approx(28.66)


@pytest.mark.parametrize("row", rows("tyre_old_sizes"), ids=lambda r: r["name"])
def test_every_old_size_in_the_table_is_a_size_and_has_a_likely_section(row):
    parsed = parse_designation(row["name"])
    assert parsed.construction == row["construction"]
    found = tyre_size(parsed)
    height = (found.design_diameter.value - found.rim_diameter) / 2
    series = 100 * height / found.design_width.value
    wanted = parsed.series if isinstance(parsed, Letter) else 89
    assert series == pytest.approx(wanted, abs=10)
    assert any("says nothing of its diameter" in note for note in found.notes)


def test_a_numeric_radial_is_listed_with_the_size_it_replaces():
    found = tyre_size("7.50R16LT")
    assert found.design_diameter.value == tyre_size("7.50-16").design_diameter.value
    # but grows as a radial does: 1.04 of the list's width with its ± of 0.3 in
    assert found.greatest_width.value == pytest.approx((8.66 + 0.3) * INCH * 1.04)
    assert any("the list has 7.50-16 as bias, not radial" in note for note in found.notes)


def test_an_old_size_that_no_list_holds_is_refused_with_the_nearest():
    with pytest.raises(UnknownName, match=r"tyre_old_sizes\.csv; did you mean .*G78-15"):
        tyre_size("G70-15")


# Flotation


@pytest.mark.parametrize(
    ("size", "rim", "diameter", "traction", "width"),
    [  # UN R54 Annex 5 part II, from memory
        ("30x9.50R15LT", 7.5, 750, 756, 240),
        ("31x10.50R15LT", 8.5, 775, 781, 268),
        ("33x12.50R15LT", 10, 826, 832, 318),
    ],
)
def test_flotation_sizes_are_those_of_the_regulation(size, rim, diameter, traction, width):
    found = tyre_size(size)
    assert found.measuring_rim_in == rim
    assert (found.design_width.value, found.design_diameter.value) == (width, diameter)
    # 4 % of section height on the traction pattern's diameter
    assert found.greatest_diameter.value == pytest.approx(381 + (traction - 381) * 1.04)
    assert any("runs about 0.5 in over the tyre's real diameter" in n for n in found.notes)


@pytest.mark.parametrize("row", rows("tyre_flotation"), ids=lambda r: f"{r['outside_in']}")
def test_a_flotation_label_is_half_an_inch_over_and_greatest_reaches_it(row):
    label = float(row["outside_in"]) * INCH
    found = tyre_size(f"{row['outside_in']}x{row['width_in']}R{row['rim_code']}LT")
    assert label - found.design_diameter.value == pytest.approx(12.7, abs=1)
    assert found.nominal_diameter.value == pytest.approx(label)
    assert found.greatest_diameter.value >= label


def test_a_flotation_size_outside_the_table_follows_its_rule():
    # 37 in: 36.5 x 25.4 = 927.1, up to 928; 13.50 x 0.8 = 10.8, so 11 in; 342.9 wide
    found = tyre_size("37x13.50R17LT")
    assert found.design_diameter.value == 928
    assert found.measuring_rim_in == 11
    assert found.design_width.value == pytest.approx(342.9)
    assert "from memory" in found.design_diameter.source


# Growth


@pytest.mark.parametrize(
    ("size", "width", "height"),
    [  # UN R30 and R54 6.1, from memory
        ("235/75R15", 1.04, 1.04),
        ("235/75D15", 1.06, 1.08),
        ("235/75B15", 1.06, 1.08),
        ("LT235/75R15", 1.04, 1.04),
        ("LT235/75D15", 1.08, 1.07),
    ],
)
def test_bias_ply_tyres_grow_more_than_radials(size, width, height):
    found = tyre_size(size)
    assert found.greatest_width.value == pytest.approx(235 * width)
    assert found.greatest_diameter.value == pytest.approx(381 + 352 * height)
    # the design value's ± says the same
    assert found.design_width.plus_minus == pytest.approx(235 * (width - 1))
    assert found.design_diameter.plus_minus == pytest.approx(352 * (height - 1))


def test_a_protective_rib_and_a_snow_pattern_only_add_to_the_greatest():
    plain, more = tyre_size("225/45R17"), tyre_size("225/45R17", rim_rib=True, snow_pattern=True)
    assert more.greatest_width.value == pytest.approx(plain.greatest_width.value + 8)
    assert more.greatest_diameter.value == pytest.approx(plain.greatest_diameter.value * 1.01)
    assert more.width.value == plain.width.value
    assert more.diameter.value == plain.diameter.value


@given(st.sampled_from(list(standard_sizes())), st.integers(8, 28).map(lambda n: n / 2))
def test_in_service_no_tyre_is_smaller_than_by_design_and_a_wider_rim_never_narrows_it(size, rim):
    found, wider = tyre_size(size, rim), tyre_size(size, rim + 0.5)
    assert found.greatest_width.value > found.design_width.value
    assert found.greatest_diameter.value > found.design_diameter.value
    assert wider.design_width.value - found.design_width.value == pytest.approx(5.08)
    assert abs(found.design_diameter.value - found.nominal_diameter.value) <= 13.7


# What was measured


def test_a_measured_tyre_is_believed_before_its_sidewall():
    found = tyre_size(
        "255/60R15", 8, measured_width=Measured(262, 1), measured_diameter=Measured(681.5, 0.7)
    )
    assert (found.width.value, found.width.plus_minus, found.width.source) == (262, 1, "measured")
    assert (found.diameter.value, found.diameter.plus_minus) == (681.5, 0.7)
    # what another tyre of that size may be does not change
    assert found.greatest_diameter == tyre_size("255/60R15", 8).greatest_diameter
    assert not any("nominal" in note for note in found.notes)


def test_without_a_reading_the_design_stands_in_and_says_so():
    found = tyre_size("255/60R15", measured_diameter=Measured(681, 1))
    assert found.width == found.design_width
    assert "measure the tyre; the sidewall number is nominal" in found.notes


def test_a_width_measured_on_another_rim_is_changed_for_the_one_fitted():
    # 7 in to 9 in: 4 steps of 5.08
    found = tyre_size("255/60R15", 9, measured_width=Measured(257, 1), measured_on_rim_in=7)
    assert found.width.value == pytest.approx(257 + 4 * 5.08)
    assert "measured on 7 in" in found.width.source


def test_a_reading_over_all_limits_is_kept_and_named():
    found = tyre_size("255/60R15", measured_diameter=Measured(712, 1))
    assert found.diameter.value == 712
    assert found.greatest_diameter.value == 713
    assert any("712.0 mm is over the 699.2 mm" in note for note in found.notes)


def test_a_reading_without_its_plus_minus_is_refused():
    with pytest.raises(ValueError, match="the tyre's width has no ±"):
        tyre_size("255/60R15", measured_width=Measured(262))


def test_a_tyre_without_a_size_is_known_by_its_readings():
    found = measured_tyre(Measured(300, 1), Measured(700, 1.5), 15, 10)
    assert (found.width.value, found.diameter.value) == (300, 700)
    assert (found.greatest_width.value, found.greatest_diameter.value) == (301, 701.5)
    assert found.designation is None
    assert found.rim_diameter == 381


def test_a_diameter_within_the_rim_is_refused():
    with pytest.raises(ValueError, match="not over the rim's own 381 mm"):
        measured_tyre(Measured(300, 1), Measured(350, 1.5), 15, 10)


def test_impossible_rims_are_refused():
    with pytest.raises(UnknownName, match="rim code '11'"):
        tyre_size("155/80R11")
    with pytest.raises(ValueError, match="needs 2 to 20 inches"):
        tyre_size("255/60R15", 254)


@pytest.mark.parametrize("row", rows("tyre_rim_codes"), ids=lambda r: r["code"])
def test_rim_diameters_are_the_code_in_inches_to_the_nearest_mm(row):
    assert abs(float(row["diameter_mm"]) - float(row["code"]) * INCH) <= 0.5


# The wheel beside its mounting face


@pytest.mark.parametrize(
    ("rim", "offset", "nominal_in", "lips_in", "seat"),
    [  # BS = W/2 + ET/25.4, with lips (W + 1)/2 + ET/25.4, as sellers' calculators have it
        (8, 0, 4.000, 4.500, 101.6),
        (8, 25, 4.984, 5.484, 126.6),
        (8, -12, 3.528, 4.028, 89.6),
        (10, 25, 5.984, 6.484, 152.0),
        (7, 35, 4.878, 5.378, 123.9),
    ],
)
def test_offset_and_back_space_name_the_same_wheel(rim, offset, nominal_in, lips_in, seat):
    wheel = from_offset(rim, Measured(offset, 1))
    assert wheel.centre == offset
    assert wheel.inner_seat == pytest.approx(seat, abs=0.05)
    assert wheel.inner_seat / INCH == pytest.approx(nominal_in, abs=0.0005)
    assert wheel.inner_lip / INCH == pytest.approx(lips_in, abs=0.0005)
    assert wheel.inner_lip - wheel.outer_lip == pytest.approx((rim + 1) * INCH)
    for back_space, over in ((nominal_in, "nominal"), (lips_in, "lips")):
        again = from_back_space(rim, Measured(back_space * INCH, 1), over)
        assert again.centre == pytest.approx(offset, abs=0.0005 * INCH)
        assert again.source.startswith("back space over the")
        assert over in again.source


def test_8_inch_offset_45_sits_half_an_inch_further_in_than_7_inch_offset_45():
    # as a seller's page has it
    eight, seven = (from_offset(rim, Measured(45, 1)).inner_seat for rim in (8, 7))
    assert (eight - seven) / INCH == pytest.approx(0.5)


def test_the_two_conventions_lie_half_an_inch_apart():
    lips, nominal = (from_back_space(9, Measured(140, 1), over) for over in ("lips", "nominal"))
    assert nominal.centre - lips.centre == pytest.approx(12.7)


@pytest.mark.parametrize("hand", [1, -1])
def test_a_positive_offset_brings_the_wheel_inboard_on_either_hand(hand):
    # faces 1560 apart: |Y| = 1560/2 - 20
    y = wheel_centre_y(Measured(hand * 780, 1.5), from_offset(9.5, Measured(20, 1)))
    assert y.value == hand * 760
    assert y.plus_minus == pytest.approx(hypot(1.5, 1), abs=0.001)


def test_wheel_readings_that_mean_nothing_are_refused():
    with pytest.raises(ValueError, match="the offset has no ±"):
        from_offset(8, Measured(25))
    with pytest.raises(ValueError, match="a rim width is 2 to 20 inches"):
        from_offset(203, Measured(25, 1))
    with pytest.raises(ValueError, match="needs over 0"):
        from_back_space(8, Measured(0, 1), "lips")
    with pytest.raises(ValueError, match="has no hand"):
        wheel_centre_y(Measured(0, 1), from_offset(8, Measured(25, 1)))


# The outline


def polygon(section):
    """The section as one closed shape, by another library; dips to the axle are not in it."""
    return Polygon(section.rings())


def is_convex(section):
    ring = section.rings()
    hull = ConvexHull(ring)
    return hull.volume == pytest.approx(polygon(section).area, rel=1e-12)


# an invented tyre, 275/45R18 on 9.5 in: only to see that the default outline covers it
INVENTED = ((133.6, 246.0), (139.0, 268.0), (140.0, 290.5), (138.0, 310.0), (132.0, 332.0),
            (122.0, 349.0), (80.0, 351.8), (0.0, 352.35))  # fmt: skip


def test_the_default_outline_covers_a_measured_tyre_of_its_width_and_diameter():
    default = polygon(rounded_section(280, 704.7, 457)).buffer(1e-9)
    assert default.covers(LineString(INVENTED))
    # and so does what the sidewall gives, at its greatest in service
    size = tyre_size("275/45R18", 9.5)
    section = section_of(size).grown_to(size.greatest_width.value, size.greatest_diameter.value)
    assert polygon(section).covers(LineString(INVENTED))


@given(
    st.floats(100, 400), st.floats(30, 250), st.sampled_from([330, 381, 457]), st.floats(0, 1),
)  # fmt: skip
def test_a_rounded_outline_holds_the_true_one_and_stands_out_by_0_05_at_most(
    width, height, rim, share
):
    radius = share * min(width / 2, height)
    section = rounded_section(width, rim + 2 * height, rim, radius)
    half, crown, seat = width / 2, rim / 2 + height, rim / 2
    # the true outline is what a disc of the shoulder radius reaches inside the rectangle
    arcs = [
        (half - radius + radius * np.cos(a), crown - radius + radius * np.sin(a))
        for a in np.linspace(0, pi / 2, 91)
    ]
    right = [(half, seat), *arcs]
    true = MultiPoint([*right, *[(-y, r) for y, r in right]]).convex_hull
    drawn = polygon(section)
    assert drawn.buffer(1e-6).covers(true)
    # the arc of 1 degree chords lies inside the round one by radius x (1 - cos 0.5 degrees)
    sag = radius * (1 - np.cos(pi / 360))
    assert true.buffer(0.05 + sag + 1e-6).covers(drawn)
    assert section.width == pytest.approx(width)
    assert section.diameter == pytest.approx(rim + 2 * height)
    assert is_convex(section)


def test_the_default_shoulder_is_no_rounder_than_any_other_in_the_table():
    plain = polygon(rounded_section(260, 690, 381))
    for row in rows("tyre_shoulders"):
        other = rounded_section(260, 690, 381, float(row["radius_mm"]))
        assert plain.buffer(1e-9).covers(polygon(other))


def test_the_lips_of_a_wide_rim_stand_out_beside_a_narrow_tyre():
    # 205/45R16 on 9 in: the tyre is about 227 wide, the lips are 10 in = 254 apart
    size = tyre_size("205/45R16", 9)
    section = section_of(size)
    assert section.width == pytest.approx(254)
    assert section.section_width == size.width.value < 230
    grown = section.grown_to(size.greatest_width.value, size.greatest_diameter.value)
    # grown by 4 %, a tyre of 226.3 x (406 + 184) is 235.4 wide and 597.4 high beside its lips
    assert grown.section_width == pytest.approx(235.4, abs=0.05)
    assert grown.diameter == pytest.approx(597.36)
    flank_crown_and_lip = [(117.68, 285), (105, 298.67), (127, 203), (127, 223)]
    assert polygon(grown).covers(MultiPoint(flank_crown_and_lip))
    assert not polygon(section).covers(Point(117.68, 285))


def superellipse(half, height, low, power, angles):
    """Points of |y/half|^p + |z/height|^p = 1 from below the widest place to the crown."""
    out = []
    for a in angles:
        c, s = np.cos(a), np.sin(a)
        size = (abs(c) ** power + abs(s) ** power) ** (-1 / power)
        out.append((half * size * max(c, 0.0), low + height * size * s))
    return out


@given(
    st.floats(70, 170), st.floats(40, 120), st.floats(2, 6),
    st.lists(st.integers(-600, 1560), min_size=2, max_size=12, unique=True),
)  # fmt: skip
def test_a_measured_outline_holds_every_bulging_tyre_through_its_points(
    half, height, power, angles
):
    inner = [a / 1000 for a in sorted({*angles, 0})]  # the widest place is measured, at 0
    points = [*superellipse(half, height, 260, power, inner), (0.0, 260 + height)]
    section = measured_section(points, 457, plus_minus=1)
    fine = superellipse(half, height, 260, power, np.linspace(inner[0], pi / 2, 400))
    drawn = polygon(section)
    assert drawn.buffer(1e-6).covers(MultiPoint(fine))
    assert drawn.buffer(1e-6).covers(MultiPoint(points))
    # no further out than it says, from the chords
    chords = Polygon([*points, *[(-y, r) for y, r in points[::-1]]]).convex_hull
    assert chords.buffer(section.slack + 1e-6).covers(drawn)
    assert section.width == pytest.approx(2 * half)
    assert section.diameter == pytest.approx(2 * (260 + height))
    assert is_convex(section)


def test_more_points_leave_less_room_between_them():
    def slack(count):
        angles = np.linspace(0, pi / 2, count)[:-1]
        points = [*superellipse(140, 90, 262, 3, angles), (0.0, 352.0)]
        return measured_section(points, 457, 1).slack

    assert slack(40) < slack(6) / 10


def test_a_point_in_a_hollow_is_passed_over_and_the_outline_stays_convex():
    dented = [*INVENTED[:3], (120.0, 310.0), *INVENTED[4:]]
    section = measured_section(dented, 457, 1)
    assert is_convex(section)
    assert polygon(section).covers(MultiPoint(dented))


def test_a_tyre_wider_and_higher_than_its_points_has_room_for_both():
    section = measured_section(INVENTED, 457, 1, width=284, diameter=706)
    assert section.section_width == 284
    assert 280 < section.width <= 284
    assert 704.7 <= section.diameter <= 706


def test_measured_points_that_make_no_outline_are_refused():
    with pytest.raises(ValueError, match="three points or more"):
        measured_section([(100, 250), (0, 300)], 457, 1)
    with pytest.raises(ValueError, match="ends at the crown"):
        measured_section(INVENTED[:-1], 457, 1)
    with pytest.raises(ValueError, match="does not go over the rim's radius"):
        measured_section([(100, 150), (90, 180), (0, 190)], 457, 1)


def test_a_section_that_no_tyre_has_is_refused():
    with pytest.raises(ValueError, match="does not go over a rim"):
        rounded_section(200, 300, 381)
    with pytest.raises(ValueError, match="does not go into the section; needs 0 to"):
        rounded_section(200, 600, 381, 150)


@given(st.floats(1, 1.1), st.floats(1, 1.1))
def test_a_grown_tyre_holds_the_tyre_it_grew_from(width_factor, height_factor):
    for section in (rounded_section(280, 704.7, 457), measured_section(INVENTED, 457, 1)):
        grown = section.grown(width_factor, height_factor)
        assert polygon(grown).buffer(1e-9).covers(polygon(section))
        assert is_convex(grown)
        assert grown.width == pytest.approx(section.width * width_factor)
        assert grown.diameter / 2 - 228.5 == pytest.approx(
            (section.diameter / 2 - 228.5) * height_factor
        )


def test_a_tyre_does_not_shrink():
    with pytest.raises(ValueError, match="would shrink the tyre"):
        rounded_section(280, 704.7, 457).grown(0.99, 1)


def test_rings_are_the_outline_on_both_sides():
    section = rounded_section(280, 704.7, 457, 15)
    ring = section.rings()
    n = len(section.points)
    assert ring.shape == (2 * n - 1, 2)
    assert ring[:, 0] == pytest.approx(-ring[::-1, 0])
    assert ring[:, 1] == pytest.approx(ring[::-1, 1])
    assert tuple(ring[0]) == (-140, 228.5)
    assert tuple(ring[n - 1]) == (0, 352.35)


def test_turned_about_the_axle_a_square_outline_has_the_volume_of_a_ring():
    # Pappus: 2 pi x the shape's centre radius x its area, against pi (R^2 - r^2) w
    shape = polygon(rounded_section(200, 600, 400, 0))
    assert tau * shape.centroid.y * shape.area == pytest.approx(pi * (300**2 - 200**2) * 200)
    assert shape.contains(Point(0, 250))


# Sizes that are sold


def test_standard_sizes_reach_from_145_to_335_and_none_stands_twice():
    sizes = list(standard_sizes())
    assert len(sizes) == len(set(sizes))
    metric = [size for size in sizes if isinstance(size, Metric)]
    assert {size.width for size in metric} == set(range(145, 336, 10))
    assert {size.series for size in metric} == set(range(30, 90, 5))
    assert {size.rim_code for size in metric} == set(range(13, 23))
    assert len([size for size in sizes if isinstance(size, Flotation)]) == len(
        rows("tyre_flotation")
    )


@pytest.mark.parametrize(
    "size",
    ["155/80R13", "175/70R13", "185/60R14", "195/65R15", "205/55R16", "225/45R17", "235/75R15",
     "245/40R18", "255/60R15", "265/70R16", "275/45R18", "285/75R16", "295/30R18", "315/35R20",
     "325/30R21", "335/30R18", "235/85R16", "315/75R16", "195/40R17", "285/45R22"],
)  # fmt: skip
def test_sizes_that_are_sold_are_among_the_standard_ones(size):
    assert parse_designation(size) in set(standard_sizes())


def test_every_standard_size_has_dimensions():
    for size in standard_sizes():
        found = tyre_size(size)
        assert found.rim_diameter < found.design_diameter.value < 950
        assert found.measuring_rim_in * INCH == pytest.approx(found.design_width.value, rel=0.35)
