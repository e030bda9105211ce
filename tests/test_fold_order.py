"""In which order bends can be made, and that nothing strikes a tool on the way.

Strips are held against their sections, drawn anew with shapely; what orders are usual is common
practice at the brake. One tray is held against the kernel.
"""

from __future__ import annotations

import random
from functools import cache
from math import inf

import numpy as np
import pytest
import sections
import shapely
from blanks import NAMED, bend
from sections import FURTHEST, LAND, Punch, Strip, die_outline, die_top, halves, punch_outline
from shapely.affinity import scale, translate

from parts.report import Severity
from parts.sheet.blank import Blank
from parts.sheet.fold import fold
from parts.sheet.fold_order import search
from parts.sheet.fold_order.convex import Outline
from parts.sheet.fold_order.findings import order_findings
from parts.sheet.fold_order.order import fold_order
from parts.sheet.fold_order.steps import FoldOrder, NoOrder
from parts.sheet.fold_order.stroke import Stroke, Tool
from parts.sheet.loop import polygon
from parts.sheet.shop import Rack, Shop
from parts.sheet.stock import Stock, material

TIE = 0.05  # mm


def blank_of(strip: Strip, width: float = 50.0) -> Blank:
    bends, x = [], strip.flats[0]
    for n, (flat, turn) in enumerate(zip(strip.flats[1:], strip.turns_deg, strict=True)):
        bends.append(bend(f"b{n}", (x, width), (x, 0), turn, strip.radius, strip.t))
        x += bends[-1].allowance + flat
    outline = polygon([(0, 0), (x, 0), (x, width), (0, width)])
    return Blank(strip.t, outline, (), tuple(bends), (strip.flats[0] / 2, width / 2))


def ordered(blank: Blank, die_v: float | None = None, shop: Shop | None = None):
    rack = Rack(Stock("plate", material("mild steel"), blank.thickness), die_v)
    return fold_order(fold(blank), rack, shop or Shop())


def order_of(strip: Strip, shop: Shop | None = None):
    return ordered(blank_of(strip), strip.die_v, shop)


def strip_of(*flats: float, turns: list[float]) -> Strip:
    """2 mm on V 12, inside radius 2."""
    return Strip(flats, tuple(turns), 2.0, 2.0, 12.0)


# against sections


@cache
def swept(strip, number, made, way, samples):
    """The metal on one side all through a stroke, and again with the die's top at 0."""
    metal, on_die = [], []
    for half in halves(strip, number, samples):
        here = [m.outline for m in strip.side(number, made, way, half) if not m.level]
        metal += here
        on_die += [translate(m, 0, -die_top(strip, number, half)) for m in here]
    return np.array(metal), np.array(on_die)


def gaps(strip, number, made, punches, die, samples=17):
    """How far the metal on both sides stays off the best of the punches, and off the die; below 0
    by TIE where it goes deeper."""
    over, under = [inf] * len(punches), inf
    for way in (1, -1):
        here = frozenset(n for n in made if (n - number) * way > 0)
        metal, on_die = swept(strip, number, here, way, samples)
        first = strip.first_turn(number, made, way)
        if not len(metal):
            continue
        under = min(under, apart(on_die, die))
        for n, punch in enumerate(punches):
            outline = scale(punch_outline(punch, strip, number, first), way, 1, origin=(0, 0))
            over[n] = min(over[n], apart(metal, outline))
    return max(over), under


def apart(metal: np.ndarray, tool: shapely.Geometry) -> float:
    least = float(shapely.distance(metal, tool).min())
    return -TIE if least == 0 and shapely.intersects(metal, tool.buffer(-TIE)).any() else least


def exists(strip: Strip) -> bool | None:
    """Whether any of all orders can be made on the furthest tools; None where it is a tie."""
    die = sections.narrow_die(strip)

    @cache
    def least(number: int, made: frozenset[int]) -> float:
        return min(gaps(strip, number, made, FURTHEST, die))

    def onward(made: frozenset[int], enough: float) -> bool:
        left = set(range(len(strip.turns_deg))) - made
        return not left or any(least(n, made) > enough and onward(made | {n}, enough) for n in left)

    surely, maybe = onward(frozenset(), TIE), onward(frozenset(), -TIE)
    return surely if surely == maybe else None


