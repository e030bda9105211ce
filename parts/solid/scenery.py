"""Scenery as shapes of the kernel, and a whole scene of named, coloured shapes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from parts.place import Vector
from parts.scenery import Dots, Extruded, Form, Lines, Revolved

SAME = 1e-6  # mm; nearer than this is one point


@dataclass(frozen=True, slots=True, eq=False)
class Thing:
    """A shape of `cadquery` with its name, colour (red, green, blue, 0 to 1) and opacity."""

    name: str
    shape: Any
    color: tuple[float, float, float]
    opacity: float = 1.0


def scene(name: str, groups: Iterable[tuple[str, Sequence[Thing]]]) -> Any:
    """Groups of things by name, as one `cadquery.Assembly`; groups of nothing are left out."""
    import cadquery

    whole = cadquery.Assembly(name=name)
    for title, things in groups:
        if not things:
            continue
        group = cadquery.Assembly(name=title)
        taken: set[str] = {title}
        for thing in things:
            own, number = thing.name, 1
            while own in taken:
                number += 1
                own = f"{thing.name} {number}"
            taken.add(own)
            group.add(thing.shape, name=own, color=cadquery.Color(*thing.color, thing.opacity))
        whole.add(group)
    return whole


def shape(form: Form) -> Any:
    """A form as a `cadquery` shape, in vehicle axes."""
    if isinstance(form, Revolved):
        return _revolved(form)
    if isinstance(form, Extruded):
        return _extruded(form)
    return _lines(form) if isinstance(form, Lines) else _dots(form)


def _revolved(form: Revolved) -> Any:
    """Each stretch of the profile turned round the axis, as one face where it stays smooth."""
    import cadquery
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeRevol
    from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt

    out = np.cross(form.axis, np.eye(3)[np.abs(form.axis).argmin()])
    out /= np.linalg.norm(out)
    points = form.center + np.outer(form.profile[:, 0], form.axis)
    points = points + np.outer(form.profile[:, 1], out)
    axis = gp_Ax1(gp_Pnt(*map(float, form.center)), gp_Dir(*map(float, form.axis)))
    drawn = _wire(points, form.closed)
    base = cadquery.Face.makeFromWires(drawn) if form.closed else drawn
    return cadquery.Shape.cast(BRepPrimAPI_MakeRevol(base.wrapped, axis).Shape())


def _extruded(form: Extruded) -> Any:
    import cadquery
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Vec

    drawn = _wire(form.points, form.closed)
    base = cadquery.Face.makeFromWires(drawn) if form.closed else drawn
    way = gp_Vec(*map(float, form.along))
    return cadquery.Shape.cast(BRepPrimAPI_MakePrism(base.wrapped, way).Shape())


def _lines(form: Lines) -> Any:
    import cadquery

    return cadquery.Compound.makeCompound(
        [edge for run in form.runs for edge in _edges(run)]
    )


def _dots(form: Dots) -> Any:
    import cadquery

    return cadquery.Compound.makeCompound(
        [cadquery.Vertex.makeVertex(*map(float, point)) for point in form.at]
    )


def _wire(points: Vector, closed: bool) -> Any:
    import cadquery

    ends = np.concatenate([points, points[:1]]) if closed else points
    return cadquery.Wire.assembleEdges(list(_edges(ends)))


def _edges(points: Vector) -> Iterable[Any]:
    """A straight edge between each two points that are not one."""
    import cadquery

    for start, end in pairwise(points):
        if np.linalg.norm(end - start) > SAME:
            yield cadquery.Edge.makeLine(cadquery.Vector(*start), cadquery.Vector(*end))
