"""Pins, plates round them and tab sections against published examples and hand statics."""

from math import inf, pi, sqrt

import numpy as np
import pytest

from parts.trade.bolts import bolt, property_class
from parts.trade.lug import (
    AtHole,
    DoubleShear,
    Lug,
    PlateSection,
    SingleShear,
    aisc_bolt_bearing,
    aisc_bolt_shear,
    aisc_lug,
    aisc_proportions,
    bolt_as_pin,
    en_lug,
    en_lug_in_service,
    pin_moment_nmm,
    pin_screens,
    plain_pin,
    plate_share,
    section_screens,
    side_load,
    single_shear_moment_nmm,
)
from parts.trade.reserve import at_least, at_most, least

KIP, IN, KSI = 4448.2216, 25.4, 6.894757


def named(screens):
    return {screen.name: screen for screen in screens}


# EN 1993-1-8 3.13, worked by hand: 30 kN on a pin of 16, f_yp 640, f_up 800, in plates of 6
# about a joint of 12 with gaps of 1, S355 plates with holes of 17


def test_a_pin_in_double_shear_by_hand():
    pin, fork = plain_pin(16, 640, 800), DoubleShear(6, 12, 1)
    found = named(pin_screens(30e3, pin, fork))
    assert found["pin bending"].found == pytest.approx(30e3 / 8 * (12 + 4 + 12))
    # 1.5 x 402.124 x 640 and 0.6 x 201.062 x 800 / 1.25
    assert found["pin bending"].limit == pytest.approx(386.04e3, abs=5)
    assert found["pin shear"].limit == pytest.approx(77.21e3, abs=5)
    assert found["pin shear"].found == 15e3
    # (105 / 386.04)^2 + (15 / 77.21)^2 = .1117
    assert found["pin shear with bending"].found ** 2 == pytest.approx(0.1117, abs=5e-5)


def test_a_second_pin_by_hand():
    pin, fork = plain_pin(12, 640, 800), DoubleShear(5, 10, 2)
    found = named(pin_screens(18e3, pin, fork))
    assert found["pin bending"].found == pytest.approx(63.00e3)
    assert found["pin bending"].limit == pytest.approx(162.86e3, abs=5)
    assert found["pin shear"].limit == pytest.approx(43.43e3, abs=5)
    assert found["pin shear with bending"].found ** 2 == pytest.approx(0.1926, abs=5e-5)


def test_a_published_sheet_for_a_pin_of_16_in_s235():
    # a designer's sheet to UNI EN 1993-1-8 3.13 prints A 201.062, W 402.124, F_v,Rd 35 kN with
    # 6.95 against 5 kN, and M_Rd,ser 76 Nm
    pin = plain_pin(16, 235, 360)
    assert pin.modulus == pytest.approx(402.124, abs=5e-4)
    assert pin.shear_n / 5e3 == pytest.approx(6.95, abs=0.005)
    assert pin.service_moment_nmm == pytest.approx(76e3, abs=500)


def test_the_plate_round_a_pin_by_hand():
    # 30 kN on 12 mm of S355: a >= F / (2 t f_y) + 2 d0 / 3 = 14.854, c >= ... + d0 / 3 = 9.188
    pin = plain_pin(16, 640, 800)
    just = named(en_lug(30e3, Lug(12, 17, 14.8545 + 8.5, 9.1878 + 8.5, 355, 470), pin))
    assert just["tear-out"].reserve == pytest.approx(1, abs=2e-4)
    assert just["net section"].reserve == pytest.approx(1, abs=2e-4)
    assert just["bearing of the pin"].limit == pytest.approx(102.24e3)  # 1.5 x 12 x 16 x 355
    thin = named(en_lug(18e3, Lug(10, 13, 11.9394 + 6.5, 7.6061 + 6.5, 275, 410),
                        plain_pin(12, 640, 800)))  # fmt: skip
    assert thin["tear-out"].reserve == pytest.approx(1, abs=2e-4)
    assert thin["net section"].reserve == pytest.approx(1, abs=2e-4)
    assert thin["bearing of the pin"].limit == pytest.approx(49.50e3)