def random_strip(seed: int) -> Strip:
    rng = random.Random(seed)
    count = rng.choice([2, 3, 3, 4, 4, 5])
    turns = [rng.choice([90, 90, 90, 60, 120, 135, 45]) * rng.choice([1, 1, 1, -1])
             for _ in range(count)]  # fmt: skip
    flats = [rng.uniform(9, 80) for _ in range(count + 1)]
    return strip_of(*flats, turns=turns)


def test_the_search_finds_an_order_where_any_of_all_can_be_made_and_none_elsewhere():
    told = {True: 0, False: 0, None: 0}
    for seed in range(30):
        strip = random_strip(seed)
        wanted = exists(strip)
        told[wanted] += 1
        if wanted is not None:
            assert isinstance(order_of(strip), FoldOrder) == wanted, (seed, strip)
    assert told[True] >= 8
    assert told[False] >= 5
    assert told[None] <= 3


PROFILES = {
    "ell": strip_of(60, 40, turns=[90]),
    "shallow channel": strip_of(30, 90, 30, turns=[90, 90]),
    "channel for a goose-neck": strip_of(30, 40, 60, turns=[90, 90]),
    "Z": strip_of(50, 30, 40, turns=[90, -90]),
    "hat": strip_of(20, 40, 60, 40, 20, turns=[90, -90, -90, 90]),
    "J": strip_of(80, 35, 15, turns=[90, 90]),
    "lipped channel": strip_of(12, 34, 100, 34, 12, turns=[90] * 4),
    "open hat": strip_of(25, 45, 50, 45, 25, turns=[60, -60, -60, 60]),
    "acute": strip_of(60, 50, turns=[135]),
}


def tool_of(step, strip: Strip) -> Punch:
    """The punch that a step names; the gauge tells which way is back."""
    assert step.unusual == ()
    if step.punch == "straight punch":
        return Punch(25, 120)
    assert step.punch.startswith("goose-neck punch, throat to the ")
    number, edge = step.bends[0], step.gauge.edge
    back = 1 if edge[0][0] > blank_of(strip).bends[number].start[0] else -1
    return Punch(12, 120, back if step.punch.endswith("back") else -back)


@pytest.mark.parametrize("name", PROFILES)
def test_every_step_of_an_order_clears_punch_and_die_all_through_its_stroke(name):
    strip = PROFILES[name]
    order = order_of(strip)
    assert isinstance(order, FoldOrder)
    made: frozenset[int] = frozenset()
    half_v = strip.die_v / 2  # the V itself is open to the bend
    edges = shapely.box(half_v, -100, half_v + LAND, 0).union(
        shapely.box(-half_v - LAND, -100, -half_v, 0)
    )
    for step in order.steps:
        (number,) = step.bends
        punch = tool_of(step, strip)
        assert step.die == "die"
        die = die_outline(strip, LAND, 100)
        nearest = min(gaps(strip, number, made, (punch,), die, 60))
        assert nearest >= (10 if step.open_mm is None else step.open_mm) - 0.02
        if step.open_mm is not None:  # what is told is no more than 0.8 below what is there
            assert nearest <= step.open_mm + 0.8
        for half in halves(strip, number, 9)[1:]:  # the flats beside the bend and the bend itself
            top = die_top(strip, number, half)
            for way in (1, -1):
                outline = scale(punch_outline(punch, strip, number, None), way, 1, origin=(0, 0))
                own = [m.outline for m in strip.side(number, made, way, half) if m.level]
                for metal in (*own, strip.own(number, half)):
                    assert metal.intersection(outline).area < TIE
                    assert translate(metal, 0, -top).intersection(edges).area < TIE
        made |= {number}
    assert made == set(range(len(strip.turns_deg)))


@pytest.mark.parametrize(
    ("name", "wanted", "flips"),
    [
        ("hat", [{0, 3}, {1, 2}], 1),  # the brim first, then turned over once for the crown
        ("lipped channel", [{0, 3}, {1, 2}], 0),  # lips before legs
        ("J", [{1}, {0}], 0),  # the hook before the leg
        ("Z", [{0, 1}], 1),
        ("channel for a goose-neck", [{0}, {1}], 0),  # the short leg stands beside the punch
    ],
)
def test_profiles_are_bent_from_the_outside_in_and_turned_over_no_more_than_they_must(
    name, wanted, flips
):
    order = order_of(PROFILES[name])
    numbers = [step.bends[0] for step in order.steps]
    for group in wanted:
        assert set(numbers[: len(group)]) == group
        numbers = numbers[len(group) :]
    assert sum(step.flip for step in order.steps) == flips
    assert not order.steps[0].flip


