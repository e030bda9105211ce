"""The band of a tub against a walk in the plane and hand formulas."""

from __future__ import annotations

from math import cos, degrees, pi, radians, sin, sqrt, tan

import numpy as np
import pytest
from kernel import common_volume
from tub_solids import FLOORS, SURROUNDS, cut, in_space, placed
from tubs import FOLD_RADIUS, SIDE, Array, K, T, leaning, tub

from parts.kinds.wheel_tub.blanks import NoTub
from parts.kinds.wheel_tub.layout import Tub
from parts.kinds.wheel_tub.path import rise_over_chord
from parts.sheet.fold import fold
from parts.sheet.loop import box, length
from parts.solid import cadquery_solid


def walked(of: Tub) -> list[tuple[Array, Array]]:
    """The band's skin on the tyre's side, walked like a turtle: at each end of its seven zones
    the place (X, Z) and the heading, from the first end. Only the job's own numbers go in."""
    path = of.room.path
    floors = {"front": of_floor(of, "front"), "rear": of_floor(of, "rear")}
    ends = ("rear", "front") if of.hand == "right" else ("front", "rear")
    way = {"front": -1.0, "rear": 1.0}[ends[1]]  # of X along the walk
    r_out = FOLD_RADIUS + T
    turn = [path.first.turn_deg, path.last.turn_deg]
    legs = [path.first.leg, path.last.leg]
    at = np.array([0.0, floors[ends[0]]])
    heading = 0.0  # turned up from level, along the walk
    spots = [(at, heading)]

    def go(distance: float) -> None:
        nonlocal at
        at = at + distance * np.array([cos(heading), sin(heading)])
        spots.append((at, heading))

    def bow(radius: float, angle_deg: float) -> None:
        """An arc to the left (up) for angles over 0, to the right for angles below."""
        nonlocal at, heading
        side = 1.0 if angle_deg > 0 else -1.0
        center = at + radius * side * np.array([-sin(heading), cos(heading)])
        heading += radians(angle_deg)
        at = center - radius * side * np.array([-sin(heading), cos(heading)])
        spots.append((at, heading))

    go(20 - r_out * tan(radians(turn[0]) / 2))  # the flange is 20 over its outside
    bow(r_out, turn[0])
    go(legs[0])
    bow(path.radius, -(turn[0] + turn[1]))
    go(legs[1])
    bow(r_out, turn[1])
    go(20 - r_out * tan(radians(turn[1]) / 2))
    return [(np.array([way * p[0], p[1]]), np.array([way * cos(h), sin(h)])) for p, h in spots]


def of_floor(of: Tub, end: str) -> float:
    side = of.room.path
    name = of.room.local.ends.index(end)
    return side.at(0.0 if name == 0 else side.length, T)[1]


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("floors", FLOORS)
def test_the_band_stands_on_its_floors_and_follows_a_walk(floors: str, hand: str) -> None:
    front, rear = FLOORS[floors]
    side = {**SIDE, "front_floor": front, "rear_floor": rear, "rail": []}
    of = tub(hand=hand, **{hand: side})
    path, local = of.room.path, of.room.local
    spots = [path.at(u, T) for u in (0.0, *path.marks)]
    at = np.array([local.vehicle(p, q, 0)[[0, 2]] for p, q in spots])
    ends = (rear, front) if hand == "right" else (front, rear)
    assert at[0, 1] == pytest.approx(ends[0], abs=1e-6)
    assert at[-1, 1] == pytest.approx(ends[1], abs=1e-6)
    # the roll is round the centre asked for, its inside skin at the radius asked for
    roll = [path.at(u, T) for u in np.linspace(path.marks[2], path.marks[3], 9)]
    in_space_xz = np.array([local.vehicle(p, q, 0)[[0, 2]] for p, q in roll])
    assert np.hypot(*(in_space_xz - [-3, 426]).T) == pytest.approx(392, abs=1e-9)
    walk = walked(of)
    moved = np.array([p for p, _ in walk]) - walk[0][0] + at[0]
    assert moved == pytest.approx(at, abs=1e-6)
    # legs are no shorter than a folder needs, flanges turn outward, away from the tyre
    assert min(path.first.leg, path.last.leg) >= 6 - 1e-9
    assert (at[0, 0] - at[2, 0]) * (at[-1, 0] - at[-3, 0]) < 0
    assert abs(at[0, 0] - at[-1, 0]) > abs(at[2, 0] - at[-3, 0])


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("surround", SURROUNDS)
def test_the_folded_band_lies_where_its_side_view_says(surround: str, hand: str) -> None:
    of = tub(hand=hand, **{hand: {**SIDE, "rail": [], **SURROUNDS[surround]}})
    band, path = cut(of, "band"), of.room.path
    folded = fold(band.blank)
    r = np.random.default_rng(7)
    flat = np.column_stack(
        [r.uniform(0.5, path.length - 0.5, 80), r.uniform(5, 250, 80), r.uniform(0, T, 80)]
    )
    found = in_space(band, folded, flat)
    out = 1.0 if hand == "right" else -1.0
    for (u, v, w), at in zip(flat, found, strict=True):
        # by the walk: the distance of the skin at the tyre, plus the depth along its normal
        zones = (0.0, *path.marks)
        zone = max(i for i in range(7) if zones[i] <= u)
        share = (u - zones[zone]) / (zones[zone + 1] - zones[zone])
        expected = _on_walk(of, zone, share, T - w)
        assert at[[0, 2]] == pytest.approx(expected, abs=1e-6), (u, v, w)
        assert at[1] * out == pytest.approx(568 + v, abs=1e-6)


