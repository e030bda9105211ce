"""Instant centres, roll axis and anti per cents of an axle, at any travel.

All come from the speeds of the axle that moves the tyre, so they hold for any links. The contact
is taken straight below the wheel's centre, by the loaded radius. Slopes rise forward.

Anti-squat and its like are the vertical force that the links themselves put between axle and
body, per cent of the load that a steady pull shifts onto the axle: slope of the line from the
contact to the side-view instant centre, over mass height over wheelbase, times the share of the
pull that this axle does (T. D. Gillespie, Fundamentals of Vehicle Dynamics, SAE 1992, ch. 7;
W. F. and D. L. Milliken, Race Car Vehicle Dynamics, SAE 1995, ch. 17; from memory). Where the
body takes the torque the line starts at the wheel's centre. Mass height and wheelbase stay those
at ride.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from parts.trade.axle import (
    LEFT,
    RIGHT,
    Axle,
    AxlePose,
    LiveAxle,
    Speed,
    Steered,
    Stops,
    Travels,
)
from parts.trade.axle.centres import STILL, roll_centre
from parts.trade.axle.pose import Floats
from parts.trade.links.car import Car

SOURCE = (
    "slope of the line from the tyre's contact (torque taken by the links) or the wheel's centre "
    "(by the body) to the side-view instant centre, over mass height over wheelbase, times the "
    "axle's share; Gillespie 1992 ch. 7, Milliken 1995 ch. 17, from memory"
)
TURNING = 1e-6  # rad per rad of roll: a centre further off than the axle can tell counts as none
Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Anti:
    """Per cent where the links take the wheel's torque, and where the body takes it."""

    links: float
    body: float


@dataclass(frozen=True, slots=True)
class LinkGeometry:
    """An axle at one pose.

    `side_centre` (X, Z), about which it swings as both wheels rise; `plan_centre` (X, Y), about
    which it steers as the body rolls, at the height of the wheel centres; `roll_centre` (Y, Z)
    in the plane of the wheel centres: each None where the lines run parallel. `roll_axis_deg`
    is the slope of the line about which the axle rolls under the body, + rising to the rear
    (None for wheels that have no axle in common); `roll_steer` the degrees it steers to the
    left per degree the body rolls to the right: at the rear + is understeer, and it is the same
    slope. `pinion_deg` is how far the nose of the final drive has come up since ride.
    """

    travels: Travels
    roll_deg: float
    yaw_deg: float
    pinion_deg: float
    shift_back: float
    shift_right: float
    side_centre: Pair | None
    plan_centre: Pair | None
    roll_centre: Pair | None
    roll_axis_deg: float | None
    roll_steer: float
    drive: Anti
    brake: Anti


def anti_words(car: Car) -> tuple[str, str]:
    """What the per cents are called under drive and under braking.

    >>> anti_words(Car(1400, 0.5, 2700, 550, 331))
    ('anti-squat', 'anti-lift')
    """
    if car.end == "rear":
        return ("anti-squat", "anti-lift")
    return ("anti-lift under drive", "anti-dive")


def live_axle(axle: Axle) -> LiveAxle:
    """The live axle in an axle, steered or not; ValueError where there is none."""
    inner = axle.axle if isinstance(axle, Steered) else axle
    if not isinstance(inner, LiveAxle):
        raise ValueError(
            "link forces and joint tilt need an axle on links; measure its links: each one's "
            "point on the chassis and on the axle"
        )
    return inner


def link_geometry(axle: Axle, car: Car, travels: Travels) -> LinkGeometry:
    """The axle's geometry at one pose, its wheels straight ahead. Raises CannotFollow."""
    return _at(axle, car, travels, axle.pose(travels.left, travels.right))


def over_bump(axle: Axle, car: Car, stops: Stops, count: int = 9) -> tuple[LinkGeometry, ...]:
    """From full droop over ride to full bump, both wheels alike. Raises CannotFollow."""
    return _over(axle, car, [(t, t) for t in _steps(-stops.droop, stops.bump, count)])


