"""Whether blanks lie on their sheets as they must, by polygons of another library.

It checks what another program laid, before it is believed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from math import ceil
from typing import Any

from parts.nesting.model import Nest, Sheet
from parts.sheet.curve import Arc, Point
from parts.sheet.loop import Loop

CHORD = 0.005  # mm that a chord may be off its arc
OFF = 0.02  # mm by which a gap or margin may fall short, chords counted in


def faults(nest: Nest, sheets: Sequence[Sheet]) -> list[str]:
    """What is wrong with the sheets laid for a nest, a sentence each; [] for nothing.

    Every copy that the nest lays must lie there once, inside its sheet less the margin, and as
    far from every other as the gap. Where the library that knows polygons is missing, that is
    what is wrong.
    """
    try:
        import shapely
    except ImportError:
        return ["the library that checks it is not here"]
    found = _counted(nest, sheets)
    gap, margin = nest.rules.gap.value, nest.rules.margin.value
    for number, sheet in enumerate(sheets, 1):
        shapes: list[Any] = [
            shapely.Polygon(points(one.loop(nest.wanted[one.number].outline)))
            for one in sheet.placed
        ]
        room = (margin - OFF, margin - OFF, sheet.size[0] - margin + OFF,
                sheet.size[1] - margin + OFF)  # fmt: skip
        for one, shape in zip(sheet.placed, shapes, strict=True):
            x0, y0, x1, y1 = shape.bounds
            if x0 < room[0] or y0 < room[1] or x1 > room[2] or y1 > room[3]:
                name = nest.wanted[one.number].name
                found.append(f"{name} lies outside sheet {number} or in its margin")
        tree = shapely.STRtree(shapes)
        for i, j in sorted(tree.query(shapes, predicate="dwithin", distance=gap - OFF).T.tolist()):
            if i < j:
                first, second = (nest.wanted[sheet.placed[k].number].name for k in (i, j))
                apart = shapely.distance(shapes[i], shapes[j])
                found.append(f"{first} and {second} are {apart:.2f} mm apart on sheet {number}")
    return found


def _counted(nest: Nest, sheets: Sequence[Sheet]) -> list[str]:
    wanted = Counter((p.number, p.copy) for sheet in nest.sheets for p in sheet.placed)
    laid = Counter((p.number, p.copy) for sheet in sheets for p in sheet.placed)
    return [] if wanted == laid else ["a blank is missing or lies there twice"]


def points(loop: Loop) -> list[Point]:
    """Corners of a polygon with its chords' ends on the loop."""
    found: list[Point] = []
    for curve in loop:
        count = 1
        if isinstance(curve, Arc):
            step = 2 * (2 * CHORD / max(curve.radius, CHORD)) ** 0.5
            count = max(8, ceil(abs(curve.sweep) / step))
        found += [curve.at(k / count) for k in range(count)]
    return found