def test_the_softer_of_pin_and_plate_bears():
    soft = named(en_lug(1e3, Lug(10, 17, 30, 30, 355, 470), plain_pin(16, 235, 360)))
    assert soft["bearing of the pin"].limit == pytest.approx(1.5 * 10 * 16 * 235)


def test_a_hole_without_metal_beside_it_has_no_reserve():
    bare = named(en_lug(1e3, Lug(6, 17, 12, 9, 355, 470), plain_pin(16, 640, 800)))
    assert bare["tear-out"].reserve == bare["net section"].reserve == 0


def test_a_pin_that_is_to_come_out_is_held_lower_in_service():
    found = named(en_lug_in_service(10e3, Lug(6, 17, 26, 26, 355, 470), plain_pin(16, 640, 800)))
    assert found["bearing of the pin in service"].limit == pytest.approx(0.6 * 6 * 16 * 355)
    # .591 sqrt(210000 x 10000 x 1 / (256 x 6)) = .591 x 1169.27 = 691.0; 2.5 x 355 = 887.5
    assert found["contact of the pin in service"].found == pytest.approx(691.0, abs=0.1)
    assert found["contact of the pin in service"].limit == 887.5


# AISC Design Examples, example D.7: A36 (36 / 58 ksi), w 4.25, t .5, d 1, a 2.25, hole 1.03 in

D7 = Lug(0.5 * IN, 1.03125 * IN, (2.25 + 0.515625) * IN, 2.125 * IN, 36 * KSI, 58 * KSI)
D7_PIN = plain_pin(1.0 * IN, 50 * KSI, 65 * KSI)


def test_the_pin_connected_plate_of_the_aisc_example():
    found = named(aisc_lug(24 * KIP, D7, D7_PIN))
    # 58 x 2 x .5 x 1.609375 = 93.34 kips; the example rounds b_e to 1.61 and prints 93.4
    assert found["net section"].limit / 0.75 / KIP == pytest.approx(93.34, abs=0.01)
    assert found["tear-out"].limit / 0.75 / KIP == pytest.approx(95.7, abs=0.05)
    assert found["bearing of the pin"].limit / 0.75 / KIP == pytest.approx(32.4, abs=0.05)
    # 36 x 4.25 x .5 = 76.5; the example rounds the area to 2.13 and prints 76.7
    assert found["gross section"].limit / 0.9 / KIP == pytest.approx(76.5, abs=0.01)
    assert least(found.values()).name == "bearing of the pin"
    assert least(found.values()).reserve == pytest.approx(24.3 / 24, abs=0.003)


def test_the_proportions_of_the_aisc_example():
    found = named(aisc_proportions(D7, D7_PIN))
    assert found["end beyond the hole"].limit / IN == pytest.approx(2.14, abs=0.005)
    assert found["width at the hole"].limit / IN == pytest.approx(4.22, abs=0.005)
    assert all(screen.holds for screen in found.values())


def test_aisc_counts_no_more_than_two_thicknesses_beside_the_hole():
    wide = named(aisc_lug(1e3, Lug(6, 17, 60, 60, 250, 400), plain_pin(16, 640, 800)))
    assert wide["net section"].limit == pytest.approx(0.75 * 400 * 2 * 6 * (12 + 16))


def test_bolt_bearing_as_the_aisc_manual_tabulates_it():
    # Manual tables 7-4 and 7-5, 3/4 in bolt, standard hole, F_u 58, kips per inch of plate:
    # 78.3 where bearing governs, 44.0 at an end distance of 1 1/4 in
    far = Lug(IN, 13 / 16 * IN, 3 * IN, 3 * IN, 36 * KSI, 58 * KSI)
    near = Lug(IN, 13 / 16 * IN, 1.25 * IN, 3 * IN, 36 * KSI, 58 * KSI)
    found = aisc_bolt_bearing(1e3, far, 0.75 * IN)
    assert found.limit / KIP == pytest.approx(78.3, abs=0.05)
    assert found.note == "bearing governs"
    found = aisc_bolt_bearing(1e3, near, 0.75 * IN)
    assert found.limit / KIP == pytest.approx(44.0, abs=0.05)
    assert found.note == "tear-out governs"


