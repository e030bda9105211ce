"""Fillet welds against textbooks, manuals and sums taken another way."""

from itertools import pairwise
from math import cos, pi, radians, sin, sqrt, tau

import numpy as np
import pytest

from parts.place import Place, turned_about
from parts.sheet.curve import Line, arc
from parts.sheet.stock import material
from parts.tables import UnknownName
from parts.trade.weld import (
    METHODS,
    Load,
    Run,
    WeldMetal,
    full_strength_throat,
    simplified_strength_mpa,
    tab_welds,
    throat,
    throat_stress,
    weld_group,
    weld_metal,
    weld_screens,
    weld_stresses,
)

KIP, IN, KSI = 4448.2216, 25.4, 6.894757
UNIT = WeldMetal(part_mpa=360, beta_w=0.8, filler_mpa=482.6)


def lap(*lines, throat=1.0):
    return [Run(Line(a, b), throat, joint="lap") for a, b in lines]


def worst(runs, load):
    return weld_screens(runs, load, UNIT, "simplified")[0].found


# Bhandari, Design of Machine Elements, chapter 8 (answers as the solved examples print them)


def test_two_parallel_fillets_in_line_with_the_force():
    # example 8.2: 50 kN on two welds of 10 mm leg at 94 N/mm2 needs 37.6177 each and 15 for the
    # ends, 52.6177 in all; it takes the throat as .707 of the leg
    runs = lap(((0, 0), (37.6177, 0)), ((37.6177, 60), (0, 60)), throat=7.07)
    assert worst(runs, Load((50e3, 0, 0), (0, 30, 0))) == pytest.approx(94, abs=1e-3)


def test_two_side_welds_twisted_by_an_eccentric_force():
    # example 8.9: 7.5 kN at 125 mm from the middle of two welds of 50, 50 apart; throat
    # 4.538894 mm at 100 N/mm2
    runs = lap(((0, 0), (50, 0)), ((0, 50), (50, 50)))
    assert worst(runs, Load((0, -7.5e3, 0), (150, 25, 0))) == pytest.approx(453.8894, abs=1e-4)


def test_a_channel_of_welds_twisted_by_an_eccentric_force():
    # example 8.10: 60 kN at 150 mm from the open ends of welds 50, 100 and 50; 20.186421 mm
    runs = lap(((50, 0), (0, 0)), ((0, 0), (0, 100)), ((0, 100), (50, 100)))
    assert worst(runs, Load((0, -60e3, 0), (200, 50, 0))) == pytest.approx(2018.6421, abs=1e-4)


def textbook(stress):
    """sqrt((sigma / 2)^2 + tau^2) of the text, from the vector at a weld in the x-y plane."""
    return float(np.max(np.hypot(stress[:, 2] / 2, np.hypot(stress[:, 0], stress[:, 1]))))


def test_a_bracket_bent_away_from_its_welds():
    # example 8.13: 50 kN at 300 mm out from two upright welds of 400; 2.198406 mm at 70 N/mm2
    runs = lap(((0, 0), (0, 400)), ((300, 0), (300, 400)))
    ends = np.array([[0, 0, 0], [0, 400, 0], [300, 400, 0.0]])
    found = throat_stress(weld_group(runs), Load((0, -50e3, 0), (150, 200, 300)), ends)
    assert textbook(found) / 70 == pytest.approx(2.198406, abs=1e-6)


def test_a_beam_welded_all_round_and_bent():
    # example 8.14: 25 kN at 500 mm, welds 100 wide and 150 high all round; 3.763189 mm at 75,
    # with the flat welds' own inertia left in (l t^3 / 12 for a throat of 1 mm)
    corners = [(0, 0), (100, 0), (100, 150), (0, 150), (0, 0)]
    runs = lap(*pairwise(corners))
    found = throat_stress(weld_group(runs), Load((0, -25e3, 0), (50, 75, 500)),
                          np.array([[0, 0, 0.0], [100, 150, 0]]))  # fmt: skip
    assert textbook(found) / 75 == pytest.approx(3.763189, rel=2e-5)


def ring(radius):
    return [Run(arc((0, 0), radius, 0, tau), 1, joint="lap")]


def test_a_round_beam_bent_on_a_ring_of_weld():
    # example 8.15: 10 kN at 200 mm on a ring of 50; 5.132593 mm at 100 N/mm2, the text taking
    # the direct shear of 63.66 together with the bending at the top
    found = throat_stress(weld_group(ring(25)), Load((0, -10e3, 0), (0, 0, 200)),
                          np.array([[0, 25, 0.0]]))  # fmt: skip
    assert textbook(found) / 100 == pytest.approx(5.132593, abs=1e-6)


