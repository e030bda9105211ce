"""The poses every clearance is looked at in, and the user's own, within the stops."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Stops:
    """How far each wheel can go from ride: up to the bump stop, down to strap or damper, both
    told as positive mm; and how far the wheels steer either way."""

    bump: float
    droop: float
    lock_deg: float = 0.0

    def __post_init__(self) -> None:
        if self.bump < 0 or self.droop < 0 or self.lock_deg < 0:
            raise ValueError(
                f"bump {self.bump:g}, droop {self.droop:g}, lock {self.lock_deg:g}: "
                "write each as the positive distance or angle from ride"
            )


@dataclass(frozen=True, slots=True)
class Travels:
    """A pose by name: travels in mm, bump +; steer + to the left."""

    name: str
    left: float
    right: float
    steer_deg: float = 0.0


def standard_poses(stops: Stops, own: tuple[Travels, ...] = ()) -> tuple[Travels, ...]:
    """Ride, both up, both down, one up, cross-axled; those at each lock; then the user's own.

    Raises ValueError for one of the user's own that is past a stop or has a name already given.

    >>> [(p.name, p.left, p.right) for p in standard_poses(Stops(95, 85))][5:]
    [('cross-axled, left up', 95, -85), ('cross-axled, right up', -85, 95)]
    """
    up, down = stops.bump, -stops.droop
    straight = (
        Travels("ride", 0.0, 0.0),
        Travels("both in bump", up, up),
        Travels("both in droop", down, down),
        Travels("left wheel in bump", up, 0.0),
        Travels("right wheel in bump", 0.0, up),
        Travels("cross-axled, left up", up, down),
        Travels("cross-axled, right up", down, up),
    )
    poses = list(straight)
    if stops.lock_deg:
        for side, lock in (("left", stops.lock_deg), ("right", -stops.lock_deg)):
            poses += [Travels(f"{p.name}, {side} lock", p.left, p.right, lock) for p in straight]
    for pose in own:
        _check(pose, stops, [known.name for known in poses])
        poses.append(pose)
    return tuple(poses)


def _check(pose: Travels, stops: Stops, names: list[str]) -> None:
    if pose.name in names:
        raise ValueError(f"there is a pose '{pose.name}' already; give yours another name")
    for side, travel in (("left", pose.left), ("right", pose.right)):
        if not -stops.droop <= travel <= stops.bump:
            raise ValueError(
                f"pose '{pose.name}': {side} {travel:g} mm is past the stops; "
                f"write {-stops.droop:g} to {stops.bump:g}"
            )
    if abs(pose.steer_deg) > stops.lock_deg:
        raise ValueError(
            f"pose '{pose.name}': steer {pose.steer_deg:g}° is past the lock; "
            f"write {-stops.lock_deg:g} to {stops.lock_deg:g}"
        )