def over_roll(axle: Axle, car: Car, stops: Stops, count: int = 9) -> tuple[LinkGeometry, ...]:
    """One wheel up as far as the other is down, from right wheel down to right wheel up."""
    most = min(stops.bump, stops.droop)
    return _over(axle, car, [(-t, t) for t in _steps(-most, most, count)])


def _over(axle: Axle, car: Car, pairs: list[Pair]) -> tuple[LinkGeometry, ...]:
    poses = axle.poses(np.array(pairs))
    named = (Travels(f"{left:+.0f} and {right:+.0f}", left, right) for left, right in pairs)
    return tuple(_at(axle, car, t, pose) for t, pose in zip(named, poses, strict=True))


def _steps(low: float, high: float, count: int) -> list[float]:
    """About so many values from low to high, 0 among them.

    >>> _steps(-80, 100, 5)
    [-80.0, -40.0, 0.0, 50.0, 100.0]
    """
    half = max(count // 2, 1) + 1
    both = np.concatenate([np.linspace(low, 0.0, half), np.linspace(0.0, high, half)])
    return [float(value) for value in np.unique(both)]


def _at(axle: Axle, car: Car, travels: Travels, pose: AxlePose) -> LinkGeometry:
    speed = axle.speed(travels.left, travels.right)
    heave, rise = _rates(speed, (1.0, 1.0))
    swing, roll = _rates(speed, (-1.0, 1.0))
    middle = (pose.left.origin + pose.right.origin) / 2
    down = np.array([0.0, 0.0, -car.loaded_radius])
    by_links = heave + np.cross(rise, down)
    slopes = [float(v[:, 0].sum() / v[:, 2].sum()) for v in (by_links, heave)]
    moves, spins, turns = heave.mean(axis=0), rise.mean(axis=0), roll.mean(axis=0)
    one = pose.carried[LEFT] is pose.carried[RIGHT]  # one axle carries both wheels
    rolling = float(turns[0]) if one else 2 / float(pose.right.origin[1] - pose.left.origin[1])
    steer = float(turns[2]) / rolling
    across = swing.mean(axis=0)
    return LinkGeometry(
        travels=travels,
        roll_deg=pose.roll_deg,
        yaw_deg=pose.yaw_deg,
        pinion_deg=sum(pose.twist_deg) / 2,
        shift_back=pose.shift_back,
        shift_right=pose.shift_right,
        side_centre=_meet(middle[[0, 2]], moves[[2, 0]] * [1, -1], float(spins[1]), STILL),
        plan_centre=_meet(
            middle[[0, 1]], across[[1, 0]] * [-1, 1], float(turns[2]), TURNING * abs(rolling)
        ),
        roll_centre=_meet(middle[[1, 2]], across[[2, 1]] * [-1, 1], rolling, STILL)
        if one
        else roll_centre(axle, car.loaded_radius, travels.left, travels.right),
        roll_axis_deg=float(np.degrees(np.arctan(steer))) if one else None,
        roll_steer=steer,
        drive=_anti(car, slopes, car.drive_share),
        brake=_anti(car, slopes, car.braking_share),
    )


def _anti(car: Car, slopes: Iterable[float], share: float) -> Anti:
    whole = car.squat_height / car.wheelbase
    return Anti(*(100 * car.sign * slope / whole * share for slope in slopes))


def _rates(speed: Speed, drive: Pair) -> tuple[Floats, Floats]:
    """Of both wheels, velocity (2, 3) of the centre and angular velocity (2, 3)."""
    rates = np.array(drive)
    return (
        np.einsum("d,sdi->si", rates, speed.centre[:, :2]),
        np.einsum("d,sdi->si", rates, speed.turn[:, :2]),
    )


def _meet(at: Floats, offset: Floats, turn: float, still: float) -> Pair | None:
    """The point that stands still: `offset` over `turn` away from `at`; None if it hardly turns."""
    if abs(turn) < still:
        return None
    first, second = at + offset / turn
    return (float(first), float(second))
