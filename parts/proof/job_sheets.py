"""The job sheet and the cut list, read back: all that was said is there, and no dead link."""

from __future__ import annotations

import csv
from collections.abc import Collection, Sequence
from html.parser import HTMLParser
from pathlib import Path

from parts.part import Part
from parts.proof.costs import check_cost
from parts.proof.ledger import Ledger
from parts.report import digits
from parts.sheet import measure

ALONE = ("img", "br", "meta", "link", "hr", "input", "col", "wbr")  # elements without an end
UNREAD = ("style", "script")
LOOSE = ("figures.json", "proof.json")
SIZE, MASS = 0.051, 0.00051  # mm and kg that the list's rounding may leave out


class PageRead(HTMLParser):
    """The words of a page, its links, and how its elements stand in one another."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.words: list[str] = []
        self.links: list[str] = []
        self.wrong: list[str] = []
        self.standing: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.links += [value or "" for name, value in attrs if name in ("href", "src")]
        if tag not in ALONE:
            self.standing.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.links += [value or "" for name, value in attrs if name in ("href", "src")]

    def handle_endtag(self, tag: str) -> None:
        if not self.standing or self.standing.pop() != tag:
            self.wrong.append(tag)

    def handle_data(self, data: str) -> None:
        if not set(self.standing) & set(UNREAD):
            self.words.append(data)


def check_job_sheet(
    path: Path, part: Part, files: Collection[str] | None, ledger: Ledger
) -> None:
    """Hold the page against the part; `files` are the names in the part's folder, or None where
    some are still to be written: then a link need only be one of the part's names."""
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, ValueError) as reason:
        ledger.wrong("the file", "a page in UTF-8", str(reason))
        return
    page = PageRead()
    page.feed(text)
    page.close()
    ledger.same("elements that do not close", [], [*page.wrong, *page.standing])
    words = " ".join(" ".join(page.words).split())
    wanted = [f"{digits(one.value, one.unit)}" for one in part.figures]
    wanted += [digits(one.value, one.unit) for piece in part.pieces for one in piece.figures]
    for said in wanted:
        ledger.same("values of figures", said, said if said in words else "missing")
    told = [one for finding in part.findings for one in (finding.found, finding.remedy)]
    for said in (*told, *part.cautions):
        plain = " ".join(said.split())
        ledger.same("findings and cautions", plain, plain if plain in words else "missing")
    for said in part.assumptions:
        plain = " ".join(said.split())[1:]  # its first letter is written large
        ledger.same("assumptions", plain, plain if plain in words else "missing")
    for load in (load for case in part.load_cases for load in case.loads):
        said = f"{load.of} {digits(load.value, load.unit)}"
        ledger.same("loads", said, said if said in words else "missing")
    check_cost(text, part.rates is not None, ledger)
    outside = [link for link in page.links if "//" in link]
    ledger.same("links out of the folder", [], outside)
    own = [link for link in page.links if link and not link.startswith(("#", "data:"))]
    if files is None:
        dead = [link for link in own if not link.startswith((part.stem_of(), *LOOSE))]
    else:
        dead = sorted(set(own) - set(files) - set(outside))
    ledger.same("links to no file", [], dead)


def check_cut_list(path: Path, parts: Sequence[Part], ledger: Ledger) -> None:
    """Hold every row of the list against its piece; the pieces stand in the order of the parts."""
    try:
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file, strict=True))
    except (OSError, ValueError, csv.Error) as reason:
        ledger.wrong("the file", "a list as RFC 4180 has it", str(reason))
        return
    pieces = [(part, piece) for part in parts for piece in part.pieces]
    if not ledger.same("rows", len(pieces), len(rows)):
        return
    for (part, piece), row in zip(pieces, rows, strict=True):
        wide, high = measure.blank_box(piece.folded)
        where = f"{piece.hand} {piece.name}".strip()
        for key, plain in (
            ("part", part.name), ("piece", piece.name), ("hand", piece.hand),
            ("quantity", str(piece.quantity)), ("material", piece.stock.material.name),
            ("cut_file", f"{part.stem(piece)}.dxf"), ("solid_file", f"{part.stem(piece)}.step"),
        ):  # fmt: skip
            ledger.same(key, plain, row.get(key, "missing"), f"{key} of {where}")
        for key, number, off in (
            ("thickness_mm", piece.stock.thickness, MASS), ("blank_x_mm", wide, SIZE),
            ("blank_y_mm", high, SIZE), ("mass_kg_each", piece.mass_kg, MASS),
        ):  # fmt: skip
            ledger.near(key, number, _number(row.get(key, "")), off, "", f"{key} of {where}")


def _number(words: str) -> float:
    try:
        return float(words)
    except ValueError:
        return float("nan")
