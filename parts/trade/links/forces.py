"""What each link carries, load case by load case, and the worst of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from parts.place import Vector, unit
from parts.trade.axle import Axle, AxlePose, Link, LiveAxle, Stops, Travels
from parts.trade.axle.pose import Point
from parts.trade.links.car import Car
from parts.trade.links.cases import LoadCase, Moment, load_cases, moments, tyre_loads
from parts.trade.links.geometry import live_axle
from parts.trade.links.statics import Line, Load, Stand, shared, stand

_HELD = ("fore and aft", "sideways", "up and down")
SHARE_NOTE = (
    "more links than statics needs: their forces are the least that balance, as of links equally "
    "stiff; what they carry by fighting each other is not in them"
)


@dataclass(frozen=True, slots=True)
class LinkForce:
    """Force in one link, N, + pulls it; `way` from its axle end to its chassis end (unit), in
    the car's axes and, for the axle's tab, in the axle's own as they lie at ride.

    An arm's pivot has a force for each way it holds: + pushes the chassis rearward, right or up.
    """

    name: str
    force_n: float
    way: Point
    way_on_axle: Point


@dataclass(frozen=True, slots=True)
class CaseForces:
    """All forces of one load case at one pose. Springs are + as they push the axle down (one
    shown as − would have to pull); `spare` counts the links that statics could do without."""

    case: str
    travels: str
    name: str
    links: tuple[LinkForce, ...]
    springs: tuple[tuple[str, float], ...]
    spare: int


@dataclass(frozen=True, slots=True)
class Worst:
    """The most a link is pulled and pushed, both as positive N, and the cases that do it."""

    name: str
    tension_n: float
    tension_case: str
    compression_n: float
    compression_case: str

    @property
    def most_n(self) -> float:
        return max(self.tension_n, self.compression_n)


def link_forces(
    axle: Axle,
    car: Car,
    stops: Stops,
    springs: tuple[Link, ...] = (),
    bump_stops: tuple[Link, ...] = (),
    cases: Iterable[LoadCase] | None = None,
    own: tuple[Travels, ...] = (),
) -> tuple[CaseForces, ...]:
    """Forces of every case at every pose it is looked at in; all rows of the table by default,
    but those that drive an axle that is not driven.

    `springs` and `bump_stops` are lines from chassis to axle like links, told at ride. Left out,
    springs stand upright over the wheel centres: where upright springs stand across the car
    does not change the links' forces, only how far before or behind the axle. Bump stops take
    the springs' place in cases that are on them. `own` are poses of the user's. Raises
    ValueError for an axle that is not on links, a load that nothing carries or a pose past the
    stops; CannotFollow.
    """
    wanted = load_cases() if cases is None else cases
    driven = [case for case in wanted if case.torque != "drive" or car.drive_share > 0]
    every = [moment for case in driven for moment in moments(case, stops, own)]
    if not every:
        return ()
    live = live_axle(axle)
    keys = list(dict.fromkeys(_key(moment) for moment in every))
    poses = dict(zip(keys, axle.poses(np.array(keys)), strict=True))
    stands: dict[tuple[float, float, float, bool], _Standing] = {}
    out = []
    for moment in every:
        stopped = bool(bump_stops) and moment.case.poses == "bump"
        key = _key(moment)
        if (*key, stopped) not in stands:
            carriers = bump_stops if stopped else springs
            stands[*key, stopped] = _Standing.of(live, poses[key], *key[:2], carriers)
        out.append(stands[*key, stopped].forces(tyre_loads(car, moment, poses[key]), moment))
    return tuple(out)


def forces_of(axle: Axle, car: Car, moment: Moment, springs: tuple[Link, ...] = ()) -> CaseForces:
    """Forces of one case at one pose; see `link_forces`."""
    left, right, steer_deg = _key(moment)
    pose = axle.pose(left, right, steer_deg)
    standing = _Standing.of(live_axle(axle), pose, left, right, springs)
    return standing.forces(tyre_loads(car, moment, pose), moment)


def balance(
    axle: LiveAxle, left: float, right: float, loads: tuple[Load, ...], springs: tuple[Link, ...]
) -> CaseForces:
    """Forces under loads of one's own, at travels in mm; springs as in `link_forces`."""
    return _Standing.of(axle, axle.pose(left, right), left, right, springs).forces(loads)


