"""The numbers from the world, against the definitions and prints they are said to come from."""

from importlib.resources import files

import pytest

from parts import tables
from parts.sheet.stock import Stock, gauge_thickness, least_radii, material
from parts.tables import UnknownName, find, rows

TABLES = sorted(f.name[:-4] for f in files(tables).iterdir() if f.name.endswith(".csv"))

# US Standard Gauge, Act of Congress of 3 March 1893: ounces per square foot, gauges 3 to 30
OUNCES = dict(
    zip(
        range(3, 31),
        (160, 150, 140, 130, 120, 110, 100, 90, 80, 70, 60, 50, 45, 40, 36, 32, 28, 24, 22, 20, 18,
         16, 14, 12, 11, 10, 9, 8),
        strict=True,
    )
)  # fmt: skip

HALF_DIGIT = 0.00005 + 1e-9  # inch: gauge tables print four decimals


@pytest.mark.parametrize("name", TABLES)
def test_every_row_of_every_table_names_a_source_and_no_row_is_there_twice(name):
    found = rows(name)
    assert len(found) > 1
    assert all(row["source"].strip() == row["source"] != "" for row in found)
    plain = [tuple(row.values()) for row in found]
    assert len(set(plain)) == len(plain)


@pytest.mark.parametrize("name", TABLES)
def test_every_cell_of_a_number_column_is_a_number_or_blank(name):
    ends = ("_mm", "_mpa", "_per_t", "_deg", "_in", "factor", "plus_minus", "poisson", "gauge")
    cells = [v for row in rows(name) for k, v in row.items() if k.endswith(ends) and v]
    for cell in cells:
        float(cell)


def test_a_row_with_a_cell_too_few_is_refused_with_its_line():
    with pytest.raises(ValueError, match=r"steel\.csv, line 3: 2 cells; needs 3"):
        tables._parsed("steel", "name,yield,source\nS235,235,EN 10025-2\nS275,275\n")


def test_a_row_without_a_source_is_refused_with_its_line():
    with pytest.raises(ValueError, match=r"steel\.csv, line 2: the row names no source"):
        tables._parsed("steel", "name,source\nS235,\n")


def test_a_row_cannot_be_written_to():
    with pytest.raises(TypeError):
        rows("dies")[0]["die_v_mm"] = "5"


def test_an_unknown_name_is_answered_with_the_table_and_the_nearest_name():
    with pytest.raises(UnknownName, match=r"materials\.csv; did you mean mild steel"):
        find("materials", "mild stele", what="material")


def test_a_name_like_nothing_is_answered_with_all_there_are():
    with pytest.raises(UnknownName, match="it holds mild steel, S235"):
        find("materials", "zzzz", what="material")


def test_an_unknown_table_is_answered_with_the_nearest_table():
    with pytest.raises(UnknownName, match="did you mean gauges"):
        rows("gages")


# Gauges: each family against its definition (Machinery's Handbook 31st ed. p. 1453)


@pytest.mark.parametrize("gauge", range(3, 31))
def test_steel_gauges_are_pounds_per_square_foot_over_41_82(gauge):
    inches = gauge_thickness(gauge, "steel") / 25.4
    assert inches == pytest.approx(OUNCES[gauge] / 16 / 41.82, abs=HALF_DIGIT)


@pytest.mark.parametrize("gauge", range(3, 31))
def test_stainless_gauges_are_ounces_per_square_foot_over_640(gauge):
    assert gauge_thickness(gauge, "stainless") / 25.4 == pytest.approx(
        OUNCES[gauge] / 640, abs=HALF_DIGIT
    )


@pytest.mark.parametrize("gauge", range(3, 31))
def test_aluminium_gauges_are_the_american_wire_gauge(gauge):
    # 0000 is .46 in and 36 is .005 in with 39 equal ratios between
    ratio = (0.46 / 0.005) ** (1 / 39)
    assert gauge_thickness(gauge, "aluminium") / 25.4 == pytest.approx(
        0.46 / ratio ** (gauge + 3), abs=HALF_DIGIT
    )


@pytest.mark.parametrize("gauge", range(8, 31))
def test_galvanised_gauges_carry_two_and_a_half_ounces_of_zinc(gauge):
    assert gauge_thickness(gauge, "galvanised") / 25.4 == pytest.approx(
        (OUNCES[gauge] + 2.5) / 16 / 41.82, abs=HALF_DIGIT
    )


