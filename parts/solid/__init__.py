"""The door to the kernel: the only room that imports it, and only when something is built."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from parts.place import Place
from parts.sheet.fold import Folded


def of(folded: Folded) -> Any:
    """The folded metal as one kernel solid (TopoDS_Solid) in the piece's own axes."""
    from parts.sheet.body import body
    from parts.solid.build import solid

    return solid(body(folded))


def cadquery_solid(folded: Folded, place: Place | None = None) -> Any:
    """The folded metal as a `cadquery.Solid`, carried to `place` where one is given."""
    return as_cadquery(of(folded), place)


def cadquery_compound(pieces: Iterable[tuple[Folded, Place]]) -> Any:
    """Several pieces, each at its place, as one `cadquery.Compound`."""
    import cadquery

    return cadquery.Compound.makeCompound(
        [cadquery_solid(folded, place) for folded, place in pieces]
    )


def as_cadquery(solid: Any, place: Place | None = None) -> Any:
    """A kernel solid as a `cadquery.Solid`, carried to `place` where one is given."""
    import cadquery

    made = cadquery.Solid(solid)
    return made if place is None else made.moved(cadquery.Location(location(place)))


def location(place: Place) -> Any:
    """A place as the kernel has it (TopLoc_Location)."""
    from OCP.gp import gp_Trsf
    from OCP.TopLoc import TopLoc_Location

    move = gp_Trsf()
    rows = (
        float(value)
        for turn, shift in zip(place.turn, place.origin, strict=True)
        for value in (*turn, shift)
    )
    move.SetValues(*rows)
    return TopLoc_Location(move)
