"""What is seen of a solid from a side: the kernel's exact hidden-line removal, as lines and arcs.

Edges where two faces meet smoothly, such as the tangent lines of a bend, are kept apart.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import inf, tau
from typing import Any

from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy
from OCP.BRepLib import BRepLib
from OCP.GCPnts import GCPnts_QuasiUniformDeflection
from OCP.GeomAbs import GeomAbs_BSplineSurface, GeomAbs_Circle, GeomAbs_Line
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

from parts.sheet.curve import Arc, Curve, Line, Point, distance, side_of
from parts.solid.overlap import Run, not_yet_drawn

Direction = tuple[float, float, float]

ROUNDED = 1e-7  # mm; shorter edges are none
HAIR = 1e-5  # radians
SMOOTH = 1e-3  # radians between faces that meet smoothly
STRAIGHT = 1e-5  # mm; chords this near a line are on it


@dataclass(frozen=True, slots=True)
class Side:
    """Where the reader stands, as seen from the solid, and which way is right on his paper."""

    toward_reader: Direction
    right: Direction


FRONT = Side((0, -1, 0), (1, 0, 0))
ABOVE = Side((0, 0, 1), (1, 0, 0))
LEFT = Side((-1, 0, 0), (0, -1, 0))
PICTORIAL = Side((-1, -1, 1), (1, -1, 0))  # isometric: the front, the left and the top are seen


def _tilted(side: Side) -> Side:
    """The side, turned by a hair about both axes of the paper.

    A wall of splines seen exactly edge on takes the kernel seconds; so it takes no longer than
    others, and a point 1000 mm behind another is 0.01 mm off it.
    """
    (x, y, z), (u, v, w) = side.toward_reader, side.right
    up = (y * w - z * v, z * u - x * w, x * v - y * u)
    a, b, c = (
        t + HAIR * r + 0.7 * HAIR * s
        for t, r, s in zip(side.toward_reader, side.right, up, strict=True)
    )
    return Side((a, b, c), side.right)


@dataclass(frozen=True, slots=True)
class View:
    """Runs of curves in mm of the solid, x to the reader's right, y up; `smooth` ones are seen
    where two faces meet smoothly."""

    visible: tuple[Run, ...]
    hidden: tuple[Run, ...]
    smooth: tuple[Run, ...] = ()


def view(
    shape: Any, side: Side, hidden: bool = True, off: float = 0.02, smooth: float = inf
) -> View:
    """A solid (TopoDS_Shape) seen from a side. Curves other than lines and arcs become chords
    that are at most `off` mm away. No line is drawn twice: what is seen covers what is hidden.
    Straight edges between smooth faces are given where they look longer than `smooth` mm.
    """
    shape = _marked_smooth(shape)
    if _has_splines(shape):
        side = _tilted(side)
    algorithm = HLRBRep_Algo()
    algorithm.Add(shape)
    toward, right = gp_Dir(*side.toward_reader), gp_Dir(*side.right)
    algorithm.Projector(HLRAlgo_Projector(gp_Ax2(gp_Pnt(0, 0, 0), toward, right)))
    algorithm.Update()
    algorithm.Hide()
    found = HLRBRep_HLRToShape(algorithm)
    seen = not_yet_drawn(_runs(off, found.VCompound, found.OutLineVCompound), ())
    if not hidden:
        return View(seen, (), _smooth(found, seen, off, smooth))
    behind = not_yet_drawn(_runs(off, found.HCompound, found.OutLineHCompound), seen)
    return View(seen, behind, _smooth(found, seen, off, smooth))


def _smooth(found: Any, seen: tuple[Run, ...], off: float, least: float) -> tuple[Run, ...]:
    """Straight smooth edges longer than `least`, less what is drawn already."""
    if least == inf:
        return ()
    runs = _runs(off, found.Rg1LineVCompound)
    long = (run for run in runs if len(run) == 1 and isinstance(run[0], Line))
    return not_yet_drawn((run for run in long if run[0].length > least), seen)


def _marked_smooth(shape: Any) -> Any:
    """A copy in which the edges where faces meet smoothly are marked, so that none is drawn."""
    marked = BRepBuilderAPI_Copy(shape).Shape()
    BRepLib.EncodeRegularity_s(marked, SMOOTH)
    return marked


def _has_splines(shape: Any) -> bool:
    explorer = TopExp_Explorer(shape, TopAbs_FACE)
    while explorer.More():
        face = BRepAdaptor_Surface(TopoDS.Face_s(explorer.Current()))
        if face.GetType() == GeomAbs_BSplineSurface:
            return True
        explorer.Next()
    return False


def _runs(off: float, *groups: Callable[[], Any]) -> tuple[Run, ...]:
    return tuple(run for group in groups for run in _edges(group(), off))


def _edges(compound: Any, off: float) -> Iterator[Run]:
    if compound is None or compound.IsNull():
        return
    BRepLib.BuildCurves3d_s(compound)
    explorer = TopExp_Explorer(compound, TopAbs_EDGE)
    while explorer.More():
        run = tuple(_curves(BRepAdaptor_Curve(TopoDS.Edge_s(explorer.Current())), off))
        if sum(curve.length for curve in run) > ROUNDED:
            yield run
        explorer.Next()


def _curves(curve: Any, off: float) -> Iterator[Curve]:
    low, high = curve.FirstParameter(), curve.LastParameter()
    start, end = _flat(curve.Value(low)), _flat(curve.Value(high))
    if curve.GetType() == GeomAbs_Line:
        yield Line(start, end)
    elif curve.GetType() == GeomAbs_Circle:
        circle = curve.Circle()
        sweep = (high - low) * (1.0 if circle.Axis().Direction().Z() > 0 else -1.0)
        full = abs(abs(sweep) - tau) < 1e-9
        yield Arc(start, start if full else end, _flat(circle.Location()), sweep)
    else:
        places = GCPnts_QuasiUniformDeflection(curve, off)
        points = [_flat(places.Value(k)) for k in range(1, places.NbPoints() + 1)]
        yield from _chords(points)


def _chords(points: list[Point]) -> Iterator[Line]:
    """Lines from point to point; one line where all lie on it, as a circle seen edge on."""
    first, last = min(points), max(points)
    size = distance(first, last)
    if size < ROUNDED:
        return
    along = ((last[0] - first[0]) / size, (last[1] - first[1]) / size)
    if all(abs(side_of(point, first, along)) < STRAIGHT for point in points):
        yield Line(first, last)
        return
    for before, after in pairwise(points):
        if distance(before, after) > ROUNDED:
            yield Line(before, after)


def _flat(point: Any) -> Point:
    return (point.X(), point.Y())
