"""The bend between two planes, against the separately written fold of `mount_by_hand`."""

from __future__ import annotations

import random
from math import cos, radians, sin

import numpy as np
import pytest
from mount_by_hand import Array, Crease, folded_back, rotated, single_fold

from parts.sheet.reach import ContactFace, OutOfReach, Reach, bend_onto, laid_on

T, R = 4.0, 6.0
WAYS = [(up, same) for up in (True, False) for same in (True, False)]


def allowance(turn_deg: float) -> float:
    """A fibre at 0.4 of the thickness keeps its length."""
    return abs(radians(turn_deg)) * (R + 0.4 * T)


def faces(
    seed: int, up: bool, same: bool, turn: float | None = None
) -> tuple[ContactFace, ContactFace, Array, Array]:
    """Two faces and points on them, anywhere; `up`: the far leg rises on the metal's side.

    `same`: the same skin of the sheet lies on both.
    """
    r = random.Random(seed)
    turn = radians(r.uniform(15, 150) if turn is None else turn)
    way = 1.0 if up else -1.0
    onward = np.array([0.0, cos(turn), way * sin(turn)])
    carried = np.array([0.0, -way * sin(turn), cos(turn)])
    room = (R + T) * np.tan(turn / 2) + 20
    near = np.array([[r.uniform(-30, 30), -room - r.uniform(0, 60), 0.0] for _ in range(3)])
    far = np.array(
        [[r.uniform(-30, 30), 0, 0] + (room + r.uniform(0, 60)) * onward for _ in range(2)]
    )
    axis, angle = np.array([r.gauss(0, 1) for _ in range(3)]), r.uniform(0, 360)
    shift = np.array([r.uniform(-900, 900) for _ in range(3)])

    def put(points: Array) -> Array:
        return rotated(points, (0, 0, 0), axis, angle) + shift

    def turned(direction: Array) -> Array:
        return rotated(direction, (0, 0, 0), axis, angle)

    rail = ContactFace(put(np.array([3.0, -8.0, 0.0])), turned(np.array([0, 0, 1.0])))
    bar = ContactFace(put(70 * onward), turned(carried if same else -carried))
    return rail, bar, put(near), put(far)


def reach(rail: ContactFace, bar: ContactFace, near: Array, far: Array) -> Reach:
    base = laid_on(rail, far.mean(axis=0) - near.mean(axis=0))
    return bend_onto(base, T, R, allowance, bar, near, far, "fold")


@pytest.mark.parametrize(("up", "same"), WAYS)
@pytest.mark.parametrize("seed", range(12))
def test_turn_and_distances_are_those_of_the_planes(seed: int, up: bool, same: bool) -> None:
    rail, bar, near, far = faces(seed, up, same)
    hand = single_fold((rail.point, rail.metal), (bar.point, bar.metal), near, far, T, R)
    found = reach(rail, bar, near, far)
    assert hand.same_skin is same
    assert found.drawn_touches is not same
    assert abs(found.bend.turn_deg) == pytest.approx(hand.turn_deg, abs=1e-9)
    assert (found.bend.turn_deg > 0) is up
    assert found.before == pytest.approx(hand.before, abs=1e-9)
    assert found.after == pytest.approx(hand.after, abs=1e-9)
    assert abs(float(found.line @ hand.line)) == pytest.approx(1.0, abs=1e-12)
    off = found.apex - hand.apex
    assert np.linalg.norm(off - (off @ hand.line) * hand.line) < 1e-8


