"""The edge and the panel alone, in closed form.

The pivot lies `ahead` of the lid's front edge and `below` its top; the edge is folded down by
`fold`; the fixed panel ends in a corner `gap` ahead of the edge, at the height of its top.
"""

from __future__ import annotations

from math import hypot


def edge_clearance(ahead: float, below: float, gap: float, fold: float) -> float:
    """Radius of the edge's nearest point less that of the panel's corner; below 0 it strikes.

    The bottom of the fold is the nearest point of the edge where the pivot lies no higher than
    it; a higher pivot looks square at the fold. (Common practice; plane geometry.)

    >>> round(edge_clearance(ahead=72, below=18, gap=5, fold=10), 3)
    3.067
    """
    _check(ahead, gap, fold)
    nearest = hypot(ahead, below - fold) if below >= fold else ahead
    return nearest - hypot(ahead - gap, below)


def deepest_pivot(ahead: float, gap: float, fold: float) -> float:
    """How far below the lid's top the pivot may lie before the edge touches the panel.

    >>> deepest_pivot(ahead=72, gap=5, fold=10)
    39.75
    """
    _check(ahead, gap, fold)
    return (2 * ahead * gap - gap * gap + fold * fold) / (2 * fold)


def _check(ahead: float, gap: float, fold: float) -> None:
    if not fold > 0:
        raise ValueError(f"edge fold {fold:g} mm deep; needs more than 0")
    if not 0 < gap < ahead:
        raise ValueError(
            f"gap {gap:g} mm and pivot {ahead:g} mm ahead of the edge; needs a gap of more than "
            "0, and the pivot ahead of it"
        )
