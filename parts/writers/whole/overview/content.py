"""What the page of a whole job says: all that is not its plan."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from parts.part import Part
from parts.tables import rows
from parts.whole import WholeJob
from parts.writers.cut_rows import cut_rows
from parts.writers.job_sheet.content import GENERAL, Cost, cost_words, measure_again
from parts.writers.job_sheet.rows import CutWords, cut_row, kg_words
from parts.writers.job_sheet.wording import name_words

PAPERS = (".csv", ".pdf", ".dxf", ".svg", ".zip", ".html", ".json", ".txt")
WORST = 3  # findings told of a part; the others stand on its job sheet
SUMMED = 3  # sentences of a summary
PICTURED = 60  # parts; a page of more would be too large with a picture of each
LAST = 99  # place in the order of work of a kind that no table knows
SAID = {
    ".csv": "list for a spreadsheet", ".pdf": "paper", ".dxf": "to cut", ".svg": "picture",
    ".zip": "what the cutter wants, packed for this one", ".html": "page", ".json": "numbers",
    ".txt": "notes",
}  # fmt: skip
KNOWN = {
    "cut_list.csv": "cut list of all parts, for a spreadsheet",
    "nesting.pdf": "how many sheets to buy, with every blank on them",
}


@dataclass(frozen=True, slots=True)
class Tile:
    """A part in short. `picture` is SVG of its job sheet; `sheet` and `picture` are "" without."""

    number: int
    title: str
    kind: str
    picture: str
    sentences: tuple[str, ...]
    worst: tuple[tuple[str, str], ...]
    more: int
    pieces: int
    mass: str
    sheet: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the work: what is made, why now, and what to check before the rest is cut."""

    title: str
    why: str
    checks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cuts:
    """The rows of the cut list of one part."""

    title: str
    folder: str
    rows: tuple[CutWords, ...]


@dataclass(frozen=True, slots=True)
class Overview:
    """The words of the whole page."""

    job: str
    facts: tuple[tuple[str, str], ...]
    general: str
    tiles: tuple[Tile, ...]
    steps: tuple[Step, ...]
    cautions: tuple[tuple[str, str], ...]
    cuts: tuple[Cuts, ...]
    sheets: tuple[tuple[str, str, str], ...]
    mass: str
    cost: Cost
    papers: tuple[tuple[str, str], ...]


def of(whole: WholeJob, beside: Iterable[str]) -> Overview:
    """The words of a job's page."""
    pieces = [piece for part in whole.parts for piece in part.pieces]
    mass = sum(piece.mass_kg * piece.quantity for piece in pieces)
    return Overview(
        job=name_words(whole.job),
        facts=tuple(_facts(whole)),
        general=GENERAL,
        tiles=tuple(_tile(whole, number, part) for number, part in enumerate(whole.parts, 1)),
        steps=tuple(_steps(whole.parts)),
        cautions=tuple(_cautions(whole.parts)),
        cuts=tuple(_cuts(whole, part) for part in whole.parts),
        sheets=tuple(_sheets(whole.parts)),
        mass=kg_words(mass),
        cost=cost_words(whole.cost),
        papers=tuple((name, _paper(name)) for name in beside),
    )


def _paper(name: str) -> str:
    """What a paper of the job is, by the end of its name."""
    for end, words in {**KNOWN, **SAID}.items():
        if name.endswith(end):
            return words
    return ""


def _facts(whole: WholeJob) -> Iterator[tuple[str, str]]:
    if whole.vehicle:
        yield "Vehicle", whole.vehicle
    if whole.stance:
        yield "How it stood when measured", whole.stance
    yield "Parts", str(len(whole.parts))
    yield "Pieces to cut", str(sum(p.quantity for part in whole.parts for p in part.pieces))
    mass = sum(p.mass_kg * p.quantity for part in whole.parts for p in part.pieces)
    yield "All together", kg_words(mass)
    yield "Date of the job", whole.made_on.isoformat() if whole.made_on else "none given"


def _tile(whole: WholeJob, number: int, part: Part) -> Tile:
    name = f"{part.stem_of('job_sheet')}.html"
    page = whole.proved(part, name)
    worst = sorted(part.findings, key=lambda finding: not finding.refuses)
    return Tile(
        number,
        name_words(part.name),
        name_words(part.kind),
        first_picture(page.decode("utf-8")) if page and len(whole.parts) <= PICTURED else "",
        part.summary[:SUMMED] or ((part.note,) if part.note else ()),
        tuple((one.where, f"{one.found}; needs {one.needed}") for one in worst[:WORST]),
        max(len(worst) - WORST, 0),
        sum(piece.quantity for piece in part.pieces),
        kg_words(sum(piece.mass_kg * piece.quantity for piece in part.pieces)),
        "" if page is None else f"../{part.name}/{name}",
    )


def first_picture(page: str) -> str:
    """The first picture of a page.

    >>> first_picture("<p><svg a><path/></svg> <svg b></svg>")
    '<svg a><path/></svg>'
    """
    start, end = page.find("<svg"), page.find("</svg>")
    return page[start : end + len("</svg>")] if 0 <= start < end else ""


def _steps(parts: Sequence[Part]) -> Iterator[Step]:
    """What to measure again, then part by part in the order of the trade."""
    again = tuple(measure_again(one for part in parts for one in part.measurements))
    if again:
        yield Step("Measure again", "a misread there would show in no other reading", again)
    known = {row["kind"]: row for row in rows("order_of_work")}
    places = {kind: int(row["place"]) for kind, row in known.items()}
    for part in sorted(parts, key=lambda part: places.get(part.kind, LAST)):
        why = known[part.kind]["why"] if part.kind in known else ""
        hands = " and ".join(h for h in dict.fromkeys(p.hand for p in part.pieces) if h)
        first = f"one of each piece, {hands}" if hands else "one of each piece"
        yield Step(
            name_words(part.name), why,
            (
                f"Cut {first}, or the same in card by its paper template, and offer it up; then "
                "cut the rest.",
                *dict.fromkeys(f"{one.where}: {one.remedy}." for one in part.findings),
            ),
        )  # fmt: skip


def _cautions(parts: Sequence[Part]) -> Iterator[tuple[str, str]]:
    """Every caution once, with the parts it belongs to."""
    of: dict[str, list[str]] = {}
    for part in parts:
        for caution in part.cautions:
            of.setdefault(caution, []).append(name_words(part.name))
    for caution, names in of.items():
        yield caution, "" if len(names) == len(parts) else ", ".join(names)


def _cuts(whole: WholeJob, part: Part) -> Cuts:
    cut = zip(part.pieces, cut_rows(part), strict=True)
    built = whole.proved(part, f"{part.stem(part.pieces[0])}.dxf") if part.pieces else None
    folder = "" if built is None else f"../{part.name}/"
    return Cuts(name_words(part.name), folder, tuple(cut_row(*pair) for pair in cut))


def _sheets(parts: Sequence[Part]) -> Iterator[tuple[str, str, str]]:
    """What sheet is bought: each material and thickness, its pieces, their area and mass."""
    found: dict[str, tuple[int, float, float]] = {}
    for part in parts:
        for piece, row in zip(part.pieces, cut_rows(part), strict=True):
            stock = cut_row(piece, row).stock
            count, area, mass = found.get(stock, (0, 0.0, 0.0))
            found[stock] = (
                count + row.quantity,
                area + row.quantity * row.wide * row.high,
                mass + row.quantity * row.mass_kg,
            )
    for stock, (count, area, mass) in sorted(found.items()):
        yield stock, f"{count} pieces, {area / 1e6:.2f} m² of boxes round them", kg_words(mass)