def _on_walk(of: Tub, zone: int, share: float, depth: float) -> Array:
    """A place within a zone, `depth` outward of the skin at the tyre."""
    walk = walked(of)
    ends = ("rear", "front") if of.hand == "right" else ("front", "rear")
    way = {"front": -1.0, "rear": 1.0}[ends[1]]
    local = of.room.local
    start = local.vehicle(*of.room.path.at(0.0, T), 0)[[0, 2]] - walk[0][0]
    (a, ha), (b, hb) = walk[zone], walk[zone + 1]
    up_a, up_b = (np.arctan2(h[1], way * h[0]) for h in (ha, hb))
    heading = up_a + share * (up_b - up_a)
    outward = np.array([-way * sin(heading), cos(heading)])
    if abs(up_b - up_a) < 1e-9:
        return np.asarray(start + a + share * (b - a) + depth * outward)
    out_a = np.array([-way * sin(up_a), cos(up_a)])
    radius = np.linalg.norm(b - a) / (2 * sin(abs(up_b - up_a) / 2)) * np.sign(up_a - up_b)
    center = a - radius * out_a
    return np.asarray(start + center + (radius + depth) * outward)


@pytest.mark.parametrize("floors", FLOORS)
def test_developed_lengths_are_those_of_hand_formulas(floors: str) -> None:
    front, rear = FLOORS[floors]
    of = tub({"front_floor": front, "rear_floor": rear, "rail": []})
    path = of.room.path
    lengths = []
    for height in (rear, front):  # from the rear end on the right-hand blank
        rise = _rise(height - 426)
        turn = pi / 2 - rise
        # the leg's foot on the floor, straight on, less the setback of the fold
        setback = (FOLD_RADIUS + T) * tan(turn / 2)
        leg = (392 * sin(rise) - (height - 426)) / cos(rise) - setback
        fold_length = turn * (FOLD_RADIUS + K * T)
        lengths.append((20 - setback, fold_length, leg, rise))
    (f0, b0, l0, rise0), (f1, b1, l1, rise1) = lengths
    roll = (pi - rise0 - rise1) * (392 + T / 2)
    expected = np.cumsum([f0, b0, l0, roll, l1, b1, f1])
    assert path.marks == pytest.approx(expected, abs=1e-6)
    assert (path.first.turn_deg, path.last.turn_deg) == pytest.approx(
        (90 - degrees(rise0), 90 - degrees(rise1)), abs=1e-6
    )


def _rise(height: float) -> float:
    """How far over level the roll ends, so that a leg of 6 and the fold end on the floor."""
    if -height - FOLD_RADIUS - T >= 6:
        return 0.0
    low, high = 0.0, 1.3
    for _ in range(200):
        rise = (low + high) / 2
        setback = (FOLD_RADIUS + T) * tan((pi / 2 - rise) / 2)
        foot = 392 * sin(rise) - (6 + setback) * cos(rise)
        low, high = (rise, high) if foot < height else (low, rise)
    return low


def test_the_end_fold_turns_by_the_angle_between_the_rolls_tangent_and_the_floor() -> None:
    # the demo's rear end, from the job's own numbers: 500 is 74 over the centre; with a 6 mm leg
    # and a fold of 1.3 + 1.2 the roll must end where R sin(a) - (6 + 2.5 tan(45 - a/2)) cos(a) = 74
    path = tub().room.path
    a = radians(90 - path.first.turn_deg)
    assert 392 * sin(a) - (6 + 2.5 * tan(pi / 4 - a / 2)) * cos(a) == pytest.approx(74, abs=1e-9)
    # and the slope of the roll's last chord is the fold's turn
    (x0, z0), (x1, z1) = (path.at(path.marks[2] + d, T) for d in (0.0, 1e-4))
    assert degrees(np.arctan2(z1 - z0, x1 - x0)) == pytest.approx(path.first.turn_deg, abs=1e-3)


