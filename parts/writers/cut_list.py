"""The cut list of a part as CSV (RFC 4180): a row a piece and hand, numbers of one piece.

`JOB-PART-cut_list.csv`, UTF-8, for a spreadsheet or a cutter's order form. Lengths are mm; the
blank's x and y are those of its DXF. A hole's size is its diameter, a slot's its width and
overall length.
"""

from __future__ import annotations

import csv
from io import StringIO
from pathlib import Path

from parts.part import Part
from parts.writers.cells import guarded
from parts.writers.cut_rows import CutRow, cut_rows, holes_in_words

HEAD = (
    "part", "piece", "hand", "quantity", "material", "thickness_mm", "blank_x_mm", "blank_y_mm",
    "area_mm2", "mass_kg_each", "cut_length_mm", "pierces", "bends", "rolls", "holes_by_size",
    "cut_file", "solid_file",
)  # fmt: skip


def write(part: Part, folder: Path) -> list[Path]:
    """Write the cut list; returns the file."""
    path = folder / f"{part.stem_of('cut_list')}.csv"
    path.write_text(text(part), encoding="utf-8", newline="")
    return [path]


def text(*parts: Part) -> str:
    """The whole file, of one part or of several, lines ended as RFC 4180 asks."""
    stream = StringIO(newline="")
    lines = csv.writer(stream, lineterminator="\r\n")
    lines.writerow(HEAD)
    lines.writerows(map(guarded, _cells(row)) for part in parts for row in cut_rows(part))
    return stream.getvalue()


def _cells(row: CutRow) -> tuple[str | int, ...]:
    return (
        row.part,
        row.piece,
        row.hand,
        row.quantity,
        row.material,
        f"{round(row.thickness, 3):g}",
        f"{row.wide:.1f}",
        f"{row.high:.1f}",
        f"{row.area:.0f}",
        f"{row.mass_kg:.3f}",
        f"{row.cut_length:.0f}",
        row.pierces,
        row.bends,
        row.rolls,
        holes_in_words(row),
        f"{row.stem}.dxf",
        f"{row.stem}.step",
    )
