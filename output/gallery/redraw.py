"""Draw the pictures of the README again, from the demo job.

    python output/gallery/redraw.py

Every picture is made of the same marks as the paper it shows, without a browser, so that it can
be told when one is out of date: `tests/test_gallery.py` does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from parts import load
from parts.paper.page import Page, Window
from parts.paper.sheets import pages as template_pages
from parts.paper.svg import text
from parts.part import Part, Piece, Sketch
from parts.whole import WholeJob
from parts.writers import drawing, fold_sheet, templates
from parts.writers.job_sheet import charting, picturing, sketching
from parts.writers.whole import nesting
from parts.writers.whole.overview import plan

HERE = Path(__file__).parent
CONFIGS = HERE.parents[1] / "configs"
DEMO, LID = CONFIGS / "tin_wren.toml", CONFIGS / "tin_wren_lid.toml"
GAP, WORDS, LETTERS = 8.0, 9.0, 4.5  # mm: between pictures, for a caption, height of capitals


def main() -> None:
    """Write every picture beside this file, and remove those that are no more."""
    drawn = pictures()
    for old in HERE.glob("*.svg"):
        if old.name not in drawn:
            old.unlink()
    for name, picture in drawn.items():
        (HERE / name).write_text(picture, encoding="utf-8", newline="\n")


def pictures() -> dict[str, str]:
    """Every picture by the name of its file."""
    job = load(DEMO)
    whole = job.whole(list(job.parts()))
    return {name: text(_on_white(page), said) for name, page, said in _pages(whole)}


def _pages(whole: WholeJob) -> Iterator[tuple[str, Page, str]]:
    by = {part.name: part for part in whole.parts}
    mount, lid = by["rear_mount"], by["boot_lid"]
    bracket = mount.pieces[0]
    folded = [(part, _of_hand(part, "right")) for part in whole.parts]
    yield (
        "folded.svg",
        _side_by_side([picturing.pictorial(some, "right") for _, some in folded],
                  [part.name.replace("_", " ") for part, _ in folded]),
        "the right hand of every part of the demo, folded",
    )  # fmt: skip
    yield "drawing.svg", drawing.sheets(mount, bracket)[0], "a sheet of a shop drawing"
    yield "fold_sheet.svg", fold_sheet.pages(mount, bracket)[0], "a fold sheet"
    template = templates.drawing_of(mount, bracket)
    yield "template.svg", next(iter(template_pages(template, mount.paper))), "a paper template"
    charts = [charting.page_of(chart) for chart in lid.charts[:2]]
    yield "charts.svg", _side_by_side(charts, [c.title for c in lid.charts[:2]]), "charts of a lid"
    swing, room = _sketch(lid, "side view"), _sketch(load(LID).part("found"), "where the pivot")
    yield (
        "swing.svg",
        _side_by_side([sketching.drawn(one).pages[-1] for one in (swing, room)],
                      ["the swing, near the hinge", "where the pivot may be"]),
        "a lid's swing from the side, and where its pivot may be",
    )  # fmt: skip
    yield "plan.svg", plan.page_of(whole), "all parts of the demo from above"
    yield "nesting.svg", nesting.sheets(whole)[0], "blanks on a sheet"


def _of_hand(part: Part, hand: str) -> list[Piece]:
    return [piece for piece in part.pieces if piece.hand in (hand, "")]


def _sketch(part: Part, title: str) -> Sketch:
    return next(one for one in part.sketches if one.title.startswith(title))


def _side_by_side(pages: Sequence[Page], captions: Sequence[str]) -> Page:
    """Pages in rows of two, each with words below it."""
    wide = max(page.width for page in pages)
    rows = [pages[k : k + 2] for k in range(0, len(pages), 2)]
    heights = [max(page.height for page in row) + WORDS for row in rows]
    whole = Page(2 * wide + GAP, sum(heights) + GAP * (len(rows) - 1))
    top = whole.height
    for number, (row, high) in enumerate(zip(rows, heights, strict=True)):
        for k, page in enumerate(row):
            left, low = k * (wide + GAP) + (wide - page.width) / 2, top - high + WORDS
            corner = (left + page.width, low + page.height)
            whole.add(Window((left, low), corner, (0.0, 0.0), (1.0, 1.0), tuple(page.marks)))
            middle = (left + page.width / 2, low - WORDS + 1.5)
            whole.words(captions[2 * number + k], middle, LETTERS, "middle")
        top -= high + GAP
    return whole


def _on_white(page: Page) -> Page:
    """The page with paper under it, for screens that are dark."""
    white = Page(page.width, page.height)
    white.box((0.0, 0.0), (page.width, page.height), None, fill=1.0)
    white.add(*page.marks)
    return white


if __name__ == "__main__":
    main()
