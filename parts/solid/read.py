"""What a STEP file says, read back by the kernel and told as plain data."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from math import pi
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_Cylinder, GeomAbs_Plane
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_RetDone
from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import (
    TopAbs_EDGE,
    TopAbs_FACE,
    TopAbs_REVERSED,
    TopAbs_ShapeEnum,
    TopAbs_SOLID,
)
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS
from OCP.XCAFApp import XCAFApp_Application
from OCP.XCAFDoc import XCAFDoc_ColorSurf, XCAFDoc_DocumentTool, XCAFDoc_Material

from parts.place import Vector
from parts.solid.step import quiet

ACCURACY = 1e-9  # relative, asked of every integral


@dataclass(frozen=True, eq=False)
class CylinderFace:
    """One face on a cylinder.

    `point` (3,) lies on the axis at the middle of the face, `along` (3,) is the axis, `middle`
    (3,) the unit direction from the axis to the middle of the arc; `arc_deg` is the angle and
    `reach` the length along the axis that the face covers. `concave`: the metal lies outside.
    """

    radius: float
    point: Vector
    along: Vector
    middle: Vector
    arc_deg: float
    reach: float
    concave: bool

    @property
    def whole(self) -> bool:
        """Whether it goes all the way round."""
        return self.arc_deg > 360 - 1e-7


@dataclass(frozen=True, eq=False)
class PlaneFace:
    """One flat face: its centre of area (3,), the normal out of the metal (3,), its area."""

    center: Vector
    normal: Vector
    area: float


@dataclass(frozen=True, eq=False)
class ShapeFacts:
    """What a solid is: mm, mm3. `low` and `high` (3,) are the corners of its box."""

    solids: int
    valid: bool
    volume: float
    center_of_mass: Vector
    low: Vector
    high: Vector
    cylinders: tuple[CylinderFace, ...]
    planes: tuple[PlaneFace, ...]


@dataclass(frozen=True, eq=False)
class StepFacts:
    """What a STEP file holds: its heading and its shape."""

    schema: str
    unit: str
    name: str
    material: str
    density_kg_m3: float
    colour: tuple[float, float, float] | None
    shape: ShapeFacts


@dataclass(frozen=True, eq=False)
class Member:
    """One solid of an assembly: its name, its shape in its own axes, and where it is put:
    `turn` (3, 3) and `origin` (3,)."""

    name: str
    shape: ShapeFacts
    turn: NDArray[np.float64]
    origin: Vector


@dataclass(frozen=True, eq=False)
class SetFacts:
    """What a STEP file of an assembly holds."""

    schema: str
    unit: str
    name: str
    members: tuple[Member, ...]


def read_step(path: Path) -> StepFacts:
    """Read a STEP file of one shape from disk. Raises ValueError where it is no such file."""
    text, document, label = _opened(path)
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    material, density = _material(document)
    return StepFacts(
        schema=_schema(text),
        unit=_unit(text),
        name=_name(label),
        material=material,
        density_kg_m3=density,
        colour=_colour(document, label),
        shape=shape_facts(tool.GetShape_s(label)),
    )


def read_set(path: Path) -> SetFacts:
    """Read a STEP file of one assembly from disk. Raises ValueError where it is no such file."""
    text, document, label = _opened(path)
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    held = TDF_LabelSequence()
    tool.GetComponents_s(label, held, True)
    members = []
    for number in range(1, held.Length() + 1):
        own = TDF_Label()
        if not tool.GetReferredShape_s(held.Value(number), own):
            raise ValueError(f"member {number} refers to no shape")
        move = tool.GetLocation_s(held.Value(number)).Transformation()
        rows = np.array([[move.Value(i, j) for j in range(1, 5)] for i in range(1, 4)])
        shape = shape_facts(tool.GetShape_s(own))
        members.append(Member(_name(own), shape, rows[:, :3], rows[:, 3]))
    return SetFacts(_schema(text), _unit(text), _name(label), tuple(members))


def _opened(path: Path) -> tuple[str, Any, Any]:
    """The file's text, the kernel's document of it, and the label of its only free shape."""
    text = path.read_text(encoding="utf-8", errors="replace")
    if not text.startswith("ISO-10303-21;") or not text.rstrip().endswith("END-ISO-10303-21;"):
        raise ValueError("is no whole STEP file: it does not run from ISO-10303-21 to its end")
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    XCAFApp_Application.GetApplication_s().InitDocument(document)
    with quiet():
        reader = STEPCAFControl_Reader()
        reader.SetNameMode(True)
        reader.SetColorMode(True)
        reader.SetMatMode(True)
        if reader.ReadFile(str(path)) != IFSelect_RetDone or not reader.Transfer(document):
            raise ValueError("cannot be read by the kernel")
    labels = TDF_LabelSequence()
    XCAFDoc_DocumentTool.ShapeTool_s(document.Main()).GetFreeShapes(labels)
    if labels.Length() != 1:
        raise ValueError(f"holds {labels.Length()} shapes; must hold 1")
    return text, document, labels.Value(1)


def _schema(text: str) -> str:
    found = re.search(r"FILE_SCHEMA\s*\(\s*\(\s*'([^' {]*)", text)
    return found.group(1) if found else ""


def _unit(text: str) -> str:
    """The length unit that the geometry is written in: "mm", or the file's own words."""
    used = re.findall(r"GLOBAL_UNIT_ASSIGNED_CONTEXT\s*\(\s*\(([^)]*)\)", text)
    words = set()
    for number in re.findall(r"#\d+", " ".join(used)):
        found = re.search(rf"^{number}\s*=\s*([^;]*);", text, re.MULTILINE)
        if found and "LENGTH_UNIT" in found.group(1):
            plain = re.sub(r"\s", "", found.group(1))
            words.add("mm" if "SI_UNIT(.MILLI.,.METRE.)" in plain else plain)
    return ", ".join(sorted(words))