@pytest.mark.parametrize(("up", "same"), WAYS)
@pytest.mark.parametrize("seed", range(12))
def test_points_of_the_far_face_go_flat_and_fold_back(seed: int, up: bool, same: bool) -> None:
    rail, bar, near, far = faces(seed, up, same)
    base = laid_on(rail, far.mean(axis=0) - near.mean(axis=0))
    found = bend_onto(base, T, R, allowance, bar, near, far, "fold")
    flat = found.place.inverse().apply(far)
    depth = 0.0 if same else T
    assert flat[:, 2] == pytest.approx(depth, abs=1e-9)
    b = found.bend
    crease = Crease(b.start, b.end, b.turn_deg, R, allowance(b.turn_deg))
    back = folded_back(flat, [crease], T) @ base.turn.T + base.origin
    assert back == pytest.approx(far, abs=1e-9)
    through = folded_back([[*p[:2], T - depth] for p in flat], [crease], T) @ base.turn.T
    assert through + base.origin - far == pytest.approx(np.tile(T * bar.metal, (2, 1)), abs=1e-9)


def test_flat_distance_over_the_bend_is_legs_and_allowance() -> None:
    # square bend, both skins outside: 30 and 40 from the apex, less 10 of setback each
    rail = ContactFace(np.zeros(3), np.array([0, 0, 1.0]))
    bar = ContactFace(np.zeros(3), np.array([0.0, -1.0, 0.0]))
    near, far = np.array([[0.0, -30, 0]]), np.array([[12.0, 0, 40]])
    base = laid_on(rail, np.array([0.0, 1.0, 0.0]))
    found = bend_onto(base, T, R, lambda turn: 11.0, bar, near, far, "fold")
    assert found.before == pytest.approx([20.0])
    assert found.after == pytest.approx([30.0])
    apart = found.place.inverse().apply(far)[0] - base.inverse().apply(near)[0]
    assert np.hypot(apart[0], apart[1]) == pytest.approx(np.hypot(12, 20 + 11 + 30))
    hand = single_fold((rail.point, rail.metal), (bar.point, bar.metal), near, far, T, R)
    assert hand.flat_distance(0, 0, 11.0) == pytest.approx(np.hypot(12, 61))


@pytest.mark.parametrize("turn", [0.0, 0.005, 179.999])
def test_faces_as_good_as_parallel_are_out_of_reach(turn: float) -> None:
    rail = ContactFace(np.zeros(3), np.array([0, 0, 1.0]))
    bar = ContactFace(
        np.array([0.0, 0, 50]), np.array([0.0, -sin(radians(turn)), cos(radians(turn))])
    )
    near, far = np.array([[0.0, -30, 0]]), np.array([[0.0, 90, 50]])
    with pytest.raises(OutOfReach, match="parallel"):
        reach(rail, bar, near, far)


def test_a_point_past_the_fold_is_told_by_how_much() -> None:
    rail = ContactFace(np.zeros(3), np.array([0, 0, 1.0]))
    bar = ContactFace(np.zeros(3), np.array([0.0, -1.0, 0.0]))
    near, far = np.array([[0.0, -90, 0], [0, 7.5, 0]]), np.array([[0.0, 0, 40]])
    with pytest.raises(OutOfReach, match=r"7\.5 mm past"):
        reach(rail, bar, near, far)


def test_a_point_in_the_fold_of_a_leg_that_touches_with_its_drawn_skin_is_refused() -> None:
    # the fold of the back skin lies a thickness from the bar's face: the stud is within that
    rail = ContactFace(np.zeros(3), np.array([0, 0, 1.0]))
    bar = ContactFace(np.zeros(3), np.array([0.0, -1.0, 0.0]))
    near = np.array([[0.0, -1.0, 0], [0, -2.5, 0]])
    far = np.array([[0.0, 0, -40.0]])
    with pytest.raises(OutOfReach):
        reach(rail, bar, near, far)


def test_a_face_knows_heights_and_feet() -> None:
    face = ContactFace(np.array([1.0, 2, 3]), np.array([0.6, 0.0, 0.8]))
    point = face.point + 5 * face.metal + np.array([0.8, 4.0, -0.6])
    assert face.height(point) == pytest.approx(5.0)
    assert face.foot(point) == pytest.approx(face.point + np.array([0.8, 4.0, -0.6]))
