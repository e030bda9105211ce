"""The strut swung beside the pieces of its hinge: a round bar between two balls, one of which
goes with the lid."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, hypot, radians

import numpy as np

from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.layout import Hung
from parts.kinds.hinge_bracket.metal import Cut, Slab
from parts.kinds.hinge_bracket.pieces import BODY_BRACKET, LID_BRACKET, Metal, outboard_of
from parts.kinds.hinge_bracket.struts import strut_y
from parts.report import Finding, Severity
from parts.sheet.curve import Line, Point, distance
from parts.trade.swing import opened
from parts.trade.swing.curves import Floats, gaps, gathered

STEP = 0.5  # mm that a ball goes between the angles looked at
OWN = (LID_BRACKET, BODY_BRACKET)  # each holds its ball by the stud's own length beside the leg
PRACTICE = "common practice"


def strut_beside(config: HingeBracket, lid: Hung, metal: Metal) -> Iterator[Finding]:
    """Said where the strut comes nearer to a piece than half its tube and the gap of the rules.

    As a bar that takes all the way along the axis between its two ends. The struts' own brackets
    are left out: the stud's reach keeps them off. A strut that is alone stands at the first hinge.
    """
    hanging, asked, one = lid.hanging, config.struts, metal.swung
    hung = hanging.hung
    if hung is None or asked is None or (hung.count == 1 and one is not lid.hinges[0]):
        return
    out = outboard_of(config, one)
    y = strut_y(asked, one.side.y) - one.side.y
    ends = (out * y, out * (y - asked.aside))
    bar = Slab(min(ends), max(ends), ())
    on_lid, on_body = map(hanging.in_lid_axes, (hung.mounts.lid, hung.mounts.body))
    need = hung.strut.tube / 2 + hanging.rules.gap
    for cut in metal.cuts:
        if cut.name in OWN:
            continue
        near = _nearest(cut, bar, (on_lid, on_body), one.pivot, config.opening, need)
        if near is None:
            continue
        least, at_deg = near
        yield Finding(
            Severity.REFUSES, f"strut beside the {cut.name}",
            f"its axis comes to {least:.1f} mm of it at {at_deg:.0f}°",
            f"{need:.1f} mm: half the tube and {hanging.rules.gap:g}",
            "set `struts.y` further out or in, or move its mounts", PRACTICE,
        )  # fmt: skip


def _nearest(
    cut: Cut, bar: Slab, balls: tuple[Point, Point], pivot: Point, opening_deg: float, need: float
) -> tuple[float, float] | None:
    """How near the axis comes and at which opening, where it comes nearer than `need`.

    At even angles, between which a ball goes `STEP`; half of it is taken off, so that nothing
    between them is nearer.
    """
    angles, axes = _axes(cut, balls, pivot, opening_deg)
    best: tuple[float, float] | None = None
    for slab in cut.slabs:
        gap = bar.beside(slab)
        if gap >= need:
            continue
        seen = _apart(axes, slab)
        k = int(seen.argmin())
        least = hypot(gap, max(0.0, float(seen[k]) - STEP / 2))
        if least < need and (best is None or least < best[0]):
            best = least, float(angles[k])
    return best


def _axes(
    cut: Cut, balls: tuple[Point, Point], pivot: Point, opening_deg: float
) -> tuple[Floats, list[Line]]:
    """Angles of opening, and the strut's axis at each as it is seen from the piece."""
    on_lid, on_body = balls
    goes = distance(on_body if cut.swings else on_lid, pivot)
    count = max(1, ceil(radians(opening_deg) * goes / STEP))
    angles = np.linspace(0.0, opening_deg, count + 1)
    axes = []
    for angle in angles.tolist():
        if cut.swings:
            axes.append(Line(opened(on_body, pivot, -angle), on_lid))
        else:
            axes.append(Line(on_body, opened(on_lid, pivot, angle)))
    return angles, axes


def _apart(axes: list[Line], slab: Slab) -> Floats:
    """Least distance of each axis from the slab's outline (n,); 0 where they cross."""
    own, count = gathered(slab.outline), len(slab.outline)
    rows = np.arange(len(axes)).repeat(count)
    beside = np.tile(np.arange(count), len(axes))
    apart, _, _ = gaps(gathered(axes).take(rows), own.take(beside))
    return np.asarray(apart.reshape(len(axes), count).min(axis=1))
