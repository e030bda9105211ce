"""What a bumper mount says of itself: faces, gaps, edges; and what cannot be made."""

from __future__ import annotations

from math import cos, hypot, radians, sin
from typing import Any

import numpy as np
import pytest
from mount_by_hand import bar_normal, rail_normal
from mount_made import (
    LEAN,
    SIDE,
    STEP,
    WORKED,
    R,
    T,
    assert_bolts_up,
    bench,
    config,
    faceted,
    figure,
    findings_at,
    made,
    piece_of,
    refusals,
    size,
    spread,
)

from parts.kinds.bench import Bench, Rack, Spots
from parts.kinds.bumper_mount import lay_out
from parts.sheet.collide import self_collisions
from parts.sheet.stock import Stock, material


def test_sound_worked_case_is_not_refused() -> None:
    assert refusals(made()) == []


def test_point_off_its_face_is_told_with_its_distance() -> None:
    # 4 mm on one of two points: each stands 2 mm off the face through their middle
    part = made({"A2": (1001.0, 584.0, 447.5)})
    for name in ("A1", "A2"):
        (found,) = findings_at(part, f"right: {name}")
        assert "2.0 mm off the rail face" in found.found and not found.refuses
    gross = made({"A2": (1001.0, 590.0, 447.5)})
    assert {f.where for f in refusals(gross)} >= {"right: A1", "right: A2"}
    bar = made({"S1": (1106.0, 622.0, 478.0)})
    assert [f for f in refusals(bar) if "off the bar's back" in f.found]


def test_parallel_slots_are_mentioned_and_square_ones_are_not() -> None:
    assert findings_at(made(rail_slots="vertical"), "right: slots")
    assert not findings_at(made(), "right: slots")
    assert not findings_at(made(rail_slots="vertical", bar_slots="none"), "right: slots")


def test_gap_to_a_thing_in_the_way_is_refused_when_too_small() -> None:
    # the rail leg's outer skin lies at y = 585: a point 12 mm off it over a solid part of the leg
    point = {"K": (972.0, 597.0, 450.0)}
    asked = {**SIDE, "keep_clear": [{"point": "K", "gap": 13}]}
    (found,) = findings_at(made(point, right=asked), "right: K")
    assert found.refuses
    assert found.found == "12.0 mm from the bracket" and "1.0 mm more" in found.remedy
    enough = {**SIDE, "keep_clear": [{"point": "K", "gap": 11.9}]}
    assert not findings_at(made(point, right=enough), "right: K")


def test_a_gap_that_error_and_slots_may_use_up_is_mentioned() -> None:
    # light: 20.25 of metal round A1 (1.5 x 13.5), whose slot's ends lie 5.25 out; a point in
    # line with the slot, 21 ahead of all metal. The slots let the bracket 6 mm toward it
    point = {"K": (946.5 - 5.25 - 20.25 - 21, 582.5, 452.0)}
    covariance = np.diag(np.repeat([0.2, 0.2, 0.0, 0.0, 0.3], 3) ** 2)
    asked = {**SIDE, "keep_clear": [{"point": "K", "gap": 10}]}
    part = lay_out("mount", config(right=asked, bar_mass=1), bench({**WORKED, **point}, covariance))
    piece = piece_of(part)
    error = 1.959964 * hypot(0.2, 0.3)  # of K against A1 or A2
    # their own error against the exact studs makes the slots longer: 1.96 x 0.2 each way
    travel = 6 + 1.959964 * 0.2
    found = figure(piece, "K: gap to the bracket")
    assert found == pytest.approx(21 - 1.959964 * 0.2, abs=0.02)  # the longer slot's metal
    assert spread(piece, "K: gap to the bracket") == pytest.approx(error, rel=1e-3)
    assert not findings_at(part, "right: K")
    for gap, refused in (((found - error - travel) + 0.05, False), (found + 0.05, True)):
        asked = {**SIDE, "keep_clear": [{"point": "K", "gap": gap}]}
        table = bench({**WORKED, **point}, covariance)
        (told,) = findings_at(lay_out("mount", config(right=asked, bar_mass=1), table), "right: K")
        assert told.refuses is refused
    asked = {**SIDE, "keep_clear": [{"point": "K", "gap": found - error - travel - 0.05}]}
    part = lay_out("mount", config(right=asked, bar_mass=1), bench({**WORKED, **point}, covariance))
    assert not findings_at(part, "right: K")


