"""Paper templates, read back: full size, every edge on some sheet, bars true, words there."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from parts.paper.setting import Setting
from parts.proof.ledger import Ledger
from parts.proof.pdf import MM, Pane, Sheet, runs_between, sheets_of
from parts.sheet.curve import Curve

OFF = 0.01  # mm, of an edge on paper
BAR = 1e-3  # mm, of the bars
TRUE = 1e-6  # of the scale
STEP = 5.0  # mm between the points of an edge that are looked for
TOGETHER = 64  # straight pieces, one after the other, that are looked at as one
NEAR = 1.0  # mm round them within which points are held against each of them

Points = NDArray[np.float64]  # (n, 2)


def check_template(
    path: Path, curves: Iterable[Curve], setting: Setting, words: tuple[str, ...], ledger: Ledger
) -> None:
    """Hold every sheet of a template against the curves it should show."""
    sheets = sheets_of(path, ledger)
    if not sheets:
        return
    edges = np.vstack([points_along(curve) for curve in curves])
    seen = np.zeros(len(edges), dtype=bool)
    for number, sheet in enumerate(sheets, 1):
        where = f"sheet {number}"
        found = " ".join(sheet.text.split())
        for said in words:
            told = said if said in found else found
            ledger.same("words on a sheet", said, told, f"words on {where}")
        _check_bars(sheet, setting, where, ledger)
        if ledger.same("windows on a sheet", 1, len(sheet.panes), f"windows on {where}"):
            seen |= _check_edges(sheet.panes[0], edges, setting, where, ledger)
    ledger.same("points of the edges on no sheet", 0, int((~seen).sum()))


def points_along(curve: Curve) -> Points:
    """Points (n, 2) of a curve to look for, its ends among them."""
    count = max(4, ceil(curve.length / STEP))
    return np.array([curve.at(k / count) for k in range(count + 1)])


def _check_bars(sheet: Sheet, setting: Setting, where: str, ledger: Ledger) -> None:
    """One bar each way, as long as the printer needs it to be for 100 mm."""
    for axis, way in ((0, "across"), (1, "along")):
        wanted = 100.0 * setting.stretch[axis]
        lengths = [
            float(abs(one.on_page[1, axis] - one.on_page[0, axis]))
            for one in sheet.drawn
            if len(one.on_page) == 2 and abs(np.ptp(one.on_page[:, 1 - axis])) < BAR
        ]
        nearest = min(lengths, key=lambda found: abs(found - wanted), default=0.0)
        ledger.near(f"bar {way}", wanted, nearest, BAR, what=f"bar {way} of {where}")


def _check_edges(
    pane: Pane, edges: Points, setting: Setting, where: str, ledger: Ledger
) -> NDArray[np.bool_]:
    """Which of the points show in this window; each of them must lie on something drawn."""
    scale = pane.move[:2, :2] / MM
    off = float(np.abs(scale - np.diag(setting.stretch)).max())
    ledger.near("scale", 0.0, off, TRUE, "off", f"scale of {where}")
    on_page = (edges @ pane.move[:2, :2].T + pane.move[:2, 2]) / MM
    inside = np.asarray(((on_page > pane.low) & (on_page < pane.high)).all(axis=1))
    if inside.any():
        starts, ends = (np.vstack(rows) for rows in zip(*runs_between(pane.drawn), strict=True))
        worst = float(distances(edges[inside], starts, ends).max())
        ledger.near("edges", 0.0, worst, OFF, "mm off", f"edges on {where}")
    return inside


def distances(points: Points, starts: Points, ends: Points) -> NDArray[np.float64]:
    """From every point to the nearest of the straight pieces.

    >>> one = np.array([[0.0, 0.0]])
    >>> distances(np.array([[3.0, 0.5], [0.0, 7.0]]), one, np.array([[10.0, 0.0]])).tolist()
    [0.5, 7.0]
    """
    best = np.full(len(points), np.inf)
    for first in range(0, len(starts), TOGETHER):
        some, others = starts[first : first + TOGETHER], ends[first : first + TOGETHER]
        low, high = np.minimum(some, others).min(axis=0), np.maximum(some, others).max(axis=0)
        near = ((points >= low - NEAR) & (points <= high + NEAR)).all(axis=1)
        if near.any():
            best[near] = np.minimum(best[near], _to_each(points[near], some, others))
    lost = best > NEAR  # a piece further away may yet be the nearest
    if lost.any():
        best[lost] = _to_each(points[lost], starts, ends)
    return best


def _to_each(points: Points, starts: Points, ends: Points) -> NDArray[np.float64]:
    way = ends - starts
    size = np.maximum((way**2).sum(axis=1), 1e-30)
    to = points[:, None, :] - starts[None, :, :]
    share = np.clip((to * way).sum(axis=2) / size, 0, 1)
    gap = to - share[:, :, None] * way
    return np.asarray(np.sqrt((gap**2).sum(axis=2)).min(axis=1))