def test_nothing_is_asked_for_that_another_order_does_without():
    """Bends to both sides ask for one turning over; more, or tools past the usual, need not be."""
    few = order_of(strip_of(15, 60, 30, 12, 12, 20, turns=[-120, 60, -60, -90, 90]))
    assert sum(step.flip for step in few.steps) == 1
    usual = order_of(strip_of(100, 80, 20, 40, turns=[120, -90, 60]))
    assert not any(step.unusual for step in usual.steps)
    straight = order_of(strip_of(40, 50, 20, 25, turns=[90, 90, -90]))
    assert {step.punch for step in straight.steps} == {"straight punch"}


def test_a_stroke_looks_with_that_face_at_the_punch_toward_which_it_turns():
    order = order_of(PROFILES["Z"])
    assert [(s.turn_deg, s.drawn_face_up) for s in order.steps] == [(-90, False), (90, True)]


@pytest.mark.parametrize(
    ("strip", "word"),
    [
        (strip_of(120, 16, 120, turns=[90, 90]), "punch"),  # deep and narrower than any punch
        (strip_of(50, 50, 50, 50, turns=[90, 90, 90]), "punch"),  # a closed box section
        (strip_of(300, 20, 300, turns=[90, -90]), "die"),  # legs down to the table on both sides
    ],
)
def test_what_no_brake_makes_has_no_order_and_says_what_it_strikes(strip, word):
    order = order_of(strip)
    assert isinstance(order, NoOrder)
    assert not order.given_up
    assert order.blocked
    assert word in order.why
    assert f"[shop] {word}_" in order.remedy


def test_a_bend_past_its_turn_for_springing_back_counts():
    """50 wide inside, legs 32 deep: square, a leg ends (50 - 32) sin 45 = 12.73 off the middle of
    the punch, which is 12.5 from its face; at 96 it ends 50 sin 42 - 32 sin 48 = 9.7 off."""
    strip = strip_of(30, 46, 30, turns=[90, 90])
    assert [s.punch for s in order_of(strip).steps] == ["straight punch"] * 2
    rack = Rack(Stock("plate", material("mild steel"), 2), 12)
    over = fold_order(fold(blank_of(strip)), rack, Shop(), (6.0, None)).steps
    assert [(s.bends, s.over_deg, s.punch) for s in over] == [
        ((0,), 96.0, "straight punch"), ((1,), None, "straight punch"),
    ]  # fmt: skip
    over = fold_order(fold(blank_of(strip)), rack, Shop(), (6.0, 6.0)).steps
    assert over[1].punch.startswith("goose-neck punch")


# three ways round: boxes, tabs, bands


def test_a_lip_is_bent_before_its_wall_and_a_box_swings_from_wall_to_wall():
    order = ordered(NAMED["box"]())
    assert isinstance(order, FoldOrder)
    names = [NAMED["box"]().bends[s.bends[0]].name for s in order.steps]
    assert sorted(names) == ["front", "left", "lip", "rear", "right"]
    assert names.index("lip") < names.index("rear")
    assert all(step.drawn_face_up and not step.flip for step in order.steps)
    assert {step.swing_deg for step in order.steps[1:]} == {90.0}


def tabs(turns: tuple[float, float, float]) -> Blank:
    """A plate with three tabs along one edge, notches between them."""
    t, radius = 2.0, 2.0
    end = 40 + bend("", (0, 0), (1, 0), 90, radius, t).allowance + 25
    outline = polygon([
        (0, 0), (130, 0), (130, end), (100, end), (100, 36), (80, 36), (80, end), (50, end),
        (50, 36), (30, 36), (30, end), (0, end),
    ])  # fmt: skip
    bends = tuple(
        bend(name, (low, 40), (low + 30, 40), turn, radius, t)
        for name, low, turn in zip("abc", (0, 50, 100), turns, strict=True)
    )
    return Blank(t, outline, (), bends, (60, 10))


