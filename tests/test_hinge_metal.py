"""The metal of a lid hinge: where its pieces lie in space, and that they fold and stay apart."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import combinations
from math import cos, radians, sin
from typing import Any

import kernel
import numpy as np
import pytest
import shapely
from hinges import (
    ADJUST,
    ARM_T,
    BODY,
    BODY_ADJUST,
    BODY_MOUNT,
    BUSH,
    EDGE,
    FLOOR,
    GAP,
    LID_MOUNT,
    NECK,
    OPENING,
    PAD,
    STUD,
    Set,
    bench,
    by_hand,
    hinge,
    laid,
    shape,
    sheet,
    turned_by_hand,
)
from swings import PIVOT, fine

from parts import solid
from parts.kinds.hinge_bracket import metal
from parts.kinds.hinge_bracket.metal import Cut, Face, Fixing, Mount, NoPiece, Way, Weld
from parts.place import Place
from parts.sheet.check import check_sheet
from parts.sheet.curve import Line
from parts.sheet.fold import fold
from parts.sheet.soundness import fold_or_findings
from parts.trade.swing import NeckSizes
from parts.trade.swing.neck import neck_outline

WAYS: tuple[Way, ...] = (1, -1)
HANDS = pytest.mark.parametrize("pad_way", WAYS)
RIGHT = np.array([0.0, 1.0, 0.0])


def whole(made: Set, name: str, place: Place | None = None) -> Any:
    """The piece as a kernel solid on the vehicle."""
    return solid.cadquery_solid(made.folded(name), place or made.cuts[name].place).wrapped


def hole_axis(made: Set, name: str, diameter: float) -> tuple[Any, Any]:
    every = kernel.cylinders(whole(made, name))
    found = [(p, a) for p, a, r in every if abs(2 * r - diameter) < 1e-6]
    assert found
    return found[0]


def off_axis(point: Any, axis: Any, through: Any) -> float:
    return float(np.linalg.norm(np.cross(through - point, axis)))


# Where things are


@HANDS
def test_bush_and_shoulder_bolt_have_one_axis_the_pivots(pad_way: Way) -> None:
    made = laid(pad_way)
    pivot = by_hand(*PIVOT, 0)
    assert pivot.tolist() == [260 - 72, 430, 880 - 18]
    for name, diameter in (("arm", BUSH), ("body bracket", BODY.hole)):
        point, axis = hole_axis(made, name, diameter)
        assert abs(axis @ RIGHT) == pytest.approx(1)
        assert off_axis(point, axis, pivot) < 1e-9


@HANDS
def test_ball_studs_stand_on_their_mounts(pad_way: Way) -> None:
    made = laid(pad_way)
    for name, mount in (("strut bracket, lid", LID_MOUNT), ("strut bracket, body", BODY_MOUNT)):
        point, axis = hole_axis(made, name, STUD.hole)
        assert abs(axis @ RIGHT) == pytest.approx(1)
        assert off_axis(point, axis, by_hand(*mount, 0)) < 1e-9
        # the leg begins `reach` beside the ball, which is 25 beside the hinge plane
        bounds = kernel.box(whole(made, name)).Get()
        low, high = bounds[1], bounds[4]
        near = low if pad_way > 0 else high
        assert near == pytest.approx(EDGE[1] + pad_way * (25 + STUD.reach), abs=1e-6)


@HANDS
def test_the_arm_lies_half_on_either_side_of_the_hinge_plane(pad_way: Way) -> None:
    bounds = kernel.box(whole(laid(pad_way), "arm")).Get()
    assert (bounds[1], bounds[4]) == pytest.approx((430 - ARM_T / 2, 430 + ARM_T / 2), abs=1e-6)
    # its lowest and highest are the section's own
    points = fine(shape().outline)
    assert bounds[2] == pytest.approx(880 + points[:, 1].min(), abs=0.02)
    assert bounds[5] == pytest.approx(880 + points[:, 1].max(), abs=0.02)


def cutout(cut: Cut, name: str) -> Any:
    (found,) = [c for c in cut.blank.cutouts if c.name == name]
    return found


def slot_in_space(made: Set, name: str, cut: str) -> tuple[Any, Any, float, float]:
    """Middle and direction of a slot on the outer face, its length and its width."""
    loop = cutout(made.cuts[name], cut).loop
    sides = [c for c in loop if isinstance(c, Line)]
    a, b = (made.vehicle(name, p, 0.0) for p in (sides[0].start, sides[0].end))
    c, d = (made.vehicle(name, p, 0.0) for p in (sides[1].start, sides[1].end))
    straight = float(np.linalg.norm(b - a))
    width = float(np.linalg.norm(np.cross(c - a, (b - a) / straight)))
    return (a + b + c + d) / 4, (b - a) / straight, straight + width, width


@HANDS
def test_the_pads_slots_lie_in_the_lids_inner_face_and_run_along_the_lid(pad_way: Way) -> None:
    made = laid(pad_way)
    for number in (1, 2):
        middle, along, length, width = slot_in_space(made, "lid pad", f"lid pad bolt {number}")
        assert middle[2] == pytest.approx(880 - 8, abs=1e-9)
        assert abs(along[0]) == pytest.approx(1)
        assert width == pytest.approx(6.6)  # M6 medium, ISO 273
        assert length - width == pytest.approx(2 * ADJUST)
        # beside the arm, on the pad's side of it
        assert pad_way * (middle[1] - 430) > ARM_T / 2 + 3
        assert 260 + 60 < middle[0] < 260 + 130


@HANDS
def test_the_body_brackets_slots_lie_on_its_face_at_right_angles_to_the_pads(pad_way: Way) -> None:
    made = laid(pad_way)
    _, pads, _, _ = slot_in_space(made, "lid pad", "lid pad bolt 1")
    for number in (1, 2):
        middle, along, length, width = slot_in_space(
            made, "body bracket", f"body bracket bolt {number}"
        )
        assert middle[2] == pytest.approx(880 - 90, abs=1e-9)
        assert along @ pads == pytest.approx(0, abs=1e-12)
        assert abs(along[1]) == pytest.approx(1)
        assert width == pytest.approx(9)  # M8 medium, ISO 273
        assert length - width == pytest.approx(2 * BODY_ADJUST)
        assert -pad_way * (middle[1] - 430) > ARM_T / 2 + GAP


@HANDS
def test_legs_lie_on_either_side_of_the_arm_the_brackets_by_its_washer(pad_way: Way) -> None:
    made = laid(pad_way)
    for name, beside in (("lid pad", ARM_T / 2), ("body bracket", -(ARM_T / 2 + GAP))):
        cut = made.cuts[name]
        for w, off in ((0.0, 0.0), (cut.blank.thickness, cut.blank.thickness)):
            y = made.vehicle(name, cut.blank.base, w)[1]
            assert y - 430 == pytest.approx(pad_way * (beside + np.sign(beside) * off))
        bounds = kernel.box(whole(made, name)).Get()
        near = (bounds[1] if pad_way * beside > 0 else bounds[4]) - 430
        assert near == pytest.approx(pad_way * beside, abs=1e-6)


@pytest.mark.parametrize("lean", [70, 90, 110])
def test_a_pad_for_a_lid_that_leans_lies_in_the_leaning_face(lean: float) -> None:
    here = hinge(-1)
    pad = metal.lid_pad(here, shape(), sheet(3), replace(PAD, turn_deg=lean))
    made = Set(here, {"lid pad": pad.cut})
    # a fold of more than a right angle brings the foot down toward the leg, as it goes left
    a = radians(lean - 90)
    out, normal = np.array([0, -cos(a), -sin(a)]), np.array([0, -sin(a), cos(a)])
    corner = by_hand(95, -8, -ARM_T / 2)
    for number in (1, 2):
        middle, along, _, _ = slot_in_space(made, "lid pad", f"lid pad bolt {number}")
        assert (middle - corner) @ normal == pytest.approx(0, abs=1e-9)
        assert (middle - corner) @ out == pytest.approx(pad.row, abs=1e-9)
        assert abs(along[0]) == pytest.approx(1)


def test_bolts_of_pad_and_arm_go_through_both() -> None:
    made = laid(-1, bolted=True)

    def spots(name: str, of: str, w: float) -> list[list[float]]:
        middles = [cutout(made.cuts[name], f"{of} {n}").loop[0].center for n in (1, 2)]
        return sorted(made.vehicle(name, at, w).round(9).tolist() for at in middles)

    pads, arms = spots("lid pad", "lid pad arm bolt", 0), spots("arm", "pad bolt", ARM_T)
    assert pads == arms  # the pad's outer face and the arm's drawn face touch there


def test_a_hinge_on_a_sloping_lid_that_runs_forward_is_carried_along() -> None:
    turn = np.column_stack([(-cos(0.2), 0, -sin(0.2)), (0, -1, 0), (-sin(0.2), 0, cos(0.2))])
    here = hinge(1, Place(turn, EDGE))
    made = Set(here, {"arm": metal.arm(here, shape(), sheet(ARM_T))})
    point, axis = hole_axis(made, "arm", BUSH)
    pivot = EDGE + PIVOT[0] * turn[:, 0] + PIVOT[1] * turn[:, 2]
    assert abs(axis @ RIGHT) == pytest.approx(1)
    assert off_axis(point, axis, pivot) < 1e-9
    assert made.cuts["arm"].faces == "toward the lid pad, to the left"


# Left and right


def test_the_left_hand_is_the_right_ones_mirror_image_made_of_its_own_blank() -> None:
    right, left = laid(-1, flange=30.0), laid(1, flange=30.0)
    for name, cut in right.cuts.items():
        other = left.cuts[name]
        assert np.linalg.det(other.place.turn) == pytest.approx(1)
        assert [b.turn_deg for b in cut.blank.bends] == [b.turn_deg for b in other.blank.bends]
        a, b = kernel.cylinders(whole(right, name)), kernel.cylinders(whole(left, name))
        assert len(a) == len(b)
        for point, _, radius in a:
            flipped = np.array([point[0], 860 - point[1], point[2]])
            assert any(
                abs(radius - r) < 1e-9 and off_axis(p, x, flipped) < 1e-6 for p, x, r in b
            )
        boxes = [kernel.box(whole(made, name)).Get() for made in (right, left)]
        assert boxes[0][1] == pytest.approx(860 - boxes[1][4], abs=1e-6)
        assert boxes[0][4] == pytest.approx(860 - boxes[1][1], abs=1e-6)


def test_drawn_faces_are_told_as_they_look() -> None:
    for way, out, back in ((1, "to the right", "to the left"), (-1, "to the left", "to the right")):
        made = laid(way)
        told = {name: cut.faces for name, cut in made.cuts.items()}
        assert told["arm"] == f"toward the lid pad, {out}"
        assert told["lid pad"] == f"away from the arm, {out}"
        assert told["body bracket"] == f"away from the arm, {back}"
        for name, cut in made.cuts.items():
            base = cut.blank.base
            normal = made.vehicle(name, base, 1.0) - made.vehicle(name, base, 0.0)
            assert normal[1] == pytest.approx(1 if "right" in cut.faces else -1)


# Apart


@HANDS
@pytest.mark.parametrize("flange", [0.0, 30.0])
def test_pieces_share_no_metal_shut_or_open(pad_way: Way, flange: float) -> None:
    made = laid(pad_way, flange)
    shut = {name: whole(made, name) for name in made.cuts}
    for one, other in combinations(shut, 2):
        assert kernel.common_volume(shut[one], shut[other]) < 1e-6, (one, other)
    fixed = [name for name, cut in made.cuts.items() if not cut.swings]
    assert fixed == ["body bracket", "strut bracket, body"]
    for angle in (15, OPENING):
        for name, cut in made.cuts.items():
            if cut.swings:
                place = made.hinge.opened(angle).then(cut.place)
                spot = cut.place.apply([*cut.blank.base, 0])
                assert place.apply([*cut.blank.base, 0]) == pytest.approx(
                    turned_by_hand(spot, angle)
                )
                turned = whole(made, name, place)
                for still in fixed:
                    assert kernel.common_volume(turned, shut[still]) < 1e-6, (name, still, angle)


def test_the_body_bracket_stays_a_washer_from_all_that_swings() -> None:
    made = laid(-1, flange=30.0)
    bracket = made.cuts["body bracket"]
    for name in ("arm", "lid pad", "doubler"):
        near = metal.apart(made.hinge, made.cuts[name], bracket, 100.0)
        assert near is None or near.distance >= GAP - 1e-9
    found = metal.apart(made.hinge, made.cuts["arm"], bracket, 100.0)
    assert found is not None
    assert found.distance == pytest.approx(GAP)


@HANDS
def test_no_two_pieces_come_nearer_in_the_kernel_than_told(pad_way: Way) -> None:
    made = laid(pad_way, flange=30.0)
    moving = [name for name, cut in made.cuts.items() if cut.swings]
    still = [name for name, cut in made.cuts.items() if not cut.swings]
    assert moving and still
    for a in moving:
        for b in still:
            told = metal.apart(made.hinge, made.cuts[a], made.cuts[b], 500.0)
            assert told is not None
            for angle in (0.0, told.angle_deg, OPENING / 2, OPENING):
                place = made.hinge.opened(angle).then(made.cuts[a].place)
                gap = kernel.gap(whole(made, a, place), whole(made, b, made.cuts[b].place))
                assert gap >= told.distance - 1e-4, (a, b, angle)


def test_pieces_that_meet_are_told_as_no_distance_apart() -> None:
    made = laid(-1)
    here = made.hinge
    near = metal.strut_bracket(
        here, "near", Mount((95, -60), 5, -1), Face((0, -8), (1, 0), (0, -1)), sheet(3), STUD, True
    ).cut
    found = metal.apart(here, made.cuts["lid pad"], near, 10.0)
    assert found is not None
    assert found.distance == 0


@HANDS
@pytest.mark.parametrize("flange", [0.0, 30.0])
def test_the_side_view_holds_all_of_a_pieces_metal(pad_way: Way, flange: float) -> None:
    made = laid(pad_way, flange)
    for name, cut in made.cuts.items():
        view = shapely.unary_union([shapely.Polygon(fine(loop)) for loop in cut.side_view])
        folded = made.folded(name)
        points = np.array(
            [
                cut.place.apply(folded.space(region, curve.at(f), w)) - EDGE
                for region in folded.regions
                for loop in region.curves
                for curve in loop
                for f in (0.0, 0.3, 0.6)
                for w in (0.0, cut.blank.thickness)
            ]
        )
        there = shapely.points(points[:, [0, 2]])
        assert shapely.distance(there, view).max() < 2e-2, name
        # and not much more than that: its box is the metal's own
        bounds = view.bounds
        assert bounds[0] == pytest.approx(points[:, 0].min(), abs=1.5)
        assert bounds[3] == pytest.approx(points[:, 2].max(), abs=1.5)


# The arm's return, and the doubler


@HANDS
def test_the_return_stands_up_on_the_pads_side_by_its_height(pad_way: Way) -> None:
    made = laid(pad_way, flange=30.0)
    bounds = kernel.box(whole(made, "arm")).Get()
    back, top = (bounds[1], bounds[4]) if pad_way > 0 else (bounds[4], bounds[1])
    assert back - 430 == pytest.approx(-pad_way * ARM_T / 2, abs=1e-6)
    assert abs(top - back) == pytest.approx(30, abs=1e-6)
    (bend,) = made.cuts["arm"].blank.bends
    assert bend.turn_deg == 90


def test_the_doubler_keeps_its_welds_from_edges_hub_and_pad() -> None:
    made = laid(-1)
    edge = 2 * 2**0.5 + 1  # the leg of a weld of throat 2, and 1 of flat metal
    plate = shapely.Polygon(fine(made.cuts["doubler"].side_view[0]))
    arm = shapely.Polygon(fine(shape().outline))
    pad = shapely.unary_union(
        [shapely.Polygon(fine(view)) for view in made.cuts["lid pad"].side_view]
    )
    assert arm.contains(plate)
    assert plate.distance(arm.exterior) == pytest.approx(edge, abs=1e-2)
    assert plate.distance(pad) >= edge - 1e-2
    assert plate.distance(shapely.Point(PIVOT)) >= NECK.hub / 2 + edge - 1e-2
    # it follows the neck: a third of the arm's own area at least
    assert plate.area > arm.area / 3
    bounds = kernel.box(whole(made, "doubler")).Get()
    assert (bounds[1], bounds[4]) == pytest.approx((430 - 2.5 - 3, 430 - 2.5), abs=1e-6)


# Folding


def refusals(cut: Cut) -> list[str]:
    folded, unsound = fold_or_findings(cut.blank)
    if folded is None:
        return [str(f) for f in unsound]
    table = bench()
    found = check_sheet(folded, cut.sheet.rack, table.book, table.shop)
    return [str(f) for f in found if f.refuses]


@HANDS
@pytest.mark.parametrize("flange", [0.0, 30.0])
@pytest.mark.parametrize("bolted", [False, True])
def test_every_piece_can_be_folded_and_cut(pad_way: Way, flange: float, bolted: bool) -> None:
    for cut in laid(pad_way, flange, bolted).cuts.values():
        assert refusals(cut) == []


def random_angle(r: random.Random) -> Any:
    """A bracket or pad as someone could ask for it."""
    way = r.choice(WAYS)
    here, plate = hinge(way), sheet(r.choice((2, 3, 4, 5, 6)))
    bolts = Fixing(
        r.choice(("M6", "M8", "1/4-20 UNC")), "normal", r.choice((1, 2, 2, 3)),
        adjust=r.choice((0.0, 2.0, 4.0)), edge=r.choice((0.0, 14.0)),
    )  # fmt: skip
    bolts = replace(bolts, fit="normal" if "UNC" in bolts.bolt else "medium")
    turn = r.uniform(65, 115)
    if r.random() < 0.3:
        joint = Fixing("M6") if r.random() < 0.5 else Weld(2)
        asked = metal.PadSizes(r.uniform(40, 60), bolts, joint, turn)
        return lambda: metal.lid_pad(here, shape(), plate, asked)
    angle = r.uniform(0, 2 * np.pi)
    line, normal = (cos(angle), sin(angle)), (-sin(angle), cos(angle))
    away = r.uniform(30, 140)
    at = (PIVOT[0] - away * normal[0] + 50 * line[0], PIVOT[1] - away * normal[1] + 50 * line[1])
    face = Face(at, (3 * line[0], 3 * line[1]), normal, turn)
    length, shift = r.uniform(40, 140), r.uniform(-20, 20)
    if r.random() < 0.5:
        sizes = metal.BodySizes(10.5, 2, length, bolts, shift, r.choice((0.0, 22.0)))
        return lambda: metal.body_bracket(here, face, ARM_T, plate, sizes)
    stud = metal.StudSizes(8.4, 15, length, bolts, shift)
    return lambda: metal.strut_bracket(
        here, "strut bracket", Mount(PIVOT, 30, way), face, plate, stud, False
    )


def test_random_angles_fold_or_say_why_not() -> None:
    made = 0
    for seed in range(90):
        try:
            angle = random_angle(random.Random(seed))()
        except NoPiece:
            continue
        made += 1
        assert refusals(angle.cut) == [], seed
        (bend,) = angle.cut.blank.bends
        assert np.linalg.det(angle.cut.place.turn) == pytest.approx(1)
        assert bend.turn_deg > 0
    assert made >= 50


def random_arm(r: random.Random) -> tuple[metal.Hinge, metal.ArmShape]:
    """A goose-neck somewhere about some pivot, by the neck's own formulas."""
    front, size, v = r.uniform(40, 110), r.uniform(60, 110), r.uniform(-15, 0)
    pad = ((front, v), (front + size, v + r.uniform(-12, 12)))
    sizes = NeckSizes(r.uniform(24, 40), r.uniform(26, 48), r.uniform(6, 20), pad)
    pivot = (-r.uniform(50, 120), -r.uniform(10, 40))
    outline, _ = neck_outline(pivot, r.uniform(80, 130), r.uniform(-140, -90), sizes)
    here = replace(hinge(r.choice(WAYS)), pivot=pivot)
    return here, metal.ArmShape(outline, pad, r.choice((3, 4, 5, 6)), sizes.hub - 12)