def test_slots_do_not_carry_the_bracket_off_its_face() -> None:
    point = {"K": (972.0, 597.0, 450.0)}  # 12 mm square off the rail leg
    asked = {**SIDE, "keep_clear": [{"point": "K", "gap": 11.9}]}
    assert not findings_at(made(point, right=asked), "right: K")


def test_a_bracket_that_folds_behind_the_rail_says_where_the_rail_must_end() -> None:
    # laid on the rail's inner face, with the studs further out than that, all square: the metal
    # leaves the face where the bend starts, 5 of plate and 5 of inside radius before the bar
    studs = {"S1": (1098.0, 622.0, 478.0), "S2": (1098.0, 622.0, 408.0)}
    side = {"rail_face": {"toe": "0 ± 0", "lean": "0 ± 0", "metal": "inboard"},
            "bar_face": {"sweep": "0 ± 0", "lean": "0 ± 0"}}  # fmt: skip
    (told,) = findings_at(made(studs, side), "right: rail")
    assert "from x = 1088.0 on" in told.found
    assert "ends before x = 1087," in told.needed
    # swept back, the bar leg's outer end comes forward of the bend: 5 of plate square off the
    # bar's back, and as much metal round the studs as an M10 in a slot has: 1.5 x 11
    side["bar_face"]["sweep"] = "12 ± 0"
    (told,) = findings_at(made(studs, side), "right: rail")
    tip = 1098 - 5 * cos(radians(12)) - 16.5 * sin(radians(12))
    assert float(told.found.split("x = ")[1].split()[0]) == pytest.approx(tip, abs=0.06)
    assert not told.refuses
    assert not findings_at(made(), "right: rail")


def test_a_front_mount_behind_the_rail_s_face_tells_its_end_from_the_other_way() -> None:
    points = {n: (-x, y, z) for n, (x, y, z) in WORKED.items()}
    side = {**SIDE, "rail_face": {"toe": "0 ± 0", "lean": "0 ± 0", "metal": "inboard"}}
    rear = findings_at(made(right=side), "right: rail")[0]
    front = findings_at(made(points, right=side, bumper="front"), "right: rail")[0]
    found = [float(f.found.split("x = ")[1].split()[0]) for f in (rear, front)]
    assert found[1] == pytest.approx(-found[0], abs=0.11)
    assert f"x = -{int(found[0])}" in front.needed


def test_no_shop_s_die_or_rule_is_refused_at_the_stock_by_name() -> None:
    for rack, words in (
        (Rack(Stock("plate", material("S235"), 30.0)), "no die of dies.csv suits 30 mm"),
        (Rack(Stock("plate", material("S235"), 12.0)), "no die of dies.csv suits 12 mm"),
        (Rack(Stock("plate", material("S235"), 5.0), 500.0), "die V 500 is not in dies.csv"),
        (Rack(Stock("plate", material("S235"), 5.0), 3.0), "die V 3 is not in dies.csv"),
        (Rack(Stock("plate", material("S235"), 5.0), None, 0.1), "inside radius 0.1 on 5 mm"),
    ):
        table = Bench("job", {"plate": rack}, Spots.exact(WORKED))
        (found,) = refusals(lay_out("mount", config(), table))
        assert found.where == "right: stock plate"
        assert words in found.found
        assert "inside_radius" in found.remedy


def test_an_outside_corner_that_comes_out_too_sharp_is_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert not [f for f in made(return_flange=35).findings if "corner" in f.where]
    monkeypatch.setattr("parts.kinds.bumper_mount.outline.OUTER_ROUND", 1.0)
    told = [f for f in made(return_flange=35).findings if "corner" in f.where]
    assert told
    assert all("round of 1.00 mm" in f.found and "2.50 mm" in f.needed for f in told)