def test_tabs_of_one_line_are_bent_in_one_stroke_unless_they_differ():
    assert [s.bends for s in ordered(tabs((90, 90, 90))).steps] == [(0, 1, 2)]
    assert {s.bends for s in ordered(tabs((90, -90, 90))).steps} == {(0, 2), (1,)}
    assert {s.bends for s in ordered(tabs((90, 60, 90))).steps} == {(0, 2), (1,)}


def test_a_rolled_band_comes_after_the_folds_at_its_ends():
    t, width = 1.2, 100.0
    fold_one = bend("fold", (20, width), (20, 0), -90, 1.5, t)
    x = 20 + fold_one.allowance + 15
    roll = bend("roll", (x, width), (x, 0), 120, 200, t)
    size = x + roll.allowance + 30
    outline = polygon([(0, 0), (size, 0), (size, width), (0, width)])
    order = ordered(Blank(t, outline, (), (roll, fold_one), (5, 5)))
    assert [(s.bends, s.rolled) for s in order.steps] == [((1,), False), ((0,), True)]


# gauges


def test_the_gauge_distance_runs_from_the_edge_to_the_middle_of_the_bend():
    """2 mm, inside radius 2: 4.46 mm of sheet in a square bend (2 + 0.42 x 2, quarter turn), half
    of it beside the flat of 40."""
    (step,) = order_of(PROFILES["ell"]).steps
    assert step.gauge.distance == pytest.approx(40 + 4.461 / 2, abs=1e-3)
    assert [x for x, _ in step.gauge.edge] == pytest.approx([60 + 4.461 + 40] * 2, abs=1e-3)


def test_a_flange_bent_before_is_gauged_from_its_outside():
    """The crown of the hat: 40 flat, half a bend of 4.461, and 2 + 2 of radius and sheet."""
    last = order_of(PROFILES["hat"]).steps[-1]
    assert last.gauge.against.startswith("the outside of the flange at bend")
    assert last.gauge.distance == pytest.approx(4.461 / 2 + 40 + 2 + 2, abs=1e-3)


def test_an_edge_askew_is_no_gauge():
    blank = blank_of(PROFILES["ell"])
    askew = polygon([(0, 0), (100, 0), (102, 50), (3, 50)])
    (step,) = ordered(Blank(blank.thickness, askew, (), blank.bends, blank.base)).steps
    assert step.gauge is None


# what the shop has


def deep_box(tall: float) -> Blank:
    """A base of 120 x 90 with four walls, 2 mm, inside radius 2, corners cut back by 6."""
    t, radius, back = 2.0, 2.0, 6.0
    out = bend("", (0, 0), (1, 0), 90, radius, t).allowance + tall
    outline = polygon([
        (back, -out), (120 - back, -out), (120 - back, back), (120 + out, back),
        (120 + out, 90 - back), (120 - back, 90 - back), (120 - back, 90 + out), (back, 90 + out),
        (back, 90 - back), (-out, 90 - back), (-out, back), (back, back),
    ])  # fmt: skip
    bends = (
        bend("front", (120, 0), (0, 0), 90, radius, t),
        bend("rear", (0, 90), (120, 90), 90, radius, t),
        bend("right", (120, 90), (120, 0), 90, radius, t),
        bend("left", (0, 0), (0, 90), 90, radius, t),
    )
    return Blank(t, outline, (), bends, (60, 45))


Z_20 = blank_of(strip_of(80, 20, 60, turns=[90, -90]))


@pytest.mark.parametrize(
    ("blank", "enough", "short"),
    [
        # the wall bent last is a long one; the wall across from it, 94 off inside, 62 deep and 2
        # thick, comes up to (96 + 62) sin 45 = 111.72 over the corner of the inner faces, which
        # lies 2 (sqrt 2 - 1) = 0.83 under the tip of the punch: 110.89
        (deep_box(60), Shop(punch_height=111), Shop(punch_height=110.8)),
        # of a Z the shorter leg hangs down beside the die, 60 and a radius of 2 under the sheet
        (Z_20, Shop(die_height=62.1), Shop(die_height=61.9)),
        # 20 of flat and half a bend of 4.461 bring the bend before 22.23 off the middle of V 12
        (Z_20, Shop(die_shoulder=16.2), Shop(die_shoulder=17)),
    ],
)
def test_the_shops_own_tools_win(blank, enough, short):
    assert isinstance(ordered(blank, 12, enough), FoldOrder)
    assert isinstance(ordered(blank, 12, short), NoOrder)


