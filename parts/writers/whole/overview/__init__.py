"""One page for a browser that tells all of a job: `JOB-overview.html`.

It needs no network and no other file; links lead to the parts' own job sheets in the folders
beside it. It has a plan of all parts at their places, a tile a part, the order of work, the cut
list of all, every caution once, and the papers that lie beside it. The same job gives the same
bytes; of the files of the parts only proved ones are linked.
"""

from __future__ import annotations

from pathlib import Path

from parts.paper import svg
from parts.whole import WholeJob
from parts.writers.html_page import rendered
from parts.writers.whole.overview import content, plan

HERE = Path(__file__).parent
STYLE = Path(__file__).parents[2] / "job_sheet" / "page.css"


def write(whole: WholeJob, folder: Path) -> list[Path]:
    """Write the page; returns the file. Papers of the job that lie in `folder` are linked."""
    path = folder / f"{whole.stem_of('overview')}.html"
    beside = sorted(one.name for one in folder.iterdir() if one.suffix in content.PAPERS)
    path.write_text(text(whole, beside), encoding="utf-8", newline="\n")
    return [path]


def text(whole: WholeJob, beside: list[str]) -> str:
    """The whole page; `beside` names the papers of the job in its folder."""
    style = STYLE.read_text(encoding="utf-8") + (HERE / "page.css").read_text(encoding="utf-8")
    return rendered(
        HERE / "page.html",
        all=content.of(whole, beside),
        plan=svg.text(plan.page_of(whole), "all parts from above").replace(svg.XMLNS, ""),
        style=style,
    )
