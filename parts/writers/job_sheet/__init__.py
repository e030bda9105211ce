"""One page for a browser that tells all of a part: `JOB-PART-job_sheet.html`.

It needs no network and no other file; links lead to the files beside it. It has the picture, which
turns, what to check before the rest is cut, cut list, pieces, figures, charts, notes, cautions,
files, and a page for the engineer with the measured values. The same part gives the same bytes.
"""

from __future__ import annotations

from pathlib import Path

from parts.part import Part
from parts.writers.html_page import rendered

HERE = Path(__file__).parent
VIEWER = Path(__file__).parents[2] / "paper" / "turn.js"


def write(part: Part, folder: Path) -> list[Path]:
    """Write the page; returns the file."""
    path = folder / f"{part.stem_of('job_sheet')}.html"
    path.write_text(text(part), encoding="utf-8", newline="\n")
    return [path]


def text(part: Part) -> str:
    """The whole page. Wakes the kernel, for the pictures."""
    from parts.writers.job_sheet import content, pictures

    return rendered(
        HERE / "page.html",
        sheet=content.of(part),
        pieces=pictures.of_pieces(part),
        whole=pictures.of_part(part),
        charts=pictures.of_charts(part),
        sketches=pictures.of_sketches(part),
        style=(HERE / "page.css").read_text(encoding="utf-8"),
        viewer=VIEWER.read_text(encoding="utf-8"),
    )