def test_a_shaft_twisted_on_a_ring_of_weld():
    # example 8.16: 2500 Nm on a ring of 50; 4.547284 mm at 140 N/mm2
    assert worst(ring(25), Load((0, 0, 0), moment=(0, 0, 2500e3))) == pytest.approx(
        4.547284 * 140, abs=1e-4
    )


# A Beginner's Guide to the Steel Construction Manual, 14th ed., example 5.4: a channel of welds
# 4, 11 and 4 in, leg 1/2 in, 52 kips at 10 degrees from upright, 416 kip-in


def test_the_eccentric_weld_of_the_beginners_guide():
    corners = [(4, 11), (0, 11), (0, 0), (4, 0)]  # A B C D, inches
    inch = [(x * IN, y * IN) for x, y in corners]
    runs = lap(*pairwise(inch), throat=sqrt(0.5) / 2 * IN)
    group = weld_group(runs)
    assert group.centre / IN == pytest.approx([0.842, 5.5, 0], abs=5e-4)
    assert group.area / IN**2 == pytest.approx(6.72, abs=0.005)
    # printed 135.15, which has l t^3 / 12 of the three welds in it: 19 x .35355^3 / 12 = .070
    assert group.stiffness[2, 2] / IN**4 + 0.070 == pytest.approx(135.15, abs=0.02)
    force = np.array([52 * sin(radians(10)), 52 * cos(radians(10)), 0]) * KIP
    load = Load(force, group.centre, (0, 0, 416 * KIP * IN))
    points = np.array([(x, y, 0) for x, y in inch])
    found = np.linalg.norm(throat_stress(group, load, points), axis=1) / KSI
    assert found == pytest.approx([23.3, 16.4, 19.0, 25.2], abs=0.07)
    # throat .354 in of the sheet against .35355 here
    assert worst(runs, load) / KSI == pytest.approx(25.2, abs=0.07)


# Welds as lines: Blodgett, Design of Welded Structures, table of properties; b wide, d high

B, D = 60.0, 90.0
BLODGETT = {
    "two upright": ([((0, 0), (0, D)), ((B, 0), (B, D))], D**2 / 3, D * (3 * B**2 + D**2) / 6),
    "two flat": ([((0, 0), (B, 0)), ((0, D), (B, D))], B * D, B * (3 * D**2 + B**2) / 6),
    "angle": (
        [((0, 0), (0, D)), ((0, D), (B, D))],
        None,
        ((B + D) ** 4 - 6 * B**2 * D**2) / (12 * (B + D)),
    ),
    "channel": (
        [((B, 0), (0, 0)), ((0, 0), (0, D)), ((0, D), (B, D))],
        B * D + D**2 / 6,
        (8 * B**3 + 6 * B * D**2 + D**3) / 12 - B**4 / (2 * B + D),
    ),
    "all round": (
        [((0, 0), (B, 0)), ((B, 0), (B, D)), ((B, D), (0, D)), ((0, D), (0, 0))],
        B * D + D**2 / 3,
        (B + D) ** 3 / 6,
    ),
}


@pytest.mark.parametrize("shape", BLODGETT)
def test_lines_have_the_tabulated_modulus_and_polar_inertia(shape):
    lines, modulus, polar = BLODGETT[shape]
    group = weld_group(lap(*lines))
    assert group.stiffness[2, 2] == pytest.approx(polar, rel=1e-12)
    if modulus is not None:
        assert group.stiffness[0, 0] / (D / 2) == pytest.approx(modulus, rel=1e-12)


def test_half_a_ring_has_its_centre_and_inertia_by_calculus():
    # centre 2 r / pi; I across pi r^3 / 2, along pi r^3 / 2 - 4 r^3 / pi
    group = weld_group([Run(arc((10, 20), 30, 0, pi), 1)])
    assert group.centre == pytest.approx([10, 20 + 60 / pi, 0], abs=1e-9)
    assert group.second[0, 0] == pytest.approx(pi * 30**3 / 2, rel=1e-12)
    assert group.second[1, 1] == pytest.approx(30**3 * (pi / 2 - 4 / pi), rel=1e-9)


