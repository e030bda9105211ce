"""What is ordered of a cutter: a line a piece and hand, with the names of its files."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from io import StringIO

from parts.part import Part, Piece, plain, thickness_words
from parts.sheet.grain import grain_of
from parts.trade import cutter_limits
from parts.trade.cutter import Cutter
from parts.trade.cutter_limits import BENT
from parts.whole import WholeJob
from parts.writers.cells import guarded
from parts.writers.cut_rows import CutRow, cut_rows, holes_in_words

MOST_LETTERS = 120  # of a file's name with its ending
LONGEST_ENDING = len(".step")
HEAD = (
    "no", "part", "piece", "hand", "quantity", "material", "thickness_mm", "comes", "bends",
    "rolls", "blank_x_mm", "blank_y_mm", "area_mm2", "mass_kg_each", "cut_length_mm", "pierces",
    "holes_by_size", "notes", "dxf", "step", "pdf",
)  # fmt: skip


@dataclass(frozen=True, eq=False)
class OrderLine:
    """One piece as it is ordered: its number, its numbers for the cutter, how it comes, and the
    names of its files, "" where it has none of that sort."""

    number: int
    part: Part
    piece: Piece
    row: CutRow
    comes: str
    notes: tuple[str, ...]
    dxf: str
    step: str
    pdf: str

    @property
    def bent(self) -> bool:
        """Whether the cutter bends it."""
        return self.comes == BENT


def order_lines(whole: WholeJob, cutter: Cutter) -> tuple[OrderLine, ...]:
    """A line for every piece of the job, in the order of its parts."""
    pieces = [(part, piece, row) for part in whole.parts
              for piece, row in zip(part.pieces, cut_rows(part), strict=True)]  # fmt: skip
    stems = file_stems([_name(cutter, part, piece) for part, piece, _ in pieces])
    return tuple(
        _line(number, part, piece, row, cutter, stem)
        for number, ((part, piece, row), stem) in enumerate(zip(pieces, stems, strict=True), 1)
    )


def file_stems(names: Iterable[str]) -> list[str]:
    """Names of files without ending: short enough for any machine, and no two alike, whatever
    the case of their letters.

    >>> file_stems(["a-plate", "A-Plate", "b"])
    ['a-plate', 'A-Plate-2', 'b']
    """
    found: list[str] = []
    taken: set[str] = set()
    for number, name in enumerate(names, 1):
        stem, tail = name[: MOST_LETTERS - LONGEST_ENDING], f"-{number}"
        if stem != name or stem.casefold() in taken:
            stem = name[: MOST_LETTERS - LONGEST_ENDING - len(tail)] + tail
        taken.add(stem.casefold())
        found.append(stem)
    return found


def _name(cutter: Cutter, part: Part, piece: Piece) -> str:
    words = {
        "job": part.job,
        "part": part.name,
        "piece": piece.name,
        "hand": piece.hand,
        "material": piece.stock.material.name,
        "thickness": f"{thickness_words(piece.stock.thickness)}mm",
        "quantity": f"{piece.quantity}off",
    }
    return "-".join(plain(words[name]) for name in cutter.file_names if words[name])


def _line(
    number: int, part: Part, piece: Piece, row: CutRow, cutter: Cutter, stem: str
) -> OrderLine:
    comes = cutter_limits.comes(cutter, piece.blank)
    bent = comes == BENT
    return OrderLine(
        number=number,
        part=part,
        piece=_as_sent(piece) if bent else piece,
        row=row,
        comes=comes,
        notes=tuple(_notes(piece, cutter, bent)),
        dxf=f"{stem}.dxf",
        step=f"{stem}.step" if bent and cutter.step else "",
        pdf=f"{stem}.pdf" if bent and cutter.drawing else "",
    )


def _as_sent(piece: Piece) -> Piece:
    """The piece for another's brake: how far ours must bend over is none of its business."""
    if all(one.over is None for one in piece.allowances):
        return piece
    return replace(piece, allowances=tuple(replace(one, over=None) for one in piece.allowances))


def _notes(piece: Piece, cutter: Cutter, bent: bool) -> Iterator[str]:
    grain = grain_of(piece.folded, piece.stock.material)
    if grain is not None:
        yield f"grain at {grain.angle_deg:.4g}° to x of the DXF, anticlockwise"
    if bent and not cutter.drawing and not cutter.step and not cutter.dxf.bend_lines:
        yield "ask us how it is bent"


def table(lines: Iterable[OrderLine]) -> str:
    """The order as CSV (RFC 4180); numbers are of one piece, lengths mm."""
    stream = StringIO(newline="")
    rows = csv.writer(stream, lineterminator="\r\n")
    rows.writerow(HEAD)
    rows.writerows(map(_cells, lines))
    return stream.getvalue()


def _cells(line: OrderLine) -> list[str | int]:
    row = line.row
    cells: list[str | int] = [
        line.number,
        row.part,
        row.piece,
        row.hand,
        row.quantity,
        row.material,
        thickness_words(row.thickness),
        line.comes,
        row.bends if line.bent else 0,
        row.rolls if line.bent else 0,
        f"{row.wide:.1f}",
        f"{row.high:.1f}",
        f"{row.area:.0f}",
        f"{row.mass_kg:.3f}",
        f"{row.cut_length:.0f}",
        row.pierces,
        holes_in_words(row),
        "; ".join(line.notes),
        line.dxf,
        line.step,
        line.pdf,
    ]
    return [guarded(cell) for cell in cells]
