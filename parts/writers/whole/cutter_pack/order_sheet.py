"""The order to be read by eye: a table on sheets of A4, a line a piece and hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from parts.paper import pdf
from parts.paper.page import Page
from parts.paper.pens import RULE
from parts.paper.setting import PAPERS
from parts.paper.table import wrapped
from parts.part import thickness_words
from parts.trade.cutter import Cutter
from parts.whole import WholeJob
from parts.writers.whole.cutter_pack.order import OrderLine

HIGH, WIDE = PAPERS["A4"]  # lying
MARGIN = 12.0
LETTERS, LARGE = 2.5, 5.0  # heights of capitals
LINE = 4.2  # mm from one line of words to the next
CELL = 1.2  # mm free on either side of a cell's words
HEAD_HIGH, TOP = LINE + 1.6, 18.0
FOOT = 4.0
NUMBERS = ("no.", "quantity", "thickness")
COLUMNS = (  # head, width in mm; the last takes what is left
    ("no.", 9.0), ("piece", 40.0), ("hand", 14.0), ("quantity", 19.0), ("material", 21.0),
    ("thickness", 22.0), ("blank, mm", 31.0), ("comes", 20.0), ("notes", 30.0), ("files", 67.0),
)  # fmt: skip

Lines = list[list[str]]  # of each cell, its lines of words


def pages(whole: WholeJob, cutter: Cutter, lines: Sequence[OrderLine]) -> list[Page]:
    """The sheets: as many as the lines need, the sums under the last of them."""
    cells = [_broken(row) for row in map(_row, lines)]
    sums = [line for one in _sums(cutter, lines) for line in wrapped(one, _room(), LETTERS)]
    sheets: list[list[Lines]] = [[]]
    for row in cells:
        if sheets[-1] and _high([*sheets[-1], row]) > _most():
            sheets.append([])
        sheets[-1].append(row)
    if _high(sheets[-1]) + (len(sums) + 1) * LINE > _most():
        sheets.append([])
    return [
        _page(whole, cutter, rows, sums if number == len(sheets) else [], number, len(sheets))
        for number, rows in enumerate(sheets, 1)
    ]


def _room() -> float:
    return WIDE - 2 * MARGIN


def _most() -> float:
    return HIGH - 2 * MARGIN - TOP - HEAD_HIGH - FOOT


def _widths() -> list[float]:
    first = [wide for _, wide in COLUMNS[:-1]]
    return [*first, _room() - sum(first)]


def _row(line: OrderLine) -> tuple[str, ...]:
    row = line.row
    kinds = [name.rpartition(".")[2].upper() for name in (line.dxf, line.step, line.pdf) if name]
    bends = [f"{row.bends} bend{'s' * (row.bends != 1)}"] if line.bent and row.bends else []
    bends += [f"{row.rolls} roll{'s' * (row.rolls != 1)}"] if line.bent and row.rolls else []
    return (
        str(line.number),
        row.piece if row.piece == row.part else f"{row.part} {row.piece}",
        row.hand or "–",
        str(row.quantity),
        row.material,
        f"{thickness_words(row.thickness)} mm",
        f"{row.wide:.1f} × {row.high:.1f}",
        ", ".join([line.comes, *bends]),
        "; ".join(line.notes),
        f"{line.dxf.removesuffix('.dxf')} ({', '.join(kinds)})",
    )


def _broken(row: Sequence[str]) -> Lines:
    """The cells in lines that keep to their columns; a long name may break after a hyphen."""
    return [
        _wrapped(words, wide - 2 * CELL) for words, wide in zip(row, _widths(), strict=True)
    ]


def _wrapped(words: str, room: float) -> list[str]:
    lines: list[str] = []
    for piece in words.replace("-", "-\0").replace(" ", " \0").split("\0"):
        if lines and pdf.width((lines[-1] + piece).rstrip(), LETTERS) <= room:
            lines[-1] += piece
        else:
            lines += wrapped(piece, room, LETTERS)
            if piece.endswith(" ") and lines:
                lines[-1] += " "
    return lines or [""]


def _tall(row: Lines) -> float:
    return max(map(len, row)) * LINE + 1.2


def _high(rows: Sequence[Lines]) -> float:
    return sum(map(_tall, rows))


def _sums(cutter: Cutter, lines: Sequence[OrderLine]) -> Iterator[str]:
    """How many pieces and how much metal, of each material and thickness."""
    count: Counter[tuple[str, float]] = Counter()
    mass_kg: Counter[tuple[str, float]] = Counter()
    for line in lines:
        key = (line.row.material, line.row.thickness)
        count[key] += line.row.quantity
        mass_kg[key] += line.row.quantity * line.row.mass_kg  # type: ignore[assignment]
    for metal, thickness in sorted(count):
        key = (metal, thickness)
        noun = "piece" if count[key] == 1 else "pieces"
        yield (f"{metal}, {thickness_words(thickness)} mm: {count[key]} {noun}, "
               f"{mass_kg[key]:.2f} kg finished")  # fmt: skip
    if cutter.note:
        yield f"Note: {cutter.note}"
    yield "Blanks are nominal: allow for your own kerf. See README.txt, and ask before changing."


def _page(
    whole: WholeJob, cutter: Cutter, rows: Sequence[Lines], sums: Sequence[str], number: int,
    count: int,
) -> Page:  # fmt: skip
    page = Page(WIDE, HIGH)
    day = f", {whole.made_on.isoformat()}" if whole.made_on else ""
    page.words(f"Order of job {whole.job}{day}", (MARGIN, HIGH - MARGIN - LARGE), LARGE, bold=True)
    of = f"profile {cutter.name}; sizes in mm, DXF {cutter.dxf.version}; the same in the CSV file"
    page.words(of, (MARGIN, HIGH - MARGIN - LARGE - 7.0), LETTERS)
    page.words(
        f"sheet {number} of {count}", (WIDE - MARGIN, HIGH - MARGIN - LARGE), LETTERS, "right"
    )
    y = HIGH - MARGIN - TOP
    if rows:
        y = _table(page, rows, y)
    for line, words in enumerate(sums, 1):
        page.words(words, (MARGIN, y - 1.0 - line * LINE), LETTERS)
    return page


def _table(page: Page, rows: Sequence[Lines], top: float) -> float:
    """The head and the rows, ruled; returns where they end."""
    widths = _widths()
    bottom = top - HEAD_HIGH - _high(rows)
    heads = [[head] for head, _ in COLUMNS]
    y = top
    page.line((MARGIN, y), (WIDE - MARGIN, y), RULE)
    for row, high, bold in ((heads, HEAD_HIGH, True), *((row, _tall(row), False) for row in rows)):
        x = MARGIN
        for (head, _), lines, wide in zip(COLUMNS, row, widths, strict=True):
            for k, words in enumerate(lines):
                base = y - 0.6 - (k + 1) * LINE + 1.3
                if head in NUMBERS:
                    page.words(words, (x + wide - CELL, base), LETTERS, "right", bold=bold)
                else:
                    page.words(words.rstrip(), (x + CELL, base), LETTERS, bold=bold)
            x += wide
        y -= high
        page.line((MARGIN, y), (WIDE - MARGIN, y), RULE)
    x = MARGIN
    for wide in (0.0, *widths):
        x += wide
        page.line((x, top), (x, bottom), RULE)
    return bottom
