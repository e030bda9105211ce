"""Words and tables of the drawing: holes, bends, points, tolerances, cautions, the title block."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from parts.paper.dimensions import text_of
from parts.paper.layout import Block, shifted
from parts.paper.page import Mark
from parts.paper.setting import PAPERS
from parts.paper.table import Column, most_rows, paragraph, table
from parts.paper.title_block import Cell, title_block
from parts.part import Part, Piece, thickness_words
from parts.sheet.curve import Point
from parts.sheet.grain import grain_of
from parts.tables import Row, rows
from parts.writers.drawing.bends import BendRow, bend_rows
from parts.writers.drawing.marks import Layout
from parts.writers.drawing.sheets import Shapes

CLASS_2768, CLASS_9013 = "m", "1"
WIDTHS = (80.0, 105.0, 140.0, 170.0, 205.0, 240.0)  # mm that the notes may be wide
MOST_CAUTIONS = 4
MOST_BENDS = 8  # in one table
MOST_LETTERS = 30  # of a name in a table
LETTERS = "abcdefghijklmnopqrstuvwxyz"
GENERAL = (
    "Made from measurements given by the user: check the first part against the vehicle before "
    "cutting the rest. Nothing here is certified."
)
HOLES = (
    Column(("no.",)), Column(("name",), "left"), Column(("what",), "left"),
    Column(("size",), "left"), Column(("x",)), Column(("y",)),
)  # fmt: skip
POINTS = (Column(("point",), "left"), Column(("x",)), Column(("y",)))
BENDS = (
    ("bend",), ("way",), ("turn",), ("included", "angle"), ("inside", "radius"),
    ("allow-", "ance"), ("by",), ("deduc-", "tion"), ("from the",), ("start",),
    ("back", "gauge"), ("outside", "leg"),
)  # fmt: skip


def hole_rows(laid: Layout) -> list[tuple[str, ...]]:
    """One opening a row: number, name, what, size, and its middle read on the two tapes."""
    return [
        (str(number), _short(o.name), o.what, o.size, *_read(laid, o.middle))
        for number, o in enumerate(laid.openings, 1)
    ]


def _short(name: str) -> str:
    """A name no longer than a table has room for.

    >>> _short("a name of more letters than a table has room for")
    'a name of more letters than a…'
    """
    return name if len(name) <= MOST_LETTERS else f"{name[: MOST_LETTERS - 1]}…"


def point_rows(laid: Layout, points: Sequence[Point]) -> list[tuple[str, ...]]:
    """Points that found no room among the dimensions."""
    return [(f"P{number}", *_read(laid, p)) for number, p in enumerate(points, 1)]


def _read(laid: Layout, point: Point) -> tuple[str, str]:
    return text_of(laid.x.reading(point[0])), text_of(laid.y.reading(point[1]))


def tables(piece: Piece, laid: Layout, paper: tuple[float, float]) -> list[Shapes]:
    """Tables of holes and bends, each no larger than a sheet of the paper holds."""
    found = bend_rows(piece)
    each = [found[k : k + MOST_BENDS] for k in range(0, len(found), MOST_BENDS)]
    bends = [bend_tables(some, 1 + k * MOST_BENDS) for k, some in enumerate(each)]
    return [*_cut_up("Openings, x and y from 0", HOLES, hole_rows(laid), paper), *bends]


def point_tables(laid: Layout, points: Sequence[Point]) -> list[Shapes]:
    """Tables of the points that found no room among the dimensions."""
    return _cut_up("Edge points", POINTS, point_rows(laid, points), PAPERS["A4"])


def _cut_up(
    title: str, columns: Sequence[Column], cells: Sequence[tuple[str, ...]],
    paper: tuple[float, float],
) -> list[Shapes]:  # fmt: skip
    """A table in parts that fit on a sheet of the paper, however it is turned."""
    most = most_rows(min(paper) - 75.0, columns)
    parts = [cells[k : k + most] for k in range(0, len(cells), most)]
    return [[table(title, columns, some)] for some in parts]


def bend_tables(found: Sequence[BendRow], first: int = 1) -> list[Block]:
    """The bends as a table a row each, and as one a column each, for a narrow place."""
    sources = list(dict.fromkeys(one.source for one in found))
    cells = [_bend_cells(number, one, sources) for number, one in enumerate(found, first)]
    notes = _bend_notes(found, sources, first)
    level = table("Bends", [Column(head, "left") for head in BENDS], cells)
    upright = table(
        "Bends",
        [Column((" ".join(BENDS[0]),), "left"), *(Column((row[0],), "left") for row in cells)],
        [("".join(_joined(head)), *(row[k] for row in cells))
         for k, head in enumerate(BENDS) if k > 0],
    )  # fmt: skip
    return [_under(level, notes), _under(upright, notes)]


def _joined(head: tuple[str, ...]) -> str:
    """A head of several lines in one."""
    return " ".join(head).replace("- ", "")


def _bend_cells(number: int, one: BendRow, sources: list[str]) -> tuple[str, ...]:
    turn = f"{one.turn_deg:.4g}°"
    if one.over_deg is not None:
        turn += f", over to {one.over_deg:.4g}°"
    start = one.from_edge
    where = ("–",) * 4
    if start is not None:
        star = "*" if start.across else ""
        where = (start.edge, text_of(start.start), text_of(start.middle) + star,
                 "–" if star else text_of(start.leg))  # fmt: skip
    elif one.ends:
        where = ("corners", "–", ", ".join(text_of(end.far) for end in one.ends), "–")
    return (
        f"B{number} {_short(one.name)}",
        "↑ up" if one.up else "↓ down",
        turn,
        f"{180 - one.turn_deg:.4g}°",
        f"{one.radius:.4g}" + (" rolled" if one.rolled else ""),
        f"{one.allowance:.2f}",
        LETTERS[sources.index(one.source) % len(LETTERS)],
        "–" if one.deduction is None else f"{one.deduction:.2f}",
        *where,
    )


def _bend_notes(found: Sequence[BendRow], sources: list[str], first: int) -> list[str]:
    notes = [f"{LETTERS[k % len(LETTERS)]}: {source}" for k, source in enumerate(sources)]
    notes[0] = f"Allowance by {notes[0]}"
    if any(one.from_edge is not None for one in found):
        notes.append(
            "Start and back gauge (to the middle of the bend): square from the edge named, on the "
            "flat blank. Outside leg: finished, from that edge."
        )
    past = [one for one in found if one.turn_deg > 90 and one.deduction is not None]
    if past:
        leg = any(one.from_edge is not None and not one.from_edge.across for one in past)
        notes.append(
            "Past 90°: deduction from legs to where the outer faces meet"
            + ("; outside leg to the outermost face." if leg else ".")
        )
    if any(one.from_edge is not None and one.from_edge.across for one in found):
        notes.append("* another bend lies between: gauge it before that one is bent.")
    for number, one in enumerate(found, first):
        if one.from_edge is None and not one.rolled:
            notes.append(_by_its_ends(f"B{number}", one))
    return notes


def _by_its_ends(name: str, one: BendRow) -> str:
    """How to mark a bend that no straight edge runs along."""
    if not one.ends:
        return f"{name}: no straight edge runs along it; mark both ends of its line."
    a, b = (
        f"on the {end.edge}, {text_of(end.far)} from its {end.corner}" for end in one.ends
    )
    return f"{name}: no straight edge runs along it. Mark the middle of the bend {a}; and {b}."


def _under(block: Block, sentences: Sequence[str]) -> Block:
    """Sentences under a table."""
    notes = paragraph("", sentences, max(block.width, 75.0))
    lift = notes.height + 1.5
    marks: tuple[Mark, ...] = tuple(shifted(mark, (0.0, lift)) for mark in block.marks)
    return Block(max(block.width, notes.width), block.height + lift, (*notes.marks, *marks))


def notes(part: Part, piece: Piece, largest: float) -> Shapes:
    """Tolerances, which way is up, grain and the part's own note, in several widths."""
    sentences = note_sentences(part, piece, largest)
    return [paragraph("Notes", sentences, wide) for wide in WIDTHS]


