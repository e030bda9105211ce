"""What lies in the zip and how to read it, in plain words for whoever opens it."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from parts.trade.cutter import Cutter
from parts.trade.cutter_limits import BEND_HERE, FLAT
from parts.whole import WholeJob
from parts.writers.whole.cutter_pack.order import OrderLine

WIDTH = 78
NO_UNIT = "R12"


def text(whole: WholeJob, cutter: Cutter, lines: Sequence[OrderLine], order: str) -> str:
    """The whole file, lines ended as any machine reads them."""
    said = [*_head(whole, cutter, lines, order), *_drawings(cutter, lines), *_ask(cutter)]
    paragraphs = ["\r\n".join(textwrap.wrap(one, WIDTH)) for one in said]
    return "\r\n\r\n".join(paragraphs) + "\r\n"


def _head(
    whole: WholeJob, cutter: Cutter, lines: Sequence[OrderLine], order: str
) -> Iterator[str]:
    count = sum(line.row.quantity for line in lines)
    day = f", {whole.made_on.isoformat()}" if whole.made_on else ""
    yield f"Job {whole.job}, to be cut{day}"
    yield (
        f"{_counted(len(lines), 'different piece')}, {count} in all. What to make of each is in "
        f"{order}.csv, and the same to read in {order}.pdf: quantity, material, thickness, "
        "size, whether it comes flat or bent, and its files. Where a file's name and the table "
        "do not agree, ask."
    )
    if cutter.note:
        yield f"Note: {cutter.note}"
    yield (
        "Every length is in mm, and every DXF is drawn at 1:1, one piece to a file. Outlines are "
        "closed and nominal: allow for your own kerf, we have not. The layer to cut holds all "
        "there is to cut: nothing is to be added, left out or joined."
    )


def _drawings(cutter: Cutter, lines: Sequence[OrderLine]) -> Iterator[str]:
    style = cutter.dxf
    says = {
        "CUT": "is to be cut",
        "BEND": "shows bends and is not to be cut",
        "MARK": "may be etched and is not to be cut",
    }
    layers = []
    for what, layer in style.drawn.items():
        colour = f" in colour {layer.colour}" if style.by_colour else ""
        layers.append(f"{layer.name}{colour} {says[what]}")
    unit = "" if style.version != NO_UNIT else " This version cannot say its unit: it is mm."
    yield f"The DXF files are {style.version}. Layer {'; layer '.join(layers)}.{unit}"
    yield (
        "Each DXF is seen from the face that is up. Do not turn a blank over or mirror it to make "
        "the other hand: left and right have files of their own. Where the table says how the "
        "grain runs, keep it."
    )
    bent = [line for line in lines if line.bent]
    if bent:
        files = " and ".join(
            words for words, given in (("STEP", cutter.step), ("PDF", cutter.drawing)) if given
        )
        came = f" Each of them has its {files} too." if files else ""
        yield (
            f"{_counted(len(bent), 'piece')} of these come bent: an up bend comes toward you as "
            f"you look at the drawn face, a down bend goes away.{came} The DXF is the blank that "
            "our bend allowance gives. If your tools give another, tell us: do not change the "
            "blank without asking."
        )
    if any(line.comes == BEND_HERE for line in lines):
        yield f'"{BEND_HERE}" in the table: cut it as drawn and send it flat.'
    if any(line.comes == FLAT for line in lines):
        yield f'"{FLAT}" in the table: nothing is to be bent.'


def _ask(cutter: Cutter) -> Iterator[str]:
    yield (
        "Ask before you change anything: size, thickness, material, radius or hole. The pieces "
        "fit things that were measured."
    )
    yield (
        "SHA256.txt has a sum for every file here: if one does not agree, the file was changed "
        "on the way."
    )


def _counted(count: int, what: str) -> str:
    """A number with its noun.

    >>> _counted(1, "piece"), _counted(3, "piece")
    ('1 piece', '3 pieces')
    """
    return f"{count} {what}" if count == 1 else f"{count} {what}s"
