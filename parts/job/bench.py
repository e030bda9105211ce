"""From a job file to the bench: points solved, stock and bend book laid ready."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from parts.job import JobError, JobFile, Problem
from parts.job.points import PointConfig
from parts.kinds.bench import Bench, Spots
from parts.kinds.fields import Loc
from parts.part import Measurement
from parts.sheet.shop import Rack, Shop
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
)


def bench_of(job: JobFile) -> Bench:
    """What every kind of the job is given; raises JobError where the points do not agree."""
    spots, measurements = _spots(job)
    racks = {
        name: Rack(stock.as_stock(name), stock.die, stock.inside_radius, stock.sheet)
        for name, stock in job.stock.items()
    }
    shop = Shop(
        folder_length=job.shop.folder_length,
        press_force_kn=job.shop.press_force_kn,
        sheets=tuple(job.shop.sheets),
        least_hole=job.shop.least_hole,
        least_slot=job.shop.least_slot,
        least_gap=job.shop.least_gap,
    )
    return Bench(job.head.name, racks, spots, job.book(), shop, measurements, job.head.date)


def _spots(job: JobFile) -> tuple[Spots, tuple[Measurement, ...]]:
    measured = {name: p for name, p in job.points.items() if p.mirror_of is None}
    if not measured:
        return Spots.exact({}), ()
    places, distances, planes = _survey(measured)
    solution = adjust(places, distances, planes)
    if solution.refused:
        raise JobError([_problem(job, reason) for reason in solution.reasons])
    spots = _solved(solution)
    mirrors = {name: p.mirror_of for name, p in job.points.items() if p.mirror_of is not None}
    return _with_mirrors(spots, mirrors), tuple(_measurements(solution, distances))


def _survey(
    points: dict[str, PointConfig],
) -> tuple[list[Point], list[Distance], list[OnPlane]]:
    places, distances, planes = [], [], []
    for name, config in points.items():
        at = [_reading(value) for value in config.at] if config.at else [None, None, None]
        places.append(Point(name, at[0], at[1], at[2], config.side))
        for other, length in config.tape.items():
            distances.append(Distance(other, name, _reading(length), other in config.drop))
        planes += [OnPlane(plane.axis, _reading(plane.at), (name,)) for plane in config.on]
    return places, distances, planes


def _reading(read: Read) -> Measured:
    return Measured(read.value, read.plus_minus or 0.0)


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


def _solved(solution: Solution) -> Spots:
    positions = {p.name: np.array([p.x, p.y, p.z]) for p in solution.points}
    return Spots(positions, np.array(solution.covariance).reshape(3 * len(positions), -1))


def _with_mirrors(spots: Spots, mirrors: dict[str, str]) -> Spots:
    """The points and, after them, those that are the mirror image of one across y = 0."""
    names = list(spots.positions)
    flip = np.diag([1.0, -1.0, 1.0])
    positions = dict(spots.positions)
    rows = [np.eye(3 * len(names))]
    for name, original in mirrors.items():
        positions[name] = flip @ spots.positions[original]
        row = np.zeros((3, 3 * len(names)))
        i = 3 * names.index(original)
        row[:, i : i + 3] = flip
        rows.append(row)
    spread = np.vstack(rows)
    return Spots(positions, spread @ spots.covariance @ spread.T)


def _measurements(solution: Solution, distances: list[Distance]) -> Iterator[Measurement]:
    for reading, distance in zip(solution.distances, distances, strict=True):
        yield _measurement(reading, (distance.a, distance.b))
    for reading in solution.coordinates:
        owner = [p.name for p in solution.points if _is_coordinate_of(reading.name, p.name)]
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