def _name(label: Any) -> str:
    name = TDataStd_Name()
    found = label.FindAttribute(TDataStd_Name.GetID_s(), name)
    return str(name.Get().ToExtString()) if found else ""


def _material(document: Any) -> tuple[str, float]:
    """Name and density in kg/m3 of the file's only material; ("", 0) where there is none."""
    tool = XCAFDoc_DocumentTool.MaterialTool_s(document.Main())
    labels = TDF_LabelSequence()
    tool.GetMaterialLabels(labels)
    material = XCAFDoc_Material()
    if labels.Length() != 1:
        return "", 0.0
    if not labels.Value(1).FindAttribute(XCAFDoc_Material.GetID_s(), material):
        return "", 0.0
    return str(material.GetName().ToCString()), 1000 * float(material.GetDensity())


def _colour(document: Any, label: Any) -> tuple[float, float, float] | None:
    colour = Quantity_Color()
    tool = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    if not tool.GetColor_s(label, XCAFDoc_ColorSurf, colour):
        return None
    red, green, blue = colour.Values(Quantity_TOC_sRGB)
    return (red, green, blue)


def shape_facts(shape: Any) -> ShapeFacts:
    """The facts of any kernel shape (TopoDS_Shape). Raises ValueError where it is empty."""
    whole = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, whole, ACCURACY, False, False)
    middle = whole.CentreOfMass()
    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, box, False, False)
    if box.IsVoid():
        raise ValueError("holds nothing")
    x0, y0, z0, x1, y1, z1 = box.Get()
    cylinders, planes = [], []
    for face in _each(shape, TopAbs_FACE):
        surface = BRepAdaptor_Surface(face, False)
        if surface.GetType() == GeomAbs_Cylinder:
            cylinders.append(_cylinder(face, surface.Cylinder()))
        elif surface.GetType() == GeomAbs_Plane:
            planes.append(_plane(face, surface.Plane()))
    return ShapeFacts(
        solids=sum(1 for _ in _each(shape, TopAbs_SOLID)),
        valid=BRepCheck_Analyzer(shape, True).IsValid(),
        volume=whole.Mass(),
        center_of_mass=_vector(middle),
        low=np.array([x0, y0, z0]),
        high=np.array([x1, y1, z1]),
        cylinders=tuple(cylinders),
        planes=tuple(planes),
    )


def _each(shape: Any, kind: TopAbs_ShapeEnum) -> Iterator[Any]:
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        if kind == TopAbs_FACE:
            yield TopoDS.Face_s(explorer.Current())
        elif kind == TopAbs_EDGE:
            yield TopoDS.Edge_s(explorer.Current())
        else:
            yield explorer.Current()
        explorer.Next()


def _cylinder(face: Any, cylinder: Any) -> CylinderFace:
    """The face's reach in angle and length, from its edges in the cylinder's own parameters."""
    places = []
    for edge in _each(face, TopAbs_EDGE):
        trace = BRep_Tool.CurveOnSurface_s(edge, face, 0.0, 0.0)
        low, high = BRep_Tool.Range_s(edge, face)
        for fraction in (0.0, 0.25, 0.5, 0.75, 1.0):
            point = trace.Value(low + fraction * (high - low))
            places.append((point.X(), point.Y()))
    angles, lengths = zip(*places, strict=True)
    turn, reach = max(angles) - min(angles), max(lengths) - min(lengths)
    frame = cylinder.Position()
    x, y = _vector(frame.XDirection()), _vector(frame.YDirection())
    along = _vector(frame.Direction())
    mid = (max(angles) + min(angles)) / 2
    way = x * np.cos(mid) + y * np.sin(mid)
    point = _vector(frame.Location()) + along * (max(lengths) + min(lengths)) / 2
    outward = frame.Direct() == (face.Orientation() != TopAbs_REVERSED)
    return CylinderFace(
        cylinder.Radius(), point, along, way, turn * 180 / pi, reach, concave=not outward
    )


def _plane(face: Any, plane: Any) -> PlaneFace:
    sheet = GProp_GProps()
    BRepGProp.SurfaceProperties_s(face, sheet, False, False)  # as near as the adaptive one
    frame = plane.Position()
    normal = _vector(frame.XDirection())
    normal = np.cross(normal, _vector(frame.YDirection()))
    if face.Orientation() == TopAbs_REVERSED:
        normal = -normal
    return PlaneFace(_vector(sheet.CentreOfMass()), normal, sheet.Mass())


def _vector(point: Any) -> Vector:
    return np.array([point.X(), point.Y(), point.Z()])