def test_silly_load_is_refused_by_the_screening() -> None:
    part = made(load_g=3000)
    assert {"bending", "bolt", "bearing,"} <= {
        f.where.removeprefix("right: screening, ").split()[0] for f in refusals(part)
    }


def test_cross_error_larger_than_the_play_is_mentioned() -> None:
    # both points 0.5 mm (1 sigma) up and down: 1.96 x 0.71 = 1.39 across the fore-aft slots of the
    # rail is taken up by the bar's upright slots; sideways nothing takes it up at the bar
    covariance = np.diag([0.25] * 12)
    part = lay_out("mount", config(), bench(WORKED, covariance))
    found = [f for f in part.findings if "mm of play" in f.found]
    assert [f.where for f in found] == ["right: S1, S2"]
    assert "1.4 mm out" in found[0].found and "0.50 mm of play" in found[0].found
    calm = lay_out("mount", config(), bench(WORKED, covariance / 16))
    assert not [f for f in calm.findings if "mm of play" in f.found]


# Breaking it

BEYOND = {n: (x - 400, y, z) for n, (x, y, z) in WORKED.items() if n[0] == "S"}
BROKEN: dict[str, tuple[dict[str, Any], dict[str, Any], dict[str, Any], str]] = {
    "bar in front of the holes": (BEYOND, {}, {}, "beyond the bar's back"),
    "front bumper called rear": ({}, {}, {"bumper": "front"}, "beyond the bar's back"),
    "hole in the bend": ({"A2": (1080.0, 580.0, 447.5)}, {}, {}, "A2: its slot's end is 4.5 mm"),
    "stud at the rail": ({"S1": (1098.0, 590.0, 478.0), "S2": (1094.5, 590.0, 408.0)}, {}, {},
                         "inside the bend"),
    "studs on both sides": ({"S1": (1098.0, 570.0, 478.0), "S2": (1094.5, 590.0, 408.0)}, {}, {},
                            "on both sides"),
    "studs in the rail's face": ({"S1": (1098.0, 580.0, 478.0), "S2": (1094.5, 580.0, 408.0)}, {},
                                 {}, "or in it"),
    "points coincident": ({"A2": WORKED["A1"]}, {}, {}, "A1, A2: 0.0 mm"),
    "points nearly coincident": ({"S2": (1098.0, 622.0, 470.0)}, {}, {}, "8.0 mm"),
    "bar on top of the rail, parallel": (
        {"S1": (970.0, 622.0, 450.0), "S2": (1010.0, 622.0, 450.0)},
        {"bar_face": {"sweep": 90, "lean": 0}}, {}, "parallel"),
    "parallel and in one plane": (
        {"S1": (1098.0, 581.0, 478.0), "S2": (1098.0, 581.0, 408.0)},
        {"bar_face": {"sweep": 90, "lean": 0}}, {}, "parallel"),
    "a whisker from parallel": (
        {"S1": (970.0, 622.0, 450.0), "S2": (1010.0, 622.0, 450.0)},
        {"bar_face": {"sweep": 89.995, "lean": 0}}, {}, "parallel"),
    "one bend asked of parallel faces": (
        {}, {"bar_face": {"sweep": 90, "lean": 0}}, {"bends": "one"}, "one bend does not do"),
    "thick plate": ({}, {}, {"t": 25.0, "r": 30.0}, "from the bend"),
    "very thick plate": ({}, {}, {"t": 60.0, "r": 60.0}, "inside the bend"),
    "tiny plate": ({}, {}, {"t": 0.5, "r": 0.5}, "bending"),
    "one stud far off": ({"S2": (1094.5, 622.0, -9000.0)}, {}, {}, "mm off the bar's back"),
    "one stud far out": ({"S2": (1094.5, 5622.0, 408.0)}, {}, {}, "over the reach"),
    "bar lying down": ({}, {"bar_face": {"sweep": 6, "lean": 90}}, {}, "runs out of the face"),
    "rail across the vehicle": ({}, {"rail_face": {"toe": 80}}, {}, "runs out of the face"),
    "huge boss": ({}, {}, {"edge": 100}, "100.0 of metal round it"),
    "huge adjustment": ({}, {}, {"rail_adjust": 100}, "slot's end"),
    "slots into each other": ({}, {}, {"bar_adjust": 60}, "runs into"),
    "low return flange": ({}, {}, {"return_flange": 5}, "return_flange"),
    "short reach": ({}, {}, {"reach": 10}, "over the reach of 10"),
}  # fmt: skip


