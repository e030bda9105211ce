"""The inner skin: a leaning frame beside the body side, open where the band meets it."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, sin

import numpy as np

from parts.kinds.wheel_tub.disc import whole_disc
from parts.kinds.wheel_tub.local import Local
from parts.kinds.wheel_tub.path import BandPath
from parts.kinds.wheel_tub.surround import BodySide
from parts.place import Place, Vector
from parts.sheet.biarc import biarcs
from parts.sheet.curve import Arc, Curve, Line, Point
from parts.sheet.loop import Loop, anticlockwise, joined, reversed_loop

TOLERANCE = 0.01  # mm, of arcs laid through the ellipses that the leaning plane makes


def skin_place(local: Local, skin: BodySide, at: Point) -> Place:
    """The skin's place: drawn face toward the tyre, y as upright as the plane allows.

    The drawn face lies in the plane `skin`; the sheet is between it and the body side.
    """
    inward = -skin.normal
    back = np.array([-1.0, 0.0, -skin.along])  # along -p in the plane
    x = back / np.linalg.norm(back)
    origin = np.array([at[0], at[1], skin.out(*at)])
    return local.place(x, inward, origin)


def frame(
    path: BandPath, skin: BodySide, local: Local, place: Place, margin: float, gap: float
) -> Loop:
    """The skin's outline in its own flat axes: an arch `margin` wide round the band.

    `gap` is left between the band's outer skin and the opening. The flat points are those of
    the drawn face; the arcs of the side view are ellipses on the leaning plane, laid through
    with arcs within TOLERANCE.
    """
    outer, inner = whole_disc(path, margin)[1:], whole_disc(path, gap)[1:]  # without their feet
    run = [*outer, Line(outer[-1].end, inner[-1].end), *reversed_loop(inner)]
    run.append(Line(inner[0].start, outer[0].start))
    flat = [piece for curve in run for piece in _laid(curve, skin, local, place)]
    return anticlockwise(joined(tuple(flat), "the inner skin's outline"))


def _laid(curve: Curve, skin: BodySide, local: Local, place: Place) -> Iterator[Curve]:
    """A curve of the side view, laid onto the plane along the wheel's axis."""
    back = place.inverse()

    def flat(p: float, q: float) -> Vector:
        return back.apply(local.vehicle(p, q, skin.out(p, q)))

    if isinstance(curve, Line):
        a, b = flat(*curve.start), flat(*curve.end)
        yield Line((float(a[0]), float(a[1])), (float(b[0]), float(b[1])))
        return
    assert isinstance(curve, Arc)
    first, sweep, r = curve.start_angle, curve.sweep, curve.radius

    def along(s: float) -> Point:
        x, y, _ = flat(curve.center[0] + r * cos(first + s), curve.center[1] + r * sin(first + s))
        return (float(x), float(y))

    def slope(s: float) -> Point:
        dp, dq = -r * sin(first + s), r * cos(first + s)
        d = back.direction(local.way(dp, dq, skin.along * dp + skin.up * dq))
        return (float(d[0]), float(d[1]))

    if sweep > 0:
        yield from biarcs(along, slope, 0.0, sweep, TOLERANCE)
    else:

        def turned(s: float) -> Point:
            return along(-s)

        def turned_slope(s: float) -> Point:
            dx, dy = slope(-s)
            return (-dx, -dy)

        yield from biarcs(turned, turned_slope, 0.0, -sweep, TOLERANCE)
