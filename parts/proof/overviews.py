"""The page of a whole job, read back: all parts on it, its numbers right, and no dead link."""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import unescape
from pathlib import Path
from urllib.parse import unquote

from parts.proof.costs import check_cost
from parts.proof.job_sheets import MASS, SIZE, PageRead
from parts.proof.ledger import Ledger
from parts.sheet import measure
from parts.whole import WholeJob


def check_overview(path: Path, whole: WholeJob, ledger: Ledger) -> None:
    """Hold the page against all parts; a link must lead to a file from where the page lies."""
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
    for part in whole.parts:
        for said in (part.name.replace("_", " "), *part.cautions):
            plain = " ".join(said.split())
            ledger.same("parts and cautions", plain, plain if plain in words else "missing")
    _check_links(path, page.links, ledger)
    _check_rows(text, whole, ledger)
    check_cost(text, whole.rates is not None, ledger)


def _check_links(path: Path, links: Sequence[str], ledger: Ledger) -> None:
    own = [unquote(link) for link in links if link and not link.startswith("#")]
    outside = [link for link in own if "//" in link or ":" in link]
    ledger.same("links out of the job's folder", [], outside)
    there = (path.parent / link for link in own if link not in outside)
    dead = [one.name for one in there if not one.is_file()]
    ledger.same("links to no file", [], dead)


def _check_rows(text: str, whole: WholeJob, ledger: Ledger) -> None:
    """Every row of the cut list against its piece, and the mass of all of them together."""
    table = text.partition('<section id="cut">')[2].partition("</table>")[0]
    found = [
        [unescape(re.sub("<[^>]*>", "", cell)).strip() for cell in re.findall(_CELL, row)]
        for row in re.findall(r"<tr>(.*?)</tr>", table.partition("<tbody>")[2], re.DOTALL)
    ]
    pieces = [piece for part in whole.parts for piece in part.pieces]
    if not ledger.same("rows of the cut list", len(pieces), len(found)):
        return
    for piece, row in zip(pieces, found, strict=True):
        where = f"{piece.hand} {piece.name}".strip()
        if not ledger.same("cells of a row", 8, len(row), where):
            continue
        name = " ".join(f"{piece.hand} {piece.name.replace('_', ' ')}".split())
        ledger.same("pieces", name, row[0])
        ledger.same("quantities", str(piece.quantity), row[1], f"quantity of {where}")
        sizes = (*measure.blank_box(piece.folded), measure.mass_kg(
            piece.folded, piece.stock.material.density_kg_m3))  # fmt: skip
        said = (*map(_number, row[3].partition(" × ")[::2]), _number(row[4]))
        for what, unit, wanted, number, off in zip(
            ("size", "size", "mass"), ("mm", "mm", "kg"), sizes, said, (SIZE, SIZE, MASS),
            strict=True,
        ):  # fmt: skip
            ledger.near(f"{what} of pieces", wanted, number, off, unit, f"{what} of {where}")
    total = sum(
        measure.mass_kg(one.folded, one.stock.material.density_kg_m3) * one.quantity
        for one in pieces
    )
    shown = re.search(r"<p>All together ([\d.]+) kg", text)
    number = _number(shown[1] if shown else "")
    ledger.near("mass of all", total, number, MASS, "kg")


_CELL = r"<t[hd][^>]*>(.*?)</t[hd]>"


def _number(words: str) -> float:
    """The number that words begin with.

    >>> _number("0.512 kg")
    0.512
    """
    found = re.match(r"\d+(\.\d+)?", words)
    return float(found[0]) if found else float("nan")