@pytest.mark.parametrize(
    ("gauge", "steel", "steel_mm", "stainless", "aluminium"),
    [  # Machinery's Handbook 31st ed. p. 1453 table 20, less its misprints (10 ga steel)
        (3, 0.2391, 6.073, 0.2500, 0.2294),
        (8, 0.1644, 4.176, 0.1719, 0.1285),
        (10, 0.1345, 3.416, 0.1406, 0.1019),
        (11, 0.1196, 3.038, 0.1250, 0.0907),
        (12, 0.1046, 2.657, 0.1094, 0.0808),
        (14, 0.0747, 1.897, 0.0781, 0.0641),
        (16, 0.0598, 1.519, 0.0625, 0.0508),
        (18, 0.0478, 1.214, 0.0500, 0.0403),
        (20, 0.0359, 0.912, 0.0375, 0.0320),
        (22, 0.0299, 0.759, 0.0312, 0.0253),
    ],
)
def test_gauges_are_the_handbook_s(gauge, steel, steel_mm, stainless, aluminium):
    assert gauge_thickness(gauge, "steel") == pytest.approx(steel_mm, abs=0.0005)
    found = [gauge_thickness(gauge, f) / 25.4 for f in ("steel", "stainless", "aluminium")]
    assert found == pytest.approx([steel, stainless, aluminium], abs=HALF_DIGIT)


def test_a_gauge_that_is_not_there_is_refused_with_those_that_are():
    with pytest.raises(ValueError, match=r"steel has no 2 gauge in gauges\.csv; it has 3 to 30"):
        gauge_thickness(2, "steel")
    with pytest.raises(UnknownName, match="did you mean aluminium"):
        gauge_thickness(16, "aluminum")


# Materials


@pytest.mark.parametrize(
    ("name", "yield_mpa", "ultimate_mpa", "beta_w"),
    [  # EN 10025-2:2004 table 7, to 16 mm; EN 1993-1-8 table 4.1; ASTM A36: 36 and 58 ksi
        ("S235", 235, 360, 0.8),
        ("S275", 275, 410, 0.85),
        ("S355", 355, 470, 0.9),
        ("A36", 250, 400, 0.85),
    ],
)
def test_steel_grades_have_the_least_strength_of_their_standard(
    name, yield_mpa, ultimate_mpa, beta_w
):
    found = material(name)
    assert (found.yield_mpa, found.ultimate_mpa, found.beta_w) == (yield_mpa, ultimate_mpa, beta_w)


@pytest.mark.parametrize(
    ("name", "thickness", "kg_m2"),
    [("mild steel", 2.0, 15.70), ("5052-H32", 3.0, 8.04), ("304", 1.5, 11.90)],
)  # stockholders' tables
def test_a_square_metre_of_sheet_weighs_what_the_stockholder_says(name, thickness, kg_m2):
    assert Stock("s", material(name), thickness).mass_kg_m2 == pytest.approx(kg_m2, abs=0.006)


def test_other_names_lead_to_the_same_material():
    assert material("1.0038") is not material("S275")
    assert material("1.0038") == material("S235")
    assert material("Mild_Steel") == material("mild steel")


def test_stock_without_thickness_is_refused():
    with pytest.raises(ValueError, match="needs over 0"):
        Stock("tub", material("mild steel"), 0)


# Least radius, EN 10025-2: t across the rolling direction, l along it

THICKNESSES = (1.5, 2.5, 3, 4, 5, 6, 7, 8, 10)


@pytest.mark.parametrize(
    ("name", "across", "radii"),
    [
        ("S235", True, (1.6, 2.5, 3, 5, 6, 8, 10, 12, 16)),
        ("S235", False, (1.6, 2.5, 3, 6, 8, 10, 12, 16, 20)),
        ("S355", True, (2.5, 4, 5, 6, 8, 10, 12, 16, 20)),
        ("S355", False, (2.5, 4, 5, 8, 10, 12, 16, 20, 25)),
    ],
)
def test_least_radius_is_that_of_en_10025_2(name, across, radii):
    found = [least_radii(material(name), t) for t in THICKNESSES]
    assert [least.across if across else least.along for least in found] == list(radii)
    assert "EN 10025-2" in least_radii(material(name), 2).source
    assert {least.to_turn_deg for least in found[1:]} == {90}  # the standard's note to its table


