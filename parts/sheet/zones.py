"""The blank cut along every bend's two tangent lines: zones of flat metal and of bent metal.

Neighbouring zones share vertices and edges, so whatever is built from them closes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, tau
from typing import TypeAlias

from parts.sheet.blank import Blank
from parts.sheet.curve import SAME_POINT, Arc, Curve, Line, Point
from parts.sheet.fold_line import FoldLine, between, fold_lines, settled
from parts.sheet.loop import Loop, area, contains


class Unsound(ValueError):
    """A blank that cannot be folded; the message says where and what would be right."""


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a region, metal on the left.

    `start` and `end` are vertex numbers; `edge` is shared with the region across, if any;
    `forward` tells whether it runs as the edge was drawn; `fold` is (bend number, 0 for its
    start line or 1 for its end line) where the side is a tangent line and not a cut.
    """

    curve: Curve
    start: int
    end: int
    edge: int
    forward: bool
    fold: tuple[int, int] | None = None

    def back(self) -> Side:
        """The same side seen from the region across."""
        return Side(
            self.curve.reversed(), self.end, self.start, self.edge, not self.forward, self.fold
        )


Zone: TypeAlias = tuple[tuple[Side, ...], ...]  # the outer loop first


@dataclass(frozen=True, eq=False)
class Cut:
    """The zones, the bend that each belongs to (None: flat), and what they are numbered by."""

    zones: tuple[Zone, ...]
    bends: tuple[int | None, ...]
    vertices: tuple[Point, ...]
    edge_count: int


def cut_along_bends(blank: Blank) -> Cut:
    """Every zone of the blank, in a fixed order.

    Raises Unsound where a bend line does not cross the metal, bends overlap or cross, or a bend
    ends inside the metal. The outline and cut-outs must be sound (see `sheet.soundness`).
    """
    lines = [line for i in range(len(blank.bends)) for line in fold_lines(blank, i)]
    vertices = _Vertices()
    loops = [settled(loop, lines) for loop in blank.loops]
    sides = _boundary(loops, lines, vertices)
    edge_count = len(sides)
    chords = list(_chords(blank, loops, lines, vertices, sides))
    _refuse_crossed(blank, chords)
    for chord in chords:
        sides += [chord, chord.back()]
    edge_count += len(chords)
    zones = _zones(_traced(sides))
    bends = [_bend_of_zone(blank, zone) for zone in zones]
    _claim_unlined(blank, zones, bends)
    _refuse_leaks(blank, zones, bends)
    zones, bends, edge_count = _halved_circles(zones, bends, vertices, edge_count)
    return Cut(tuple(zones), tuple(bends), tuple(vertices.points), edge_count)


class _Vertices:
    """Numbered points; points nearer than SAME_POINT share a number."""

    def __init__(self) -> None:
        self.points: list[Point] = []
        self._grid: dict[tuple[int, int], list[int]] = {}

    def number(self, p: Point) -> int:
        column, row = round(p[0] * 1e5), round(p[1] * 1e5)
        for dx in (0, 1, -1):
            for dy in (0, 1, -1):
                for i in self._grid.get((column + dx, row + dy), ()):
                    q = self.points[i]
                    if abs(q[0] - p[0]) < SAME_POINT and abs(q[1] - p[1]) < SAME_POINT:
                        return i
        self.points.append(p)
        self._grid.setdefault((column, row), []).append(len(self.points) - 1)
        return len(self.points) - 1


