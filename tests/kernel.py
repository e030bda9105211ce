"""What the kernel says of a solid: valid, one piece, volume, cylinders, common metal,
distance."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from OCP.Bnd import Bnd_Box
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_Cylinder
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_FACE, TopAbs_SHELL, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

from parts.place import Vector
from parts.sheet.body import body
from parts.sheet.fold import Folded, Region
from parts.solid.build import solid


def valid(shape: Any) -> bool:
    """Whether the kernel's own checker has nothing to object, geometry included."""
    return bool(BRepCheck_Analyzer(shape, True).IsValid())


def count(shape: Any, kind: Any) -> int:
    explorer, found = TopExp_Explorer(shape, kind), 0
    while explorer.More():
        found += 1
        explorer.Next()
    return found


def one_closed_solid(shape: Any) -> bool:
    """One solid with one shell, and the shell is closed by its shared edges."""
    return (
        count(shape, TopAbs_SOLID) == 1
        and count(shape, TopAbs_SHELL) == 1
        and bool(shape.Closed() or TopExp_Explorer(shape, TopAbs_SHELL).Current().Closed())
    )


def volume(shape: Any, eps: float = 1e-9) -> float:
    """Volume, mm3, integrated to a relative error of `eps`."""
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, found, eps, False, False)
    return float(found.Mass())


def cylinders(shape: Any) -> list[tuple[Vector, Vector, float]]:
    """Point on the axis, unit axis and radius of every cylindrical face."""
    explorer, found = TopExp_Explorer(shape, TopAbs_FACE), []
    while explorer.More():
        surface = BRepAdaptor_Surface(TopoDS.Face_s(explorer.Current()), True)
        if surface.GetType() == GeomAbs_Cylinder:
            cylinder = surface.Cylinder()
            p, d = cylinder.Axis().Location(), cylinder.Axis().Direction()
            point, axis = np.array([p.X(), p.Y(), p.Z()]), np.array([d.X(), d.Y(), d.Z()])
            found.append((point, axis, float(cylinder.Radius())))
        explorer.Next()
    return found


def region_solid(folded: Folded, region: Region) -> Any:
    """One region alone, cut free along its tangent lines."""
    loops = tuple(
        tuple(replace(side, fold=None, forward=True) for side in loop) for loop in region.loops
    )
    alone = Region(loops, region.bend, region.place)
    return solid(body(replace(folded, regions=(alone,))))


def box(shape: Any) -> Bnd_Box:
    """A box round the shape that is not too large; `IsOut` tells that two are apart."""
    found = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, found, False, False)
    return found


def gap(one: Any, other: Any) -> float:
    """Least distance of two shapes."""
    return float(BRepExtrema_DistShapeShape(one, other).Value())


def common_volume(one: Any, other: Any) -> float:
    """Volume of the metal in both, mm3."""
    return volume(BRepAlgoAPI_Common(one, other).Shape(), 1e-6)
