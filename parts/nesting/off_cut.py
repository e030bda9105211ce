"""What is left of a sheet once the blanks are cut from it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from parts.nesting.model import OffCut, Sheet, Wanted
from parts.sheet.curve import Box
from parts.sheet.loop import box


def off_cut_of(sheet: Sheet, wanted: Sequence[Wanted], gap: float) -> OffCut:
    """The largest rectangle of a sheet that keeps the gap from the box of every blank, and the
    strip at its far end.

    A plate of 200 x 100 at the margin of 10 leaves 1000 - 10 - 200 - 5 over the whole width:

    >>> from parts.nesting.model import Placed
    >>> from parts.sheet.loop import polygon
    >>> plate = Wanted("", "", "", polygon([(0, 0), (200, 0), (200, 100), (0, 100)]))
    >>> off_cut_of(Sheet((1000.0, 500.0), (Placed(0, 1, 0.0, (10.0, 10.0)),)), [plate], 5.0)
    OffCut(rectangle=(215.0, 0.0, 1000.0, 500.0), strip=785.0)
    """
    long, wide = sheet.size
    used = [_grown(box(p.loop(wanted[p.number].outline)), gap) for p in sheet.placed]
    free: list[Box] = [(0.0, 0.0, long, wide)]
    for one in used:
        free = _without(free, one)
    best = max(free, key=lambda r: (round(_area(r), 3), r[0], r[1]), default=(long, wide) * 2)
    strip = max(0.0, long - max((one[2] for one in used), default=0.0))
    return OffCut(best, strip)


def _grown(one: Box, gap: float) -> Box:
    return (one[0] - gap, one[1] - gap, one[2] + gap, one[3] + gap)


def _area(one: Box) -> float:
    return (one[2] - one[0]) * (one[3] - one[1])


def _without(free: Iterable[Box], used: Box) -> list[Box]:
    """The largest rectangles that are left free when one more is used."""
    left: list[Box] = []
    for one in free:
        x0, y0, x1, y1 = one
        u0, v0, u1, v1 = used
        if u0 >= x1 or u1 <= x0 or v0 >= y1 or v1 <= y0:
            left.append(one)
            continue
        cut = ((x0, y0, u0, y1), (u1, y0, x1, y1), (x0, y0, x1, v0), (x0, v1, x1, y1))
        left += [r for r in cut if r[2] > r[0] and r[3] > r[1]]
    distinct = list(dict.fromkeys(left))
    return [a for a in distinct if not any(b != a and _holds(b, a) for b in distinct)]


def _holds(outer: Box, inner: Box) -> bool:
    return (
        outer[0] <= inner[0] and outer[1] <= inner[1]
        and outer[2] >= inner[2] and outer[3] >= inner[3]
    )  # fmt: skip