def note_sentences(part: Part, piece: Piece, largest: float) -> list[str]:
    """The same, sentence by sentence."""
    sentences = [
        "Dimensions in mm. Running dimensions read as on a tape hooked on the edge marked 0.",
        f"General tolerances ISO 2768-1 class {CLASS_2768}: {_general(largest)}.",
        _cut(piece.stock.thickness, largest),
    ]
    if piece.blank.bends:
        sentences.append(
            "Up bends come toward you as you look at the drawn face, down bends go away from you."
        )
    grain = grain_of(piece.folded, piece.stock.material)
    if grain is not None:
        sentences.append(f"Grain of the sheet: at {grain.angle_deg:.4g}° to the level edge of this "
                         "drawing, anticlockwise.")  # fmt: skip
    if part.note:
        sentences.append(part.note[:1].upper() + part.note[1:].rstrip(".") + ".")
    return sentences


def cautions(part: Part) -> Shapes:
    """The part's first cautions in short, in several widths."""
    sentences = [GENERAL, *map(_first_sentence, part.cautions[:MOST_CAUTIONS])]
    if len(part.cautions) > MOST_CAUTIONS:
        sentences.append("More cautions belong to this part: read them before work starts.")
    return [paragraph("Cautions", sentences, wide) for wide in WIDTHS]


