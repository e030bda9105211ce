"""How far two pieces stay apart, at any opening of the lid."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

import numpy as np

from parts.kinds.hinge_bracket.metal.given import Cut, Hinge
from parts.place import Place, Vector
from parts.sheet.clearance import distances_to_metal
from parts.sheet.fold import Folded

STEP = 4.0  # mm between the places of a piece's edges that are looked at


def least_gap(
    hinge: Hinge, one: tuple[Cut, Folded], other: tuple[Cut, Folded], angles_deg: Iterable[float]
) -> tuple[float, float]:
    """The least distance found between two pieces, and at which opening angle; 0 where they meet.

    Edges and fold lines of each are held against the metal of the other at places STEP apart, so
    that between flats what is told is at most half a STEP too much; the outside of a fold may
    come nearer than its two lines. Two pieces that both swing, or neither, need one angle.
    """
    found = []
    for angle in angles_deg:
        a, b = (_stands(hinge, cut, angle) for cut, _ in (one, other))
        gap = min(
            _from_edges(one[1], a, other[1], b),
            _from_edges(other[1], b, one[1], a),
        )
        found.append((gap, angle))
    return min(found)


def _stands(hinge: Hinge, cut: Cut, angle_deg: float) -> Place:
    return hinge.opened(angle_deg).then(cut.place) if cut.swings else cut.place


def _from_edges(folded: Folded, place: Place, other: Folded, there: Place) -> float:
    points = there.inverse().apply(place.apply(_edges(folded)))
    return float(distances_to_metal(other, points).min())


def _edges(folded: Folded) -> Vector:
    """Places along all cut edges and fold lines, on both faces (n, 3)."""
    return np.array(
        [
            folded.space(region, curve.at(i / count), w)
            for region in folded.regions
            for loop in region.curves
            for curve in loop
            for count in (max(2, ceil(curve.length / STEP)),)
            for i in range(count)
            for w in (0.0, folded.blank.thickness)
        ]
    )