def test_bolt_shear_as_the_aisc_manual_tabulates_it():
    # Manual table 7-1, 3/4 in A325 (120 ksi, as grade 5): 17.9 kips with threads in the plane,
    # 22.5 without (from 68 ksi, which .563 x 120 = 67.6 rounds to)
    b, grade = bolt("3/4-10 UNC"), property_class("grade 5")
    one = SingleShear(10, 10, 0)
    threads = aisc_bolt_shear(10 * KIP, b, grade, one, threads_in_plane=True)
    assert threads.limit / KIP == pytest.approx(17.9, abs=0.05)
    plain = aisc_bolt_shear(10 * KIP, b, grade, one, threads_in_plane=False)
    assert plain.limit / KIP == pytest.approx(22.5, rel=0.007)
    both = aisc_bolt_shear(10 * KIP, b, grade, DoubleShear(10, 10, 0), threads_in_plane=True)
    assert both.reserve == pytest.approx(2 * threads.reserve)


def spread_moment(force, outer, middle, gaps):
    """Greatest moment of a pin from its own load diagram, summed in 200 000 slices."""
    length = 2 * outer + middle + sum(gaps)
    x = (np.arange(200_000) + 0.5) * length / 200_000
    arm = outer / 2 + gaps[0] + middle / 2
    far = force * arm / (outer + middle + sum(gaps))
    load = np.where(x < outer, (force - far) / outer, 0.0)
    start = outer + gaps[0]
    load -= np.where((x > start) & (x < start + middle), force / middle, 0.0)
    load += np.where(x > length - outer, far / outer, 0.0)
    shear = np.cumsum(load) * length / 200_000
    return float(np.max(np.cumsum(shear) * length / 200_000))


@pytest.mark.parametrize("gaps", [(1.0, 1.0), (0.0, 0.0), (2.0, 9.0), (12.0, 3.0)])
def test_the_pins_moment_is_that_of_its_load_diagram(gaps):
    found = pin_moment_nmm(20e3, DoubleShear(6, 21, *gaps))
    assert found == pytest.approx(spread_moment(20e3, 6, 21, gaps), rel=1e-3)


def test_a_joint_beside_the_middle_loads_the_nearer_plate_more():
    # gaps 1 and 13 about a joint of 20, plates of 6: arms 14 and 26, 26 / 40 on the near plate
    assert plate_share(DoubleShear(6, 20, 1, 13)) == pytest.approx(0.65)
    assert plate_share(SingleShear(6, 20, 1)) == 1


def test_single_shear_bends_pin_and_plate_by_the_whole_offset():
    fork = SingleShear(6, 20, 1)
    assert pin_moment_nmm(10e3, fork) == pytest.approx(10e3 * (3 + 1 + 10))
    assert single_shear_moment_nmm(10e3, fork) == pytest.approx(140e3)
    assert single_shear_moment_nmm(10e3, DoubleShear(6, 20, 1)) == 0


def test_threads_in_the_plane_cost_shear_and_bending():
    b, strength = bolt("M16"), property_class("8.8")
    plain = bolt_as_pin(b, strength, threads_in_plane=False)
    cut = bolt_as_pin(b, strength, threads_in_plane=True)
    # EN 1993-1-8 table 3.4: .6 x 800 x 201.06 / 1.25 = 77.21 kN, on 156.67 mm2 60.16 kN
    assert plain.shear_n == pytest.approx(77.21e3, abs=5)
    assert cut.shear_n == pytest.approx(60.16e3, abs=10)
    # pi / 32 of 16^3 and of (16 - .9382 x 2)^3
    assert plain.modulus == pytest.approx(pi / 32 * 16**3)
    assert cut.modulus == pytest.approx(pi / 32 * (16 - 0.9382 * 2) ** 3)
    assert cut.diameter == 16  # it still bears on the nominal size


def test_the_reserve_is_the_factor_the_force_may_grow_by():
    pin, fork = plain_pin(16, 640, 800), DoubleShear(6, 21, 8)
    one = named(pin_screens(10e3, pin, fork, service_force_n=10e3))
    grown = named(pin_screens(10e3 * one["pin shear with bending"].reserve, pin, fork))
    assert grown["pin shear with bending"].reserve == pytest.approx(1)
    assert one["pin bending in service"].limit == pytest.approx(0.8 * pi / 32 * 16**3 * 640)


