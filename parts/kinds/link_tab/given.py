"""From a config and the bench to the numbers that one hand's tabs are laid out from."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import hypot

import numpy as np

from parts.kinds.bench import Bench
from parts.kinds.link_tab.config import Hand, LinkTab
from parts.kinds.link_tab.loads import Pull, from_anywhere, of_link, toward
from parts.kinds.link_tab.side import FaceConfig, TabSide
from parts.kinds.link_tab.stands import FlatFace, NoTab, RoundTube, Stand
from parts.kinds.problems import did_you_mean
from parts.place import Vector, unit
from parts.sheet.stock import Material, material
from parts.tables import find
from parts.trade.axle import Link, LiveAxle, Steered
from parts.trade.bolts import Bolt, PropertyClass, bolt, property_class
from parts.trade.fork import PLAY
from parts.trade.gear import Gear
from parts.trade.joint import Joint
from parts.trade.links import CaseForces, level_bolts, link_pairs

SAME = 1e-9
Forces = Callable[[], tuple[CaseForces, ...]]


@dataclass(frozen=True, eq=False)
class Held:
    """The link that a tab holds: its axle, itself, and which of its ends."""

    gear: Gear
    link: Link
    end: str


@dataclass(frozen=True, eq=False)
class Given:
    """One hand's tab on the vehicle: the ball's middle, the bolt's direction (its largest part
    rearward, to the right or up), the way up the tab, what it stands on, and what pulls at it.
    `link_way` is the way from the ball along the link, None where that is not known.

    `plus_minus` is the 95 % half width of the hole's distance from the tube's axis, or from the
    face. `points` are the measured points that count.
    """

    hand: Hand
    config: LinkTab
    bench: Bench
    at: Vector
    bolt_way: Vector
    up: Vector
    stand: Stand
    link_way: Vector | None
    pulls: tuple[Pull, ...]
    joint: Joint
    bolt: Bolt
    strength: PropertyClass
    hole: float
    gap: float
    held: Held | None
    plus_minus: float | None
    points: tuple[str, ...]

    @property
    def double(self) -> bool:
        return self.config.shear == "double"


def given(
    config: LinkTab, side: TabSide, bench: Bench, hand: Hand, mirrored: bool, forces: Forces
) -> Given:
    """The numbers of one hand; raises NoTab for what leaves none.

    `bench` has its points mirrored where `mirrored`; axles are never mirrored. `forces` gives
    those of all cases, solved at the first call.
    """
    held = _held(config, side, bench, mirrored)
    at, at_name = _ball(config, side, bench, mirrored)
    if held is not None and not mirrored:
        at = np.array(held.link.axle if held.end == "axle" else held.link.chassis, dtype=float)
    bolt_way = _bolt_way(side, held, mirrored)
    stand, stand_names = _stand(config, side, bench, at, mirrored)
    up = stand.up(at, bolt_way)
    link_way = _link_way(side, bench, at, held)
    fastener = bolt(config.bolt)
    joint = Joint(
        config.joint.bore, config.joint.ball_width, config.joint.body_width,
        config.joint.head_diameter, config.joint.tilt_limit, config.joint.shank,
    )  # fmt: skip
    over = float(find("fork_rules", "hole over the bolt")["most"])
    hole = config.hole or fastener.diameter + over
    names = tuple(dict.fromkeys(filter(None, (at_name, side.link_to, *stand_names))))
    return Given(
        hand, config, bench, at, bolt_way, up, stand, link_way,
        _pulls(config, bolt_way, up, link_way, held, forces),
        joint, fastener, _strength(config, fastener), hole, _gap(config),
        held, _spread(config, side, bench, at, at_name, stand, stand_names), names,
    )  # fmt: skip


def _strength(config: LinkTab, fastener: Bolt) -> PropertyClass:
    try:
        return property_class(config.bolt_class, fastener.diameter)
    except ValueError as error:
        raise NoTab(
            "bolt_class", str(error), "a class that has this size",
            "name another class, or another bolt",
        ) from error  # fmt: skip


def _gap(config: LinkTab) -> float:
    """Inside distance of the pair; in single shear what lies between joint and tab, doubled."""
    joint = config.joint
    if config.gap is not None:
        return config.gap
    row = find("fork_rules", PLAY[joint.kind])
    play = (float(row["least"]) + float(row["most"])) / 2
    return joint.ball_width + 2 * joint.spacer + (play if config.shear == "double" else 0.0)


def _held(config: LinkTab, side: TabSide, bench: Bench, mirrored: bool) -> Held | None:
    """The link named, or for a mirrored side its mate; raises NoTab where there is none."""
    if side.link is None:
        return None
    assert config.axle is not None
    gear = bench.gears[config.axle]
    axle = gear.axle.axle if isinstance(gear.axle, Steered) else gear.axle
    if not isinstance(axle, LiveAxle) or not axle.links:
        raise NoTab(
            "link", f"axle {config.axle} has no links", "a live axle with its links measured",
            f"add [axle.{config.axle}.links], or give the hole and the force",
        )  # fmt: skip
    named = {link.name: link for link in axle.links}
    if side.link not in named:
        raise NoTab(
            "link", f"axle {config.axle} has no link {side.link!r}", "one of its links",
            did_you_mean(side.link, named),
        )  # fmt: skip
    if not mirrored:
        return Held(gear, named[side.link], side.end)
    for pair in link_pairs(axle.links):
        both = (pair.left, pair.right)
        if named[side.link] in both:
            mate = both[1 - both.index(named[side.link])]
            return Held(gear, mate, side.end)
    raise NoTab(
        "link", f"no link of axle {config.axle} is the mirror image of {side.link!r}",
        "a link on the other side, whose forces it takes",
        "measure this side too",
    )  # fmt: skip


def _ball(
    config: LinkTab, side: TabSide, bench: Bench, mirrored: bool
) -> tuple[Vector, str | None]:
    """The ball's middle and the point it is measured by."""
    if side.link is not None:
        assert config.axle is not None
        ends = bench.gears[config.axle].ends.get(side.link, ("", ""))
        name = ends[side.end == "axle"]
        return (bench.spots.at(name), name) if name else (np.zeros(3), None)
    if side.hole is not None:
        return bench.spots.at(side.hole), side.hole
    assert side.from_axis is not None
    off = np.array(side.from_axis) * _flip(mirrored)
    if side.axis is not None:
        return bench.spots.at(side.axis[0]) + off, None
    return _wheel_middle(config, bench)[0] + off, None