def test_random_arms_with_pad_return_and_doubler_fold_and_share_no_metal() -> None:
    made = returns = 0
    for seed in range(100):
        r = random.Random(seed)
        try:
            here, arm = random_arm(r)
            pad = metal.lid_pad(here, arm, sheet(3), replace(PAD, leg=r.uniform(35, 55)))
            flange = r.choice((0.0, 46.0))
            cuts = [
                pad.cut, metal.arm(here, arm, sheet(arm.thickness), pad, flange),
                metal.doubler(here, arm, sheet(3), pad, 2),
            ]  # fmt: skip
        except ValueError:  # no such neck, or no piece of it
            continue
        made += 1
        returns += flange > 0
        assert [refusals(cut) for cut in cuts] == [[], [], []], seed
        if made % 6 == 0:
            solids = [solid.cadquery_solid(fold(cut.blank), cut.place).wrapped for cut in cuts]
            assert all(map(kernel.valid, solids))
            for one, other in combinations(solids, 2):
                assert kernel.common_volume(one, other) < 1e-6, seed
    assert made >= 35
    assert returns >= 12


def test_the_foot_lies_on_its_face_whatever_the_faces_slope_and_the_folds_turn() -> None:
    seen = 0
    for seed in range(200, 240):
        r = random.Random(seed)
        slope, turn, way = r.uniform(0, 360), r.uniform(70, 110), r.choice(WAYS)
        s = radians(slope)
        line, normal = np.array([cos(s), sin(s)]), np.array([-sin(s), cos(s)])
        at = np.array(PIVOT) - 80 * normal + 15 * line
        here = hinge(way)
        face = Face(tuple(at), tuple(line), tuple(normal), turn)
        angle = metal.body_bracket(here, face, ARM_T, sheet(3), BODY)
        made = Set(here, {"body bracket": angle.cut})
        a = radians(turn - 90)
        out = np.array([normal[0] * sin(a), -way * cos(a), normal[1] * sin(a)])
        corner = EDGE + np.array([at[0], -way * (ARM_T / 2 + GAP), at[1]])
        up = np.cross(out, [line[0], 0, line[1]])
        for cut in angle.cut.blank.cutouts[1:]:
            for curve in cut.loop:
                spot = made.vehicle("body bracket", curve.start, 0.0)
                assert (spot - corner) @ up == pytest.approx(0, abs=1e-9)
                seen += 1
    assert seen > 200


