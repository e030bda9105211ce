"""Load cases: what the tyres do to an axle, as rows of a table.

A tyre's load is what stands on it, with what pulling, braking or cornering shifts fore and aft
(by the car's mass height and wheelbase) and across (this axle's own side force, at mass height,
over its track), and no tyre pulls on the ground. Along the ground it gives a share of its grip.
The axle's own weight and inertia are left with the body, which is on the safe side but for the
axle's hop, and so is the propeller shaft's torque, which the springs carry.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal, get_args

import numpy as np

from parts.place import unit
from parts.tables import UnknownName, rows
from parts.trade.axle import LEFT, RIGHT, AxlePose, Stops, Travels, standard_poses
from parts.trade.axle.pose import SIDES
from parts.trade.links.car import Car
from parts.trade.links.statics import Load

Torque = Literal["drive", "brake", "none"]
Wheels = Literal["both", "one"]
Of = Literal["grip", "load"]
Poses = Literal["all", "bump"]


@dataclass(frozen=True, slots=True)
class LoadCase:
    """One row of link_load_cases.csv.

    `upright` is the tyres' load over what it is on a level road. `along` (+ forward on the axle)
    and `across` (+ to the right) are shares `of` the grip at that load, or of the load itself.
    `torque` is what the wheels are held or driven by; with "none" they roll freely, so that the
    force along acts at the wheel's centre. `wheels`: on both, or on one while the other stands.
    `lock` 1: at full lock either way. `poses`: all the usual ones, or on the bump stop. `shock`
    multiplies all of it.
    """

    name: str
    upright: float
    along: float
    across: float
    of: Of
    torque: Torque
    wheels: Wheels
    lock: bool
    poses: Poses
    shock: float
    source: str

    def __post_init__(self) -> None:
        for key, kinds in (("of", Of), ("torque", Torque), ("wheels", Wheels), ("poses", Poses)):
            value, known = getattr(self, key), get_args(kinds)
            if value not in known:
                raise ValueError(f"load case '{self.name}': {key} is {value!r}; write one of "
                                 f"{', '.join(known)}")  # fmt: skip
        if self.upright < 0 or self.shock <= 0:
            raise ValueError(
                f"load case '{self.name}': upright {self.upright:g}, shock {self.shock:g}; "
                "write upright as 0 or more and shock above 0"
            )


@dataclass(frozen=True, slots=True)
class Moment:
    """A load case at one pose, `side` the wheel it strikes (None: both)."""

    case: LoadCase
    travels: Travels
    side: int | None = None

    @property
    def name(self) -> str:
        """>>> Moment(load_case("bump"), Travels("both in bump", 95, 95)).name
        'bump, both in bump'
        """
        where = "" if self.side is None else f" ({SIDES[self.side]})"
        return f"{self.case.name}{where}, {self.travels.name}"


def load_cases() -> tuple[LoadCase, ...]:
    """Every row of the table.

    >>> [case.shock for case in load_cases()[:3]]
    [1.0, 3.0, 3.0]
    """
    return tuple(_case(row) for row in rows("link_load_cases"))


def load_case(name: str, shock: float | None = None) -> LoadCase:
    """The row of that name, with a shock factor of the user's own if given; UnknownName."""
    for case in load_cases():
        if case.name == name:
            return case if shock is None else replace(case, shock=shock)
    known = [case.name for case in load_cases()]
    raise UnknownName("load case", name, "link_load_cases.csv", known)


def _case(row: Mapping[str, str]) -> LoadCase:
    return LoadCase(
        name=row["name"],
        upright=float(row["upright"]),
        along=float(row["along"]),
        across=float(row["across"]),
        of=row["of"],  # type: ignore[arg-type]  # LoadCase refuses what is none of them
        torque=row["torque"],  # type: ignore[arg-type]
        wheels=row["wheels"],  # type: ignore[arg-type]
        lock=row["lock"] == "1",
        poses=row["poses"],  # type: ignore[arg-type]
        shock=float(row["shock"]),
        source=row["source"],
    )


def moments(case: LoadCase, stops: Stops, own: tuple[Travels, ...] = ()) -> tuple[Moment, ...]:
    """Every pose and wheel a case is looked at in; none for full lock where nothing steers.

    `own` are poses of the user's besides the usual ones; ValueError for one past the stops.

    >>> [m.name for m in moments(load_case("bump under one wheel"), Stops(95, 85))]
    ['bump under one wheel (left), left wheel in bump',
     'bump under one wheel (right), right wheel in bump']
    """
    sides: tuple[int | None, ...] = (LEFT, RIGHT) if case.wheels == "one" else (None,)
    poses = [pose for pose in standard_poses(stops, own) if bool(pose.steer_deg) == case.lock]
    return tuple(
        Moment(case, pose, side)
        for side in sides
        for pose in poses
        if case.poses == "all" or pose.name.partition(",")[0] == _bumped(side)
    )


def _bumped(side: int | None) -> str:
    return "both in bump" if side is None else f"{SIDES[side]} wheel in bump"


def tyre_loads(car: Car, moment: Moment, pose: AxlePose) -> tuple[Load, Load]:
    """What the ground does to the axle at the left and the right contact, shock and all.

    The contact is straight below the wheel's centre; along and across go with the wheel's
    heading. Torque that the body takes, or that is not there, is taken off about the spin axis.
    """
    case = moment.case
    out = []
    for side, upright in zip((LEFT, RIGHT), _uprights(car, moment, pose), strict=True):
        struck = moment.side in (None, side)
        place = pose.wheels[side]
        spin = place.turn[:, 1] * (1 if side == RIGHT else -1)
        back = unit(np.cross(spin, (0.0, 0.0, 1.0)))
        right = np.cross((0.0, 0.0, 1.0), back)
        load = upright * (case.upright if struck else 1.0)
        most = load * car.friction if case.of == "grip" else upright
        force = (most if struck else 0.0) * (case.across * right - case.along * back)
        force[2] += load
        down = np.array([0.0, 0.0, -car.loaded_radius])
        couple = np.zeros(3)
        on_axle = {"drive": car.drive_on_axle, "brake": car.brakes_on_axle, "none": False}
        if not on_axle[case.torque]:
            couple = -float(np.cross(down, force) @ spin) * spin
        out.append(Load(case.shock * force, place.origin + down, case.shock * couple))
    return out[LEFT], out[RIGHT]


def _uprights(car: Car, moment: Moment, pose: AxlePose) -> tuple[float, float]:
    """Load on the left and right tyre on a level road, before shock."""
    case = moment.case
    both = car.standing_n(0.0)
    if case.of == "grip" and case.torque == "drive":
        both = car.driving_n(case.along)
    elif case.of == "grip" and case.torque == "brake":
        both = car.standing_n(case.along * car.friction)
    side_force = case.across * both * (car.friction if case.of == "grip" else 1.0)
    track = float(pose.right.origin[1] - pose.left.origin[1])
    moved = side_force * car.mass_height / track
    moved = min(max(moved, -both / 2), both / 2)
    return both / 2 + moved, both / 2 - moved
