"""The pictures of the page: SVG that always shows and prints, and the solids that turn.

All are text that goes into the page as it stands.
"""

from __future__ import annotations

import json
from base64 import b64encode
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import atan2
from typing import Any

import numpy as np

from parts.paper import svg
from parts.paper.page import Page
from parts.part import Part, Piece
from parts.writers.job_sheet import charting, filing, picturing, sketching
from parts.writers.job_sheet.wording import piece_words

NARROW_INDEX = 65535  # greatest number of a point that two bytes hold


@dataclass(frozen=True, slots=True)
class Whole:
    """The part as a whole: a picture for each hand, the solids for the viewer, its choices."""

    pictures: tuple[tuple[str, str], ...]
    solids: str
    views: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OfPiece:
    """The pictures of one piece: folded, where it has bends, and its blank."""

    folded: str | None
    blank: str


@dataclass(frozen=True, slots=True)
class OfSketch:
    """A sketch's pictures, what they show, their key, and the file that has it at full size."""

    title: str
    pictures: tuple[str, ...]
    across: str
    up: str
    note: str
    key: tuple[tuple[str, str, str], ...]
    file: str


def of_part(part: Part) -> Whole:
    """Pictures by hand, and all solids at their places for the viewer."""
    groups = list(_groups(part.pieces))
    pictures = tuple((_hand(hand), _pictorial(part, hand, members)) for hand, members in groups)
    views = [(_hand(hand), hand, members) for hand, members in groups]
    if len(groups) > 1:
        views.append(("everything, where it sits", "right", [*range(len(part.pieces))]))
    if len(part.pieces) > len(groups):
        views += [
            (f"{piece_words(piece)} alone", piece.hand, [k]) for k, piece in enumerate(part.pieces)
        ]
    return Whole(pictures, _solids(part.pieces, views), tuple(name for name, _, _ in views))


def of_pieces(part: Part) -> tuple[OfPiece, ...]:
    """The pictures of every piece, in the part's order."""
    return tuple(_of_piece(piece) for piece in part.pieces)


def of_charts(part: Part) -> tuple[str, ...]:
    """The charts, in the part's order."""
    return tuple(_svg(charting.page_of(chart), chart.title) for chart in part.charts)


def of_sketches(part: Part) -> tuple[OfSketch, ...]:
    """The sketches, in the part's order."""
    found = []
    for sketch in part.sketches:
        drawn = sketching.drawn(sketch)
        found.append(
            OfSketch(
                sketch.title,
                tuple(_svg(page, sketch.title) for page in drawn.pages),
                sketch.across,
                sketch.up,
                sketch.note,
                drawn.key,
                filing.of_sketch(part, sketch).name if sketch.full_size else "",
            )
        )
    return tuple(found)


def _pictorial(part: Part, hand: str, members: Sequence[int]) -> str:
    page = picturing.pictorial([part.pieces[k] for k in members], hand)
    return _svg(page, _hand(hand))


def _of_piece(piece: Piece) -> OfPiece:
    words = piece_words(piece)
    folded = None
    if piece.blank.bends:
        folded = _svg(picturing.pictorial([piece], piece.hand), f"{words}, folded")
    return OfPiece(folded, _svg(picturing.blank(piece), f"{words}, blank"))


def _groups(pieces: Sequence[Piece]) -> Iterator[tuple[str, list[int]]]:
    """The pieces of each hand by number, hands in the order they come."""
    for hand in dict.fromkeys(piece.hand for piece in pieces):
        yield hand, [k for k, piece in enumerate(pieces) if piece.hand == hand]


def _hand(hand: str) -> str:
    return f"{hand} hand" if hand else "the part"


def _svg(page: Page, title: str) -> str:
    return svg.text(page, title).replace(svg.XMLNS, "")


def _solids(pieces: Sequence[Piece], views: Sequence[tuple[str, str, list[int]]]) -> str:
    """What the viewer reads, as JSON: numbers, and bytes as base64 (low byte first)."""
    from parts.solid.mesh import mesh, pack

    packed = pack([mesh(piece.kernel_solid, piece.place) for piece in pieces])
    wide = len(packed.points) > NARROW_INDEX
    index = "<u4" if wide else "<u2"
    data = {
        "points": _bytes(packed.points, "<i2"),
        "normals": _bytes(packed.normals, "i1"),
        "triangles": _bytes(packed.triangles, index),
        "edges": _bytes(packed.edges, index),
        "seams": _bytes(packed.seams, index),
        "wide": wide,
        "solids": packed.runs,
        "views": [_view(packed, hand, members) for _, hand, members in views],
    }
    return json.dumps(data, separators=(",", ":"))


def _view(packed: Any, hand: str, members: Sequence[int]) -> dict[str, Any]:
    """One choice of the viewer: which solids, from where, about what middle and how far round."""
    rows = [packed.triangles[start : start + count] for start, count in
            (packed.runs[k][0] for k in members)]  # fmt: skip
    points = packed.points[np.unique(np.vstack(rows))].astype(int)
    low, high = points.min(axis=0), points.max(axis=0)
    x, y, _ = picturing.from_where(hand)
    return {
        "solids": list(members),
        "yaw": round(atan2(y, x), 4),
        "middle": [int(value) for value in (low + high) // 2],
        "reach": int(np.linalg.norm(high - low) / 2) + 1,
    }


def _bytes(values: Any, kind: str) -> str:
    return b64encode(np.ascontiguousarray(values, dtype=kind).tobytes()).decode("ascii")
