"""From an axle section and the solved points to an axle that moves."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import hypot
from typing import TypeVar

from parts.job import JobError, JobFile
from parts.job.axle import AxleConfig
from parts.kinds.bench import Spots
from parts.kinds.fields import Loc
from parts.sheet.stock import MM_PER_INCH
from parts.trade.axle import (
    Arm,
    Axle,
    CannotFollow,
    Independent,
    Kingpin,
    Link,
    LiveAxle,
    Steered,
    Stops,
    StraightUp,
    SwingArm,
    Travels,
    Wheel,
    standard_poses,
)
from parts.trade.gear import Gear
from parts.trade.links.car import Car
from parts.trade.tyre import (
    TyreSize,
    WheelPosition,
    from_back_space,
    from_offset,
    measured_tyre,
    tyre_size,
    wheel_centre_y,
)
from parts.trade.tyre.section import TyreSection, measured_section, section_of
from parts.trade.tyre.size import Dimension

Triple = tuple[float, float, float]


def gears_of(job: JobFile, spots: Spots) -> dict[str, Gear]:
    """Every axle of the job, by name; raises JobError at the key that will not do."""
    return {name: _gear(job, name, config, spots) for name, config in job.axles.items()}


def _gear(job: JobFile, name: str, config: AxleConfig, spots: Spots) -> Gear:
    at: Loc = ("axle", name)
    tyre = (*at, "tyre")
    size = _within(job, (*tyre, "size") if config.tyre.size else tyre, lambda: _size(config))
    outline = (*tyre, "outline") if config.tyre.outline else tyre
    section = _within(job, outline, lambda: _section(config, size))
    rim = _rim(config)
    stops = Stops(config.bump, config.droop, config.lock)
    own = tuple(Travels(p.name, p.left, p.right, p.steer) for p in config.poses)
    poses = _within(job, (*at, "poses"), lambda: standard_poses(stops, own))
    axle = _within(job, at, lambda: _axle(config, rim, spots))
    faces = (config.left_face, config.right_face)
    across = max(wheel_centre_y(face, rim).plus_minus or 0.0 for face in faces)
    gear = Gear(
        name,
        axle,
        stops,
        poses,
        size,
        section,
        config.rim.width / MM_PER_INCH,
        rim.centre,
        {
            "across": across,
            "fore-aft": config.x.plus_minus or 0.0,
            "height": hypot(config.z.plus_minus or 0.0, config.travel_error),
            "width": _spread(size.measured_width, size.design_width, size.greatest_width),
            "diameter": _spread(
                size.measured_diameter, size.design_diameter, size.greatest_diameter
            ),
        },
        _car(config),
        _links(config.springs, spots),
        _links(config.bump_stops, spots),
        config.links,
    )
    try:
        gear.motion("left")  # both wheels at once, through all the travel there is
    except CannotFollow as error:
        raise _told(job, _link_at(config, at, error.link), error) from error
    except ValueError as error:
        raise _told(job, at, error) from error
    return gear


def _spread(measured: Dimension | None, design: Dimension, greatest: Dimension) -> float:
    """± of a tyre's size: of the reading; else by how much one of its size may be larger."""
    if measured is not None:
        return measured.plus_minus or 0.0
    return greatest.value - design.value


def _link_at(config: AxleConfig, at: Loc, link: str) -> Loc:
    """Where the link, arm or pivot that cannot follow is written."""
    for key, names in (("links", config.links), ("arms", config.arms)):
        if link in names:
            return (*at, key, link)
    for side in ("left", "right"):
        if link == f"the {side} arm":
            return (*at, "swing", side)
    return at


T = TypeVar("T")


def _within(job: JobFile, loc: Loc, act: Callable[[], T]) -> T:
    """What `act` makes of a section; what it objects to is told at that section's line."""
    try:
        return act()
    except ValueError as error:
        raise _told(job, loc, error) from error


def _told(job: JobFile, loc: Loc, error: ValueError) -> JobError:
    message, _, remedy = str(error).partition("; ")
    return JobError([job.problem(loc, message, remedy or "measure it again")])


def _size(config: AxleConfig) -> TyreSize:
    tyre, rim_in = config.tyre, config.rim.width / MM_PER_INCH
    if tyre.size is not None:
        return tyre_size(
            tyre.size, rim_in, measured_width=tyre.width, measured_diameter=tyre.diameter
        )
    assert tyre.width is not None
    assert tyre.diameter is not None
    assert tyre.rim_code is not None
    return measured_tyre(tyre.width, tyre.diameter, tyre.rim_code, rim_in)


def _section(config: AxleConfig, size: TyreSize) -> TyreSection:
    tyre = config.tyre
    if tyre.outline:
        return measured_section(
            tyre.outline,
            size.rim_diameter,
            1.0,
            width=size.width.value if tyre.width else None,
            diameter=size.diameter.value if tyre.diameter else None,
            rim_width_in=size.rim_width_in,
        )
    return section_of(size, tyre.shoulder_radius)


def _rim(config: AxleConfig) -> WheelPosition:
    rim = config.rim
    width_in = rim.width / MM_PER_INCH
    if rim.offset is not None:
        return from_offset(width_in, rim.offset)
    assert rim.back_space is not None
    return from_back_space(width_in, rim.back_space, rim.back_space_over)


def _axle(config: AxleConfig, rim: WheelPosition, spots: Spots) -> Axle:
    left, right = (
        Wheel((config.x.value, wheel_centre_y(face, rim).value, config.z.value))
        for face in (config.left_face, config.right_face)
    )

    axle: Axle
    if config.links or config.arms:
        arms = tuple(Arm(name, _at(spots, pivot)) for name, pivot in config.arms.items())
        axle = LiveAxle(_links(config.links, spots), left, right, arms)
    elif config.swing is not None:
        pivots = (config.swing.left, config.swing.right)
        arms_at = (SwingArm(_at(spots, a), _at(spots, b)) for a, b in pivots)
        axle = Independent(left, right, *arms_at)
    else:
        axle = Independent(left, right, StraightUp(), StraightUp())
    if config.kingpins is not None and config.lock > 0:
        both = (config.kingpins.left, config.kingpins.right)
        pins = (Kingpin(_at(spots, a), _at(spots, b)) for a, b in both)
        axle = Steered(axle, *pins)
    return axle


def _car(config: AxleConfig) -> Car | None:
    car = config.car
    if car is None:
        return None
    return Car(
        mass_kg=car.mass,
        share=car.share,
        wheelbase=car.wheelbase,
        mass_height=car.mass_height,
        loaded_radius=config.z.value,
        end=car.end,
        drive_share=car.drive_share,
        brake_share=car.brake_share,
        drive_on_axle=car.drive_on_axle,
        brakes_on_axle=car.brakes_on_axle,
        grip=car.grip,
        axle_mass_kg=car.axle_mass,
    )


def _links(named: Mapping[str, tuple[str, str]], spots: Spots) -> tuple[Link, ...]:
    """Lines from chassis to axle, by the points at their ends."""
    return tuple(Link(name, _at(spots, a), _at(spots, b)) for name, (a, b) in named.items())


def _at(spots: Spots, name: str) -> Triple:
    x, y, z = (float(value) for value in spots.at(name))
    return (x, y, z)
