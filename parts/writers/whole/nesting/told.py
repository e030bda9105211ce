"""Words on the pages of a nest: what is what, what was assumed, what is left, the title block."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from parts.nesting.model import Nest, Wanted
from parts.paper.layout import Block
from parts.paper.table import Column, most_rows, paragraph, table
from parts.paper.title_block import Cell, title_block
from parts.part import thickness_words
from parts.whole import WholeJob
from parts.writers.drawing.sheets import Shapes
from parts.writers.whole.nesting.picture import whole_mm

OWN_NEST = (
    "The cutter makes a nest of his own: this one is for buying sheet and for cost. Do not cut "
    "by it."
)
WIDTHS = (80.0, 105.0, 140.0, 170.0, 205.0, 240.0)  # mm that the notes may be wide
LONGEST = 26  # letters of a name in the list
LIST = (
    Column(("no.",)), Column(("part",), "left"), Column(("piece",), "left"),
    Column(("hand",), "left"), Column(("here",)), Column(("grain",), "left"),
)  # fmt: skip


def listed(nest: Nest, shown: range, paper: tuple[float, float]) -> list[Shapes]:
    """What the numbers stand for, and how many lie on the sheets shown."""
    here = [placed.number for k in shown for placed in nest.sheets[k].placed]
    lines = [
        (
            str(number + 1), _short(one.part), _short(one.piece), one.hand or "–",
            str(here.count(number)), "kept" if one.grain_deg is not None else "any way",
        )
        for number, one in _told(nest, shown)
    ]  # fmt: skip
    most = most_rows(min(paper) - 90.0, LIST)
    cut = [lines[k : k + most] for k in range(0, len(lines), most)]
    titles = ["Blanks", *["Blanks, further"] * (len(cut) - 1)]
    return [[table(title, LIST, some)] for title, some in zip(titles, cut, strict=True)]


def _told(nest: Nest, shown: range) -> list[tuple[int, Wanted]]:
    """The blanks on the sheets shown; with the first of them those that fit no sheet."""
    here = {placed.number for k in shown for placed in nest.sheets[k].placed}
    over = dict(nest.left_over) if shown.start == 0 else {}
    return [(k, one) for k, one in enumerate(nest.wanted) if k in here or k in over]


def rows(nest: Nest, shown: range) -> int:
    """How many rows the list of these sheets has."""
    return len(_told(nest, shown))


def _short(name: str) -> str:
    return name if len(name) <= LONGEST else f"{name[: LONGEST - 1]}…"


def notes(nest: Nest) -> Shapes:
    """What to buy and what it rests on, in several widths."""
    sentences = list(_sentences(nest))
    return [paragraph("Sheets to buy", sentences, wide) for wide in WIDTHS]


def to_buy(nest: Nest) -> str:
    """How many sheets of which size, in words.

    >>> from parts.nesting.model import Rules, Sheet
    >>> from parts.sheet.press import Sourced
    >>> rules = Rules(Sourced(6, "own"), Sourced(10, "own"), (), "own")
    >>> to_buy(Nest(("tub",), "DC01", 1.2, (), rules, (Sheet((2000, 1000), ()),) * 2))
    '2 sheets of 2000 × 1000 mm'
    """
    told = [
        f"{count} {'sheet' if count == 1 else 'sheets'} of {size[0]:g} × {size[1]:g} mm"
        for size, count in nest.by_size
    ]
    return " and ".join(told) or "no sheet"


def _sentences(nest: Nest) -> Iterator[str]:
    rules = nest.rules
    if nest.sheets:
        yield f"{to_buy(nest)}; {100 * nest.used_share:.0f} % of that is metal of the blanks."
    yield OWN_NEST
    yield (
        f"Gap between blanks {rules.gap.value:g} mm ({rules.gap.source}); margin to the edge "
        f"{rules.margin.value:g} mm ({rules.margin.source})."
    )
    yield f"Sizes of sheet: {rules.sizes_source}."
    if nest.note:
        yield nest.note
    elif nest.by == "boxes":
        yield "Laid by the box round each blank."
    else:
        yield "Laid by the true shape of the blanks."
    if any(one.grain_deg is not None for one in nest.wanted):
        yield "Blanks whose grain is kept lie with it along the arrow, or turned half round."
    off = nest.off_cut
    if off is not None and off.strip > 0:
        yield f"A strip of {whole_mm(off.strip)} mm over the whole width of the last sheet is left."
    for number, count in nest.left_over:
        yield f"Not placed, for it fits no sheet: {count} of no. {number + 1}."


def title(whole: WholeJob, nest: Nest, paper: str, scale: str, sheet: int, sheets: int) -> Block:
    """The title block of one page."""
    day = whole.made_on.isoformat() if whole.made_on else "–"
    fields: Sequence[Sequence[Cell]] = (
        (
            Cell("job", whole.job, 52.0),
            Cell("paper", "sheets to buy", 50.0, bold=True),
            Cell("material", nest.material, 48.0, bold=True),
            Cell("thickness", f"{thickness_words(nest.thickness)} mm", 30.0, bold=True),
        ),
        (
            Cell("stock", ", ".join(nest.stocks), 52.0),
            Cell("to buy", to_buy(nest), 98.0),
            Cell("date", day, 30.0),
        ),
        (
            Cell("gap", f"{nest.rules.gap.value:g} mm", 26.0),
            Cell("margin", f"{nest.rules.margin.value:g} mm", 26.0),
            Cell("used", f"{100 * nest.used_share:.0f} %", 24.0),
            Cell("file", whole.stem_of("nesting"), 54.0),
            Cell("scale", scale if nest.sheets else "–", 20.0),
            Cell(f"{paper}, sheet", f"{sheet} of {sheets}", 30.0),
        ),
    )
    return title_block(fields)