def _first_sentence(words: str) -> str:
    """Up to the first full stop that ends a sentence.

    >>> _first_sentence("Not over 2.5 mm. Ask first.")
    'Not over 2.5 mm.'
    """
    head, dot, _ = words.partition(". ")
    return head + ("." if dot else "")


def _general(largest: float) -> str:
    ours = [row for row in rows("iso_2768") if row["class"] == CLASS_2768]
    return _steps(ours, largest)


def _cut(thickness: float, largest: float) -> str:
    ours = [
        row
        for row in rows("iso_9013")
        if row["class"] == CLASS_9013
        and float(row["over_thickness_mm"]) < thickness <= float(row["to_thickness_mm"])
    ]
    if not ours:
        return "Cut edges: ISO 9013, class as agreed with the cutter."
    return f"Cut edges ISO 9013 class {CLASS_9013} at {thickness:.4g} mm: {_steps(ours, largest)}."


def _steps(table_rows: Sequence[Row], largest: float) -> str:
    """Tolerances by size, as far as the blank reaches; equal neighbours told together."""
    found: list[tuple[float, str]] = []
    for row in table_rows:
        value = f"±{float(row['plus_minus_mm']):g}"
        if found and found[-1][1] == value:
            found[-1] = (float(row["to_mm"]), value)
        else:
            found.append((float(row["to_mm"]), value))
        if float(row["to_mm"]) >= largest:
            break
    reach = found[-1][0] if found else inf
    words = ", ".join(f"to {to:g} {value}" for to, value in found)
    return words if reach >= largest else f"{words}, larger as agreed"


def title(part: Part, piece: Piece, paper: str, scale: str, sheet: int, sheets: int) -> Block:
    """The title block of one sheet."""
    metal, hand = piece.stock.material.name, piece.hand or "no hand"
    day = part.made_on.isoformat() if part.made_on else "–"
    return title_block(
        (
            (
                Cell("job", part.job, 52.0),
                Cell("part", part.name, 52.0, bold=True),
                Cell("piece", piece.name, 46.0, bold=True),
                Cell("hand", hand, 30.0, bold=True),
            ),
            (
                Cell("material", metal, 52.0),
                Cell("thickness", f"{thickness_words(piece.stock.thickness)} mm", 26.0),
                Cell("quantity", f"{piece.quantity} off", 26.0),
                Cell("mass of one", f"{piece.mass_kg:.3f} kg", 46.0),
                Cell("date", day, 30.0),
            ),
            (
                Cell("file", part.stem(piece), 104.0),
                Cell("scale", scale, 20.0),
                Cell("", "", 26.0, sign=True),
                Cell(f"{paper}, sheet", f"{sheet} of {sheets}", 30.0),
            ),
        )
    )