def _flip(mirrored: bool) -> Vector:
    return np.array([1.0, -1.0 if mirrored else 1.0, 1.0])


def _bolt_way(side: TabSide, held: Held | None, mirrored: bool) -> Vector:
    if side.bolt_way is not None:
        way = unit(np.array(side.bolt_way) * _flip(mirrored))
    elif held is not None:
        try:
            way = unit(level_bolts(held.link).axle)
        except ValueError as error:
            found, _, remedy = str(error).partition("; ")
            raise NoTab("bolt_way", found, "a bolt across the link", remedy) from error
    else:
        way = np.array([0.0, 1.0, 0.0])
    way = np.where(np.abs(way) < SAME, 0.0, way)
    return np.asarray(way * np.sign(way[int(np.abs(way).argmax())]) + 0.0)


def _wheel_middle(config: LinkTab, bench: Bench) -> tuple[Vector, Vector]:
    """The middle between the wheel centres at ride, and the way from left to right."""
    assert config.axle is not None
    pose = bench.gears[config.axle].axle.pose(0.0, 0.0)
    left, right = pose.left.origin, pose.right.origin
    return (left + right) / 2, unit(right - left)


def _stand(
    config: LinkTab, side: TabSide, bench: Bench, at: Vector, mirrored: bool
) -> tuple[Stand, tuple[str, ...]]:
    if config.tube is not None:
        tube = config.tube
        if side.axis is not None:
            one, two = bench.spots.all_at(side.axis)
            if np.linalg.norm(two - one) < 1.0:
                raise NoTab("axis", "its two points lie in one place", "points well apart",
                            "measure one further along the tube")  # fmt: skip
            point, along = one, unit(two - one)
        else:
            point, along = _wheel_middle(config, bench)
        metal = material(tube.material)
        stand = RoundTube(
            tube.od, tube.wall, point, along, metal, tube.pressed, tube.spreader
        )
        return stand, side.axis or ()
    flat = config.flat
    assert flat is not None
    assert side.face is not None
    out = None if side.face.out is None else unit(np.array(side.face.out) * _flip(mirrored))
    return _face(side.face, out, bench, flat.wall, material(flat.material), at)


