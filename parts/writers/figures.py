"""Every number of a part as plain data: `figures.json`, and the same for the command line.

Rounding: mm and degrees to 4 decimals, mm3 to 3, kg to 6, K to 4 and any other number to 6.
Keys keep their order. `x` and `y` are the blank's own, as in the DXF.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from importlib.metadata import PackageNotFoundError, version
from math import atan2, degrees, isfinite
from pathlib import Path
from typing import Any

from parts.part import Measurement, Part, Piece, Sketch
from parts.report import Chart, Figure, Finding, Table
from parts.sheet import measure
from parts.sheet.allowance import Allowance
from parts.sheet.bend_rules import bend_deduction, outside_setback
from parts.sheet.blank import Cutout
from parts.sheet.collide import region_names
from parts.sheet.curve import SAME_POINT, Arc, Curve, Line, Point, distance
from parts.sheet.fold import Folded, tangent_sides
from parts.sheet.grain import grain_of
from parts.sheet.loop import Loop, box

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
        "refused": part.refused,
        "pieces": [_piece(part, piece) for piece in part.pieces],
        "figures": [_figure(figure) for figure in part.figures],
        "tables": [_table(table) for table in part.tables],
        "charts": [_chart(chart) for chart in part.charts],
        "sketches": [_sketch(sketch) for sketch in part.sketches],
        "findings": [_finding(finding) for finding in part.findings],
        "cautions": list(part.cautions),
        "measurements": [_measurement(measured) for measured in part.measurements],
        "points": [
            {"name": spot.name, "at_mm": _rs(spot.at), "plus_minus_mm": _rs(spot.plus_minus)}
            for spot in part.spots
        ],
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
        "thickness_mm": _r(piece.stock.thickness),
        "die_v_mm": None if piece.die_v is None else _r(piece.die_v),
        "drawn_face": piece.faces,
        "grain": _grain(piece),
        "blank_mm": _rs(measure.blank_box(folded)),
        "blank_area_mm2": _r(measure.blank_area(folded), 3),
        "volume_mm3": _r(piece.volume, 3),
        "density_kg_m3": _r(metal.density_kg_m3, 3),
        "mass_kg": _r(piece.mass_kg, 6),
        "center_of_mass_mm": _rs(center),
        "center_of_mass_on_vehicle_mm": _rs(piece.place.apply(center)),
        "place": {
            "origin_mm": _rs(piece.place.origin),
            "x": _rs(piece.place.turn[:, 0], 9),
            "y": _rs(piece.place.turn[:, 1], 9),
            "z": _rs(piece.place.turn[:, 2], 9),
        },
        "bends": [
            _bend(folded, number, allowance) for number, allowance in enumerate(piece.allowances)
        ],
        "openings": [_opening(folded, cutout) for cutout in folded.blank.cutouts],
        "figures": [_figure(figure) for figure in piece.figures],
        "screening": [
            {
                "name": screen.name,
                "found": _r(screen.found, 6),
                "limit": _r(screen.limit, 6),
                "unit": screen.unit,
                "reserve": _r(screen.reserve, 6) if isfinite(screen.reserve) else None,
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
        "turn_deg": _r(turn_deg),
        "included_deg": _r(180 - turn_deg),
        "bend_over_to_deg": None if over is None else _r(turn_deg + over.value),
        "bend_over_source": None if over is None else over.source,
        "inside_radius_mm": _r(bend.radius),
        "allowance_mm": _r(bend.allowance),
        "allowance_plus_minus_mm": None if plus_minus is None else _r(plus_minus),
        "k": _r(allowance.k),
        "source": allowance.source,
        "start_line": [_rs(point) for point in _tangent_line(folded, number, 0)],
        "end_line": [_rs(point) for point in _tangent_line(folded, number, 1)],
        "outside_setback_mm": None if setback is None else _r(setback),
        "deduction_mm": None if deduction is None else _r(deduction),
    }


def _grain(piece: Piece) -> dict[str, Any] | None:
    """How the grain is taken to run on the blank; None where no bend asks for it."""
    grain = grain_of(piece.folded, piece.stock.material)
    if grain is None:
        return None
    against = [piece.blank.bends[number].name for number in grain.against]
    return {"assumed_angle_deg": _r(grain.angle_deg), "bends_along_it": against}


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
        shape: dict[str, Any] = {"shape": "round", "diameter_mm": _r(2 * circle.radius)}
        middle = circle.center
    elif slot is not None:
        middle, length, width, angle_deg = slot
        shape = {
            "shape": "slot",
            "length_mm": _r(length),
            "width_mm": _r(width),
            "angle_deg": _r(angle_deg),
        }
    else:
        x0, y0, x1, y1 = box(cutout.loop)
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        shape = {"shape": "other", "size_mm": [_r(x1 - x0), _r(y1 - y0)]}
    common |= {"x_mm": _r(middle[0]), "y_mm": _r(middle[1])}
    return common | shape | {"in": _regions_of(folded, cutout)}


def slot_size(loop: Loop) -> tuple[Point, float, float, float] | None:
    """Middle, overall length, width and angle (0 to 180 degrees) of a round-ended slot, or None.

    >>> from parts.sheet.loop import slot
    >>> slot_size(slot((5, 5), 30, 10, 0))
    ((5.0, 5.0), 30.0, 10.0, 0.0)
    """
    ends = [curve for curve in loop if isinstance(curve, Arc)]
    sides = [curve for curve in loop if isinstance(curve, Line)]
    if len(ends) != 2 or len(sides) != 2:
        return None
    half_turns = all(abs(degrees(abs(end.sweep)) - 180) < 1e-6 for end in ends)
    if not half_turns or abs(ends[0].radius - ends[1].radius) > 1e-6:
        return None
    (ax, ay), (bx, by) = ends[0].center, ends[1].center
    apart = Line(ends[0].center, ends[1].center)
    dx, dy = apart.tangent(0)
    angle_deg = round(degrees(atan2(dy, dx)), 9) % 180
    middle = ((ax + bx) / 2, (ay + by) / 2)
    width = 2 * ends[0].radius
    return middle, apart.length + width, width, angle_deg


def _regions_of(folded: Folded, cutout: Cutout) -> list[str]:
    """Names of the regions that the opening's edge runs through, in the order of the part."""
    return [
        name
        for name, region in zip(region_names(folded), folded.regions, strict=True)
        if any(_on(cutout.loop, side.at(0.5)) for loop in region.curves for side in loop)
    ]


