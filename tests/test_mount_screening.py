"""Rough checks of a bumper mount by hand arithmetic, and metal where they ask for it."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

import numpy as np
import pytest
from mount_by_hand import Array, bar_normal, rail_normal, single_fold
from mount_made import (
    ABREAST,
    LEAN,
    PARALLEL,
    SQUARE,
    STEP,
    WORKED,
    R,
    T,
    abreast,
    across,
    bench,
    config,
    faceted,
    figure,
    laid,
    made,
    net_width,
    piece_of,
    refusals,
    screen,
    size,
    worked_fold,
)
from mounts import one_bend_case
from shapely.geometry import LineString, Point

from parts.kinds.bumper_mount import lay_out
from parts.kinds.bumper_mount.layout import lay_out_bracket
from parts.kinds.bumper_mount.screens import screens
from parts.part import Piece
from parts.sheet.outline import offset
from parts.trade.bolts import bolt, property_class
from parts.trade.screening import slip

G = 9.80665

def arm_to(place: Array, studs: Array, line: Array) -> float:
    off = studs - place
    return float(np.linalg.norm(off - np.outer(off @ line, line), axis=1).max())


def test_bending_at_the_fold_is_6_f_e_over_w_t2() -> None:
    piece, hand = piece_of(made()), worked_fold()
    studs = np.array([WORKED["S1"], WORKED["S2"]])
    width = figure(piece, "fold: width at the bend")
    stress = 6 * (8 * G * 3) * arm_to(hand.apex, studs, hand.line) / (width * T**2)
    found = screen(piece, "bending at the fold")
    assert found.found == pytest.approx(stress)
    assert found.limit == 235  # EN 10025-2


def test_bending_across_a_bolt_takes_off_its_slot_and_reaches_to_the_slots_far_end() -> None:
    piece, hand = piece_of(made(bar_mass=4)), worked_fold()
    # the slot of A2 is 12 + 2 x 6 long and 13.5 wide, so that its ends' centres lie 5.25 out
    far_end = np.array(WORKED["A2"]) - [5.25, 0, 0]
    studs = np.array([WORKED["S1"], WORKED["S2"]])
    ahead = -(hand.before[1] + 5.25 * abs(np.cross(hand.line, [0, 1, 0])[0]))
    width = across(piece.blank, ahead).length - 13.5
    assert net_width(piece.blank, ahead) == pytest.approx(width, abs=0.1)
    stress = 6 * (4 * G * 3) * arm_to(far_end, studs, hand.line) / (width * T**2)
    assert screen(piece, "bending across A2").found == pytest.approx(stress, rel=5e-3)


def test_bending_across_bolts_abreast_takes_off_both_holes() -> None:
    piece = abreast(rail_slots="none")
    # 60 mm from bolt to bolt, 18 of metal beyond each: 1.5 x 12, common practice; holes 13.5
    width = 60 + 2 * 18 - 2 * 13.5
    stress = 6 * (4 * G * 3) * hypot(250, 32) / (width * T**2)
    found = screen(piece, "bending across A1")
    assert found.found == pytest.approx(stress, rel=1e-3)
    assert f"width less the holes {width:.1f}" in found.note


def test_a_return_flange_adds_no_width_of_plate() -> None:
    plain, flanged = abreast(rail_slots="none"), abreast(rail_slots="none", return_flange=40)
    bare = screen(plain, "bending across A1").found
    found = screen(flanged, "bending across A1")
    # beyond the bosses the plate goes on by half a mm and by the flange's stand of R + t
    assert found.found == pytest.approx(bare * (96 - 27) / (96 - 27 + 0.5 + R + T), rel=1e-3)
    assert "return flange not counted" in found.note
    assert "return flange not counted" in screen(flanged, "give at the studs").note


# Bolts


def edge_of(piece: Piece, names: tuple[str, ...]) -> float:
    """Least distance from a hole's centre, or a slot's middle line, to the outline."""
    outline = faceted(piece.blank.outline).exterior
    found = []
    for cutout in piece.blank.cutouts:
        if cutout.name in names:
            hole = faceted(cutout.loop)
            _, width = size(cutout)
            found.append(outline.distance(hole.exterior) + width / 2)
    return min(found)


def test_bolts_share_the_force_and_its_turning() -> None:
    piece = piece_of(made())
    force = 8 * G * 3
    a = np.array([WORKED["A1"], WORKED["A2"]])
    s = np.array([WORKED["S1"], WORKED["S2"]])
    # two bolts: half the force each, and the couple F e over their pitch
    pitch = np.linalg.norm(a[1] - a[0])
    lever = np.linalg.norm(s - a.mean(axis=0), axis=1).max()
    rail = screen(piece, "bolt shear, rail")
    assert rail.found == pytest.approx(force / 2 + force * lever / pitch)
    # .6 x 800 x 84.27 / 1.25, less 15 % for 1.5 mm of play (EN 1993-1-8 table 3.4, 3.6.1(5))
    assert rail.limit == pytest.approx(0.85 * 0.6 * 800 * 84.27 / 1.25, rel=1e-4)
    pitch = np.linalg.norm(s[1] - s[0])
    lever = np.linalg.norm(a - s.mean(axis=0), axis=1).max()
    bar = screen(piece, "bolt shear, bar")
    assert bar.found == pytest.approx(force / 2 + force * lever / pitch)
    assert bar.limit == pytest.approx(0.6 * 800 * 57.99 / 1.25, rel=1e-4)


def test_bearing_counts_the_edge_and_the_spacing_that_are_there() -> None:
    piece = abreast(rail_slots="none", bar_slots="none")
    # rail: edge 18 of d0 13.5; the force that turning adds runs square to the line of the bolts,
    # so that their 60 is the gauge. S235: f_u 360; M12 8.8
    k1 = min(2.8 * 18 / 13.5 - 1.7, 1.4 * 60 / 13.5 - 1.7, 2.5)
    limit = k1 * (18 / (3 * 13.5)) * 360 * 12 * 5 / 1.25
    assert k1 == pytest.approx(2.0333, abs=1e-4)
    assert screen(piece, "bearing, rail").limit == pytest.approx(limit)
    near = {**ABREAST, "A1": (700.0, 580.0, 457.0), "A2": (700.0, 580.0, 424.0)}
    asked = config(right=SQUARE, reach=300, bar_mass=1, rail_slots="none")
    close = piece_of(lay_out("mount", asked, bench(near)))
    # 33 apart: 1.4 x 33 / 13.5 - 1.7 = 1.7222 now governs
    limit = 1.72222 * (18 / (3 * 13.5)) * 360 * 12 * 5 / 1.25
    assert screen(close, "bearing, rail").limit == pytest.approx(limit, rel=1e-4)


def test_slots_bear_six_tenths_of_what_round_holes_do() -> None:
    piece = piece_of(made(bar_mass=2))
    edge = edge_of(piece, ("A1", "A2"))
    assert edge == pytest.approx(20.25, abs=2e-3)  # 1.5 x 13.5
    # 2.8 x 20.25 / 13.5 - 1.7 = 2.5; slots' ends 54.685 - 10.5 apart leave the gauge out of it
    limit = 0.6 * 2.5 * (20.25 / 40.5) * 360 * 12 * 5 / 1.25
    assert screen(piece, "bearing, rail").limit == pytest.approx(limit, rel=1e-3)


def test_slip_is_held_against_the_worst_bolt_times_their_number() -> None:
    piece = piece_of(made())
    worst = screen(piece, "bolt shear, rail").found
    slip = screen(piece, "slip of the joint, rail")
    assert slip.found == pytest.approx(2 * worst)
    # k_s .63 for a long slot along the force, friction .2, two bolts of .7 x 800 x 84.27, 1.25
    assert slip.limit == pytest.approx(0.63 * 2 * 0.2 * 0.7 * 800 * 84.27 / 1.25, rel=1e-4)


@pytest.mark.parametrize(
    ("keys", "preloaded"),
    [
        ({"bolt_class": "8.8"}, True),
        ({"bolt_class": "10.9"}, True),
        ({"bolt_class": "4.6"}, False),
        ({"bolt_class": "12.9"}, False),
        ({"bolt_class": "grade 8", "rail_bolt": "1/2-13 UNC", "bar_bolt": "3/8-16 UNC"}, False),
    ],
)
def test_only_8_8_and_10_9_are_counted_on_not_to_slip(
    keys: dict[str, str], preloaded: bool
) -> None:
    # EN 1993-1-8 3.1.2
    part = made(**keys)
    names = [s.name for s in piece_of(part).screens]
    assert ("slip of the joint, rail" in names) is preloaded
    told = [f for f in part.findings if "not a preloaded class" in f.found]
    assert bool(told) is not preloaded
    assert not any(f.refuses for f in told)


@pytest.mark.parametrize("name", ["4.6", "12.9", "grade 5"])
def test_slip_of_a_class_that_is_not_preloaded_has_no_answer(name: str) -> None:
    with pytest.raises(ValueError, match="not a preloaded class"):
        slip(1000, bolt("M12"), property_class(name))


def test_edge_distances_are_measured_on_the_outline() -> None:
    piece = piece_of(made(edge=24, bar_mass=2))
    for end, names in (("rail", ("A1", "A2")), ("bar", ("S1", "S2"))):
        found = screen(piece, f"edge distance, {end}").found
        assert found == pytest.approx(edge_of(piece, names), abs=2e-3)
        assert found == pytest.approx(24, abs=1e-6)
        assert screen(piece, f"edge distance of a loaded bolt, {end}").found == found


def test_an_outline_cut_too_near_fails_its_edge_distances() -> None:
    asked, table = config(bar_mass=2), bench()
    side = asked.right
    assert side is not None
    bracket = lay_out_bracket(asked, side, table, "right")
    outline = offset(bracket.blank.outline, -2.0)
    tight = replace(bracket, blank=replace(bracket.blank, outline=outline))
    found = {s.name: s for s in screens(asked, tight)}
    assert found["edge distance, rail"].found == pytest.approx(18.25, abs=1e-4)
    assert not found["edge distance, rail"].holds
    assert found["edge distance of a loaded bolt, rail"].holds  # 18.25 over 1.5 x 12
    assert not found["edge distance of a loaded bolt, bar"].holds  # 14.5 under 1.5 x 10


def test_hole_spacing_is_between_the_nearest_ends_of_the_slots() -> None:
    piece = piece_of(made())
    # studs 70.0874 apart in line with their slots of 10 + 2 x 6 by 11, whose ends' centres lie
    # 5.5 from the middle; the bar's slots lean with it
    found = screen(piece, "hole spacing, bar")
    assert found.found == pytest.approx(hypot(3.5, 70) - 11, abs=2e-3)
    assert found.limit == pytest.approx(2.4 * 11)  # EN 1993-1-8 table 3.3, across the force


# Metal at the bolts


@pytest.mark.parametrize("mass", [8, 10])
def test_a_normal_job_in_5_mm_plate_is_not_refused(mass: float) -> None:
    part = made(bar_mass=mass, load_g=3)
    assert refusals(part) == []
    assert screen(piece_of(part), "bending across A2").reserve == pytest.approx(1.5, abs=0.01)


def test_metal_at_the_rail_bolts_grows_with_the_load_to_half_as_much_again_at_most() -> None:
    edges = [edge_of(piece_of(made(bar_mass=mass)), ("A1", "A2")) for mass in (2, 6, 8, 10, 40)]
    assert edges[0] == pytest.approx(20.25, abs=2e-3)
    assert edges == sorted(edges)
    assert edges[-1] == pytest.approx(1.5 * 20.25, abs=2e-3)
    bars = [edge_of(piece_of(made(bar_mass=mass)), ("S1", "S2")) for mass in (2, 40)]
    assert bars == pytest.approx([16.5, 16.5], abs=2e-3)


def test_metal_at_a_bolt_near_the_bend_grows_up_to_the_bends_neck() -> None:
    near = (1055.0, 580.0, 447.5)
    hand = single_fold(
        (WORKED["A1"], rail_normal(0, 0, 1)), (WORKED["S1"], bar_normal(6, LEAN, 1, 1)),
        [WORKED["A1"], near], [WORKED["S1"], WORKED["S2"]], T, R,
    )  # fmt: skip
    # the slot's end 5.25 nearer to the bend, along a fold that leans, and 5 of straight edge
    room = hand.before[1] - 5.25 * abs(np.cross(hand.line, [0, 1, 0])[0]) - 5
    assert 20.25 < room < 1.5 * 20.25
    # A2 has no room for all that the load asks, A1 gets it
    piece = piece_of(made({"A2": near}, bar_mass=20))
    assert edge_of(piece, ("A1",)) == pytest.approx(1.5 * 20.25, abs=2e-3)
    assert edge_of(piece, ("A2",)) >= room - 2e-3


def test_metal_at_the_rail_bolts_of_a_step_grows_too() -> None:
    points = {**STEP, "S1": (1100.0, 700.0, 450.0), "S2": (1100.0, 700.0, 510.0)}
    made_of = [
        piece_of(lay_out("mount", config(right=PARALLEL, bar_mass=m), bench(points)))
        for m in (2, 8)
    ]
    light, heavy = (edge_of(piece, ("A1", "A2")) for piece in made_of)
    assert light == pytest.approx(20.25, abs=2e-3)
    assert light + 3 < heavy <= 1.5 * 20.25 + 2e-3
    assert screen(made_of[1], "bending across A1").reserve == pytest.approx(1.5, abs=0.01)


def test_metal_at_the_bolts_never_reaches_into_a_bends_neck() -> None:
    for seed in range(12):
        case = one_bend_case(seed)
        part = laid(case, bar_mass=30)
        for piece in part.pieces:
            bend = piece.blank.bends[0]
            edge = faceted(piece.blank.outline)
            d, n = np.array(bend.along), np.array(bend.across)
            middle = (np.array(bend.start) + np.array(bend.end)) / 2
            for u in (-0.05, bend.allowance + 0.05):
                line = LineString([middle - 300 * d + u * n, middle + 300 * d + u * n])
                met = line.intersection(edge)
                assert met.length == pytest.approx(
                    figure(piece, "fold: width at the bend"), abs=0.01
                )
                assert edge.contains(Point(middle + u * n))
