"""Every number of a part as plain data: `figures.json`, and the same for the command line.

Rounding: mm and degrees to 4 decimals, mm3 to 3, kg to 6, K to 4 and any other number to 6.
Keys keep their order. `x` and `y` are the blank's own, as in the DXF.
"""

from __future__ import annotations

import json
import re
from importlib.metadata import PackageNotFoundError, version
from math import isfinite
from pathlib import Path
from typing import Any

from parts.part import Part, Piece
from parts.sheet import measure
from parts.sheet.allowance import Allowance
from parts.sheet.bend_rules import bend_deduction, outside_setback
from parts.sheet.blank import Cutout
from parts.sheet.collide import region_names
from parts.sheet.curve import SAME_POINT, Point, distance
from parts.sheet.fold import Folded, tangent_sides
from parts.sheet.grain import grain_of
from parts.sheet.loop import Loop, box, slot_size
from parts.writers.plain import (
    chart_row,
    figure_row,
    finding_row,
    load_case_row,
    measurement_row,
    rounded,
    rounded_all,
    sketch_row,
    spot_row,
    table_row,
)

NAME = "figures.json"
NO_APEX_DEG = 165.0  # past this turn the setback to the apex runs away (common practice)


def write(part: Part, folder: Path) -> list[Path]:
    """Write `figures.json` for the part; returns the file."""
    path = folder / NAME
    path.write_text(as_text(as_dict(part)), encoding="utf-8", newline="\n")
    return [path]


def as_text(data: dict[str, Any]) -> str:
    """JSON to read: indented, but a row of numbers stays on one line.

    >>> print(as_text({"blank_mm": [60.0, 96.0319]}), end="")
    {
      "blank_mm": [60.0, 96.0319]
    }
    """
    text = json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False)
    row = re.compile(r"\[\n\s*([-+.\de]+(?:,\n\s*[-+.\de]+)*)\n\s*\]")  # no string holds a newline
    return row.sub(lambda found: "[" + " ".join(found[1].split()) + "]", text) + "\n"


def as_dict(part: Part) -> dict[str, Any]:
    """The part's figures, findings, cautions and measurements, rounded."""
    return {
        "tinwright": _version(),
        "job": part.job,
        "part": part.name,
        "kind": part.kind,
        "note": part.note,
        "made_on": part.made_on.isoformat() if part.made_on else None,
        "vehicle": part.vehicle,
        "stance": part.stance,
        "as_given": [{"key": key, "value": value} for key, value in part.as_given],
        "refused": part.refused,
        "summary": list(part.summary),
        "pieces": [_piece(part, piece) for piece in part.pieces],
        "figures": [figure_row(figure) for figure in part.figures],
        "tables": [table_row(table) for table in part.tables],
        "charts": [chart_row(chart) for chart in part.charts],
        "sketches": [sketch_row(sketch) for sketch in part.sketches],
        "findings": [finding_row(finding) for finding in part.findings],
        "cautions": list(part.cautions),
        "assumptions": list(part.assumptions),
        "load_cases": [load_case_row(case) for case in part.load_cases],
        "measurements": [measurement_row(measured) for measured in part.measurements],
        "points": [spot_row(spot) for spot in part.spots],
    }


def _version() -> str:
    try:
        return version("tinwright")
    except PackageNotFoundError:  # run from a folder, not installed
        return "not installed"


def _piece(part: Part, piece: Piece) -> dict[str, Any]:
    folded = piece.folded
    center = measure.center_of_mass(folded)
    metal = piece.stock.material
    return {
        "name": piece.name,
        "files": part.stem(piece),
        "hand": piece.hand or None,
        "quantity": piece.quantity,
        "stock": piece.stock.name,
        "material": metal.name,
        "thickness_mm": rounded(piece.stock.thickness),
        "die_v_mm": None if piece.die_used is None else rounded(piece.die_used.value),
        "die_source": None if piece.die_used is None else piece.die_used.source,
        "drawn_face": piece.faces,
        "grain": _grain(piece),
        "blank_mm": rounded_all(measure.blank_box(folded)),
        "blank_area_mm2": rounded(measure.blank_area(folded), 3),
        "volume_mm3": rounded(piece.volume, 3),
        "density_kg_m3": rounded(metal.density_kg_m3, 3),
        "mass_kg": rounded(piece.mass_kg, 6),
        "center_of_mass_mm": rounded_all(center),
        "center_of_mass_on_vehicle_mm": rounded_all(piece.place.apply(center)),
        "place": {
            "origin_mm": rounded_all(piece.place.origin),
            "x": rounded_all(piece.place.turn[:, 0], 9),
            "y": rounded_all(piece.place.turn[:, 1], 9),
            "z": rounded_all(piece.place.turn[:, 2], 9),
        },
        "bends": [
            _bend(folded, number, allowance) for number, allowance in enumerate(piece.allowances)
        ],
        "openings": [_opening(folded, cutout) for cutout in folded.blank.cutouts],
        "figures": [figure_row(figure) for figure in piece.figures],
        "screening": [
            {
                "name": screen.name,
                "found": rounded(screen.found, 6),
                "limit": rounded(screen.limit, 6),
                "unit": screen.unit,
                "reserve": rounded(screen.reserve, 6) if isfinite(screen.reserve) else None,
                "source": screen.source,
                "note": screen.note,
            }
            for screen in piece.screens
        ],
    }


