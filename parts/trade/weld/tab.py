"""The welds of a tab: along its foot on both faces, and round its ends."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np

from parts.place import Place, axes
from parts.sheet.curve import Curve, Line
from parts.trade.weld.group import Run

FACES: tuple[Literal[1, -1], Literal[1, -1]] = (1, -1)


def tab_welds(
    foot: Sequence[Curve], thickness: float, throat: float, wrapped: bool, stop_short: float = 0.0
) -> tuple[Run, ...]:
    """Fillets on both faces of a tab along its foot, in the tab's own axes: x along the root,
    y up the tab, z square to it, with the middle of the thickness at z = 0.

    `foot` runs from left to right (+x) with the tab above. `wrapped` carries the weld round both
    ends, where all of it counts. Otherwise each fillet stops `stop_short` from the tab's edges
    and loses a throat more at either end, which EN 1993-1-8 4.5.1 does not count.

    >>> runs = tab_welds([Line((-35, 0), (35, 0))], 6, 3.5, wrapped=False)
    >>> [round(run.curve.length, 2) for run in runs]
    [63.0, 63.0]

    Raises ValueError where nothing is left.
    """
    counted = foot if wrapped else trimmed(foot, stop_short + throat)
    half = thickness / 2
    runs = [
        Run(curve, throat, Place(np.eye(3), np.array([0.0, 0.0, face * half])), face=face)
        for face in FACES
        for curve in counted
    ]
    if wrapped:
        for end, outward in ((foot[0].start, -1.0), (foot[-1].end, 1.0)):
            across = Line((-half, 0.0), (half, 0.0))
            plane = axes((0.0, 0.0, -outward), (outward, 0.0, 0.0), (*end, 0.0))
            runs.append(Run(across, throat, plane))
    return tuple(runs)


def trimmed(chain: Sequence[Curve], by: float) -> tuple[Curve, ...]:
    """The chain shorter by a length at either end; raises ValueError where nothing is left.

    >>> [curve.length for curve in trimmed([Line((0, 0), (10, 0)), Line((10, 0), (30, 0))], 4)]
    [6.0, 16.0]
    """
    whole = sum(curve.length for curve in chain)
    if whole <= 2 * by + 1e-6:
        raise ValueError(
            f"a foot of {whole:.1f} mm has no weld left after {by:.1f} mm at each end: make the "
            "root longer, or wrap the weld round its ends"
        )
    kept, start = [], 0.0
    for curve in chain:
        low, high = max(by - start, 0.0), min(whole - by - start, curve.length)
        if high - low > 1e-9:
            kept.append(curve.between(low / curve.length, high / curve.length))
        start += curve.length
    return tuple(kept)
