"""A tab on a tube's wall against a published example, the printed formulas and hand sums."""

from math import sqrt

import pytest

from parts.trade.tube_wall import (
    Foot,
    FootLoad,
    Tube,
    aisc_resistance,
    en_resistance,
    outside,
    spreader,
    wall_needed,
    wall_screens,
)

KIP, IN, KSI = 4448.2216, 25.4, 6.894757
AXLE = Tube(76.1, 5, 355, 470)


def test_a_plate_along_a_round_tube_as_aisc_works_it():
    # AISC Design Examples, chapter K (from memory): HSS6.000 x 0.375, wall .349, F_y 42 ksi,
    # plate 5.50 in along it: R_n = 5.5 x 42 x .349^2 x (1 + .25 x 5.5 / 6) = 34.6 kips
    tube = Tube(6 * IN, 0.349 * IN, 42 * KSI, 58 * KSI)
    found = aisc_resistance(Foot("along", 5.5 * IN, 0.25 * IN), tube)
    assert found.pull_n / 0.9 / KIP == pytest.approx(34.6, abs=0.05)
    assert found.in_plane_nmm / 0.9 / KIP / IN == pytest.approx(0.8 * 5.5 * 34.6, rel=2e-3)


def test_a_plate_across_a_round_tube_by_aisc():
    # table K2.1: 5.5 x 355 x 25 / (1 - .81 x 40 / 76.1) x .9 = 76 503 N; M = .5 B R
    found = aisc_resistance(Foot("across", 40, 6), AXLE)
    assert found.pull_n == pytest.approx(76503, abs=2)
    assert found.in_plane_nmm == pytest.approx(0.5 * 40 * 76503, rel=1e-4)
    with pytest.raises(ValueError, match="goes to one diameter"):
        aisc_resistance(Foot("across", 95, 6), AXLE)


def test_plates_by_table_7_3():
    # along: 5 x 355 x 25 (1 + .25 x 70 / 76.1) = 54 579.5; M = 70 N and half the thickness N.
    # across: 355 x 25 (4 + 20 (40 / 76.1)^2) = 84 540; M = 20 N and the thickness N
    along = en_resistance(Foot("along", 70, 6), AXLE)
    assert along.pull_n == pytest.approx(54579.5, abs=0.1)
    assert along.in_plane_nmm == pytest.approx(70 * 54579.5, rel=1e-4)
    assert along.out_of_plane_nmm == pytest.approx(3 * 54579.5, rel=1e-4)
    across = en_resistance(Foot("across", 40, 6), AXLE)
    assert across.pull_n == pytest.approx(84540, abs=1)
    assert across.in_plane_nmm == pytest.approx(20 * 84540, rel=1e-4)
    assert across.out_of_plane_nmm == pytest.approx(6 * 84540, rel=1e-4)


def test_a_pair_is_not_twice_one_tab():
    # an I section's flanges 43 apart: (1 + .25 x 43 / 76.1) times one, 1.1413
    one = en_resistance(Foot("across", 70, 6), AXLE)
    pair = en_resistance(Foot("across", 70, 6, apart=43), AXLE)
    assert pair.pull_n / one.pull_n == pytest.approx(1.1413, abs=5e-5)
    assert pair.out_of_plane_nmm == pytest.approx(43 * one.pull_n)  # the couple between them
    box = en_resistance(Foot("along", 70, 6, apart=43), AXLE)
    # (4 + 20 (43 / 76.1)^2) / 5 = 2.0771 times one along
    assert box.pull_n / en_resistance(Foot("along", 70, 6), AXLE).pull_n == pytest.approx(
        2.0771, abs=5e-5
    )


def test_a_tube_pressed_along_its_axis_takes_less():
    # k_p = 1 - .3 x .5 x 1.5 = .775; pulled, 1
    pressed = en_resistance(Foot("along", 70, 6), Tube(76.1, 5, 355, 470, pressed=0.5))
    pulled = en_resistance(Foot("along", 70, 6), Tube(76.1, 5, 355, 470, pressed=-0.5))
    assert pressed.pull_n == pytest.approx(0.775 * 54579.5, abs=0.1)
    assert pulled.pull_n == pytest.approx(54579.5, abs=0.1)


def test_hard_tube_counts_for_nine_tenths():
    hard = en_resistance(Foot("along", 70, 6), Tube(76.1, 5, 460, 560))
    assert hard.pull_n == pytest.approx(54579.5 * 0.9 * 460 / 355, rel=1e-4)


def test_shares_add_up_with_the_moment_along_the_tube_squared():
    foot = Foot("along", 70, 6)
    # .3 + .4^2 + .54 = 1 exactly, along the tube: in plane squared
    load = FootLoad(0.3 * 54579.5, 0.4 * 70 * 54579.5, 0.54 * 3 * 54579.5)
    folding, _ = wall_screens(load, foot, AXLE, "EN 1993-1-8")
    assert folding.reserve == pytest.approx(1, abs=1e-5)
    # half of it all: the load may double again
    half = FootLoad(load.pull_n / 2, load.in_plane_nmm / 2, load.out_of_plane_nmm / 2)
    assert next(wall_screens(half, foot, AXLE, "EN 1993-1-8")).reserve == pytest.approx(2, abs=1e-5)
    # across the tube it is the moment out of the tab's plane
    across = en_resistance(Foot("across", 40, 6), AXLE)
    load = FootLoad(0.3 * across.pull_n, 0.54 * across.in_plane_nmm, 0.4 * across.out_of_plane_nmm)
    folding, _ = wall_screens(load, Foot("across", 40, 6), AXLE, "EN 1993-1-8")
    assert folding.reserve == pytest.approx(1, abs=1e-9)


