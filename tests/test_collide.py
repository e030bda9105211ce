"""A part that runs into itself is found, and one that clears is left alone."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from math import hypot, radians, tau

import kernel
import numpy as np
import pytest
from blanks import NAMED, allowance, bend, random_blank
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_IN
from scipy.spatial.transform import Rotation
from shapely import contains_xy
from shapely.geometry import Polygon

from parts.proof.folding import chains
from parts.sheet.blank import Bend, Blank, Cutout
from parts.sheet.collide import region_names, self_collisions
from parts.sheet.curve import Line
from parts.sheet.fold import Folded, Region, fold
from parts.sheet.loop import circle, clockwise, polygon

T, R = 2.0, 3.0
BA = allowance(90, R, T)


def pairs(blank: Blank) -> list[tuple[str, str]]:
    return [(hit.first, hit.second) for hit in self_collisions(fold(blank))]


def strip(legs: list[float], turns_deg: list[float], width: float = 30.0, t: float = T) -> Blank:
    """Flat legs one after the other with a bend between each two; the first is the base."""
    bends, x = [], legs[0]
    for number, (leg, turn) in enumerate(zip(legs[1:], turns_deg, strict=True), 1):
        bends.append(bend(f"b{number}", (x, width), (x, 0), turn, R, t))
        x += bends[-1].allowance + leg
    outline = polygon([(0, 0), (x, 0), (x, width), (0, width)])
    return Blank(t, outline, (), tuple(bends), (legs[0] / 2, width / 2))


@pytest.mark.parametrize("name", NAMED)
def test_the_named_parts_clear_themselves(name: str):
    assert pairs(NAMED[name]()) == []


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize(("over", "hits"), [(-1.0, 0), (-0.001, 0), (0.0, 0), (0.05, 1), (1.0, 1)])
def test_a_leg_curled_back_onto_the_base_is_found_when_it_reaches_it(sign, over, hits):
    # inside height 30 + 2 R; the last leg starts R above the third and has 30 + R to go
    blank = strip([60, 30, 30, 30 + R + over], [sign * 90] * 3)
    assert pairs(blank) == [("base", "flange b3")] * hits


def test_a_roll_of_more_than_a_full_turn_is_found():
    # two bends of 200 degrees with a short flat between: the tail comes back into the start
    found = pairs(strip([30, 1, 30], [200, 200]))
    assert ("base", "bend b2") in found
    assert ("bend b1", "flange b2") in found


def test_one_bend_of_340_degrees_runs_its_flange_into_its_own_start():
    # the flange leaves along a tangent 20 degrees short of a full turn and crosses the base's line
    assert ("base", "flange b1") in pairs(strip([30, 30], [340]))


def test_one_bend_of_260_degrees_with_a_short_flange_clears():
    # the flange starts level with the axis, R + t over the base's back face, and comes down
    # 1 mm at most
    assert pairs(strip([30, 1], [260])) == []


def test_a_band_rolled_almost_full_clears_and_its_overlapping_tail_does_not():
    def band(tail: float) -> Blank:
        size = allowance(350, 100, T)
        outline = polygon([(0, 0), (size + tail, 0), (size + tail, 40), (0, 40)])
        roll = bend("roll", (0, 40), (0, 0), 350, 100, T)
        return Blank(T, outline, (), (roll,), (size / 2, 20))

    # ten degrees of the mean radius leave a gap of about 17.6 mm along the tangent
    assert pairs(band(10)) == []
    assert pairs(band(30)) == [("base", "flange roll")]


@pytest.mark.parametrize(("gap", "hits"), [(0.3, 0), (0.0, 0), (-0.06, 1), (-3.0, 1)])
def test_sibling_flanges_meet_at_a_corner(gap, hits):
    # the side flange stands on the base's right edge; the end flange runs to its drawn face. Its
    # drawn face stands R before the tangent line's... at x = 60 + R, its edges at y <= 40 - gap
    # once folded, the front flange's drawn face stands at y = -R and the side flange's at
    # x = 60 + R; the front flange runs up to the side flange, which passes in front of it
    reach, side_low, relief = 60 + R - gap, -R - T, R + T + 1
    corners = [
        (0, -BA - 25),
        (reach, -BA - 25),
        (reach, -BA),
        (60 - relief, -BA),
        (60 - relief, 0),
        (60 - relief, relief),
        (60, relief),
        (60, relief + 0.5),
        (60 + BA, relief + 0.5),
        (60 + BA, side_low),
        (60 + BA + 25, side_low),
        (60 + BA + 25, 50),
        (0, 50),
    ]
    bends = (
        Bend("front", (60 - relief, 0), (0, 0), 90, R, BA),
        Bend("side", (60, 50), (60, relief + 0.5), 90, R, BA),
    )
    found = pairs(Blank(T, polygon(corners), (), bends, (20, 20)))
    assert found == [("flange front", "flange side")] * hits


def test_a_tab_that_passes_through_a_window_clears_and_a_wider_one_does_not():
    def through(width: float) -> Blank:
        # as the curled strip, but the last leg is a tab that reaches through a window in the base
        full = strip([60, 30, 30, 33 + 5.0], [90] * 3)
        x = full.outline[1].start[0]
        start = full.bends[-1].end_line()[0][0]
        low, high = 15 - width / 2, 15 + width / 2
        outline = polygon(
            [
                (0, 0),
                (start, 0),
                (start, low),
                (x, low),
                (x, high),
                (start, high),
                (start, 30),
                (0, 30),
            ]
        )
        # the tab stands 30 + R .. R + t before the end of the base: x = 60 - 30 - R - T .. + T
        where = 60 - 30 - R - T
        window = clockwise(
            polygon([(where - 1, 9), (where + T + 1, 9), (where + T + 1, 21), (where - 1, 21)])
        )
        return replace(full, outline=outline, cutouts=(Cutout("window", window),), base=(3, 3))

    assert pairs(through(10)) == []
    assert pairs(through(11.99)) == []
    assert pairs(through(14)) == [("base", "flange b3")]


def test_a_pin_hole_does_not_hide_a_collision():
    blank = strip([60, 30, 30, 30 + R + 1], [90] * 3)
    hole = Cutout("pin", circle((60 - 30 - R - T / 2, 15), 6))
    assert pairs(replace(blank, cutouts=(hole,))) == [("base", "flange b3")]


def test_regions_are_called_by_their_bends():
    names = region_names(fold(strip([40, 20, 20], [90, 90])))
    assert sorted(names) == ["base", "bend b1", "bend b2", "flange b1", "flange b2"]


def test_a_rolled_band_without_flats_is_the_base():
    size = allowance(180, 100, T)
    outline = polygon([(0, 0), (size, 0), (size, 30), (0, 30)])
    roll = bend("roll", (0, 30), (0, 0), 180, 100, T)
    assert region_names(fold(Blank(T, outline, (), (roll,), (size / 2, 15)))) == ("base",)


def curled(seed: int) -> Blank:
    """A strip bent several times mostly one way, legs of uneven length and width, some askew."""
    rng = random.Random(seed)
    t = rng.choice([1.0, 2.0, 3.0])
    radius = rng.choice([t, 2 * t, 4 * t])
    count = rng.randint(3, 5)
    width, legs = rng.uniform(15, 60), [rng.uniform(8, 35) + t for _ in range(count + 1)]
    way = rng.choice([1, -1])
    bends, low, high, x = [], [(0.0, 0.0)], [(0.0, width)], legs[0]
    for number in range(count):
        turn = way * rng.choice([90, 90, 120, 60, rng.uniform(30, 170)])
        turn *= -1 if rng.random() < 0.12 else 1
        lean = rng.choice([0.0, 0.0, rng.uniform(-3, 3)])
        b = bend(f"b{number}", (x + lean, width), (x - lean, 0), turn, radius, t)
        bends.append(b)
        x += b.allowance + legs[number + 1] + 7
        if rng.random() < 0.4:
            low.append((x - 3.5 - legs[number + 1] / 2, rng.uniform(-8, 5)))
            high.append((x - 3.5 - legs[number + 1] / 2, width + rng.uniform(-5, 8)))
    outline = polygon([*low, (x, 0), (x, width), *high[::-1]])
    return Blank(t, outline, (), tuple(bends), (legs[0] / 3, width / 2))


def common_metal(folded: Folded, joined: bool) -> dict[tuple[int, int], float]:
    """Volume in common for each pair of regions, by the kernel; those `joined` only if asked."""
    solids = [kernel.region_solid(folded, region) for region in folded.regions]
    boxes = [kernel.box(shape) for shape in solids]
    return {
        (i, j): 0.0 if boxes[i].IsOut(boxes[j]) else kernel.common_volume(solids[i], solids[j])
        for i, j in combinations(range(len(solids)), 2)
        if joined or not are_joined(folded.regions[i], folded.regions[j])
    }


def are_joined(one: Region, other: Region) -> bool:
    """Whether one of them is bent and the other lies where its bend starts or ends."""
    if (one.bend is None) == (other.bend is None):
        return False
    bent, flat = (other, one) if one.bend is None else (one, other)
    return any(side.fold and side.fold[0] == bent.bend for loop in flat.loops for side in loop)


def assert_agrees_with_kernel(folded: Folded, seed: int) -> int:
    """Pairs told and pairs that share metal for the kernel are the same.

    A flat and the bend it hangs on touch over a whole face, which costs the kernel 25 times what
    any other pair does. It is asked about those of every fourth part, scattered points about the
    others.
    """
    assert_agrees_with_scattered_points(folded, seed)
    found = self_collisions(folded)
    names = region_names(folded)
    reported = {(hit.first, hit.second) for hit in found}
    clear, deep = set(), set()
    for (i, j), volume in common_metal(folded, joined=seed % 4 == 0).items():
        assert volume > -1e-3
        if volume < 1e-6:
            clear.add((names[i], names[j]))
        elif volume > 0.2:
            deep.add((names[i], names[j]))
    assert deep <= reported
    assert not reported & (clear - deep)
    for hit in found:
        inside = [
            name
            for name, region in zip(names, folded.regions, strict=True)
            if _holds(kernel.region_solid(folded, region), hit.point)
        ]
        assert {hit.first, hit.second} <= set(inside)
    return len(found)


def _holds(shape, point: tuple[float, float, float]) -> bool:
    return BRepClass3d_SolidClassifier(shape, gp_Pnt(*point), 1e-7).State() == TopAbs_IN


@pytest.mark.parametrize("first", range(0, 40, 8))
def test_curled_strips_agree_with_the_kernels_common_volume(first: int):
    for seed in range(first, first + 8):
        assert_agrees_with_kernel(fold(curled(seed)), seed)


def test_a_good_many_curled_strips_run_into_themselves():
    hits = sum(bool(self_collisions(fold(curled(seed)))) for seed in range(40))
    assert 10 < hits < 35


# of the first 250 random parts, those that run into themselves, and a dozen that do not
@pytest.mark.parametrize("seed", [4, 71, 75, 85, 124, 138, 183, 232, 235, 236, 245])
def test_random_parts_that_hit_themselves_agree_with_the_kernel(seed: int):
    assert assert_agrees_with_kernel(fold(random_blank(seed)), seed) > 0


@pytest.mark.parametrize("first", range(0, 12, 4))
def test_random_parts_agree_with_the_kernel(first: int):
    for seed in range(first, first + 4):
        assert_agrees_with_kernel(fold(random_blank(seed)), seed)


# three hundred parts against points scattered in their metal


@dataclass(frozen=True)
class Scattered:
    """A region by other means: its flat outline to shapely, its place by scipy's rotations."""

    sheet: Polygon
    bend: Bend | None
    t: float
    turn: Rotation
    shift: np.ndarray

    def points(self, rng: np.random.Generator, count: int = 250) -> np.ndarray:
        """Points (n, 3) scattered in its metal, `DEEP` under every skin, folded."""
        low_x, low_y, high_x, high_y = self.sheet.bounds
        flat = rng.uniform((low_x, low_y, DEEP), (high_x, high_y, self.t - DEEP), (count, 3))
        flat = flat[contains_xy(self.core, flat[:, :2])]
        if self.bend is not None:  # turned about the bend's axis by their share of the turn
            ahead, share = self._ahead(flat)
            flat = flat - ahead[:, None] * np.array([*self.bend.across, 0])
            flat = self._about(share).apply(flat - self._axis()) + self._axis()
        return self.turn.apply(flat) + self.shift

    @cached_property
    def core(self) -> Polygon:
        """The flat outline, `DEEP` inside the cut edges."""
        return self.sheet.buffer(-DEEP)

    @cached_property
    def ball(self) -> tuple[np.ndarray, float]:
        """Middle (3,) and radius of a ball that holds all of its metal."""
        low_x, low_y, high_x, high_y = self.sheet.bounds
        if self.bend is None:
            middle = np.array([(low_x + high_x) / 2, (low_y + high_y) / 2, self.t / 2])
            radius = hypot(high_x - low_x, high_y - low_y, self.t) / 2
        else:  # about its axis, halfway along its metal
            along = (np.array(self.sheet.exterior.coords) - self.bend.start) @ self.bend.along
            halfway = (along.min() + along.max()) / 2
            middle = self._axis() + halfway * np.array([*self.bend.along, 0])
            radius = hypot((along.max() - along.min()) / 2, self.bend.radius + self.t)
        return self.turn.apply(middle) + self.shift, radius

    def near(self, points: np.ndarray) -> np.ndarray:
        """Which points (n, 3) lie in the ball; no others can lie in its metal."""
        middle, radius = self.ball
        return np.linalg.norm(points - middle, axis=1) < radius + 1e-6

    def holds(self, points: np.ndarray, deep: float) -> np.ndarray:
        """Which points (n, 3) lie in its metal, `deep` (0 or `DEEP`) under the skin."""
        found = self.near(points)
        if found.any():
            found[found] = self._hold(points[found], deep)
        return found

    def _hold(self, points: np.ndarray, deep: float) -> np.ndarray:
        flat = self.turn.inv().apply(points - self.shift)
        if self.bend is not None:
            off = flat - self._axis()
            way = 1.0 if self.bend.turn_deg > 0 else -1.0
            out = off @ np.array([*self.bend.across, 0])
            angle = np.arctan2(out, -way * off[:, 2]) % tau
            angle = np.where(angle > tau - 1e-6, 0.0, angle)
            back = self._about(-angle).apply(off) + self._axis()
            ahead = angle / radians(abs(self.bend.turn_deg)) * self.bend.allowance
            flat = back + ahead[:, None] * np.array([*self.bend.across, 0])
        inside = contains_xy(self.core if deep else self.sheet, flat[:, :2])
        return inside & (flat[:, 2] > deep) & (flat[:, 2] < self.t - deep)

    def _ahead(self, flat: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        start = np.array([*self.bend.start, 0])
        ahead = (flat - start) @ np.array([*self.bend.across, 0])
        return ahead, ahead / self.bend.allowance * radians(abs(self.bend.turn_deg))

    def _axis(self) -> np.ndarray:
        height = self.t + self.bend.radius if self.bend.turn_deg > 0 else -self.bend.radius
        return np.array([*self.bend.start, height])

    def _about(self, angle: np.ndarray) -> Rotation:
        way = 1.0 if self.bend.turn_deg > 0 else -1.0
        return Rotation.from_rotvec(np.outer(way * angle, [*self.bend.along, 0]))


DEEP = 0.1  # mm; the check finds whatever reaches twice its own 0.02 under the skin


def scattered(folded: Folded) -> list[Scattered]:
    blank, found = folded.blank, []
    for region, chain in zip(folded.regions, chains(folded), strict=True):
        turn, shift = Rotation.identity(), np.zeros(3)
        for number, forward in reversed(chain):
            bend = blank.bends[number]
            height = blank.thickness + bend.radius if bend.turn_deg > 0 else -bend.radius
            axis, along = np.array([*bend.start, height]), np.array([*bend.along, 0])
            back = bend.allowance * np.array([*bend.across, 0])
            spin = Rotation.from_rotvec(radians(bend.turn_deg) * along)
            if forward:
                turn, shift = spin * turn, spin.apply(shift - back - axis) + axis
            else:
                turn, shift = spin.inv() * turn, spin.inv().apply(shift - axis) + axis + back
        rings = [
            [c.at(i / n) for c in loop for n in (1 if isinstance(c, Line) else 48,)
             for i in range(n)] for loop in region.curves
        ]  # fmt: skip
        bend = None if region.bend is None else blank.bends[region.bend]
        sheet = Polygon(rings[0], rings[1:])
        found.append(Scattered(sheet, bend, blank.thickness, turn, shift))
    return found


def assert_agrees_with_scattered_points(folded: Folded, seed: int) -> int:
    """No point lies in two regions unless they are reported, and every report's point does."""
    rng, names, regions = np.random.default_rng(seed), region_names(folded), scattered(folded)
    found = self_collisions(folded)
    reported = {frozenset((hit.first, hit.second)) for hit in found}
    for i, region in enumerate(regions):
        points = region.points(rng)
        if not len(points):
            continue
        assert region.holds(points, 0.0).all(), (seed, names[i])
        for j, other in enumerate(regions):
            if i != j and other.holds(points, DEEP).any():
                assert frozenset((names[i], names[j])) in reported, (seed, names[i], names[j])
    for hit in found:
        at = np.array([hit.point])
        holding = {n for n, region in zip(names, regions, strict=True) if region.holds(at, 0.0)[0]}
        assert {hit.first, hit.second} <= holding, (seed, hit)
    return len(found)


@pytest.mark.parametrize("first", range(0, 200, 50))
def test_random_parts_agree_with_points_scattered_in_their_metal(first: int):
    hits = [
        assert_agrees_with_scattered_points(fold(random_blank(seed)), seed)
        for seed in range(first, first + 50)
    ]
    assert sum(map(bool, hits)) >= 1


@pytest.mark.parametrize("first", range(40, 160, 40))
def test_curled_strips_agree_with_points_scattered_in_their_metal(first: int):
    hits = [
        assert_agrees_with_scattered_points(fold(curled(seed)), seed)
        for seed in range(first, first + 40)
    ]
    assert 10 < sum(map(bool, hits)) < 35
