"""Job sheets to look at, read as HTML: those of two parts of the demo, and an ill-meant one."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

from hand_parts import named

from parts import load
from parts.part import Measurement, Part, Shape, Sketch, Spot
from parts.report import Chart, ChartLine, Figure, Finding, Load, LoadCase, Severity, Table
from parts.sheet.loop import polygon
from parts.trade.bolts import bolt, property_class
from parts.trade.screening import bolt_shear, root_bending
from parts.writers import job_sheet

ROOT = Path(__file__).parents[1]
BAD = '<script>alert("x")</script> & </svg>'
VOID = {"meta", "br", "hr", "input", "link", "img"}


class Reader(HTMLParser):
    """Reads a page and insists that it is well nested."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: Counter[str] = Counter()
        self.links: list[str] = []
        self.ids: list[str] = []
        self.attributes: set[str] = set()
        self.words: list[str] = []
        self.scripts: list[str] = []
        self.feed(page)
        self.close()
        assert self.open == [], f"left open: {self.open}"

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_startendtag(tag, attrs)
        if tag not in VOID:
            self.open.append(tag)
        if tag == "script":
            self.scripts.append("")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags[tag] += 1
        found = dict(attrs)
        self.attributes |= set(found)
        self.links += [found["href"] or ""] if "href" in found else []
        self.ids += [found["id"] or ""] if "id" in found else []

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open[-1] == tag, f"</{tag}> closes {self.open[-3:]}"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] == "script":
            self.scripts[-1] += data
        elif "style" not in self.open:
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


@cache
def demo(name: str) -> Part:
    return load(ROOT / "configs" / "tin_wren.toml").part(name)


@cache
def page_of(name: str) -> str:
    return job_sheet.text(demo(name))


@cache
def hostile() -> Part:
    """A bracket with all that a part may carry, every word of it ill meant."""
    part = named("l_bracket")
    piece = replace(
        part.pieces[0],
        faces=BAD,
        figures=(Figure(f"{BAD} length", 12.3456, "mm", BAD, 0.4321),),
        screens=(
            replace(root_bending(500, 120, 60, 5, 235), name=f"{BAD} root", note="assumed: 5 g"),
            replace(bolt_shear(1e6, bolt("M8"), property_class("8.8")), source=BAD),
        ),
    )
    return replace(
        part,
        pieces=(piece,),
        note=BAD,
        summary=(f"{BAD} limits",),
        assumptions=(f"{BAD} is taken as sound",),
        load_cases=(
            LoadCase(f"{BAD} kerb", f"{BAD} strikes", (Load(f"{BAD} stud", 1234.4, "N", BAD),),
                     1.75, BAD),
        ),
        vehicle=f"{BAD} van",
        stance=f"{BAD} stands",
        as_given=((f"{BAD} gap", f"{BAD} 5 ± 0.3"),),
        figures=(Figure(f"left: {BAD} gap", -7.0, "deg", BAD), Figure("count", 3, "")),
        findings=(Finding(Severity.MENTIONS, f"{BAD} a", f"{BAD} b", "c", f"{BAD} d", BAD),),
        cautions=(f"{BAD} caution",),
        measurements=(
            Measurement(f"{BAD} A-B", 412.0, 1.0, -0.25, 0.5, points=("A", "B")),
            Measurement("B-C", 100.0, 1.0, 9.5, None, used=False),
            Measurement("C z", 55.0, 1.0, 0.0, 0.0),
            Measurement("datum", 0.0, 0.0, 0.0, 0.0),
        ),
        spots=(Spot(f"{BAD} A", (1.26, -2.0, 3.0), (0.1, 0.2, 0.3)),),
        tables=(
            Table(f"right: {BAD} by pose", "mm", (f"{BAD} disc", "band"),
                  ((f"{BAD} ride", (5.0, None)), ("bump", (-1.0, 2.5))), BAD,
                  noted=f"{BAD} tightest", notes=(f"{BAD} disc!", "band")),
        ),
        charts=(
            Chart(f"{BAD} swing", "opening", "deg", f"{BAD} up", "mm",
                  (ChartLine(f"{BAD} lid", ((0, 1), (40, 9))),), BAD),
        ),
        sketches=(
            Sketch(f"{BAD} view", f"{BAD} across", "mm up",
                   (Shape(f"{BAD} arm", "metal", polygon([(0, 0), (50, 0), (50, 20)]), True),),
                   ((f"{BAD} pivot", (5.0, 5.0)),), BAD, full_size=True),
        ),
    )  # fmt: skip


def squeezed(words: str) -> str:
    return " ".join(words.split())


def pages() -> Iterator[tuple[str, Part, str]]:
    yield "hostile", hostile(), job_sheet.text(hostile())
    for name in ("rear_mount", "boot_lid"):
        yield name, demo(name), page_of(name)
