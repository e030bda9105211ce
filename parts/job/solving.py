"""The points of a job file, solved: those that parts and axles use, each group by itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import islice

import numpy as np

from parts.job import JobError, JobFile, Problem
from parts.job.errors import ENOUGH
from parts.job.points import PointConfig
from parts.kinds.bench import Spots
from parts.kinds.fields import Loc
from parts.kinds.names import names_used
from parts.part import Measurement
from parts.trade.lengths import Measured as Read
from parts.trade.tape import (
    CheckedReading,
    Distance,
    Measured,
    OnPlane,
    Point,
    Reason,
    Solution,
    adjust,
    joined,
)

ADVISERS = 20  # solved points of other groups that advice may name
MOST_POINTS = 300  # solved for one job, with their mirror images
MOST_TAPED = 50  # of them, with distances: what is looked for grows with their cube
MOST_DISTANCES = 500


@dataclass(frozen=True, slots=True)
class _Group:
    """Points joined by distances, with all that was measured of them."""

    points: tuple[Point, ...]
    distances: tuple[Distance, ...]
    planes: tuple[OnPlane, ...]

    def solved(self, known: tuple[Point, ...] = ()) -> Solution:
        return adjust((*self.points, *known), self.distances, self.planes)


def spots_of(job: JobFile) -> tuple[Spots, tuple[Measurement, ...]]:
    """The points that the job's parts and axles use, and the readings that they rest on.

    Points that nothing uses, and that no distance joins to one in use, are not solved: neither
    their number nor a misread among them matters. Without any part, all are. Raises JobError
    where readings do not agree or do not fix a point.
    """
    wanted = _wanted(job)
    measured = {name: p for name, p in job.points.items() if p.mirror_of is None}
    groups = [g for g in _groups(measured) if any(point.name in wanted for point in g.points)]
    used = {point.name for group in groups for point in group.points}
    mirrors = {
        name: point.mirror_of for name, point in job.points.items() if point.mirror_of in used
    }
    if too_much := _too_much(job, groups, len(mirrors)):
        raise JobError([too_much])
    solved = [(group, group.solved()) for group in groups]
    known = tuple(_as_known(solution) for _, solution in solved if not solution.refused)
    advisers = tuple(point for points in known for point in points)[:ADVISERS]
    reasons = (
        reason for group, solution in solved for reason in _reasons(group, solution, advisers)
    )
    problems = [_problem(job, reason) for reason in islice(reasons, ENOUGH)]
    if problems:
        raise JobError(problems)
    spots = _together([solution for _, solution in solved], list(measured))
    return _with_mirrors(spots, mirrors), tuple(_measurements(solved))


def _too_much(job: JobFile, groups: list[_Group], mirrors: int) -> Problem | None:
    """What is refused unsolved, since it would take too long."""
    taped = sum(len(group.points) for group in groups if group.distances)
    counts = (
        (sum(len(group.points) for group in groups) + mirrors, MOST_POINTS, "points to solve"),
        (taped, MOST_TAPED, "points to solve by distances"),
        (sum(len(group.distances) for group in groups), MOST_DISTANCES, "distances to solve"),
    )
    for count, most, what in counts:
        if count > most:
            whose = "parts and axles use" if job.parts else "are here"
            return job.problem(
                ("points",),
                f"there are {count} {what}, of those that {whose} or that join them",
                f"at most {most} can be solved: leave some out, or make two jobs of it",
            )
    return None


def _wanted(job: JobFile) -> set[str]:
    """Names of the points that parts and axles use; of a mirror image, that of its original."""
    if not job.parts:
        return set(job.points)
    configs = (*job.parts.values(), *job.axles.values())
    named = {name for config in configs for name in names_used(config, "point")}
    return {job.points[name].mirror_of or name for name in named}


def _groups(points: Mapping[str, PointConfig]) -> Iterator[_Group]:
    distances = {
        name: [
            Distance(other, name, _reading(length), other in config.drop)
            for other, length in config.tape.items()
        ]
        for name, config in points.items()
    }
    for names in joined(list(points), (one for given in distances.values() for one in given)):
        yield _Group(
            tuple(_point(name, points[name]) for name in names),
            tuple(distance for name in names for distance in distances[name]),
            tuple(
                OnPlane(plane.axis, _reading(plane.at), (name,))
                for name in names
                for plane in points[name].on
            ),
        )


def _point(name: str, config: PointConfig) -> Point:
    at = [_reading(value) for value in config.at] if config.at else [None, None, None]
    return Point(name, at[0], at[1], at[2], config.side)


def _reading(read: Read) -> Measured:
    return Measured(read.value, read.plus_minus or 0.0)


def _as_known(solution: Solution) -> Iterator[Point]:
    """Solved points as if measured where they lie."""
    for p in solution.points:
        x, y, z = (Measured(v, e) for v, e in zip((p.x, p.y, p.z), p.plus_minus, strict=True))
        yield Point(p.name, x, y, z)


def _reasons(group: _Group, solution: Solution, advisers: tuple[Point, ...]) -> tuple[Reason, ...]:
    """Why a group is refused; advice on what to measure may name points of other groups."""
    asks = {reason.cause for reason in solution.reasons} & {"not fixed", "two places"}
    if asks and advisers:
        return group.solved(advisers).reasons or solution.reasons
    return solution.reasons


def _problem(job: JobFile, reason: Reason) -> Problem:
    """The reason at the line of the first reading or point it is about."""
    loc = next(_locs(job, reason.about[0]), ("points",)) if reason.about else ("points",)
    message, _, remedy = reason.words.rpartition(": ")
    if not message:
        message, _, remedy = reason.words.rpartition("; ")
    if reason.cause == "misread" and len(loc) == 4 and loc[2] == "tape":
        remedy += f', or set it aside with drop = ["{loc[3]}"]'
    return job.problem(loc, message, remedy)


def _locs(job: JobFile, about: str) -> Iterator[Loc]:
    """Where in the file a reading such as A1-S1, "A2 z" or "A2 on y = 580", or a point, stands."""
    for name, point in job.points.items():
        for other in point.tape:
            if about == f"{other}-{name}":
                yield ("points", name, "tape", other)
        for number, axis in enumerate("xyz"):
            if about == f"{name} {axis}":
                yield ("points", name, "at", number)
        if _is_coordinate_of(about, name) and " on " in about:
            yield ("points", name, "on")
        if about == name:
            yield ("points", name)


def _together(solutions: list[Solution], order: list[str]) -> Spots:
    """The points of all groups, in the job's order; groups err independently."""
    found = {p.name: np.array([p.x, p.y, p.z]) for s in solutions for p in s.points}
    positions = {name: found[name] for name in order if name in found}
    row = {name: 3 * i for i, name in enumerate(positions)}
    covariance = np.zeros((3 * len(row), 3 * len(row)))
    for solution in solutions:
        rows = [row[p.name] + axis for p in solution.points for axis in range(3)]
        covariance[np.ix_(rows, rows)] = solution.covariance
    return Spots(positions, covariance)