def _boundary(loops: list[Loop], lines: list[FoldLine], vertices: _Vertices) -> list[Side]:
    """Every cut edge, split where a tangent line crosses it."""
    sides: list[Side] = []
    for loop in loops:
        pieces: list[Curve] = []
        for curve in loop:
            marks = {0.0, 1.0}
            for line in lines:
                for f in curve.crossings(line.point, line.along):
                    if line.holds(line.beside(curve.at(f))):
                        marks.add(f)
            cuts = sorted(marks)
            pieces += [curve.between(a, b) for a, b in pairwise(cuts)]
        for piece in pieces:
            start, end = vertices.number(piece.start), vertices.number(piece.end)
            if start == end and not (isinstance(piece, Arc) and piece.full):
                continue  # a sliver between two points that count as one
            drawn = between(piece, vertices.points[start], vertices.points[end])
            sides.append(Side(drawn, start, end, len(sides), True))
    return sides


def _chords(
    blank: Blank,
    loops: list[Loop],
    lines: list[FoldLine],
    vertices: _Vertices,
    sides: list[Side],
) -> Iterator[Side]:
    """The stretches of every tangent line that lie in the metal, as sides."""
    drawn = {frozenset((s.start, s.end)) for s in sides if isinstance(s.curve, Line)}
    count = len(sides)
    taken: dict[frozenset[int], FoldLine] = {}
    for line in lines:
        on_line = sorted(
            (line.beside(p), i)
            for i, p in enumerate(vertices.points)
            if abs(line.off(p)) < SAME_POINT and line.holds(line.beside(p))
        )
        for (low, a), (high, b) in pairwise(on_line):
            ends = frozenset((a, b))
            if ends in drawn or not contains(loops, line.at((low + high) / 2)):
                continue
            if ends in taken:
                first, second = blank.bends[taken[ends].bend].name, blank.bends[line.bend].name
                raise Unsound(
                    f"bends {first} and {second} leave no flat metal between them: move them apart"
                )
            taken[ends] = line
            curve = Line(vertices.points[a], vertices.points[b])
            yield Side(curve, a, b, count, True, (line.bend, line.which))
            count += 1


def _refuse_crossed(blank: Blank, chords: list[Side]) -> None:
    for i, chord in enumerate(chords):
        assert isinstance(chord.curve, Line) and chord.fold is not None
        for other in chords[i + 1 :]:
            assert isinstance(other.curve, Line) and other.fold is not None
            if chord.fold[0] == other.fold[0] or {chord.start, chord.end} & {
                other.start,
                other.end,
            }:
                continue
            point, along = other.curve.start, other.curve.tangent(0)
            for f in chord.curve.crossings(point, along):
                p = chord.curve.at(f)
                v = (p[0] - point[0]) * along[0] + (p[1] - point[1]) * along[1]
                if 0 < v < other.curve.length:
                    first = blank.bends[chord.fold[0]].name
                    second = blank.bends[other.fold[0]].name
                    raise Unsound(
                        f"the lines of bends {first} and {second} cross in the metal at "
                        f"({p[0]:.2f}, {p[1]:.2f}): separate them by a relief"
                    )


def _traced(sides: list[Side]) -> list[tuple[Side, ...]]:
    """Closed runs of sides, always turning as far left as the metal goes."""
    leaving: dict[int, list[Side]] = {}
    for side in sides:
        leaving.setdefault(side.start, []).append(side)
    used: set[tuple[int, bool]] = set()
    runs: list[tuple[Side, ...]] = []
    for first in sides:
        if (first.edge, first.forward) in used:
            continue
        run: list[Side] = []
        side = first
        while (side.edge, side.forward) not in used:
            used.add((side.edge, side.forward))
            run.append(side)
            choices = leaving[side.end]
            side = choices[0] if len(choices) == 1 else _next(side, choices)
        runs.append(tuple(run))
    return runs


def _next(side: Side, choices: list[Side]) -> Side:
    back = _heading(side, at_end=True)

    def turn(choice: Side) -> float:
        if choice.edge == side.edge:
            return tau  # straight back is the last choice
        return (back - _heading(choice, at_end=False)) % tau

    return min(choices, key=turn)


