"""Instant centres and roll centre, from the same speeds that move the wheels.

Side view is seen along Y (points are X, Z), front view along X (points are Y, Z). An instant
centre is the point about which the wheel's carrier turns, in that view, at this moment.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from parts.trade.axle.pose import LEFT, RIGHT, SIDES, Axle, AxlePose, Floats, Speed

STILL = 1e-9  # rad per mm of travel: a centre more than 1000 km off counts as none


@dataclass(frozen=True, slots=True)
class InstantCentre:
    """`at` is (X, Z) in side view, (Y, Z) in front view; None if the wheel only shifts.

    `slope` is the rise per mm outboard or forward of the line from wheel centre to instant
    centre: square to the wheel centre's path, so it is there even when the centre is not.
    """

    at: tuple[float, float] | None
    slope: float


def side_view(
    axle: Axle, side: int, left: float = 0.0, right: float = 0.0, drive: ArrayLike = (1.0, 1.0)
) -> InstantCentre:
    """Instant centre of a wheel's carrier seen from the side, slope rising forward.

    `drive` are the rates of left and right travel: both wheels rising unless said otherwise.
    """
    origin, speed, turn = _moving(axle, side, left, right, drive)
    slope = float(speed[0] / speed[2])
    if abs(turn[1]) < STILL:
        return InstantCentre(None, slope)
    at = (origin[0] + speed[2] / turn[1], origin[2] - speed[0] / turn[1])
    return InstantCentre((float(at[0]), float(at[1])), slope)


def front_view(
    axle: Axle, side: int, left: float = 0.0, right: float = 0.0, drive: ArrayLike | None = None
) -> InstantCentre:
    """Instant centre of a wheel's carrier seen from the front, slope rising to the car's left.

    Driven by the wheel's own travel, unless `drive` says the rates of left and right.
    """
    own = np.eye(2)[side] if drive is None else drive
    origin, speed, turn = _moving(axle, side, left, right, own)
    slope = float(speed[1] / speed[2])
    if abs(turn[0]) < STILL:
        return InstantCentre(None, slope)
    at = (origin[1] - speed[2] / turn[0], origin[2] + speed[1] / turn[0])
    return InstantCentre((float(at[0]), float(at[1])), slope)


def roll_centre(
    axle: Axle, loaded_radius: float, left: float = 0.0, right: float = 0.0
) -> tuple[float, float] | None:
    """(Y, Z) about which the body starts to roll over tyre contacts that do not slide.

    It lies on the line through each contact (straight below the wheel's centre) square to the
    contact's path in front view, as the left wheel falls and the right one rises. None where
    the two lines do not meet. With a live axle this is the point of the axle that stands still.
    """
    pose, speed = axle.pose(left, right), axle.speed(left, right)
    square, feet = [], []
    for side in (LEFT, RIGHT):
        foot = pose.wheels[side].origin - np.array([0, 0, loaded_radius])
        path = _foot_path(pose, speed, side, loaded_radius, np.array([-1.0, 1.0]))[1:]
        square.append(path / np.linalg.norm(path))
        feet.append(foot[1:])
    lines, points = np.array(square), np.array(feet)
    middle = points.mean(axis=0)
    needed = np.einsum("ij,ij->i", lines, points - middle)
    off, *_ = np.linalg.lstsq(lines, needed, rcond=1e-9)
    if np.abs(lines @ off - needed).max() > 1e-6:
        return None
    return (float(middle[0] + off[0]), float(middle[1] + off[1]))


def anti_squat_percent(
    axle: Axle, side: int, loaded_radius: float, wheelbase: float, mass_height: float
) -> float:
    """Anti-squat at ride of a driven rear axle whose links take the drive torque, in per cent.

    The line square to the path of the contact, its slope over that of mass height (above the
    ground) over wheelbase. For drive torque taken by the body, use the slope of `side_view`.
    """
    pose, speed = axle.pose(0.0, 0.0), axle.speed(0.0, 0.0)
    path = _foot_path(pose, speed, side, loaded_radius, np.array([1.0, 1.0]))
    return float(100 * (path[0] / path[2]) * wheelbase / mass_height)


def _foot_path(
    pose: AxlePose, speed: Speed, side: int, loaded_radius: float, drive: Floats
) -> Floats:
    """Velocity (3,) of the contact as a point of the carrier."""
    down = np.array([0.0, 0, -loaded_radius])
    rates = speed.centre[side, :2] + np.cross(speed.turn[side, :2], down)
    return np.asarray(drive @ rates)


def _moving(
    axle: Axle, side: int, left: float, right: float, drive: ArrayLike
) -> tuple[Floats, Floats, Floats]:
    """Wheel centre (3,), its velocity and the carrier's angular velocity (3,)."""
    speed = axle.speed(left, right)
    rates = np.asarray(drive, dtype=float)
    moves = rates @ speed.centre[side, :2]
    if abs(moves[2]) < STILL:
        raise ValueError(f"the {SIDES[side]} wheel does not rise with this drive; drive it too")
    return axle.pose(left, right).wheels[side].origin, moves, rates @ speed.turn[side, :2]