def _with_mirrors(spots: Spots, mirrors: Mapping[str, str | None]) -> Spots:
    """The points and, after them, those that are the mirror image of one across y = 0."""
    names = {name: i for i, name in enumerate(spots.positions)}
    flip = np.diag([1.0, -1.0, 1.0])
    positions = dict(spots.positions)
    rows = [np.eye(3 * len(names))]
    for name, original in mirrors.items():
        assert original is not None
        positions[name] = flip @ spots.positions[original]
        row = np.zeros((3, 3 * len(names)))
        i = 3 * names[original]
        row[:, i : i + 3] = flip
        rows.append(row)
    spread = np.vstack(rows)
    return Spots(positions, spread @ spots.covariance @ spread.T)


def _measurements(solved: list[tuple[_Group, Solution]]) -> Iterator[Measurement]:
    for group, solution in solved:
        for reading, distance in zip(solution.distances, group.distances, strict=True):
            yield _measurement(reading, (distance.a, distance.b))
    for group, solution in solved:
        for reading in solution.coordinates:
            owner = [p.name for p in group.points if _is_coordinate_of(reading.name, p.name)]
            yield _measurement(reading, tuple(owner))


def _is_coordinate_of(reading: str, point: str) -> bool:
    return reading in (f"{point} x", f"{point} y", f"{point} z") or reading.startswith(
        f"{point} on "
    )


def _measurement(reading: CheckedReading, points: tuple[str, ...]) -> Measurement:
    return Measurement(
        reading.name,
        reading.measured,
        reading.plus_minus,
        reading.residual,
        reading.redundancy,
        reading.used,
        points,
    )