# Tab sections: P 500 at 120 on 60 x 5 gives 6 P L / (b t^2) = 240 MPa; P 1200 at 80 on 75 x 6
# gives 213.33


@pytest.mark.parametrize(
    ("force", "height", "width", "thickness", "stress"),
    [(500, 120, 60, 5, 240.0), (1200, 80, 75, 6, 213.3333)],
)
def test_a_tab_pushed_sideways_is_a_cantilever_strip(force, height, width, thickness, stress):
    found = named(section_screens(AtHole(0, 0, force, height), PlateSection(width, thickness), 355))
    assert found["bending out of plane"].found == pytest.approx(stress, abs=5e-5)
    assert found["bending in plane"].found == 0
    assert found["bending in plane"].reserve == inf


def test_in_plane_bending_pull_and_shear_by_hand():
    # 10 kN along and 4 kN away, 50 above a 70 x 6 root, 5 off its middle:
    # (10e3 x 50 - 4e3 x 5) / 4900 = 97.96; 4e3 / 420 = 9.52; 10e3 / 420 = 23.81
    at = AtHole(along=10e3, away=4e3, side=0, height=50, offset=5)
    found = named(section_screens(at, PlateSection(70, 6), 355))
    assert found["bending in plane"].found == pytest.approx(97.959, abs=5e-4)
    assert found["bending both ways with the pull"].found == pytest.approx(107.483, abs=5e-4)
    assert found["shear across the tab"].found == pytest.approx(23.810, abs=5e-4)
    assert found["shear across the tab"].limit == pytest.approx(355 / sqrt(3))


def test_the_pull_bends_about_the_middle_of_what_is_left():
    # an opening of 20 at 7 right of the middle: the rest has its centre 20 x 7 / 50 = 2.8 left,
    # so 5 kN away at 4 right of the middle bends by 5e3 x 6.8
    section = PlateSection(70, 6, opening=20, opening_at=7)
    found = named(section_screens(AtHole(0, 5e3, 0, 50, offset=4), section, 355))
    moment = found["bending in plane"].found * section.modulus_in_plane
    assert moment == pytest.approx(5e3 * 6.8)


def test_single_shear_adds_to_the_bending_out_of_plane():
    both = AtHole(0, 0, side=500, height=60, moment_nmm=30e3)
    found = named(section_screens(both, PlateSection(60, 5), 355))
    assert found["bending out of plane"].found == pytest.approx(240.0)  # 60 Nm on 250 mm3


@pytest.mark.parametrize("at", [0.0, 8.0, -11.0])
def test_a_lightening_hole_weakens_the_section_as_its_strips_say(at):
    section = PlateSection(70, 6, opening=20, opening_at=at)
    y = (np.arange(700_000) + 0.5) / 10_000 - 35  # strips across the width
    kept = np.abs(y - at) > 10
    area = 6 * 1e-4 * kept
    middle = (area * y).sum() / area.sum()
    inertia = (area * (y - middle) ** 2).sum()
    assert section.area == pytest.approx(area.sum(), rel=1e-6)
    assert section.middle == pytest.approx(middle, abs=1e-5)
    far = max(35 - middle, 35 + middle)
    assert section.modulus_in_plane == pytest.approx(inertia / far, rel=1e-6)
    assert section.modulus_out_of_plane == pytest.approx(50 * 36 / 6)


def test_an_opening_through_the_edge_is_refused():
    with pytest.raises(ValueError, match="does not lie within a width of 70 mm"):
        PlateSection(70, 6, opening=20, opening_at=26)


def test_the_side_load_is_a_tenth_of_the_links_force():
    assert side_load(-12000) == pytest.approx(1200)


def test_the_least_reserve_is_named():
    screens = [at_most("one", 10, 30, "N", "-"), at_least("other", 30, 20, "mm", "-")]
    assert least(screens).name == "other"
    with pytest.raises(ValueError, match="nothing was screened"):
        least([])