def test_by_aisc_the_shares_add_plainly():
    known = aisc_resistance(Foot("along", 70, 6), AXLE)
    load = FootLoad(0.3 * known.pull_n, 0.4 * known.in_plane_nmm, 0.3 * known.out_of_plane_nmm)
    folding, _ = wall_screens(load, Foot("along", 70, 6), AXLE, "AISC 360")
    assert folding.reserve == pytest.approx(1)


def test_punching_by_hand():
    # Design of SHS welded joints, TUB 2765, 5.1.6: N + 6 M / h <= 2 f_y t h / sqrt3
    load = FootLoad(20e3, 500e3, 0)
    _, punching = wall_screens(load, Foot("along", 70, 6), AXLE, "EN 1993-1-8")
    whole = (20e3 + 6 * 500e3 / 70) / (2 * 355 * 5 * 70 / sqrt(3))
    assert 1 / punching.reserve == pytest.approx(whole)
    pair = list(wall_screens(load, Foot("along", 70, 6, apart=43), AXLE, "EN 1993-1-8"))[1]
    assert pair.reserve == pytest.approx(2 * punching.reserve)


def test_a_tab_pushed_sideways_punches_over_its_thickness():
    # 60 Nm on a 70 x 6 foot: 6 M / (70 x 6) = 857.1 N/mm; as the couple of a pair 43 apart
    # 60e3 / (43 x 70) = 19.9 N/mm each
    load = FootLoad(0, 0, 60e3)
    _, one = wall_screens(load, Foot("along", 70, 6), AXLE, "EN 1993-1-8")
    _, pair = wall_screens(load, Foot("along", 70, 6, apart=43), AXLE, "EN 1993-1-8")
    assert one.found == pytest.approx(857.1, abs=0.1)
    assert pair.found == pytest.approx(19.93, abs=0.01)


def test_what_lies_outside_the_published_range_is_said():
    thin = Tube(76.1, 1.2, 235, 360)
    said = outside(Foot("along", 320, 6), thin, "EN 1993-1-8")
    assert [text.split(",")[0] for text in said] == [
        "diameter to wall 63.4", "wall in mm 1.2", "plate length to diameter 4.2",
    ]  # fmt: skip
    assert outside(Foot("across", 20, 6), AXLE, "EN 1993-1-8") == (
        "plate width to diameter 0.263, needs 0.4 to 1",
    )
    assert outside(Foot("across", 20, 6), AXLE, "AISC 360") == ()
    folding, punching = wall_screens(FootLoad(1e3, 0, 0), Foot("across", 20, 6), thin, "AISC 360")
    assert "diameter to wall 63.4" in folding.note and folding.note == punching.note


def test_no_load_leaves_an_endless_reserve():
    folding, punching = wall_screens(FootLoad(0, 0, 0), Foot("along", 70, 6), AXLE, "EN 1993-1-8")
    assert folding.reserve == punching.reserve == float("inf")


@pytest.mark.parametrize("way", ["along", "across"])
def test_at_the_wall_that_is_needed_the_tab_just_holds(way):
    load, foot, thin = FootLoad(30e3, 900e3, 60e3), Foot(way, 60, 6), Tube(76.1, 2.6, 355, 470)
    needed = wall_needed(list(wall_screens(load, foot, thin, "EN 1993-1-8")), thin)
    assert needed > 2.6
    again = wall_screens(load, foot, Tube(76.1, needed, 355, 470), "EN 1993-1-8")
    assert min(screen.reserve for screen in again) == pytest.approx(1)


def test_a_spreader_and_the_wall_together_fold_as_the_wall_needed():
    load, thin = FootLoad(30e3, 900e3, 60e3), Tube(76.1, 2.6, 355, 470)
    screens = list(wall_screens(load, Foot("along", 60, 6), thin, "EN 1993-1-8"))
    found = spreader(screens, thin, 6)
    assert found is not None
    assert found.thickness**2 + 2.6**2 == pytest.approx(wall_needed(screens, thin) ** 2)
    assert found.beyond == 25


def test_a_wall_under_half_of_the_tab_gets_a_spreader_by_custom():
    thin = Tube(76.1, 2.6, 355, 470)
    light = list(wall_screens(FootLoad(100, 0, 0), Foot("along", 60, 6), thin, "EN 1993-1-8"))
    found = spreader(light, thin, 6)
    assert found is not None and "under 0.5 of the tab" in found.why
    assert found.thickness == pytest.approx(sqrt(9 - 2.6**2))
    assert spreader(light, thin, 5) is None
