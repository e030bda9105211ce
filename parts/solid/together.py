"""Several solids at their places as one shape of the kernel."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from OCP.BRep import BRep_Builder
from OCP.TopoDS import TopoDS_Compound

from parts.place import Place
from parts.solid import location


def together(solids: Iterable[tuple[Any, Place]]) -> Any:
    """The solids (TopoDS_Solid), each carried to its place, as one TopoDS_Compound."""
    builder, whole = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(whole)
    for solid, place in solids:
        builder.Add(whole, solid.Moved(location(place)))
    return whole
