"""Sizes that are sold, for the question the other way round: which tyres fit?"""

from __future__ import annotations

from collections.abc import Iterator

from parts.sheet.stock import MM_PER_INCH
from parts.tables import find, rows
from parts.trade.tyre.designation import Designation, Flotation, Metric


def standard_sizes() -> Iterator[Designation]:
    """Radial metric sizes by width, series and rim, then the flotation sizes of the table.

    The metric ones are every step of tyre_standard_series.csv whose section height and
    diameter are sensible; not every one of them is made.

    >>> sizes = [str(size) for size in standard_sizes()]
    >>> "255/60R15" in sizes, "31x10.50R15LT" in sizes, "335/85R13" in sizes
    (True, True, False)
    """
    heights, diameters = _bounds("section height"), _bounds("diameter")
    for width in _steps("width"):
        for series in _steps("series"):
            height = width * series / 100
            if not heights[0] <= height <= heights[1]:
                continue
            for rim in _steps("rim code"):
                if diameters[0] <= rim * MM_PER_INCH + 2 * height <= diameters[1]:
                    yield Metric(width, series, float(rim))
    for row in rows("tyre_flotation"):
        yield Flotation(
            float(row["outside_in"]), float(row["width_in"]), float(row["rim_code"]), service="LT"
        )


def _bounds(name: str) -> tuple[float, float]:
    row = find("tyre_standard_series", name)
    return float(row["least"]), float(row["most"])


def _steps(name: str) -> range:
    row = find("tyre_standard_series", name)
    return range(int(row["least"]), int(row["most"]) + 1, int(row["step"]))