def _on(loop: Loop, point: Point) -> bool:
    return any(distance(curve.nearest(point), point) < SAME_POINT for curve in loop)


def _figure(figure: Figure) -> dict[str, Any]:
    return {
        "name": figure.name,
        "value": _r(figure.value, 6),
        "unit": figure.unit,
        "plus_minus": None if figure.plus_minus is None else _r(figure.plus_minus, 6),
        "source": figure.source,
    }


def _table(table: Table) -> dict[str, Any]:
    return {
        "title": table.title,
        "unit": table.unit,
        "columns": list(table.columns),
        "rows": [
            {"name": name, "values": [None if v is None else _r(v, 6) for v in values]}
            for name, values in table.rows
        ],
        "source": table.source,
    }


def _chart(chart: Chart) -> dict[str, Any]:
    return {
        "title": chart.title,
        "across": chart.across,
        "across_unit": chart.across_unit,
        "up": chart.up,
        "up_unit": chart.up_unit,
        "lines": [
            {"name": line.name, "points": [_rs(point) for point in line.points]}
            for line in chart.lines
        ],
        "source": chart.source,
    }


def _sketch(sketch: Sketch) -> dict[str, Any]:
    """Lines by their ends; arcs by their middle and turn (+ anticlockwise) as well."""
    return {
        "title": sketch.title,
        "across": sketch.across,
        "up": sketch.up,
        "full_size": sketch.full_size,
        "note": sketch.note,
        "points": [{"name": name, "at_mm": _rs(point)} for name, point in sketch.points],
        "shapes": [
            {
                "name": shape.name,
                "role": shape.role,
                "closed": shape.closed,
                "curves": [_curve(curve) for curve in shape.curves],
            }
            for shape in sketch.shapes
        ],
    }


def _curve(curve: Curve) -> dict[str, Any]:
    line: dict[str, Any] = {"from_mm": _rs(curve.start), "to_mm": _rs(curve.end)}
    if isinstance(curve, Arc):
        line |= {"center_mm": _rs(curve.center), "turn_deg": _r(degrees(curve.sweep))}
    return line


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "severity": finding.severity.value,
        "where": finding.where,
        "found": finding.found,
        "needed": finding.needed,
        "remedy": finding.remedy,
        "source": finding.source,
    }


def _measurement(measured: Measurement) -> dict[str, Any]:
    return {
        "name": measured.name,
        "measured_mm": _r(measured.measured),
        "plus_minus_mm": _r(measured.plus_minus),
        "residual_mm": _r(measured.residual),
        "redundancy": None if measured.redundancy is None else _r(measured.redundancy, 6),
        "used": measured.used,
        "points": list(measured.points),
    }


def _r(value: float, places: int = 4) -> float:
    """Rounded, and never minus nought."""
    return round(float(value), places) + 0.0


def _rs(values: Iterable[float], places: int = 4) -> list[float]:
    return [_r(value, places) for value in values]
