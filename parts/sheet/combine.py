"""One outline cut away from another, lines and arcs kept."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from parts.sheet.curve import Arc, Curve, Line, Point, boxes_near, distance, meetings
from parts.sheet.loop import Loop, anticlockwise, area, contains, joined

JOINED = 1e-5  # mm; ends nearer than this are one corner


def subtract(loop: Loop, cutter: Loop) -> tuple[Loop, ...]:
    """What is left of an outline when another is cut away: outlines, largest first, none at all
    where nothing is left.

    Both are taken as the areas they enclose, and may share sides. Raises ValueError where the
    cutter lies wholly inside (that would be an opening, not an outline) or touches in a point.

    >>> from parts.sheet.loop import polygon
    >>> square = polygon([(0, 0), (10, 0), (10, 10), (0, 10)])
    >>> bar = polygon([(4, -1), (5, -1), (5, 11), (4, 11)])
    >>> [area(part) for part in subtract(square, bar)]
    [50.0, 40.0]
    """
    loop, cutter = anticlockwise(loop), anticlockwise(cutter)
    own = [piece for curve in loop for piece in _split(curve, cutter)]
    other = [piece for curve in cutter for piece in _split(curve, loop)]
    kept = [piece for piece in own if _stays(piece, cutter)]
    added = [
        piece.reversed()
        for piece in other
        if _beside(piece, loop) is None and contains([loop], piece.at(0.5))
    ]
    if not added:
        return (loop,) if kept else ()
    if len(kept) == len(own):
        raise ValueError("the cut lies wholly inside the outline: make it an opening")
    return tuple(sorted(_chained([*kept, *added]), key=area, reverse=True))


def _stays(piece: Curve, cutter: Loop) -> bool:
    """Whether a piece of the outline is left: on a side of the cutter, if that lies beyond it."""
    shared = _beside(piece, cutter)
    if shared is None:
        return not contains([cutter], piece.at(0.5))
    (ax, ay) = piece.tangent(0.5)
    (bx, by) = shared.tangent(shared.nearest_fraction(piece.at(0.5)))
    return ax * bx + ay * by < 0


def _beside(piece: Curve, loop: Loop) -> Curve | None:
    """The side of a loop that a piece lies on, or None."""
    for side in loop:
        if all(distance(side.nearest(piece.at(f)), piece.at(f)) < JOINED for f in (0.3, 0.5, 0.7)):
            return side
    return None


def _split(curve: Curve, loop: Loop) -> Iterator[Curve]:
    """The curve in pieces, cut wherever the loop meets it."""
    marks = {0.0, 1.0}
    box = curve.box()
    for other in loop:
        if boxes_near(box, other.box(), JOINED):
            for p in meetings(curve, other):
                f = curve.nearest_fraction(p)
                if f * curve.length > JOINED and (1 - f) * curve.length > JOINED:
                    marks.add(f)
    cuts = sorted(marks)
    for low, high in itertools.pairwise(cuts):
        if (high - low) * curve.length > JOINED:
            yield curve.between(low, high)


def _chained(pieces: list[Curve]) -> Iterator[Loop]:
    """The pieces put end to end into closed loops."""
    left = list(pieces)
    while left:
        run = [left.pop(0)]
        while distance(run[-1].end, run[0].start) > JOINED or len(run) == 1:
            if len(run) == 1 and isinstance(run[0], Arc) and run[0].full:
                break
            run.append(left.pop(_following(left, run[-1].end)))
        yield joined(tuple(_snapped(run)), "the outline left")


def _following(pieces: list[Curve], end: Point) -> int:
    gaps = [distance(piece.start, end) for piece in pieces]
    if not gaps or min(gaps) > JOINED:
        raise ValueError(f"the cut only touches the outline near {_at(end)}")
    return gaps.index(min(gaps))


def _snapped(run: list[Curve]) -> Iterator[Curve]:
    """The same curves with ends that agree exactly."""
    for i, curve in enumerate(run):
        start = run[i - 1].end if i else run[-1].end
        if isinstance(curve, Line):
            yield Line(start, curve.end)
        else:
            yield Arc(start, curve.end, curve.center, curve.sweep)


def _at(p: Point) -> str:
    return f"({p[0]:.2f}, {p[1]:.2f})"