@pytest.mark.parametrize("name", BROKEN)
def test_what_cannot_be_made_is_refused_in_words(name: str) -> None:
    points, side, keys, words = BROKEN[name]
    keys = dict(keys)
    table = bench({**WORKED, **points}, None, keys.pop("t", T), keys.pop("r", R))
    part = lay_out("mount", config(side, **keys), table)
    said = [str(f) for f in refusals(part)]
    assert said
    assert any(words in line for line in said), said
    assert all(" - " in line and "needs" in line and "nan" not in line for line in said)


def test_three_points_in_line_are_refused_by_name() -> None:
    line = {"F1": (900, 580, 450), "F2": (950, 580, 450), "F3": (1000, 580, 450)}
    part = made(line, {"rail_face": {"points": list(line)}})
    (found,) = refusals(part)
    assert "F1, F2, F3 lie almost in line" in found.found
    same = {"F1": (900, 580, 450), "F2": (900, 580, 450), "F3": (900, 580, 450)}
    (found,) = refusals(made(same, {"rail_face": {"points": list(same)}}))
    assert "almost in line" in found.found


def test_where_the_vehicle_stands_makes_no_difference() -> None:
    near = piece_of(made())
    shift = (-3000.0, 8000.0, -700.0)
    far = piece_of(made({n: tuple(np.add(p, shift)) for n, p in WORKED.items()}))
    assert faceted(near.blank.outline).symmetric_difference(faceted(far.blank.outline)).area < 1e-6


def test_a_bend_never_passes_as_a_step_over_the_same_points_unseen() -> None:
    # asked for two bends, square faces: whatever comes must still bolt up, or be refused
    part = made(bends="two")
    for piece in part.pieces:
        assert_bolts_up(piece, WORKED, rail_normal(0, 0, 1), bar_normal(6, LEAN, 1, 1))
    assert part.pieces or refusals(part)


def test_inch_bolts_make_inch_holes() -> None:
    # ASME B18.2.8 normal fit: 1/2 in 9/16, 3/8 in 13/32
    part = made(rail_bolt="1/2-13 UNC", bar_bolt="3/8-16 UNC", bolt_class="grade 5")
    widths = {c.name: size(c)[1] for c in piece_of(part).blank.cutouts}
    assert widths["A1"] == pytest.approx(9 / 16 * 25.4, abs=0.01)
    assert widths["S1"] == pytest.approx(13 / 32 * 25.4, abs=0.01)


def test_sharpest_step_keeps_its_web_or_is_refused() -> None:
    side = {**SIDE, "bar_face": {"sweep": "90 ± 0", "lean": "0 ± 0"}}
    for height in (8, 14, 20, 30, 45, 70, 100, 140):
        points = {**STEP, **{n: (1010.0, 580.0 + height, STEP[n][2]) for n in ("S1", "S2")}}
        part = lay_out("mount", config(right=side), bench(points))
        if part.pieces:
            piece = part.pieces[0]
            assert_bolts_up(piece, points, np.array([0, 1.0, 0]), np.array([0, -1.0, 0]))
            first, second = piece.blank.bends
            gap = np.array(first.across) @ (np.array(second.start) - np.array(first.start))
            assert gap - first.allowance >= 2 * 5 - 1e-6  # straight edge of 5 beside each bend
            assert self_collisions(piece.folded) == []
        else:
            assert "web" in str(part.findings[0]) or "turn" in str(part.findings[0])
