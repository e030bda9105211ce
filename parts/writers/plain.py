"""What is said about a part as plain data: figures, tables, charts, sketches, findings, points.

Rounding: values of figures and tables to 6 decimals, and so redundancies; mm and degrees else to 4.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import degrees
from typing import Any

from parts.part import Measurement, Sketch, Spot
from parts.report import Chart, Figure, Finding, LoadCase, Table
from parts.sheet.curve import Arc, Curve


def figure_row(figure: Figure) -> dict[str, Any]:
    return {
        "name": figure.name,
        "value": rounded(figure.value, 6),
        "unit": figure.unit,
        "plus_minus": None if figure.plus_minus is None else rounded(figure.plus_minus, 6),
        "source": figure.source,
    }


def table_row(table: Table) -> dict[str, Any]:
    """A table; each row has its note where the table has any, each column its unit."""
    noted = table.notes if table.noted else (None,) * len(table.rows)
    return {
        "title": table.title,
        "columns": list(table.columns),
        "units": list(table.unit_of),
        "changes": list(table.signed),
        "noted": table.noted or None,
        "rows": [
            {
                "name": name,
                "values": [None if v is None else rounded(v, 6) for v in values],
                "note": note,
            }
            for (name, values), note in zip(table.rows, noted, strict=True)
        ],
        "source": table.source,
    }


def chart_row(chart: Chart) -> dict[str, Any]:
    return {
        "title": chart.title,
        "across": chart.across,
        "across_unit": chart.across_unit,
        "up": chart.up,
        "up_unit": chart.up_unit,
        "lines": [
            {"name": line.name, "points": [rounded_all(point) for point in line.points]}
            for line in chart.lines
        ],
        "source": chart.source,
    }


def sketch_row(sketch: Sketch) -> dict[str, Any]:
    """Lines by their ends; arcs by their middle and turn (+ anticlockwise) as well."""
    return {
        "title": sketch.title,
        "across": sketch.across,
        "up": sketch.up,
        "full_size": sketch.full_size,
        "note": sketch.note,
        "points": [{"name": name, "at_mm": rounded_all(point)} for name, point in sketch.points],
        "shapes": [
            {
                "name": shape.name,
                "role": shape.role,
                "closed": shape.closed,
                "curves": [_curve_row(curve) for curve in shape.curves],
            }
            for shape in sketch.shapes
        ],
    }


def _curve_row(curve: Curve) -> dict[str, Any]:
    line: dict[str, Any] = {"from_mm": rounded_all(curve.start), "to_mm": rounded_all(curve.end)}
    if isinstance(curve, Arc):
        line |= {"center_mm": rounded_all(curve.center), "turn_deg": rounded(degrees(curve.sweep))}
    return line


def finding_row(finding: Finding) -> dict[str, Any]:
    return {
        "severity": finding.severity.value,
        "where": finding.where,
        "found": finding.found,
        "needed": finding.needed,
        "remedy": finding.remedy,
        "source": finding.source,
    }


def load_case_row(case: LoadCase) -> dict[str, Any]:
    """A load case; its loads have the factor counted in."""
    return {
        "name": case.name,
        "stands_for": case.stands_for,
        "loads": [
            {"of": load.of, "value": rounded(load.value, 6), "unit": load.unit,
             "direction": load.direction}
            for load in case.loads
        ],
        "factor": rounded(case.factor, 6),
        "source": case.source,
    }  # fmt: skip


def measurement_row(measured: Measurement) -> dict[str, Any]:
    return {
        "name": measured.name,
        "measured_mm": rounded(measured.measured),
        "plus_minus_mm": rounded(measured.plus_minus),
        "residual_mm": rounded(measured.residual),
        "redundancy": None if measured.redundancy is None else rounded(measured.redundancy, 6),
        "used": measured.used,
        "points": list(measured.points),
    }


def spot_row(spot: Spot) -> dict[str, Any]:
    return {
        "name": spot.name,
        "at_mm": rounded_all(spot.at),
        "plus_minus_mm": rounded_all(spot.plus_minus),
    }


def rounded(value: float, places: int = 4) -> float:
    """Rounded, and never minus nought."""
    return round(float(value), places) + 0.0


def rounded_all(values: Iterable[float], places: int = 4) -> list[float]:
    return [rounded(value, places) for value in values]
