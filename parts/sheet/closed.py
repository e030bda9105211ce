"""Whether the folded metal is one closed skin. No kernel, and stricter than the kernel's own
checker, which lets two openings that touch at a point pass."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

import numpy as np

from parts.place import Vector, cross
from parts.sheet.body import Body, Cylinder, Edge, Face, Plane, Spline, Straight
from parts.sheet.curve import at_words

OFF = 1e-6  # mm that an edge may miss its vertices or its faces


def unclosed(shape: Body, openings: int) -> str | None:
    """What is wrong with the skin of a blank with that many openings, or None if it is closed.

    Every loop chains, every edge is used twice in opposite senses, the faces hang together, the
    faces round a vertex form one fan, the counts obey V - E + F - inner loops = 2 (1 - openings)
    (Euler, Poincare), edges end at their vertices and lie on their faces.

    A plate is a box: 8 corners, 12 edges, 6 faces.

    >>> from parts.sheet.blank import Blank
    >>> from parts.sheet.body import body
    >>> from parts.sheet.fold import fold
    >>> from parts.sheet.loop import polygon
    >>> plate = body(fold(Blank(2, polygon([(0, 0), (4, 0), (4, 3), (0, 3)]), (), (), (1, 1))))
    >>> len(plate.vertices), len(plate.edges), len(plate.faces)
    (8, 12, 6)
    >>> print(unclosed(plate, 0))
    None
    >>> unclosed(Body(plate.vertices, plate.edges, plate.faces[:-1]), 0)
    'edge 3 is used 1 times, not by two faces in opposite senses'
    """
    return next(_faults(shape, openings), None)


def _faults(shape: Body, openings: int) -> Iterator[str]:
    yield from _broken_loops(shape)
    yield from _uneven_edges(shape)
    yield from _apart(shape)
    yield from _pinched_vertices(shape)
    yield from _miscounted(shape, openings)
    yield from _missed_vertices(shape)
    yield from _missed_faces(shape)


def _ends(edge: Edge, sense: int) -> tuple[int, int]:
    return (edge.start, edge.end) if sense > 0 else (edge.end, edge.start)


def _corners(face: Face) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
    """Every (edge, sense) of a face with the one that follows it."""
    for loop in face.loops:
        yield from pairwise((*loop, loop[0]))


def _broken_loops(shape: Body) -> Iterator[str]:
    for number, face in enumerate(shape.faces):
        for (edge, sense), (after, sense_after) in _corners(face):
            end = _ends(shape.edges[edge], sense)[1]
            start = _ends(shape.edges[after], sense_after)[0]
            if end != start:
                yield f"a loop of face {number} breaks between edges {edge} and {after}"


def _uneven_edges(shape: Body) -> Iterator[str]:
    uses: list[list[int]] = [[] for _ in shape.edges]
    for face in shape.faces:
        for loop in face.loops:
            for edge, sense in loop:
                uses[edge].append(-sense if face.flipped else sense)
    for number, senses in enumerate(uses):
        if sorted(senses) != [-1, 1]:
            yield (
                f"edge {number} is used {len(senses)} times, not by two faces in opposite senses"
            )


def _groups(count: int, joined: Iterable[tuple[int, int]]) -> list[int]:
    """For `count` things, the number of the group that each belongs to once pairs are joined."""
    group = list(range(count))

    def root(i: int) -> int:
        while group[i] != i:
            group[i] = group[group[i]]
            i = group[i]
        return i

    for a, b in joined:
        group[root(a)] = root(b)
    return [root(i) for i in range(count)]


def _apart(shape: Body) -> Iterator[str]:
    count = len(shape.faces)
    joined = [
        (number, count + edge)
        for number, face in enumerate(shape.faces)
        for loop in face.loops
        for edge, _ in loop
    ]
    pieces = len(set(_groups(count + len(shape.edges), joined)))
    if pieces != 1:
        yield f"the faces form {pieces} separate pieces"


def _pinched_vertices(shape: Body) -> Iterator[str]:
    """Edge ends are joined by the faces between them: one group of ends at each vertex."""

    def end_number(edge: int, sense: int, at_end: bool) -> int:
        return 2 * edge + int((sense > 0) == at_end)

    joined = [
        (end_number(edge, sense, True), end_number(after, sense_after, False))
        for face in shape.faces
        for (edge, sense), (after, sense_after) in _corners(face)
    ]
    group = _groups(2 * len(shape.edges), joined)
    fans: list[set[int]] = [set() for _ in shape.vertices]
    for number, edge in enumerate(shape.edges):
        fans[edge.start].add(group[2 * number])
        fans[edge.end].add(group[2 * number + 1])
    for number, fan in enumerate(fans):
        if len(fan) != 1:
            yield f"the metal is pinched at vertex {number} {at_words(shape.vertices[number])}"


def _miscounted(shape: Body, openings: int) -> Iterator[str]:
    inner = sum(len(face.loops) - 1 for face in shape.faces)
    found = len(shape.vertices) - len(shape.edges) + len(shape.faces) - inner
    if found != 2 * (1 - openings):
        yield f"the skin goes through {1 - found / 2:g} openings, not {openings}"


def _points(edge: Edge) -> Vector:
    """Start, inner points and end of an edge's curve (n, 3); a spline's at its knots."""
    curve = edge.curve
    if isinstance(curve, Spline):
        before, middle, after = (curve.poles[k:-3:3] for k in (3, 4, 5))
        inner = (before + 2 * middle + after) / 4  # even spans, smooth to the second derivative
        return np.concatenate([curve.poles[:1], inner, curve.poles[-1:]])
    at = np.linspace(edge.low, edge.high, 5)[:, None]
    if isinstance(curve, Straight):
        return np.asarray(curve.point + at * curve.direction)
    across = cross(curve.axis, curve.x)
    return np.asarray(curve.center + curve.radius * (np.cos(at) * curve.x + np.sin(at) * across))


def _missed_vertices(shape: Body) -> Iterator[str]:
    for number, edge in enumerate(shape.edges):
        points = _points(edge)
        for vertex, point in ((edge.start, points[0]), (edge.end, points[-1])):
            gap = float(np.abs(point - shape.vertices[vertex]).max())
            if not gap < OFF:
                yield f"edge {number} misses vertex {vertex} by {gap:.2g} mm"


def _missed_faces(shape: Body) -> Iterator[str]:
    points = [_points(edge) for edge in shape.edges]
    for number, face in enumerate(shape.faces):
        surface = face.surface
        edges = sorted({edge for loop in face.loops for edge, _ in loop})
        on = np.concatenate([points[edge] for edge in edges])
        if isinstance(surface, Plane):
            off = np.abs((on - surface.point) @ surface.normal)
            off = off / np.linalg.norm(surface.normal)
        elif isinstance(surface, Cylinder):
            out = on - surface.point
            out = out - np.outer(out @ surface.axis, surface.axis)
            off = np.abs(np.linalg.norm(out, axis=1) - surface.radius)
        else:  # a ruled face is made of its two edges; the others must join their ends
            ends = np.concatenate([s.poles[[0, -1]] for s in (surface.lower, surface.upper)])
            corners = np.concatenate([points[edge][[0, -1]] for edge in edges])
            off = np.linalg.norm(corners[:, None] - ends[None], axis=2).min(axis=1)
        if not float(off.max()) < OFF:
            yield f"an edge of face {number} lies {float(off.max()):.2g} mm off it"
