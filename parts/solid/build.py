"""From the metal's own faces and edges to a kernel solid: no cutting, joining or sewing."""

from __future__ import annotations

from typing import Any

from OCP.BRep import BRep_Builder
from OCP.Geom import (
    Geom_BSplineCurve,
    Geom_BSplineSurface,
    Geom_Circle,
    Geom_CylindricalSurface,
    Geom_Line,
    Geom_Plane,
)
from OCP.Geom2d import Geom2d_Ellipse, Geom2d_Line
from OCP.gp import gp_Ax2, gp_Ax3, gp_Ax22d, gp_Dir, gp_Dir2d, gp_Pnt, gp_Pnt2d
from OCP.TColgp import TColgp_Array1OfPnt, TColgp_Array2OfPnt
from OCP.TColStd import TColStd_Array1OfInteger, TColStd_Array1OfReal
from OCP.TopAbs import TopAbs_FORWARD, TopAbs_REVERSED
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import (
    TopoDS_Edge,
    TopoDS_Face,
    TopoDS_Shell,
    TopoDS_Solid,
    TopoDS_Vertex,
    TopoDS_Wire,
)

from parts.place import Vector
from parts.sheet.body import (
    Body,
    Cylinder,
    EllipseTrace,
    LineTrace,
    Plane,
    Ring,
    Ruled,
    Spline,
    Straight,
    Trace,
)

TOLERANCE = 1e-7  # the kernel's own; the splines are fitted to a fifth of it


def solid(shape: Body) -> TopoDS_Solid:
    """The body as one kernel solid with shared topology."""
    builder, here = BRep_Builder(), TopLoc_Location()
    vertices = []
    for point in shape.vertices:
        vertex = TopoDS_Vertex()
        builder.MakeVertex(vertex, _point(point), TOLERANCE)
        vertices.append(vertex)
    edges = []
    for edge in shape.edges:
        made = TopoDS_Edge()
        builder.MakeEdge(made, _curve(edge.curve), TOLERANCE)
        builder.Add(made, vertices[edge.start].Oriented(TopAbs_FORWARD))
        builder.Add(made, vertices[edge.end].Oriented(TopAbs_REVERSED))
        builder.Range(made, edge.low, edge.high)
        edges.append(made)
    shell = TopoDS_Shell()
    builder.MakeShell(shell)
    for face in shape.faces:
        surface = _surface(face.surface)
        made = TopoDS_Face()
        builder.MakeFace(made, surface, TOLERANCE)
        for number, traces in face.traces.items():
            builder.UpdateEdge(
                edges[number], *(_trace(trace) for trace in traces), surface, here, TOLERANCE
            )
        for loop in face.loops:
            wire = TopoDS_Wire()
            builder.MakeWire(wire)
            for number, sense in loop:
                way = TopAbs_FORWARD if sense > 0 else TopAbs_REVERSED
                builder.Add(wire, edges[number].Oriented(way))
            wire.Closed(True)
            builder.Add(made, wire)
        builder.Add(shell, made.Oriented(TopAbs_REVERSED) if face.flipped else made)
    shell.Closed(True)
    whole = TopoDS_Solid()
    builder.MakeSolid(whole)
    builder.Add(whole, shell)
    return whole


def _point(p: Vector) -> gp_Pnt:
    return gp_Pnt(float(p[0]), float(p[1]), float(p[2]))


def _way(p: Vector) -> gp_Dir:
    return gp_Dir(float(p[0]), float(p[1]), float(p[2]))


def _curve(curve: Straight | Ring | Spline) -> Any:
    if isinstance(curve, Straight):
        return Geom_Line(_point(curve.point), _way(curve.direction))
    if isinstance(curve, Ring):
        return Geom_Circle(
            gp_Ax2(_point(curve.center), _way(curve.axis), _way(curve.x)), curve.radius
        )
    poles = TColgp_Array1OfPnt(1, len(curve.poles))
    for i, pole in enumerate(curve.poles, 1):
        poles.SetValue(i, _point(pole))
    return Geom_BSplineCurve(poles, *_knots(curve.knots, 5, 3), 5)


def _knots(values: Any, degree: int, inner: int) -> tuple[Any, Any]:
    knots = TColStd_Array1OfReal(1, len(values))
    counts = TColStd_Array1OfInteger(1, len(values))
    for i, value in enumerate(values, 1):
        knots.SetValue(i, float(value))
        counts.SetValue(i, degree + 1 if i in (1, len(values)) else inner)
    return knots, counts


def _surface(surface: Plane | Cylinder | Ruled) -> Any:
    if isinstance(surface, Plane):
        return Geom_Plane(gp_Ax3(_point(surface.point), _way(surface.normal), _way(surface.x)))
    if isinstance(surface, Cylinder):
        place = gp_Ax3(_point(surface.point), _way(surface.axis), _way(surface.x))
        return Geom_CylindricalSurface(place, surface.radius)
    lower, upper = surface.lower.poles, surface.upper.poles
    poles = TColgp_Array2OfPnt(1, len(lower), 1, 2)
    for i, (p, q) in enumerate(zip(lower, upper, strict=True), 1):
        poles.SetValue(i, 1, _point(p))
        poles.SetValue(i, 2, _point(q))
    along, along_counts = _knots(surface.lower.knots, 5, 3)
    through, through_counts = _knots((0.0, surface.height), 1, 1)
    return Geom_BSplineSurface(poles, along, through, along_counts, through_counts, 5, 1)


def _trace(trace: Trace) -> Any:
    if isinstance(trace, LineTrace):
        return Geom2d_Line(gp_Pnt2d(*trace.point), gp_Dir2d(*trace.direction))
    assert isinstance(trace, EllipseTrace)
    place = gp_Ax22d(
        gp_Pnt2d(*trace.center), gp_Dir2d(*trace.major_axis), gp_Dir2d(*trace.minor_axis)
    )
    return Geom2d_Ellipse(place, trace.major, trace.minor)