def _face(
    face: FaceConfig, out: Vector | None, bench: Bench, wall: float, metal: Material, at: Vector
) -> tuple[Stand, tuple[str, ...]]:
    """The face; one of three points looks to the side that the hole lies on."""
    if face.points is None:
        assert face.point is not None
        assert out is not None
        return FlatFace(bench.spots.at(face.point), out, wall, metal), (face.point,)
    a, b, c = bench.spots.all_at(face.points)
    normal = np.cross(b - a, c - a)
    if np.linalg.norm(normal) < 0.02 * np.linalg.norm(b - a) * np.linalg.norm(c - a) + SAME:
        raise NoTab("face", "its three points lie in one line", "three points well apart",
                    "measure one further off the line")  # fmt: skip
    out = unit(normal)
    return FlatFace(a, out if (at - a) @ out >= 0 else -out, wall, metal), face.points


def _link_way(side: TabSide, bench: Bench, at: Vector, held: Held | None) -> Vector | None:
    if held is not None:
        ends = (held.link.chassis, held.link.axle)
        return unit(np.subtract(*ends) if held.end == "axle" else np.subtract(*ends[::-1]))
    if side.link_to is None:
        return None
    way = bench.spots.at(side.link_to) - at
    if np.linalg.norm(way) < 1.0:
        raise NoTab("link_to", "it lies at the hole itself", "the link's other end",
                    "name the point at the link's other end")  # fmt: skip
    return unit(way)


def _pulls(
    config: LinkTab, bolt_way: Vector, up: Vector, link_way: Vector | None, held: Held | None,
    forces: Forces,
) -> tuple[Pull, ...]:
    if config.force is not None:
        force = config.force * (config.shock or 1.0)
        if link_way is None:
            return from_anywhere(force, bolt_way, up)
        return toward(force, link_way)
    assert held is not None
    if held.gear.car is None:
        raise NoTab(
            f"axle {held.gear.name}", "nothing is known of the car, to work out the link's force",
            "mass, share, wheelbase and mass_height",
            f"add the table [axle.{held.gear.name}.car], or write the force",
        )  # fmt: skip
    try:
        return of_link(forces(), held.link.name, held.end)
    except ValueError as error:
        found, _, remedy = str(error).partition("; ")
        raise NoTab(f"axle {held.gear.name}", found, "forces that the links can take",
                    remedy or "look at the axle's links and springs") from error  # fmt: skip


def _spread(
    config: LinkTab, side: TabSide, bench: Bench, at: Vector, name: str | None, stand: Stand,
    others: tuple[str, ...],
) -> float | None:
    """95 % half width of the hole's distance from the tube's axis or the face."""
    if name is None:
        return None
    if isinstance(stand, FlatFace):
        errors = [bench.spots.error_of(one, stand.out) for one in others]
        return hypot(bench.spots.error_of(name, stand.out), max(errors, default=0.0))
    assert isinstance(stand, RoundTube)
    way = unit(stand.from_axis(at))
    own = bench.spots.error_of(name, way)
    if side.axis is not None:
        return hypot(own, max(bench.spots.error_of(one, way) for one in side.axis))
    assert config.axle is not None
    spread = bench.gears[config.axle].spread
    return hypot(own, spread["fore-aft"] * way[0], spread["height"] * way[2])


def points_used(givens: Iterable[Given]) -> tuple[str, ...]:
    """Every point that counts, once."""
    return tuple(dict.fromkeys(name for one in givens for name in one.points))
