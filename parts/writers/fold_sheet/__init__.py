"""The fold sheet of every piece with bends: `STEM-folding.pdf`, for the person at the brake.

What holds for the whole piece, the blank to scale, then a box for every step in an order that can
be folded: how to hold the piece, where the gauge stands, how far to bend, what to check, and the
part as it is then. The last box holds the finished outside sizes.
"""

from __future__ import annotations

from functools import partial
from pathlib import Path

from parts.paper import pdf
from parts.paper.page import Page
from parts.paper.setting import PAPERS
from parts.part import Part, Piece
from parts.sheet.fold_order.held import held_steps
from parts.sheet.fold_order.steps import FoldOrder
from parts.writers.drawing import told
from parts.writers.fold_sheet.cell import Cell, last_cell, listed_cell, step_cell
from parts.writers.fold_sheet.head import head
from parts.writers.fold_sheet.sheets import laid_out

SIZE = "A4"  # where the shop prints on a roll


def write(part: Part, folder: Path) -> list[Path]:
    """Write `STEM-folding.pdf` for every piece with bends; returns the files. Wakes the kernel."""
    size = part.paper.paper if part.paper.paper in PAPERS else SIZE
    files = []
    for piece in part.pieces:
        if not piece.blank.bends:
            continue
        path = folder / f"{part.stem(piece)}-folding.pdf"
        title = ", ".join(word for word in (part.job, part.name, piece.name, piece.hand) if word)
        pdf.write(path, pages(part, piece, size), title, about="fold sheet")
        files.append(path)
    return files


def pages(part: Part, piece: Piece, size: str = SIZE) -> list[Page]:
    """The sheets of one piece, on paper of that name. Where no order was found, its bends are
    listed with the reason."""
    order = piece.fold_order
    cells: list[Cell] = []
    if isinstance(order, FoldOrder):
        steps = held_steps(piece.folded, order)
        cells += [step_cell(piece, one, n) for n, one in enumerate(steps, 1)]
        cells.append(last_cell(piece))
    else:
        cells.append(listed_cell(piece, order))
    title = partial(told.title, part, piece, size)
    return laid_out(piece, PAPERS[size], head(piece, order), cells, title)
