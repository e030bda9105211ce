"""How many sheets the job takes, `JOB-nesting.pdf`: the blanks on their sheets, to scale.

For each material and thickness the sheets with every blank on them, a list of what is what, and
how much is left. It is for buying sheet and for cost: the cutter makes a nest of his own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

from parts.nesting.model import Nest
from parts.paper import pdf
from parts.paper.layout import Block
from parts.paper.page import Page
from parts.paper.setting import PAPERS
from parts.whole import WholeJob
from parts.writers.drawing.sheets import Blank, Contents, pages
from parts.writers.whole.nesting import picture, told

SIZE = "A4"  # where the shop prints on a roll
MOST = 2  # sheets in one picture
BESIDE = 12  # rows of a list that must stand beside the picture; a longer one may not
MANY = 30  # blanks on a sheet that has a picture to itself


def write(whole: WholeJob, folder: Path) -> list[Path]:
    """Write the nests; returns the file."""
    path = folder / f"{whole.stem_of('nesting')}.pdf"
    pdf.write(path, sheets(whole), f"{whole.job}, sheets to buy", about="nesting")
    return [path]


def sheets(whole: WholeJob) -> list[Page]:
    """The pages of all nests, numbered through."""
    size = whole.paper.paper if whole.paper.paper in PAPERS else SIZE
    paper = PAPERS[size]
    every = [one for nest in whole.nests for one in _contents(whole, nest, size)]
    count = sum(len(pages(contents, paper)) for contents in every)
    found: list[Page] = []
    for contents in every:
        title = partial(_numbered, contents, len(found), count)
        found += pages(replace(contents, title=title), paper)
    return found


def _numbered(
    contents: Contents, before: int, count: int, scale: str, number: int, _: int
) -> Block:
    return contents.title(scale, before + number, count)


def _contents(whole: WholeJob, nest: Nest, size: str) -> Iterator[Contents]:
    """What stands on the pages of one nest: a few sheets, the list of what lies on them; and with
    the first of them the words on all."""
    many = any(len(sheet.placed) > MANY for sheet in nest.sheets)
    step = 1 if many else MOST
    for first in range(0, max(len(nest.sheets), 1), step):
        shown = range(first, min(first + step, len(nest.sheets)))
        listed, words = told.listed(nest, shown, PAPERS[size]), [told.notes(nest)]
        beside = told.rows(nest, shown) <= BESIDE
        yield Contents(
            blank=partial(_picture, nest, shown),
            views=None,
            first=listed if beside else [],
            tables=[*([] if beside else listed), *(words if first == 0 else [])],
            title=partial(told.title, whole, nest, size),
            size=picture.size(nest, shown),
            across=0.0,
        )


def _picture(nest: Nest, shown: range, scale: float, _: bool) -> Blank:
    return picture.drawn(nest, shown, scale), []