def told(blank: Blank, shop: Shop | None = None):
    order = ordered(blank, 12, shop)
    return order, list(order_findings(fold(blank), order, shop or Shop()))


def test_a_tool_that_not_every_shop_has_is_mentioned_by_its_bend():
    order, (finding,) = told(blank_of(strip_of(80, 9, 60, turns=[90, -90])))
    assert [step.unusual for step in order.steps] == [(), ("a die ground narrow beside its V",)]
    assert finding.severity is Severity.MENTIONS
    assert finding.where == "fold order, bend b0"


def test_no_order_refuses_and_says_what_the_tools_were_taken_as():
    _, (finding,) = told(blank_of(strip_of(300, 20, 300, turns=[90, -90])))
    assert finding.severity is Severity.REFUSES
    assert "mm into the narrow die" in finding.found
    assert "[shop] die_height and die_shoulder" in finding.remedy
    assert "straight punch 25 mm thick" in finding.source


def test_a_channel_that_is_refused_as_too_deep_is_not_told_twice():
    order, findings = told(blank_of(strip_of(120, 16, 120, turns=[90, 90])))
    assert isinstance(order, NoOrder)
    assert findings == []


def test_a_search_that_was_stopped_is_mentioned_as_that(monkeypatch):
    monkeypatch.setattr(search, "MOST_TRIES", 2)
    order, (finding,) = told(blank_of(PROFILES["hat"]))
    assert order.given_up
    assert finding.severity is Severity.MENTIONS


# a stroke by itself


def test_a_strike_between_two_looks_at_a_stroke_is_not_missed():
    """A speck 141 off the pivot passes a post of 2 mm: 45 degrees there are 111 mm of way."""
    stroke = Stroke(bend("b", (0, 0), (9, 0), 90, 2, 2), 2, 12, 90)

    def square(x: float, z: float, half: float) -> Outline:
        corners = [(-half, -half), (half, -half), (half, half), (-half, half)]
        return Outline(np.array(corners) + np.array([x, z]))

    speck = square(141, 0, 0.5)
    clear = [stroke.gap(speck, side, Tool(square(side * 128, 90, 1)), 10) for side in (1, -1)]
    for deg in np.arange(4.0, 44.0, 1.3):  # wherever the post stands in its way
        turned = np.exp(1j * np.radians(deg)) * (141 - 2.2) + 2.2
        assert stroke.gap(speck, 1, Tool(square(turned.real, turned.imag, 1)), 10) < -0.02
    assert all(gap > 5 for gap in clear)


def lug(behind: float) -> Blank:
    """A plate with a lug of 30 x 25 in it, which is bent up; the plate runs on behind it."""
    t, radius = 2.0, 2.0
    ba = bend("", (0, 0), (1, 0), 90, radius, t).allowance
    outline = polygon([
        (0, 0), (110, 0), (110, 40 + behind), (80, 40 + behind), (80, 36), (70, 36),
        (70, 40 + ba + 25), (40, 40 + ba + 25), (40, 36), (30, 36), (30, 40 + behind),
        (0, 40 + behind),
    ])  # fmt: skip
    return Blank(t, outline, (), (bend("lug", (40, 40), (70, 40), 90, radius, t),), (50, 10))


@pytest.mark.parametrize(("die_height", "struck"), [(51.5, False), (50.5, True)])
def test_a_plate_that_runs_on_beside_a_lug_swings_down_to_the_table(die_height, struck):
    """Square, its underside is 45 + 0.83 + 2.83 lower at the rim of the table, 45 off the middle,
    than the tip of the punch, and the die's top 6 - 0.83 - 2.83 higher: 51.0 in all. The die itself
    is only as long as the lug."""
    order = ordered(lug(250), 12, Shop(die_height=die_height))
    assert isinstance(order, NoOrder) == struck
    assert not struck or "base" in order.why
