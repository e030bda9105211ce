"""The shop drawing, read back: whose it is, and the blank true to one of the scales it states."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from parts.part import Part, Piece
from parts.proof.ledger import Ledger
from parts.proof.pdf import Points, Sheet, runs_between, sheets_of
from parts.proof.templates import distances, points_along
from parts.sheet.loop import box

OFF = 0.02  # mm of paper


def check_drawing(path: Path, part: Part, piece: Piece, ledger: Ledger, said: str = "") -> int:
    """Hold the sheets of a drawing against the piece; returns how many there are.

    `said` is what each must be called, where that is not the part's own name for its files.
    """
    sheets = sheets_of(path, ledger)
    if not sheets:
        return 0
    said = said or part.stem(piece)  # job, part, piece, hand, material, thickness and number
    for number, sheet in enumerate(sheets, 1):
        told = said if _plain(said) in _plain(sheet.text) else " ".join(sheet.text.split())
        ledger.same("whose sheet it is", said, told, f"name on sheet {number}")
    edges = np.vstack([points_along(curve) for loop in piece.blank.loops for curve in loop])
    around = np.array(box(piece.blank.outline)).reshape(2, 2)
    off = min((_off(sheet, edges, around) for sheet in sheets), default=np.inf)
    ledger.near("blank, true to scale", 0.0, off, OFF, "mm off")
    return len(sheets)


def _plain(words: str) -> str:
    """Letters and digits alone: how a line is broken, and how a name is told, does not count."""
    return re.sub(r"[^a-z0-9]+", "", words.casefold())


def _off(sheet: Sheet, edges: Points, around: Points) -> float:
    """How far the blank's edges are off what is drawn, at the best place and scale there is."""
    best = np.inf
    for scale in _scales(sheet.text):
        for one in sheet.drawn:
            low, high = one.on_page.min(axis=0), one.on_page.max(axis=0)
            if np.abs(high - low - scale * (around[1] - around[0])).max() < OFF:
                shift = low - scale * around[0]
                best = min(best, _worst(sheet, scale * edges + shift))
    return float(best)


def _scales(text: str) -> Iterator[float]:
    for paper, real in {*re.findall(r"(\d+)\s*:\s*(\d+)", text)}:
        if int(paper) and int(real):
            yield int(paper) / int(real)


def _worst(sheet: Sheet, points: Points) -> float:
    runs = list(runs_between(sheet.drawn, on_page=True))
    starts, ends = (np.vstack(rows) for rows in zip(*runs, strict=True))
    return float(distances(points, starts, ends).max())
