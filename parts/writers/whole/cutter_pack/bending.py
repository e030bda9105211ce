"""The drawing of one sheet that goes with a piece to be bent: its blank, its bends, its sizes.

It is the shop drawing less what is no business of a cutter: where on the vehicle the piece sits,
and the cautions for who fits it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import partial

from parts.paper.dimensions import text_of
from parts.paper.layout import Block
from parts.paper.page import Page
from parts.paper.setting import PAPERS
from parts.paper.table import paragraph
from parts.paper.title_block import Cell, title_block
from parts.part import thickness_words
from parts.sheet.bend_side import is_rolled
from parts.sheet.curve import Point
from parts.writers.drawing import blank, folded, told
from parts.writers.drawing.marks import Layout, layout
from parts.writers.drawing.sheets import Blank, Contents, Shapes, one_page, scale_words
from parts.writers.whole.cutter_pack.order import OrderLine

LARGER = {"A2": (420.0, 594.0), "A1": (594.0, 841.0), "A0": (841.0, 1189.0)}  # ISO 216
WIDTHS = (80.0, 105.0, 140.0, 170.0, 205.0)  # mm that the notes may be wide
SQUARENESS = "Turns of bends ±1° (common practice)."


@dataclass(frozen=True, eq=False)
class _Drawn:
    """A piece as it is drawn on whatever paper, each scale once."""

    line: OrderLine
    laid: Layout
    seen: folded.Views
    blanks: dict[tuple[float, bool], blank.Drawn] = field(default_factory=dict)
    bent: dict[float, Block] = field(default_factory=dict)

    @property
    def size(self) -> Point:
        """Of the blank, mm."""
        x0, y0, x1, y1 = self.laid.box
        return (x1 - x0, y1 - y0)

    def on(self, paper: str, points: bool) -> Page | None:
        """The sheet on paper of that name, if it takes it; `points` asks for a table of the
        points that find no room among the readings."""
        piece = self.line.piece
        tables = told.tables(piece, self.laid, PAPERS.get(paper, PAPERS["A3"]))
        contents = Contents(
            blank=partial(self._blank, points),
            views=self._bent,
            first=[],
            tables=[_notes(self.line, max(self.size)), *tables],
            title=partial(_title, self.line, paper),
            size=self.size,
            across=max(folded.finished(self.seen)),
        )
        return one_page(contents, {**PAPERS, **LARGER}[paper])

    def _blank(self, points: bool, scale: float, both: bool) -> Blank:
        laid, (wide, high) = self.laid, self.size
        if (scale, both) not in self.blanks:
            heading = [
                f"Blank {scale_words(scale)}, drawn face up",
                f"{text_of(wide)} × {text_of(high)} over all; cut to the DXF, not to this",
                f"x from the {laid.x.words}, y from the {laid.y.words}",
            ]
            drawn = blank.drawn(self.line.piece, laid, scale, both, heading)
            self.blanks[scale, both] = drawn
        found = self.blanks[scale, both]
        return found.block, told.point_tables(laid, found.points) if points else []

    def _bent(self, scale: float) -> Block:
        if scale not in self.bent:
            sizes = " × ".join(map(text_of, folded.finished(self.seen)))
            heading = f"Bent {scale_words(scale)}, {sizes} outside"
            self.bent[scale] = folded.folded(self.seen, scale, heading)
        return self.bent[scale]


def bending_sheet(line: OrderLine) -> Page:
    """The sheet of one piece, on the smallest paper that takes it. Wakes the kernel.

    Raises ValueError for a piece that no paper takes.
    """
    piece, own = line.piece, line.part.paper.paper
    drawn = _Drawn(line, layout(piece), folded.views(piece))
    papers = dict.fromkeys((own if own in PAPERS else "A4", "A3", *LARGER))
    for paper in papers:
        for points in (True, False):
            page = drawn.on(paper, points)
            if page is not None:
                return page
    raise ValueError(f"{line.pdf}: no paper takes this piece on one sheet")


def _notes(line: OrderLine, largest: float) -> Shapes:
    """The notes of the shop drawing, but for the user's own, with what a bending shop asks."""
    part, piece = replace(line.part, note=""), line.piece
    sentences = [*_first(line), *told.note_sentences(part, piece, largest), SQUARENESS]
    return [paragraph("Notes", sentences, wide) for wide in WIDTHS]


def _first(line: OrderLine) -> Iterator[str]:
    hand = f"{line.piece.hand} hand" if line.piece.hand else "no hand: there is one sort only"
    yield f"This is the {hand}." if line.piece.hand else f"This piece has {hand}."
    yield "Hold the outside legs; the allowance used is in the table."
    if any(is_rolled(bend, line.piece.stock.thickness) for bend in line.piece.blank.bends):
        yield "The wide radius is rolled between the lines drawn."


def _title(line: OrderLine, paper: str, scale: str, sheet: int, sheets: int) -> Block:
    """The title block: whose it is, what it is made of, how many."""
    part, piece = line.part, line.piece
    day = part.made_on.isoformat() if part.made_on else "–"
    files = line.dxf.removesuffix(".dxf")
    return title_block(
        (
            (
                Cell("job", part.job, 52.0),
                Cell("part", part.name, 52.0, bold=True),
                Cell("piece", piece.name, 46.0, bold=True),
                Cell("hand", piece.hand or "no hand", 30.0, bold=True),
            ),
            (
                Cell("material", piece.stock.material.name, 52.0),
                Cell("thickness", f"{thickness_words(piece.stock.thickness)} mm", 26.0),
                Cell("quantity", f"{piece.quantity} off", 26.0),
                Cell("mass of one", f"{piece.mass_kg:.3f} kg", 46.0),
                Cell("date", day, 30.0),
            ),
            (
                Cell(f"no. {line.number} of the order; files", files, 104.0),
                Cell("scale", scale, 20.0),
                Cell("", "", 26.0, sign=True),
                Cell(f"{paper}, sheet", f"{sheet} of {sheets}", 30.0),
            ),
        )
    )