def test_the_rise_over_a_chord_is_the_rollers_gauge() -> None:
    # sagitta: R - sqrt(R^2 - (c/2)^2); R 392, c 300: 392 - sqrt(153664 - 22500) = 29.834
    assert rise_over_chord(392, 300) == pytest.approx(29.834, abs=5e-4)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("surround", SURROUNDS)
def test_the_bands_edges_lie_on_the_discs_face_and_on_the_inner_skin(
    surround: str, hand: str
) -> None:
    of = tub(hand=hand, **{hand: {**SIDE, "rail": [], **SURROUNDS[surround]}})
    band = cut(of, "band")
    folded = fold(band.blank)
    out = 1.0 if hand == "right" else -1.0
    side = {**SIDE, **SURROUNDS[surround]}["body_side"]
    lean, toe = (tan(radians(float(side[k].split()[0]))) for k in ("lean", "toe"))
    inward = (6 + T) * sqrt(1 + lean**2 + toe**2)  # the skin's gap and thickness, square to it
    worst: dict[float, list[float]] = {0.0: [], T: []}
    for curve in band.blank.outline:
        middle = curve.at(0.5)
        for f in np.linspace(0.001, 0.999, 25):
            u, v = curve.at(float(f))
            if abs(v) < 1e-9:
                at = in_space(band, folded, np.array([[u, v, 0], [u, v, T]]))
                assert at[:, 1] * out == pytest.approx(568, abs=1e-9)
            elif middle[1] > 100 and abs(curve.tangent(0.5)[0]) > 0.5:
                for w in (0.0, T):
                    x, y, z = in_space(band, folded, np.array([[u, v - 1e-7, w]]))[0]
                    skin = side["y"] - lean * (z - 426) + toe * x - inward
                    worst[w].append(y * out - skin)
    assert max(*worst[0.0], *worst[T]) < 0.0101  # neither skin of the metal stands out of it
    for one, other in zip(worst[0.0], worst[T], strict=True):
        assert max(one, other) > -0.0101  # and one of them always touches it


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("seam", [0.35, 0.5, 0.62])
def test_a_band_split_at_a_seam_meets_again_on_the_vehicle(seam: float, hand: str) -> None:
    side = {**SIDE, "body_side": leaning(3, 1.2)}
    whole = tub(hand=hand, **{hand: side})
    of = tub(hand=hand, seam=seam, **{hand: side})
    halves = {name: cut(of, f"band_{name}") for name in ("front", "rear")}
    sizes = {name: box(c.blank.outline) for name, c in halves.items()}
    lengths = {name: b[2] - b[0] for name, b in sizes.items()}
    assert sum(lengths.values()) == pytest.approx(whole.room.path.length, abs=1e-6)
    assert lengths["front"] == pytest.approx(seam * whole.room.path.length, abs=1e-6)
    solids = {name: placed(c) for name, c in halves.items()}
    assert common_volume(*solids.values()) < 1e-3
    # the two seams lie on one another: the ends of both blanks, folded, are the same points
    first = of.room.local.ends[0]
    last = "front" if first == "rear" else "rear"
    for v in (1.0, 60.0, 200.0, 340.0):
        for w in (0.0, T):
            here, there = (
                in_space(halves[n], fold(halves[n].blank), np.array([[u, v, w]]))[0]
                for n, u in ((first, sizes[first][2] - 1e-7), (last, sizes[last][0] + 1e-7))
            )
            assert here == pytest.approx(there, abs=1e-5)
    both = sum(cadquery_solid(fold(c.blank), c.place).Volume() for c in halves.values())
    one = cadquery_solid(fold(cut(whole, "band").blank)).Volume()
    assert both == pytest.approx(one, rel=1e-9)


def test_a_seam_in_a_leg_is_refused_in_words() -> None:
    with pytest.raises(NoTub, match="in a leg or flange"):
        tub(seam=0.001)


def test_the_outline_is_closed_and_its_length_is_that_of_its_sides() -> None:
    of = tub({"rail": []})
    path = of.room.path
    band = cut(of, "band").blank.outline
    wide = 944 - 6 - T - 568
    assert length(band) == pytest.approx(2 * path.length + 2 * wide, abs=1e-6)

