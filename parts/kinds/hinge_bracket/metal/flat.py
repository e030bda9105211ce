"""From the section to a sheet that lies along it, and back."""

from __future__ import annotations

import numpy as np

from parts.kinds.hinge_bracket.metal.given import Hinge, Way
from parts.place import Place
from parts.sheet.curve import Arc, Curve, Line, Point
from parts.sheet.loop import Loop, reversed_loop

TO_VEHICLE = (("rearward", "forward"), ("to the right", "to the left"), ("up", "down"))


def lying(hinge: Hinge, way: Way, back: float) -> Place:
    """The place of a sheet along the section whose drawn face looks `way`, its back at w `back`.

    Its y is v; its x is u as seen by a reader that it looks at: -u where it looks right.
    """
    z, y = way * hinge.aside, hinge.way((0.0, 1.0))
    return Place(np.column_stack([np.cross(y, z), y, z]), hinge.at((0.0, 0.0), back))


def seen(point: Point, way: Way) -> Point:
    """A point of the section on a sheet that looks `way`, or back: it is its own inverse.

    >>> seen((30, 5), 1), seen((30, 5), -1)
    ((-30, 5), (30, 5))
    """
    return (-way * point[0], point[1])


def loop_seen(loop: Loop, way: Way) -> Loop:
    """A loop of the section on a sheet that looks `way`, or back; it keeps its sense."""
    if way < 0:
        return loop
    return reversed_loop(tuple(_mirrored(curve) for curve in loop))


def _mirrored(curve: Curve) -> Curve:
    start, end = seen(curve.start, 1), seen(curve.end, 1)
    if isinstance(curve, Arc):
        return Arc(start, end, seen(curve.center, 1), -curve.sweep)
    return Line(start, end)


def looks(hinge: Hinge, way: Way) -> str:
    """What a face that looks `way` along w looks at, in words.

    >>> from parts.place import HERE
    >>> looks(Hinge(HERE, (0, 0), 80, 1), -1)
    'to the left'
    """
    out = way * hinge.aside
    axis = max(range(3), key=lambda i: abs(out[i]))
    return TO_VEHICLE[axis][0 if out[axis] > 0 else 1]