def _heading(side: Side, at_end: bool) -> float:
    """Direction of a short secant from an end: it tells tangent curves apart by their bow."""
    fraction = min(0.25, 2e-3 / side.curve.length)
    p, q = (
        (side.curve.end, side.curve.at(1 - fraction))
        if at_end
        else (side.curve.start, side.curve.at(fraction))
    )
    return atan2(q[1] - p[1], q[0] - p[0])


def _zones(runs: list[tuple[Side, ...]]) -> list[Zone]:
    """Outer runs, each with the openings that lie in it."""
    outers: list[tuple[float, list[tuple[Side, ...]]]] = []
    openings: list[tuple[Side, ...]] = []
    for run in runs:
        size = area(side.curve for side in run)
        if size > 0:
            outers.append((size, [run]))
        else:
            openings.append(run)
    for run in openings:
        p = run[0].curve.at(0.37)
        around = [
            (size, loops)
            for size, loops in outers
            if contains([[side.curve for side in loops[0]]], p)
        ]
        min(around, key=lambda found: found[0])[1].append(run)
    return [tuple(loops) for _, loops in outers]


def _bend_of_zone(blank: Blank, zone: Zone) -> int | None:
    """The bend whose tangent lines enclose the zone from inside."""
    found = {
        side.fold[0]
        for loop in zone
        for side in loop
        if side.fold is not None and (side.fold[1] == 0) == side.forward
    }
    if len(found) > 1:
        names = " and ".join(sorted(blank.bends[i].name for i in found))
        raise Unsound(f"bends {names} overlap: move them apart or cut a relief between them")
    return found.pop() if found else None


def _claim_unlined(blank: Blank, zones: list[Zone], bends: list[int | None]) -> None:
    """A bend with no tangent line in the metal (a band rolled end to end) claims its zone."""
    for number, bend in enumerate(blank.bends):
        if number in bends:
            continue
        middle = (
            (bend.start[0] + bend.end[0]) / 2 + bend.across[0] * bend.allowance / 2,
            (bend.start[1] + bend.end[1]) / 2 + bend.across[1] * bend.allowance / 2,
        )
        for i, zone in enumerate(zones):
            outer = [side.curve for side in zone[0]]
            unlined = all(side.fold is None for loop in zone for side in loop)
            if bends[i] is None and unlined and contains([outer], middle):
                bends[i] = number
                break
        else:
            raise Unsound(
                f"bend {bend.name} does not cross the metal: its line must run from edge to edge"
            )


def _refuse_leaks(blank: Blank, zones: list[Zone], bends: list[int | None]) -> None:
    for zone, number in zip(zones, bends, strict=True):
        if number is None:
            continue
        bend = blank.bends[number]
        for side in zone[0]:
            for f in (0.0, 0.25, 0.5, 0.75, 1.0):
                p = side.curve.at(f)
                if not -1e-5 < bend.ahead(p) < bend.allowance + 1e-5:
                    raise Unsound(
                        f"bend {bend.name} ends inside the metal near ({p[0]:.2f}, {p[1]:.2f}): "
                        "cut a relief there or run the bend line to the edge"
                    )


def _halved_circles(
    zones: list[Zone], bends: list[int | None], vertices: _Vertices, edge_count: int
) -> tuple[list[Zone], list[int | None], int]:
    """A whole circle in a bent zone becomes two arcs: on the cylinder it is no circle."""
    done: list[Zone] = []
    for zone, bend in zip(zones, bends, strict=True):
        loops: list[tuple[Side, ...]] = []
        for loop in zone:
            only = loop[0]
            if bend is None or len(loop) > 1 or only.start != only.end:
                loops.append(loop)
                continue
            middle = vertices.number(only.curve.at(0.5))
            halves = (only.curve.between(0, 0.5), only.curve.between(0.5, 1))
            first = Side(halves[0], only.start, middle, only.edge, True)
            loops.append((first, Side(halves[1], middle, only.end, edge_count, True)))
            edge_count += 1
        done.append(tuple(loops))
    return done, bends, edge_count
