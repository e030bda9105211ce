"""The clearances of a tub against the kernel, random poses, and tubs laid out afresh."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from math import cos, pi, radians, sin, tan
from typing import Any

import cadquery as cq
import numpy as np
import pytest
import tubs
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt
from tub_solids import rail_solid
from tubs import KEYS, RAIL, SIDE, Array, T, gear, leaning, tapered, tub

from parts.kinds.wheel_tub.config import WheelTub
from parts.kinds.wheel_tub.cures import cures, sizes_that_fit
from parts.kinds.wheel_tub.findings import wishes
from parts.kinds.wheel_tub.layout import Tub
from parts.kinds.wheel_tub.sweeps import Sweeps, sweeps_of
from parts.place import Place
from parts.sheet.fold import fold
from parts.solid import cadquery_solid, location
from parts.trade.axle import (
    Axle,
    AxlePose,
    Cell,
    Kingpin,
    MotionBound,
    Speed,
    Steered,
    Stops,
    Travels,
)
from parts.trade.axle.standard import standard_poses
from parts.trade.gear import Gear
from parts.trade.sweep import clearances
from parts.trade.tyre.section import rounded_section, section_of

OWN = (Travels("ramp", 60.0, -40.0), Travels("kerb", -70.0, 30.0), Travels("mid", 20.0, 55.0))


def with_poses() -> Gear:
    """The axle with poses of one's own besides the usual seven: ten in all."""
    return replace(gear(), poses=standard_poses(Stops(95, 85), OWN))


def tyre_solid(of: Gear) -> Any:
    """The tyre as the kernel turns it, y along the axle: from the points of its outline alone."""
    right = [(r, y) for y, r in of.section.points]
    left = [(r, -y) for y, r in reversed(of.section.points) if y > 0]
    low = min(r for r, _ in right)
    assert low > 0
    wide = max(y for _, y in right)
    ring = [(0, wide), (right[0][0], wide), *right, *left, (right[0][0], -wide), (0, -wide)]
    return cq.Workplane("XY").polyline(ring).close().revolve(360, (0, 0, 0), (0, 1, 0)).val()


def at_poses(of: Tub) -> Iterator[tuple[str, Any]]:
    """The tyre in every named pose, where the axle solver puts the wheel."""
    solid = tyre_solid(of.gear)
    side = ("left", "right").index(of.hand)
    for pose in of.gear.poses:
        at = of.gear.axle.pose(pose.left, pose.right, pose.steer_deg)
        yield pose.name, solid.wrapped.Moved(location(at.wheels[side]))


def kernel_gap(one: Any, other: Any) -> float:
    found = BRepExtrema_DistShapeShape(one, other)
    return 0.0 if found.InnerSolution() else float(found.Value())


def metal(of: Tub, beginning: str) -> list[Any]:
    return [
        cadquery_solid(fold(c.blank), c.place).wrapped
        for c in of.cuts
        if c.name.startswith(beginning)
    ]


@cache
def swept(hand: str = "right") -> tuple[Tub, Sweeps]:
    of = tub(hand=hand, **{hand: SIDE})
    return of, sweeps_of(of)