def chopped(runs, count=4000):
    """Points and throat areas of the runs in small straight bits, frame left out."""
    mids, areas = [], []
    for run in runs:
        flat = np.array([run.curve.at(f) for f in np.linspace(0, 1, count + 1)])
        ends = np.column_stack([flat, np.zeros(count + 1)]) @ run.place.turn.T + run.place.origin
        mids.append((ends[1:] + ends[:-1]) / 2)
        areas.append(np.linalg.norm(np.diff(ends, axis=0), axis=1) * run.throat)
    return np.concatenate(mids), np.concatenate(areas)


def saddle():
    """A tab's welds on a round tube, leaning in space, throats unlike."""
    place = Place(turned_about((1, 2, 3), 40), np.array([5.0, -8, 30]))
    back = Place(place.turn, place.apply((0, 0, -6.0)))
    bow = arc((0, 0), 38, radians(150), -radians(120))
    return [Run(bow, 3.5, place), Run(bow, 5.0, back, face=-1),
            Run(Line((-33, 19), (-33, 40)), 4.0, place)]  # fmt: skip


def test_stresses_balance_the_load_and_spread_as_a_stiff_body_does():
    runs, load = saddle(), Load((9e3, -4e3, 2e3), (20, 60, 10), (50e3, 0, -80e3))
    group = weld_group(runs)
    points, areas = chopped(runs)
    stress = throat_stress(group, load, points)
    assert areas @ stress == pytest.approx([9e3, -4e3, 2e3], rel=1e-4)
    turned = np.cross(points - np.array([20, 60, 10]), stress)
    assert areas @ turned == pytest.approx([50e3, 0, -80e3], rel=1e-3, abs=50)
    grown = np.column_stack([points, np.ones(len(points))])  # linear over space
    assert np.linalg.lstsq(grown, stress, rcond=None)[1] == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("method", METHODS)
def test_the_worst_place_is_found_on_lines_and_arcs(method):
    runs, load = saddle(), Load((9e3, -4e3, 2e3), (20, 60, 10), (50e3, 0, -80e3))
    group, best = weld_group(runs), 0.0
    for run in runs:
        places = np.linspace(0, 1, 20001)
        stress = throat_stress(group, load, run.at(places))
        square, across, along = (np.einsum("ij,ij->i", stress, a) for a in run.frame(places))
        whole = np.sqrt(square**2 + across**2 + along**2)
        if method == "directional":
            whole = np.sqrt(square**2 + 3 * (across**2 + along**2))
        if method == "AISC with direction":
            whole = whole / (1 + 0.5 * (np.hypot(square, across) / whole) ** 1.5)
        best = max(best, float(whole.max()))
    found = weld_screens(runs, load, UNIT, method)[0].found
    assert found == pytest.approx(best, rel=1e-6)
    assert found >= best * (1 - 1e-9)


# Strengths


def test_design_strengths_of_the_simplified_method():
    # EN 1993-1-8 4.5.3.3 for S235, S275 and S355 with f_u 360, 410, 470
    found = [simplified_strength_mpa(*pair) for pair in [(360, 0.8), (410, 0.85), (470, 0.9)]]
    assert found == pytest.approx([207.8, 222.8, 241.2], abs=0.05)


@pytest.mark.parametrize(("grade", "along", "across"), [("S275", 0.94, 1.15), ("S355", 1.01, 1.24)])
def test_a_fillet_of_6_mm_leg_as_the_blue_book_tabulates_it(grade, along, across):
    # SCI P363, kN per mm of weld: along it by the simplified method, across it 1.225 times that
    metal = weld_metal([material(grade)])
    pull = Load((0, 1e3, 0), (50, 0, 3))
    pair = [Run(Line((0, 0), (100, 0)), 4.2, Place(np.eye(3), np.array([0, 0, z])), face=face)
            for z, face in ((6.0, 1), (0.0, -1))]  # fmt: skip
    plain = weld_screens(pair, pull, metal, "simplified")[0]
    assert plain.reserve * 1e3 / 200 / 1e3 == pytest.approx(along, abs=0.006)
    better = weld_screens(pair, pull, metal, "directional")[0]
    assert better.reserve * 1e3 / 200 / 1e3 == pytest.approx(across, abs=0.006)
    shear = Load((1e3, 0, 0), (50, 0, 3))
    assert weld_screens(pair, shear, metal, "directional")[0].reserve == pytest.approx(
        plain.reserve
    )


@pytest.mark.parametrize(
    ("fy", "fu", "beta_w", "part"),
    [(235, 360, 0.8, 0.46), (275, 430, 0.85, 0.48), (355, 510, 0.9, 0.55)],
)
def test_full_strength_throats_of_steel_buildings_in_europe(fy, fu, beta_w, part):
    assert full_strength_throat(10, fy, fu, beta_w) / 10 == pytest.approx(part, abs=0.005)


