"""A kernel solid as a STEP file (ISO 10303-21, AP214), the same bytes for the same input."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Message import Message, Message_Gravity
from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_AsIs
from OCP.StepRepr import StepRepr_NextAssemblyUsageOccurrence
from OCP.TCollection import TCollection_ExtendedString, TCollection_HAsciiString
from OCP.TDataStd import TDataStd_Name
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFApp import XCAFApp_Application
from OCP.XCAFDoc import XCAFDoc_ColorSurf, XCAFDoc_DocumentTool

from parts.place import Place
from parts.solid import location

UNDATED = date(1970, 1, 1)  # the format wants a date; this one says that there is none


@dataclass(frozen=True, eq=False)
class Body:
    """A kernel solid in mm with its name, material (name, description) and sRGB colour (0 to 1)."""

    solid: Any
    name: str
    material: tuple[str, str]
    density_kg_m3: float
    colour: tuple[float, float, float]


def write(path: Path, body: Body, made_on: date | None = None) -> None:
    """Write one solid. Raises OSError where the file cannot be written."""
    document = _new_document()
    label = _describe(document, body)
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    colours.SetColor(label, Quantity_Color(*body.colour, Quantity_TOC_sRGB), XCAFDoc_ColorSurf)
    _save(document, path, plain(body.name), made_on)


def write_set(
    path: Path, name: str, bodies: Iterable[tuple[Body, Place]], made_on: date | None = None
) -> None:
    """Write several solids as one assembly, each at its place; mm.

    Their colours are left out: the kernel writes those of an assembly in the order of its memory,
    another in every run. Raises OSError where the file cannot be written.
    """
    document = _new_document()
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    whole = shapes.NewShape()
    TDataStd_Name.Set_s(whole, TCollection_ExtendedString(plain(name), True))
    for body, place in bodies:
        held = shapes.AddComponent(whole, _describe(document, body), location(place))
        TDataStd_Name.Set_s(held, TCollection_ExtendedString(plain(body.name), True))
    shapes.UpdateAssemblies()
    _save(document, path, plain(name), made_on, together=True)


def _new_document() -> Any:
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    XCAFApp_Application.GetApplication_s().InitDocument(document)
    return document


def _save(
    document: Any, path: Path, name: str, made_on: date | None, together: bool = False
) -> None:
    with quiet():
        writer = STEPCAFControl_Writer()
        _set_up(writer)
        done = writer.Transfer(document, STEPControl_AsIs)
        _head(writer, name, made_on or UNDATED)
        if together:
            _number_members(writer)
        if not done or writer.Write(str(path)) != IFSelect_RetDone:
            raise OSError(f"{path.name}: the kernel could not write this STEP file")


def _number_members(writer: Any) -> None:
    """Number the members of an assembly from 1: the kernel counts on through the process."""
    model, count = writer.ChangeWriter().Model(), 0
    for number in range(1, model.NbEntities() + 1):
        entity = model.Entity(number)
        if isinstance(entity, StepRepr_NextAssemblyUsageOccurrence):
            count += 1
            entity.SetId(TCollection_HAsciiString(str(count)))


def _describe(document: Any, body: Body) -> Any:
    """Add a solid with what is said of it; returns its label."""
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    materials = XCAFDoc_DocumentTool.MaterialTool_s(document.Main())
    label = shapes.AddShape(body.solid, False)
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(plain(body.name), True))
    materials.SetMaterial(
        label,
        TCollection_HAsciiString(plain(body.material[0])),
        TCollection_HAsciiString(plain(body.material[1])),
        body.density_kg_m3 / 1000,  # the kernel keeps g/cm3
        TCollection_HAsciiString("density measure"),
        TCollection_HAsciiString("POSITIVE_RATIO_MEASURE"),
    )
    return label


def plain(text: str) -> str:
    """The text in ASCII, accents dropped: other letters need escapes that few readers know.

    >>> plain("Träger-1")
    'Trager-1'
    """
    return unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()


def _set_up(writer: Any) -> None:
    """Settings hold only once a writer exists: the first writer of a process resets them."""
    Interface_Static.SetCVal_s("write.step.schema", "AP214IS")
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    Interface_Static.SetIVal_s("write.surfacecurve.mode", 1)
    writer.SetNameMode(True)
    writer.SetColorMode(True)
    writer.SetMaterialMode(True)


def _head(writer: Any, name: str, made_on: date) -> None:
    head = APIHeaderSection_MakeHeader(writer.ChangeWriter().Model())
    head.SetName(TCollection_HAsciiString(name))
    head.SetTimeStamp(TCollection_HAsciiString(f"{made_on.isoformat()}T00:00:00"))
    head.SetAuthorValue(1, TCollection_HAsciiString(""))
    head.SetOrganizationValue(1, TCollection_HAsciiString(""))
    head.SetOriginatingSystem(TCollection_HAsciiString("tinwright"))
    head.SetAuthorisation(TCollection_HAsciiString(""))
    head.SetDescriptionValue(1, TCollection_HAsciiString("folded sheet part"))


@contextmanager
def quiet() -> Iterator[None]:
    """Keep the kernel's own statistics off the terminal; what it had before comes back."""
    printers = list(Message.DefaultMessenger_s().Printers())
    levels = [printer.GetTraceLevel() for printer in printers]
    for printer in printers:
        printer.SetTraceLevel(Message_Gravity.Message_Fail)
    try:
        yield
    finally:
        for printer, level in zip(printers, levels, strict=True):
            printer.SetTraceLevel(level)