def worst(forces: Iterable[CaseForces]) -> tuple[Worst, ...]:
    """Of each link, over all cases; a link that is never pulled has tension 0 and no case."""
    found: dict[str, Worst] = {}
    for one in forces:
        for link in one.links:
            now = found.get(link.name, Worst(link.name, 0.0, "", 0.0, ""))
            if link.force_n > now.tension_n:
                now = Worst(now.name, link.force_n, one.name, now.compression_n,
                            now.compression_case)  # fmt: skip
            if -link.force_n > now.compression_n:
                now = Worst(now.name, now.tension_n, now.tension_case, -link.force_n, one.name)
            found[link.name] = now
    return tuple(found.values())


def _key(moment: Moment) -> tuple[float, float, float]:
    return (moment.travels.left, moment.travels.right, moment.travels.steer_deg)


@dataclass(frozen=True, slots=True, eq=False)
class _Standing:
    """An axle at one pose: how it stands, and its links' directions, also in its own axes."""

    how: Stand
    ways: Vector  # (links, 3)
    own_ways: Vector  # (links, 3)

    @staticmethod
    def of(
        axle: LiveAxle, pose: AxlePose, left: float, right: float, springs: tuple[Link, ...]
    ) -> _Standing:
        moved = pose.carried[0]
        centres = [moved.apply(wheel.centre) for wheel in (axle.left, axle.right)]
        lines = (*(_line(link, pose) for link in axle.links), *_pivots(axle, pose))
        up = np.array([0.0, 0.0, 1.0])
        carriers = tuple(_line(spring, pose) for spring in springs) or tuple(
            Line(f"{side} spring", at, up)
            for side, at in zip(("left", "right"), centres, strict=True)
        )
        middle, half = (centres[0] + centres[1]) / 2, axle.linkage.rigid.half
        how = stand(lines, carriers, _motions(axle, left, right), middle, half)
        ways = np.array([line.way for line in lines])
        return _Standing(how, ways, moved.inverse().direction(ways))

    def forces(self, loads: tuple[Load, ...], moment: Moment | None = None) -> CaseForces:
        found = shared(self.how, loads)
        return CaseForces(
            case=moment.case.name if moment else "",
            travels=moment.travels.name if moment else "",
            name=moment.name if moment else "",
            links=tuple(
                LinkForce(name, force, _point(way), _point(own))
                for (name, force), way, own in zip(
                    found.links, self.ways, self.own_ways, strict=True
                )
            ),
            springs=tuple((name, 0.0 - force) for name, force in found.springs),
            spare=found.spare,
        )


def _line(link: Link, pose: AxlePose) -> Line:
    end = pose.carried[0].apply(link.axle)
    return Line(link.name, end, unit(np.array(link.chassis, dtype=float) - end))


def _pivots(axle: LiveAxle, pose: AxlePose) -> list[Line]:
    """A line for each way an arm's pivot holds; + pulls the axle forward, left and down."""
    return [
        Line(f"{arm.name} ({_HELD[i]})", pose.carried[0].apply(arm.pivot), -np.eye(3)[i])
        for arm in axle.arms
        for i in ("xyz".index(axis) for axis in arm.holds)
    ]


def _motions(axle: LiveAxle, left: float, right: float) -> Vector:
    """Velocities (2, 6) of the middle between the wheel centres, and angular, by each travel."""
    speed = axle.speed(left, right)
    return np.hstack([speed.centre[:, :2].mean(axis=0), speed.turn[0, :2]])


def _point(vector: Vector) -> Point:
    x, y, z = (float(value) for value in vector)
    return (x, y, z)
