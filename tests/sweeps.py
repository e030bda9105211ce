"""Tyres, surfaces and motions to sweep, and what the kernel and plane geometry say of them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepPrimAPI import BRepPrimAPI_MakeRevol
from OCP.gp import gp_Ax1, gp_Ax3, gp_Cylinder, gp_Dir, gp_Pnt

from parts.place import turned_about
from parts.trade.sweep import Plate, Rolled

Floats = NDArray[np.float64]
Random = np.random.Generator
Pose = Callable[[Floats], tuple[Floats, Floats]]

FLANK = ((95, 200), (118, 235), (120, 262), (112, 290), (100, 305), (85, 311))
TYRE = np.array([(-y, r) for y, r in FLANK] + [(0, 314)] + [(y, r) for y, r in FLANK[::-1]], float)


def random_rings(r: Random) -> Floats:
    """Points that a tyre's outline goes round, in no order and partly inside it."""
    return np.column_stack([r.uniform(-120, 120, 9), r.uniform(180, 330, 9)])


def profile(rings: Floats) -> shapely.Polygon:
    """Section of the solid by a plane through its axis: a hull that shapely finds."""
    return shapely.MultiPoint(np.vstack([rings, rings * [1, -1]])).convex_hull


def half_profile(rings: Floats) -> Floats:
    upper = shapely.box(-1e4, 0, 1e4, 1e4)
    return np.array(profile(rings).intersection(upper).exterior.coords)[:-1]


def off_profile(rings: Floats, center: Floats, axis: Floats, points: Floats) -> Floats:
    """Signed distance (n,) of points (n, 3), by shapely in the plane of axis and point."""
    off = points - center
    y = off @ axis
    r = np.linalg.norm(off - y[:, None] * axis, axis=1)
    section, flat = profile(rings), shapely.points(y, r)
    shapely.prepare(section)
    edge = shapely.distance(section.exterior, flat)
    return np.where(shapely.contains(section, flat), -edge, edge)


def towards(v: Floats) -> Floats:
    return v / np.linalg.norm(v)


def square_to(v: Floats, r: Random) -> Floats:
    return towards(np.cross(v, r.normal(size=3)))


def tyre_solid(rings: Floats, center: Floats, axis: Floats) -> Any:
    out = towards(np.cross(axis, np.eye(3)[np.abs(axis).argmin()]))
    outline = [center + y * axis + r * out for y, r in half_profile(rings)]
    turn = gp_Ax1(gp_Pnt(*center), gp_Dir(*axis))
    return BRepPrimAPI_MakeRevol(flat_face(outline), turn).Shape()


def flat_face(corners: Any) -> Any:
    wire = BRepBuilderAPI_MakePolygon()
    for corner in corners:
        wire.Add(gp_Pnt(*(float(v) for v in corner)))
    wire.Close()
    return BRepBuilderAPI_MakeFace(wire.Wire()).Face()


def band_face(b: Rolled) -> Any:
    place = gp_Ax3(gp_Pnt(*b.point), gp_Dir(*b.axis), gp_Dir(*b.zero))
    low, high = np.radians([b.low_deg, b.high_deg])
    return BRepBuilderAPI_MakeFace(gp_Cylinder(place, b.radius), low, high, b.near, b.far).Face()


def kernel_gap(one: Any, other: Any) -> float:
    found = BRepExtrema_DistShapeShape(one, other)
    assert found.IsDone()
    return 0.0 if found.InnerSolution() else float(found.Value())


def least_by_search(value: Callable[[Floats], Floats], low: Floats, high: Floats) -> float:
    """Least of a function of (n, 2) parameters in a box: a grid, then ever finer steps from its
    best four places. An upper bound always."""
    across = [np.linspace(a, b, n) for a, b, n in zip(low, high, (121, 25), strict=True)]
    grid = np.array(np.meshgrid(*across)).T.reshape(-1, 2)
    values = value(grid)
    ways = np.array([[i, j] for i in (-1, 0, 1) for j in (-1, 0, 1)], float)
    starts: list[Floats] = []
    for k in values.argsort():
        if all(np.abs((grid[k] - x) / (high - low)).max() > 0.1 for x in starts):
            starts.append(grid[k])
        if len(starts) == 4:
            break
    found = float(values.min())
    for x in starts:
        step, least = (high - low) / 20, np.inf
        while step.max() > 1e-7 * (high - low).max():
            trials = np.clip(x + ways * step, low, high)
            reached = value(trials)
            best = int(reached.argmin())
            if reached[best] < least - 1e-9:
                x, least = trials[best], float(reached[best])
            else:
                step = step / 2
        found = min(found, least)
    return found


def rectangle(middle: Any, u: Any, v: Any) -> Plate:
    m, u, v = (np.asarray(x, dtype=float) for x in (middle, u, v))
    return Plate(np.array([m - u - v, m + u - v, m + u + v, m - u + v]))


def tub() -> dict[str, Plate | Rolled]:
    """A disc inboard, a leaning skin outboard and a band over the wheel of `live`."""
    band = Rolled(
        np.array([0, -700.0, 80]), np.array([0, -1.0, 0]), np.array([1.0, 0, 0]),
        425.0, 0.0, 180.0, -170.0, 190.0,
    )  # fmt: skip
    return {
        "disc": rectangle([0, -535, 150], [380, 0, 0], [0, 0, 300]),
        "band": band,
        "skin": rectangle([0, -860, 150], [400, 10, 0], [0, -8, 300]),
    }


def straight(t: Floats) -> tuple[Floats, Floats]:
    """Up and down; any further travels do nothing."""
    return np.array([0, -700.0, t[0]]), np.array([0, 1.0, 0])


def live(t: Floats) -> tuple[Floats, Floats]:
    """Left wheel of an axle on a lateral bar and trailing links; travels of both wheels."""
    mean, roll = (t[0] + t[1]) / 2, np.arctan2(t[0] - t[1], 1400)
    middle = np.array([-600 + np.sqrt(600**2 - mean**2), -(mean**2) / 1800, mean])
    axis = np.array([0, -np.cos(roll), np.sin(roll)])
    return middle + 700 * axis, axis


def trailing(t: Floats) -> tuple[Floats, Floats]:
    """An arm of 400 about a slanting pivot; travel is its angle, sixths of a degree."""
    turn = turned_about([0.1, 1, 0.05], t[0] / 6)
    return turn @ [400.0, 0, 0] + [-400, -700, 0], turn @ [0, 1.0, 0]


def steered(t: Floats) -> tuple[Floats, Floats]:
    """Up and down, and about a leaning kingpin 60 inboard by degrees."""
    turn = turned_about([0.05, -0.1, 1], t[1])
    return turn @ [0, -60.0, 0] + [0, -640, t[0]], turn @ [0, 1.0, 0]


def live_steered(t: Floats) -> tuple[Floats, Floats]:
    center, axis = live(t[:2])
    turn = turned_about([0.05, -0.1, 1], t[2])
    return center + turn @ [0, -60.0, 0] + [0, 60, 0], turn @ axis


MOTIONS: dict[str, tuple[Pose, Floats]] = {
    "straight": (straight, np.array([90.0])),
    "idle": (straight, np.array([90.0, 90])),
    "trailing": (trailing, np.array([90.0])),
    "live": (live, np.array([90.0, 90])),
    "steered": (steered, np.array([60.0, 25])),
    "live, steered": (live_steered, np.array([60.0, 60, 20])),
}