@pytest.mark.parametrize(
    ("inch", "multiple"), [(1 / 32, 0), (1 / 16, 1), (1 / 8, 1.5), (3 / 16, 1.5), (1 / 2, 2)]
)  # Aluminum Association multiples for 5052-H32
def test_least_radius_of_5052_h32_is_its_multiple_of_the_thickness(inch, multiple):
    thickness = inch * 25.4
    least = least_radii(material("5052-H32"), thickness)
    assert least.across == pytest.approx(multiple * thickness)


@pytest.mark.parametrize("name", [row["name"] for row in rows("materials")])
@pytest.mark.parametrize("thickness", [0.5, 0.9, 1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0])
def test_every_material_has_a_least_radius_in_every_usual_sheet(name, thickness):
    least = least_radii(material(name), thickness)
    assert 0 <= least.across <= least.along <= 6 * thickness
    assert least.source


def test_plate_thicker_than_the_table_is_refused():
    with pytest.raises(ValueError, match="no row for S235 25 mm thick; it has up to 10 mm"):
        least_radii(material("S235"), 25)


# Tolerances


@pytest.mark.parametrize(
    ("grade", "nominal", "plus_minus"),
    [("f", 100, 0.15), ("f", 500, 0.3), ("m", 2, 0.1), ("m", 100, 0.3), ("m", 1500, 1.2)],
)  # ISO 2768-1
def test_general_tolerances_are_those_of_iso_2768(grade, nominal, plus_minus):
    found = [
        float(row["plus_minus_mm"])
        for row in rows("iso_2768")
        if row["class"] == grade and float(row["over_mm"]) < nominal <= float(row["to_mm"])
    ]
    assert found == [plus_minus]


@pytest.mark.parametrize(
    ("thickness", "nominal", "plus_minus"),
    [(2, 20, 0.20), (2, 500, 0.35), (3.15, 5000, 1.00), (5, 20, 0.25), (6, 7000, 1.90)],
)  # ISO 9013:2017 class 1
def test_cutting_tolerances_are_those_of_iso_9013(thickness, nominal, plus_minus):
    found = [
        float(row["plus_minus_mm"])
        for row in rows("iso_9013")
        if float(row["over_thickness_mm"]) < thickness <= float(row["to_thickness_mm"])
        and float(row["over_mm"]) < nominal <= float(row["to_mm"])
    ]
    assert found == [plus_minus]


@pytest.mark.parametrize("name", ["iso_2768", "iso_9013", "least_radius", "dies"])
def test_ranges_of_a_table_follow_on_and_bounds_never_shrink_with_size(name):
    value = {
        "iso_2768": "plus_minus_mm",
        "iso_9013": "plus_minus_mm",
        "least_radius": "across_mm",
        "dies": "least_flange_mm",
    }[name]
    group = {"iso_2768": "class", "iso_9013": "to_thickness_mm", "least_radius": "material"}
    last: dict[str, tuple[str, float]] = {}
    for row in rows(name):
        key = row.get(group.get(name, ""), "")
        end = row.get("to_mm", row.get("die_v_mm", ""))
        if key in last and row[value]:
            assert "over_mm" not in row or row["over_mm"] == last[key][0]
            assert float(row[value]) >= last[key][1]
        last[key] = (end, float(row[value] or 0))


def test_tools_tell_a_plus_minus_in_mm_or_degrees_and_the_tape_goes_past_1500():
    tools = rows("measuring_tools")
    assert {row["unit"] for row in tools} == {"mm", "deg"}
    tape = [(float(r["up_to_mm"]), float(r["plus_minus"])) for r in tools if r["name"] == "tape"]
    assert tape[0] == (1500, 1)  # common practice: both ends reachable
    assert tape[1][0] > 1500
    assert tape[1][1] == 2


@pytest.mark.parametrize("name", ["cutting_limits", "brake_limits"])
def test_every_limit_of_cutter_and_brake_refuses_or_mentions(name):
    assert {row["severity"] for row in rows(name)} == {"refuse", "mention"}