# What cannot be


def test_sizes_that_leave_no_piece_are_refused_with_words() -> None:
    here, arm, plate = hinge(), shape(), sheet(3)
    near = Face((-100, -40), (1, 0), (0, 1))
    with pytest.raises(NoPiece, match=r"pivot stands 22\.0 mm off the face"):
        metal.body_bracket(here, near, ARM_T, plate, BODY)
    with pytest.raises(NoPiece, match="thrust washer"):
        metal.body_bracket(here, FLOOR, ARM_T, plate, replace(BODY, gap=0))
    with pytest.raises(NoPiece, match=r"2 bolts M8 do not fit in 30\.0 mm"):
        metal.body_bracket(here, FLOOR, ARM_T, plate, replace(BODY, length=30))
    with pytest.raises(NoPiece, match=r"turn by 10 degrees; needs 20 to 150"):
        metal.body_bracket(here, replace(FLOOR, turn_deg=10), ARM_T, plate, BODY)
    with pytest.raises(NoPiece, match="side of the metal lies along its line"):
        metal.body_bracket(here, replace(FLOOR, metal=(2, 0)), ARM_T, plate, BODY)
    with pytest.raises(NoPiece, match="a leg of 10"):
        metal.lid_pad(here, arm, plate, replace(PAD, leg=10))
    with pytest.raises(NoPiece, match="do not fit in 70"):
        metal.lid_pad(here, arm, plate, replace(PAD, lid=Fixing("M10", adjust=5)))
    with pytest.raises(NoPiece, match=r"leg: 30\.0 mm down the arm"):
        metal.lid_pad(here, arm, plate, replace(PAD, leg=30, arm=Fixing("M8")))
    with pytest.raises(NoPiece, match="sheet that is not folded"):
        metal.lid_pad(here, arm, metal.flat_sheet(bench(), "3"), PAD)
    with pytest.raises(NoPiece, match="in a hub of 26"):
        metal.arm(here, replace(arm, bush=26), sheet(5))
    with pytest.raises(NoPiece, match="no more than its own fold"):
        metal.arm(here, arm, sheet(5), flange=10)
    with pytest.raises(NoPiece, match="it was laid out with"):
        metal.arm(here, arm, plate)
    pad = metal.lid_pad(here, arm, plate, PAD)
    with pytest.raises(NoPiece, match="of ring between its welds"):
        metal.doubler(here, arm, plate, pad, throat=6)