def _bend(folded: Folded, number: int, allowance: Allowance) -> dict[str, Any]:
    bend, thickness = folded.blank.bends[number], folded.blank.thickness
    turn_deg = abs(bend.turn_deg)
    apex = turn_deg <= NO_APEX_DEG
    setback = outside_setback(bend.radius, thickness, turn_deg) if apex else None
    deduction = bend_deduction(bend.radius, thickness, turn_deg, bend.allowance) if apex else None
    plus_minus, over = allowance.plus_minus_mm, allowance.over
    return {
        "name": bend.name,
        "direction": "up" if bend.up else "down",
        "turn_deg": rounded(turn_deg),
        "included_deg": rounded(180 - turn_deg),
        "bend_over_to_deg": None if over is None else rounded(turn_deg + over.value),
        "bend_over_source": None if over is None else over.source,
        "inside_radius_mm": rounded(bend.radius),
        "allowance_mm": rounded(bend.allowance),
        "allowance_plus_minus_mm": None if plus_minus is None else rounded(plus_minus),
        "k": rounded(allowance.k),
        "source": allowance.source,
        "start_line": [rounded_all(point) for point in _tangent_line(folded, number, 0)],
        "end_line": [rounded_all(point) for point in _tangent_line(folded, number, 1)],
        "outside_setback_mm": None if setback is None else rounded(setback),
        "deduction_mm": None if deduction is None else rounded(deduction),
    }


def _grain(piece: Piece) -> dict[str, Any] | None:
    """How the grain is taken to run on the blank; None where no bend asks for it."""
    grain = grain_of(piece.folded, piece.stock.material)
    if grain is None:
        return None
    against = [piece.blank.bends[number].name for number in grain.against]
    return {"assumed_angle_deg": rounded(grain.angle_deg), "bends_along_it": against}


def _tangent_line(folded: Folded, number: int, which: int) -> tuple[Point, Point]:
    """A bend's start (0) or end (1) line from its first to its last point in the metal."""
    bend = folded.blank.bends[number]
    found = [
        point
        for side in tangent_sides(folded, number, which)
        for point in (side.curve.start, side.curve.end)
    ]
    if not found:  # the whole piece is rolled: the line is an edge
        return bend.end_line() if which else (bend.start, bend.end)
    return min(found, key=bend.beside), max(found, key=bend.beside)


def _opening(folded: Folded, cutout: Cutout) -> dict[str, Any]:
    circle, slot = cutout.round_hole, slot_size(cutout.loop)
    common: dict[str, Any] = {"name": cutout.name}
    if circle is not None:
        shape: dict[str, Any] = {"shape": "round", "diameter_mm": rounded(2 * circle.radius)}
        middle = circle.center
    elif slot is not None:
        middle, length, width, angle_deg = slot
        shape = {
            "shape": "slot",
            "length_mm": rounded(length),
            "width_mm": rounded(width),
            "angle_deg": rounded(angle_deg),
        }
    else:
        x0, y0, x1, y1 = box(cutout.loop)
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        shape = {"shape": "other", "size_mm": [rounded(x1 - x0), rounded(y1 - y0)]}
    common |= {"x_mm": rounded(middle[0]), "y_mm": rounded(middle[1])}
    return common | shape | {"in": _regions_of(folded, cutout)}


def _regions_of(folded: Folded, cutout: Cutout) -> list[str]:
    """Names of the regions that the opening's edge runs through, in the order of the part."""
    return [
        name
        for name, region in zip(region_names(folded), folded.regions, strict=True)
        if any(_on(cutout.loop, side.at(0.5)) for loop in region.curves for side in loop)
    ]


def _on(loop: Loop, point: Point) -> bool:
    return any(distance(curve.nearest(point), point) < SAME_POINT for curve in loop)
