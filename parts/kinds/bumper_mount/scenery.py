"""What a bracket joins: the faces of rail and bar, and the axes of its bolts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from parts.kinds.bumper_mount.layout import Bracket
from parts.place import Vector, cross, unit
from parts.scenery import Lines, Scenery, axis_line, rectangle
from parts.sheet.reach import ContactFace

ROUND = 60.0  # mm of a face drawn beyond its holes
BOLT = 30.0  # mm of a bolt's axis to either side of the face


def scenery(brackets: Iterable[Bracket]) -> Iterator[Scenery]:
    """Both faces and all bolt axes of every bracket."""
    for one in brackets:
        rail = np.array([flat.hole.at for flat in one.rail_holes])
        bar = np.array([flat.hole.at for flat in one.bar_holes])
        for name, face, holes in (("rail", one.rail, rail), ("bar", one.bar, bar)):
            yield Scenery(f"{name}, face", "fixed", _border(face, holes), one.hand)
            axes = (axis_line(at, face.metal, BOLT).runs[0] for at in holes)
            yield Scenery(f"{name}, hole axes", "measured", Lines(tuple(axes)), one.hand)


def _border(face: ContactFace, holes: Vector) -> Lines:
    """A rectangle in the face round its holes, along the line from the first to the last."""
    run = holes[-1] - holes[0]
    run = run - (run @ face.metal) * face.metal
    if np.linalg.norm(run) < 1.0:  # one hole: level along the face, or any way where it lies flat
        run = np.cross(face.metal, np.eye(3)[np.abs(face.metal).argmin()])
    along = unit(run)
    across = cross(face.metal, along)
    spans = [(holes - face.point) @ way for way in (along, across)]
    middle = face.point + sum(
        (span.min() + span.max()) / 2 * way
        for span, way in zip(spans, (along, across), strict=True)
    )
    length, width = (float(np.ptp(span)) + 2 * ROUND for span in spans)
    return rectangle(middle, along, across, length, width)
