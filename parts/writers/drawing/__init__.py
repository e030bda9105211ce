"""The shop drawing of every piece: `STEM-drawing.pdf`, in vectors, its words to be selected.

It shows the drawn face of the blank with running dimensions from the edges that a tape is hooked
on, the folded piece in first angle projection, tables of holes and bends, where on the vehicle it
sits, tolerances and a title block. Dimensions after ISO 129-1, lines after ISO 128-2, scales after
ISO 5455.
"""

from __future__ import annotations

from functools import partial
from pathlib import Path

from parts.paper import pdf
from parts.paper.dimensions import text_of
from parts.paper.layout import Block
from parts.paper.page import Page
from parts.paper.setting import PAPERS
from parts.part import Part, Piece
from parts.writers.drawing import blank, folded, told
from parts.writers.drawing.marks import Layout, layout
from parts.writers.drawing.plan import plan
from parts.writers.drawing.sheets import Blank, Contents, pages, scale_words

SIZE = "A4"  # where the shop prints on a roll


def write(part: Part, folder: Path) -> list[Path]:
    """Write `STEM-drawing.pdf` for every piece; returns the files. Wakes the kernel for bent
    pieces."""
    size = part.paper.paper if part.paper.paper in PAPERS else SIZE
    files = []
    for piece in part.pieces:
        path = folder / f"{part.stem(piece)}-drawing.pdf"
        title = ", ".join(word for word in (part.job, part.name, piece.name, piece.hand) if word)
        pdf.write(path, sheets(part, piece, size), title, about="shop drawing")
        files.append(path)
    return files


def sheets(part: Part, piece: Piece, size: str = SIZE) -> list[Page]:
    """The sheets of one piece's drawing, on paper of that name."""
    return pages(_contents(part, piece, size), PAPERS[size])


def _contents(part: Part, piece: Piece, size: str) -> Contents:
    laid = layout(piece)
    wide, high = laid.box[2] - laid.box[0], laid.box[3] - laid.box[1]
    seen = folded.views(piece) if piece.blank.bends else None
    return Contents(
        blank=partial(_blank, piece, laid),
        views=None if seen is None else partial(_folded, seen),
        first=[[plan(piece)]],
        tables=[
            told.notes(part, piece, max(wide, high)),
            *told.tables(piece, laid, PAPERS[size]),
            told.cautions(part),
        ],
        title=partial(told.title, part, piece, size),
        size=(wide, high),
        across=0.0 if seen is None else max(folded.finished(seen)),
        spare=[] if piece.blank.bends else [folded.pictures(piece)],
    )


def _blank(piece: Piece, laid: Layout, scale: float, both: bool) -> Blank:
    """The blank's picture, and a table of the points that found no room in it."""
    wide, high = laid.box[2] - laid.box[0], laid.box[3] - laid.box[1]
    heading = [
        f"Blank {scale_words(scale)}, drawn face up",
        f"{text_of(wide)} × {text_of(high)} over all; this face: {piece.faces}",
        f"x from the {laid.x.words}, y from the {laid.y.words}",
    ]
    found = blank.drawn(piece, laid, scale, both, heading)
    return found.block, told.point_tables(laid, found.points)


def _folded(seen: folded.Views, scale: float) -> Block:
    sizes = " × ".join(map(text_of, folded.finished(seen)))
    heading = f"Folded {scale_words(scale)}, {sizes} outside"
    return folded.folded(seen, scale, heading)