@pytest.mark.parametrize("surround", ["upright", "leaning"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_kernel_measures_the_same_clearance_in_ten_poses(hand: str, surround: str) -> None:
    lean = leaning(4, 2) if surround == "leaning" else leaning(0, 0)
    of = tub(of=with_poses(), hand=hand, **{hand: {**SIDE, "body_side": lean, "rail": []}})
    told = {one.pose.name: one.clearance for one in sweeps_of(of).poses}
    assert len(told) == 10
    for pose, tyre in at_poses(of):
        for name in ("disc", "band"):
            found = min(kernel_gap(tyre, one) for one in metal(of, name))
            assert told[pose][name] == pytest.approx(found, abs=0.05), (pose, name)


@pytest.mark.parametrize("rail", ["straight", "leaning", "tapered"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_kernel_measures_the_same_clearance_to_the_rail(hand: str, rail: str) -> None:
    stations = {"straight": RAIL, "leaning": tapered(5, 0), "tapered": tapered(0, 3)}[rail]
    of = tub(of=with_poses(), hand=hand, **{hand: {**SIDE, "rail": stations}})
    told = {one.pose.name: one.clearance for one in sweeps_of(of).poses}
    boxes = [rail_solid(a, b, hand) for a, b in itertools.pairwise(stations)]
    for pose, tyre in at_poses(of):
        found = min(kernel_gap(tyre, one) for one in boxes)
        assert told[pose]["rail"] == pytest.approx(found, abs=0.05), pose
        # the trimmed metal is never nearer than what is told of it untrimmed
        for name in ("disc", "band"):
            assert min(kernel_gap(tyre, m) for m in metal(of, name)) >= told[pose][name] - 0.05


def test_the_kernel_measures_the_same_clearance_to_floor_point_and_box() -> None:
    points = {
        "D1": (150.0, 545.0, 380.0), "B1": (-420.0, 700.0, 500.0), "B2": (-480.0, 790.0, 390.0)
    }  # fmt: skip
    side = {
        **SIDE, "rail": [],
        "keep_clear": [{"point": "D1", "gap": 5}, {"corners": ["B1", "B2"], "gap": 5}],
    }  # fmt: skip
    config = tubs.config(hand="right", right=side)
    assert config.right is not None
    from parts.kinds.wheel_tub.layout import lay_out_tub

    of = lay_out_tub(config, config.right, tubs.bench(with_poses(), points), "right")
    told = {one.pose.name: one.clearance for one in sweeps_of(of).poses}
    floor = 944 - 6 - T
    boxes = [
        cq.Workplane().box(300, floor - 268, 1e-3, centered=False).translate((x, 268, z - 1e-3))
        for x, z in ((-415 + 20 - 300, 400), (_foot(of), 500))
    ]  # fmt: skip
    thing = cq.Workplane().box(60, 90, 110, centered=False).translate((-480, 700, 390))
    for pose, tyre in at_poses(of):
        assert told[pose]["floor"] == pytest.approx(
            min(kernel_gap(tyre, b.val().wrapped) for b in boxes), abs=0.05
        )
        vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*points["D1"])).Vertex()
        assert told[pose]["point D1"] == pytest.approx(kernel_gap(tyre, vertex), abs=0.01)
        found = kernel_gap(tyre, thing.val().wrapped)
        assert told[pose]["box B1 to B2"] == pytest.approx(found, abs=0.01)


def _foot(of: Tub) -> float:
    """X where the rear leg, straight on, meets the floor at 500: from the roll's end by hand."""
    rise = radians(90 - of.room.path.first.turn_deg)
    x, z = -3 + 392 * cos(rise), 426 + 392 * sin(rise)
    return x + (z - 500) * tan(rise)


def test_an_arch_counts_as_all_of_the_body_side_at_its_lip() -> None:
    side = {**SIDE, "body_side": leaning(3, 1), "arch": {"x": 0, "z": 340, "radius": 370, "lip": 4}}
    of = tub(of=with_poses(), hand="right", right=side)
    told = {one.pose.name: one.clearance["body side"] for one in sweeps_of(of).poses}
    lean, toe = tan(radians(3)), tan(radians(1))
    deep = 4 * (1 + lean**2 + toe**2) ** 0.5
    angle, radius = np.meshgrid(np.linspace(0, pi, 721), np.linspace(370, 450, 21))
    x, z = radius * np.cos(angle), 340 + radius * np.sin(angle)
    down, wide = np.meshgrid(np.linspace(0, 300, 61), np.linspace(370, 450, 21))
    x = np.concatenate([x.ravel(), wide.ravel(), -wide.ravel()])
    z = np.concatenate([z.ravel(), 340 - down.ravel(), 340 - down.ravel()])
    points = np.column_stack([x, 944 - lean * (z - 426) + toe * x - deep, z])
    for pose, at in zip(of.gear.poses, of.gear.posed, strict=True):
        place = at.wheels[1]
        gaps = of.gear.wheel.distance(
            np.broadcast_to(place.origin, points.shape),
            np.broadcast_to(place.turn[:, 1], points.shape), points,
        )  # fmt: skip
        assert told[pose.name] <= gaps.min() + 1e-6
        assert told[pose.name] >= gaps.min() - 1.2  # chords of the opening and the samples' pitch


@pytest.mark.parametrize("hand", ["right", "left"])
def test_no_random_pose_beats_the_swept_least(hand: str) -> None:
    of, sweeps = swept(hand)
    r = np.random.default_rng(11)
    travels = r.uniform(-85, 95, (10_000, 2))
    # one in four on an edge of the travel, where the least mostly is
    travels[::4, 0] = r.choice([-85.0, 95.0], len(travels[::4]))
    for name, surfaces in of.room.surfaces.items():
        found, _ = clearances(of.gear.wheel, of.motion, surfaces, travels)
        least = sweeps.least[name]
        assert found.min() >= least.clearance - least.may_miss, name
        assert least.may_miss <= 0.1 + 1e-9, name


def test_a_hundred_thousand_solved_poses_do_not_beat_the_least_to_the_disc() -> None:
    of, sweeps = swept("right")
    r = np.random.default_rng(3)
    travels = r.uniform(-85, 95, (100_000, 2))
    # of the infinite plane through the disc's face, by the tyre's support: never more than the
    # distance to the disc itself, and the same where the disc's edge is not what is met
    centers, axes = of.motion.at(travels)
    y, rad = np.array(of.gear.section.rings()).T
    y, rad = np.append(y, -y), np.append(rad, rad)
    s = axes[:, 1:2]
    reach = (-s * y + np.sqrt(1 - s * s) * rad).max(axis=1)
    gaps = centers[:, 1] - reach - 568
    above = centers[:, 2] > 331  # with the wheel up the nearest shoulder is over the disc's foot
    least = sweeps.least["disc"]
    assert gaps[above].min() >= least.clearance - least.may_miss
    assert gaps[above].min() == pytest.approx(least.clearance, abs=0.3)


def test_the_motion_used_is_that_of_the_axle_solver() -> None:
    of, _ = swept("right")
    r = np.random.default_rng(5)
    travels = r.uniform(-85, 95, (200, 2))
    centers, axes = of.motion.at(travels)
    for t, center, axis in zip(travels, centers, axes, strict=True):
        place = of.gear.axle.pose(float(t[0]), float(t[1])).wheels[1]
        assert center == pytest.approx(place.origin, abs=1e-3)
        assert axis == pytest.approx(place.turn[:, 1], abs=1e-5)


def test_the_spread_is_that_of_a_thousand_remeasured_axles() -> None:
    of, sweeps = swept("right")
    r = np.random.default_rng(17)
    sigma = {name: value / 1.959964 for name, value in of.gear.spread.items()}
    at = sweeps.least["disc"].travels
    place = of.gear.axle.pose(float(at[0]), float(at[1])).wheels[1]
    s = float(place.turn[1, 1])
    gaps = []
    for _ in range(4000):
        y, rad = of.gear.section.rings().T
        y = y + np.sign(y) * r.normal(0, sigma["width"]) / 2
        rad = rad + r.normal(0, sigma["diameter"]) / 2
        reach = (abs(s) * np.abs(y) + (1 - s * s) ** 0.5 * rad).max()
        gaps.append(place.origin[1] + r.normal(0, sigma["across"]) - reach - 568)
    assert 1.959964 * np.std(gaps) == pytest.approx(sweeps.plus_minus["disc"], rel=0.1)


@dataclass(frozen=True)
class Outboard:
    """An axle between the same stops, its wheels further out along their own axes."""

    axle: Axle
    by: float

    def pose(self, left: float, right: float, steer_deg: float = 0.0) -> AxlePose:
        return self.poses(np.array([[left, right]]))[0]

    def speed(self, left: float, right: float, steer_deg: float = 0.0) -> Speed:
        raise NotImplementedError

    def motion_bound(self, cell: Cell) -> MotionBound:
        raise NotImplementedError

    def poses(self, travels: Array) -> tuple[AxlePose, ...]:
        def out(place: Place) -> Place:
            return Place(place.turn, place.origin + self.by * place.turn[:, 1])

        return tuple(
            replace(at, left=out(at.left), right=out(at.right)) for at in self.axle.poses(travels)
        )


def relaid(name: str) -> Sweeps:
    """The whole tub laid out and swept afresh with one change applied."""
    changes: dict[str, dict[str, Any]] = {
        "disc 5 mm inboard": {"disc_face": 563},
        "band radius 5 mm more": {"band_radius": 397},
        "band centre 5 mm rearward": {"band_center": [2, 426]},
        "band centre 5 mm up": {"band_center": [-3, 431]},
    }
    keys, of = changes.get(name, {}), gear()
    if name == "bump stop 10 mm lower":
        of = gear(bump=85)
    if name == "droop 10 mm less":
        of = gear(droop=75)
    if name.startswith("offset"):
        of = replace(of, axle=Outboard(of.axle, 5.0 if "less" in name else -5.0))
    return sweeps_of(tub(of=of, **keys))


def test_what_a_change_is_said_to_do_is_what_a_new_layout_does() -> None:
    of, sweeps = swept("right")
    said = list(cures(of, sweeps))
    assert len(said) == 8
    for change in said:
        after = relaid(change.name)
        for name, gain in change.gains.items():
            found = after.least[name].clearance - sweeps.least[name].clearance
            assert gain == pytest.approx(found, abs=0.15), (change.name, name)
        assert change.clearance[change.tightest] == min(change.clearance.values())


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_largest_tyres_said_to_fit_do_clear_when_laid_out_with_them(hand: str) -> None:
    of, sweeps = swept(hand)
    config = tubs.config(hand=hand, **{hand: SIDE})
    side = config.side("right" if hand == "right" else "left")
    assert side is not None
    wished = wishes(config, side)
    fits = sizes_that_fit(of, sweeps, wished)
    assert fits.widest is not None
    assert fits.tallest is not None
    for size in (fits.widest, fits.tallest):
        section = section_of(size)
        assert section.diameter == pytest.approx(size.design_diameter.value)
        other = replace(gear(), size=size, section=section)
        again = sweeps_of(tub(of=other, hand=hand, **{hand: SIDE}))
        for name, found in again.least.items():
            assert found.clearance - found.may_miss >= wished[name] - 0.1, (size.designation, name)
    # a tyre that holds the widest one and is wider by twice what is spare does not
    spare = min(sweeps.least[name].clearance - wished[name] for name in ("disc", "body side"))
    wide = rounded_section(280 + 4 * spare + 8, 704.7, 457)
    again = sweeps_of(tub(of=replace(gear(), section=wide), hand=hand, **{hand: SIDE}))
    assert any(found.clearance < wished[name] for name, found in again.least.items())


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("axle", ["links", "straight"])
def test_what_is_left_out_is_sized_to_the_wishes_and_no_larger(axle: str, hand: str) -> None:
    wanted = {"side_clearance": 25, "crown_clearance": 30}
    free = {"disc_face": None, "band_radius": None, "band_center": None}
    side = {**SIDE, "rail": []}
    of = tub(of=gear(axle), hand=hand, **free, **wanted, **{hand: side})
    room, sweeps = of.room, sweeps_of(of)
    for name, wish in (("disc", 25), ("band", 30)):
        least = sweeps.least[name]
        assert least.clearance - least.may_miss >= wish - 0.05
    x = room.local.p(room.path.center[0])
    given: dict[str, Any] = {
        **wanted, "band_center": [x, room.path.center[1]], "disc_face": room.disc_face,
        "band_radius": room.path.radius,
    }  # fmt: skip
    small = sweeps_of(
        tub(of=gear(axle), hand=hand, **{**given, "band_radius": room.path.radius - 1, hand: side})
    )
    assert small.least["band"].clearance < 30
    near = sweeps_of(
        tub(of=gear(axle), hand=hand, **{**given, "disc_face": room.disc_face + 1, hand: side})
    )
    assert near.least["disc"].clearance < 25


def test_a_band_left_out_keeps_the_floors_off_the_tyre_too() -> None:
    wanted = {"crown_clearance": 10, "floor_clearance": 40, "band_radius": None}
    of = tub(hand="right", **wanted, right=SIDE)
    found = sweeps_of(of).least["floor"]
    assert found.clearance - found.may_miss >= 40 - 0.05
    smaller = {**wanted, "band_radius": of.room.path.radius - 1}
    again = sweeps_of(tub(hand="right", **smaller, right=SIDE))
    assert again.least["floor"].clearance < 40
    assert again.least["band"].clearance > 10


def test_a_front_axle_is_swept_through_its_lock_too() -> None:
    pins = [Kingpin((-5.0, s * 690.0, 200.0), (15.0, s * 650.0, 460.0)) for s in (-1, 1)]
    axle = Steered(tubs.axle_of("straight"), *pins)
    stops = Stops(60, 60, 20)
    of = replace(gear("straight", 60, 60), axle=axle, stops=stops, poses=standard_poses(stops))
    laid = tub(of=of, disc_face=480, band_radius=520, band_center=[0, 400])
    sweeps = sweeps_of(laid)
    assert len(sweeps.poses) == 21
    straight = sweeps_of(tub(of=gear("straight", 60, 60), disc_face=480, band_radius=520,
                             band_center=[0, 400]))  # fmt: skip
    for name in ("disc", "band"):
        assert sweeps.least[name].clearance < straight.least[name].clearance - 5
        assert len(sweeps.least[name].travels) == 3
        assert abs(sweeps.least[name].travels[2]) > 15
    for pose, tyre in at_poses(laid):
        told = {p.pose.name: p.clearance for p in sweeps.poses}[pose]
        assert told["disc"] <= min(kernel_gap(tyre, m) for m in metal(laid, "disc")) + 0.05


def test_a_formed_rim_is_not_further_than_its_true_round() -> None:
    side = {**SIDE, "rail": []}
    of = tub(of=with_poses(), style="formed", edge_radius=25, disc_face=590, band_radius=372,
             right=side)  # fmt: skip
    told = {one.pose.name: one.clearance for one in sweeps_of(of).poses}
    flat, inner = 372 + T - 25, 25.0
    half = pi / 4
    ring = (
        cq.Workplane("XY")
        .moveTo(flat, 0)
        .threePointArc((flat + inner * sin(half), inner * (1 - cos(half))), (flat + inner, inner))
        .lineTo(flat + inner + T, inner)
        .threePointArc(
            (flat + (inner + T) * sin(half), inner - (inner + T) * cos(half)), (flat, -T)
        )
        .close()
        .revolve(360, (0, 0, 0), (0, 1, 0))
        .translate((-3, 590, 426))
    )
    above = cq.Workplane().box(900, 200, 500, centered=(True, True, False))
    shapes = {
        z: ring.intersect(above.translate((0, 600, z))).val().wrapped for z in (426.0, 510.0)
    }
    for pose, tyre in at_poses(of):
        # the rim is in the roll: over 426 at the front end, over about 508 at the rear
        assert told[pose]["formed rim"] <= kernel_gap(tyre, shapes[510.0]) + 0.05, pose
        assert told[pose]["formed rim"] >= kernel_gap(tyre, shapes[426.0]) - 2.5, pose


def test_what_limits_refuses_or_is_mentioned_as_the_job_asks() -> None:
    side = {**SIDE, "rail": []}
    for setting, refused in (("refuse", True), ("mention", False)):
        part = tubs.made(hand="right", right=side, side_clearance=20, if_less=setting)
        (found,) = [f for f in part.findings if f.where == "right: tyre to disc"]
        assert found.refuses is refused
        assert part.refused is refused
        assert "20.0 mm" in found.needed


def test_contact_refuses_whatever_the_job_asks() -> None:
    part = tubs.made(side={"rail": []}, disc_face=600, if_less="mention")
    (found,) = [f for f in part.findings if f.where == "right: tyre to disc"]
    assert found.refuses
    assert "contact" in found.found


def test_a_band_smaller_than_the_tyre_is_refused_in_words() -> None:
    part = tubs.made(side={"rail": []}, band_radius=340, if_less="mention")
    assert part.refused
    (found,) = [f for f in part.findings if f.where == "right: tyre to band"]
    assert "contact" in found.found


def test_a_mirrored_side_is_swept_on_its_own_side() -> None:
    """The lateral bar moves both wheels the same way, so a mirrored tub is not swept mirrored."""
    part = tubs.made(hand="pair", right=SIDE, mirror=True)
    figures = {f.name: f.value for f in part.figures}
    own = tubs.made(hand="left", left=SIDE)
    for name in ("disc", "band", "body side", "rail"):
        key = f"left: least clearance to {name}"
        assert figures[key] == pytest.approx({f.name: f.value for f in own.figures}[key], abs=1e-6)
    gap = abs(figures["left: least clearance to disc"] - figures["right: least clearance to disc"])
    assert gap > 1
    assert any("mirror image" in f.found for f in part.findings)
    assert {p.hand for p in part.pieces} == {"left", "right"}


def test_both_hands_are_laid_out_from_their_own_measurements() -> None:
    left = {**SIDE, "front_floor": 410, "body_side": leaning(0, 0, 950)}
    part = tubs.made(hand="pair", right=SIDE, left=left)
    sizes = {(p.name, p.hand): p.figures for p in part.pieces}
    across = {
        hand: next(f.value for f in sizes["band", hand] if f.name == "blank, across")
        for hand in ("left", "right")
    }
    assert across["left"] - across["right"] == pytest.approx(6, abs=1e-6)


def test_every_wish_has_a_surface_and_every_surface_a_wish() -> None:
    config = WheelTub.model_validate({**KEYS, "right": SIDE})
    assert config.right is not None
    of, sweeps = swept("right")
    assert set(of.room.surfaces) <= set(wishes(config, config.right))
    assert set(sweeps.least) == set(of.room.surfaces) == set(sweeps.plus_minus)