def test_a_tee_pulled_off_is_half_square_and_half_across():
    # 4.5.3.2: sigma = tau = F / (2 a L sqrt2) for two fillets
    pair = tab_welds([Line((0, 0), (100, 0))], 8, 4, wrapped=True)[:2]
    for spot in weld_stresses(pair, Load((0, 80e3, 0), (50, 0, 0))):
        assert abs(spot.square) == pytest.approx(80e3 / (2 * 4 * 100 * sqrt(2)))
        assert abs(spot.across) == pytest.approx(abs(spot.square))
        assert spot.along == pytest.approx(0, abs=1e-9)
        assert spot.equivalent == pytest.approx(2 * abs(spot.square))


def test_a_tab_pushed_along_or_sideways_shears_its_throats():
    # along the root: all parallel. Square to the tab at the root's level: 45 degrees again
    pair = tab_welds([Line((0, 0), (100, 0))], 8, 4, wrapped=True)[:2]
    for spot in weld_stresses(pair, Load((80e3, 0, 0), (50, 0, 0))):
        assert (spot.square, spot.across) == (pytest.approx(0), pytest.approx(0))
        assert abs(spot.along) == pytest.approx(100)
    for spot in weld_stresses(pair, Load((0, 0, 80e3), (50, 0, 0))):
        assert abs(spot.square) == pytest.approx(100 / sqrt(2))


def test_a_lap_weld_lies_beside_its_plate():
    # plate to the left (+y) of a run along x, weld on the base to its right: the throat runs up
    # and to the right, so a pull up and to the left is square to it
    run = lap(((0, 0), (100, 0)), throat=4)
    for spot in weld_stresses(run, Load((0, 8e3, 8e3), (50, 0, 0))):
        assert abs(spot.square) == pytest.approx(8e3 * sqrt(2) / 400)
        assert (spot.across, spot.along) == (pytest.approx(0), pytest.approx(0))


def test_fillet_strength_of_aisc():
    # Manual 14th ed. p. 8-8: 1.392 kips per inch and sixteenth of leg (E70, LRFD); Design
    # Examples J.1: 5.57 kips/in nominal for 3/16
    for sixteenths, strength in ((1, 1.392), (3, 0.75 * 5.57)):
        inch = lap(((0, 0), (IN, 0)), throat=throat(sixteenths / 16 * IN))
        metal = weld_metal([material("A36")], "E70")
        found = weld_screens(inch, Load((KIP, 0, 0)), metal, "AISC")[0]
        assert found.reserve == pytest.approx(strength, rel=2e-3)


@pytest.mark.parametrize(("angle_deg", "factor"), [(0, 1.0), (45, 1.30), (60, 1.40), (90, 1.5)])
def test_a_fillet_is_stronger_across_its_line_by_aisc(angle_deg, factor):
    # J2.4: 1 + 0.5 sin^1.5 of the angle; 1.30 at 45 and 1.5 at 90 in Manual p. 8-9
    line = lap(((0, 0), (100, 0)), throat=4)
    angle = radians(angle_deg)
    load = Load((10e3 * cos(angle), 10e3 * sin(angle), 0), (50, 0, 0))
    plain = weld_screens(line, load, UNIT, "AISC")[0]
    grown = weld_screens(line, load, UNIT, "AISC with direction")[0]
    assert grown.reserve / plain.reserve == pytest.approx(factor, abs=0.005)


def test_the_part_that_gives_less_sets_the_weld():
    metal = weld_metal([material("S355"), material("S235")])
    assert (metal.part_mpa, metal.beta_w) == (360, 0.8)
    with pytest.raises(ValueError, match="no beta_w for 5052-H32"):
        weld_metal([material("S355"), material("5052-H32")])
    with pytest.raises(UnknownName, match="E70"):
        weld_metal([material("S355")], "E700")


def test_an_unknown_method_is_answered_with_the_known_ones():
    with pytest.raises(UnknownName, match="did you mean directional"):
        weld_screens(lap(((0, 0), (9, 0))), Load((1, 0, 0)), UNIT, "directionnal")


def test_one_straight_weld_cannot_hold_against_turning_about_itself():
    with pytest.raises(ValueError, match="weld both sides"):
        weld_screens(lap(((0, 0), (50, 0))), Load((0, 1e3, 0), (25, 0, 40)), UNIT, "simplified")
