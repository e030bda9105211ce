"""The folded metal as vertices, edges and faces: plain arrays that any kernel can take.

Built straight from the regions, so neighbouring faces share their edges and nothing has to be
cut, joined or sewn. A straight cut on a bend is a straight line in the cylinder's own (angle,
axial) parameters and a round cut an ellipse, both exact; their curve in space is a quintic
spline within `FIT` of it. A cut edge is the ruled surface between its two skin curves, which is
what a square cut in the flat becomes once the sheet is bent.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import atan2, cos, hypot, pi, sin, tau
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector
from parts.sheet.bent import axis_height, skin_radius
from parts.sheet.blank import Bend
from parts.sheet.curve import Arc, Line
from parts.sheet.fold import Folded, Region, Side

FIT = 2e-8  # mm; a third of the kernel's own tolerance or less, else its checker objects
Pair: TypeAlias = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Straight:
    """A straight edge curve: point and unit direction (3,)."""

    point: Vector
    direction: Vector


@dataclass(frozen=True, eq=False)
class Ring:
    """A circle: centre, axis and x direction (3,), radius."""

    center: Vector
    axis: Vector
    x: Vector
    radius: float


@dataclass(frozen=True, eq=False)
class Spline:
    """A quintic B-spline: poles (n, 3); inner knots have multiplicity 3, the ends 6."""

    poles: NDArray[np.float64]
    knots: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Plane:
    """A plane: a point on it, its normal, its x direction."""

    point: Vector
    normal: Vector
    x: Vector


@dataclass(frozen=True, eq=False)
class Cylinder:
    """A cylinder: a point on its axis, axis direction, x direction, radius."""

    point: Vector
    axis: Vector
    x: Vector
    radius: float


@dataclass(frozen=True, eq=False)
class Ruled:
    """The surface of straight lines between two splines of the same knots, `height` apart."""

    lower: Spline
    upper: Spline
    height: float


@dataclass(frozen=True, slots=True)
class LineTrace:
    """An edge as a straight line in a surface's parameters."""

    point: Pair
    direction: Pair


@dataclass(frozen=True, slots=True)
class EllipseTrace:
    """An edge as an ellipse in a surface's parameters; axes given as unit pairs."""

    center: Pair
    major_axis: Pair
    minor_axis: Pair
    major: float
    minor: float


Trace: TypeAlias = LineTrace | EllipseTrace


@dataclass(frozen=True, eq=False)
class Edge:
    """A curve between two numbered vertices, over the parameters low to high."""

    curve: Straight | Ring | Spline
    start: int
    end: int
    low: float
    high: float


@dataclass(frozen=True, eq=False)
class Face:
    """A bounded surface; loops list (edge number, +1 along or -1 against).

    The loops run round the surface's own normal; `flipped` says that normal points into the
    metal. `traces` holds the edge's line in the surface's parameters: one, or two for a seam.
    """

    surface: Plane | Cylinder | Ruled
    loops: tuple[tuple[tuple[int, int], ...], ...]
    flipped: bool
    traces: dict[int, tuple[Trace, ...]]


@dataclass(frozen=True, eq=False)
class Body:
    """A closed solid: vertices (3,), edges, faces."""

    vertices: tuple[Vector, ...]
    edges: tuple[Edge, ...]
    faces: tuple[Face, ...]


def body(folded: Folded) -> Body:
    """The folded metal as one closed solid in the part's own axes."""
    build = _Build(folded)
    for region in folded.regions:
        for skin in (0, 1):
            build.add_skin(region, skin)
        for loop in region.loops:
            for side in loop:
                if side.fold is None:
                    build.add_wall(region, side)
    return Body(tuple(build.vertices), tuple(build.edges), tuple(build.faces))


@dataclass(frozen=True, eq=False)
class _Bow:
    """A flat cut of a bent region as u(x), v(x) with first and second derivatives."""

    low: float
    high: float
    flat: Callable[[NDArray[np.float64]], tuple[NDArray[np.float64], ...]]


@dataclass(eq=False)
class _Build:
    folded: Folded
    vertices: list[Vector] = field(default_factory=list)
    edges: list[Edge] = field(default_factory=list)
    faces: list[Face] = field(default_factory=list)
    _corner: dict[tuple[int, int], int] = field(default_factory=dict)
    _upright: dict[int, int] = field(default_factory=dict)
    _on_skin: dict[tuple[int, int], int] = field(default_factory=dict)
    _trace: dict[tuple[int, int], Trace] = field(default_factory=dict)
    _spans: dict[int, int] = field(default_factory=dict)

    def depth(self, skin: int) -> float:
        return self.folded.blank.thickness if skin else 0.0

    def corner(self, region: Region, vertex: int, skin: int) -> int:
        """Number of a flat vertex's point on one skin."""
        key = (vertex, skin)
        if key not in self._corner:
            self._corner[key] = len(self.vertices)
            flat = self.folded.vertices[vertex]
            self.vertices.append(self.folded.space(region, flat, self.depth(skin)))
        return self._corner[key]

    def add_edge(self, edge: Edge) -> int:
        self.edges.append(edge)
        return len(self.edges) - 1

    def upright(self, region: Region, vertex: int) -> int:
        """The edge through the thickness at a vertex, back face to drawn face."""
        if vertex not in self._upright:
            a, b = self.corner(region, vertex, 0), self.corner(region, vertex, 1)
            t = self.folded.blank.thickness
            p, q = self.vertices[a], self.vertices[b]
            self._upright[vertex] = self.add_edge(Edge(Straight(p, (q - p) / t), a, b, 0.0, t))
        return self._upright[vertex]

    def on_skin(self, region: Region, side: Side, skin: int) -> int:
        """The edge of a side on one skin, drawn the way the side runs forward."""
        key = (side.edge, skin)
        if key not in self._on_skin:
            side = side if side.forward else side.back()
            a = self.corner(region, side.start, skin)
            b = self.corner(region, side.end, skin)
            bend = self.folded.bend_of(region)
            if bend is None or side.fold is not None:
                edge = self._flat_edge(region, side, skin, a, b)
            else:
                edge, self._trace[key] = self._bent_edge(region, bend, side, skin, a, b)
            self._on_skin[key] = self.add_edge(edge)
        return self._on_skin[key]

    def _flat_edge(self, region: Region, side: Side, skin: int, a: int, b: int) -> Edge:
        curve = side.curve
        p, q = self.vertices[a], self.vertices[b]
        if isinstance(curve, Line):
            size = float(np.linalg.norm(q - p))
            return Edge(Straight(p, (q - p) / size), a, b, 0.0, size)
        center = region.place.apply([*curve.center, self.depth(skin)])
        axis = region.place.turn[:, 2] * (1.0 if curve.sweep > 0 else -1.0)
        angle = curve.start_angle
        x = region.place.direction([cos(angle), sin(angle), 0.0])
        return Edge(Ring(center, axis, x, curve.radius), a, b, 0.0, abs(curve.sweep))

    def _bent_edge(
        self, region: Region, bend: Bend, side: Side, skin: int, a: int, b: int
    ) -> tuple[Edge, Trace]:
        curve, way = side.curve, 1.0 if bend.up else -1.0
        rn = bend.neutral_radius
        if isinstance(curve, Arc):
            return self._round_on_bend(region, bend, curve, side.edge, skin, a, b)
        u0, v0 = bend.ahead(curve.start), bend.beside(curve.start)
        u1, v1 = bend.ahead(curve.end), bend.beside(curve.end)
        turn, run = (u1 - u0) / rn, v1 - v0
        size = hypot(turn, run)
        trace = LineTrace((u0 / rn, way * v0), (turn / size, way * run / size))
        p, q = self.vertices[a], self.vertices[b]
        if abs(u1 - u0) < 1e-9:
            reach = float(np.linalg.norm(q - p))
            return Edge(Straight(p, (q - p) / reach), a, b, 0.0, reach), trace
        if abs(run) < 1e-9:
            return self._ring_edge(region, bend, skin, (u0, u1, v0), (a, b)), trace

        def flat(x: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
            one = np.ones_like(x)
            du, dv = (u1 - u0) / size, run / size
            return u0 + du * x, du * one, 0 * one, v0 + dv * x, dv * one, 0 * one

        spline = self._spline(region, bend, _Bow(0.0, size, flat), side.edge, skin)
        return Edge(spline, a, b, 0.0, size), trace

    def _ring_edge(
        self,
        region: Region,
        bend: Bend,
        skin: int,
        run: tuple[float, float, float],
        ends: tuple[int, int],
    ) -> Edge:
        u0, u1, v = run
        t = self.folded.blank.thickness
        d, n = bend.along, bend.across
        foot = (bend.start[0] + v * d[0], bend.start[1] + v * d[1])
        center = region.place.apply([*foot, axis_height(bend, t)])
        radius = skin_radius(bend, t, self.depth(skin))
        x = (self.vertices[ends[0]] - center) / radius
        angle = u0 / bend.neutral_radius
        rise = sin(angle) if bend.up else -sin(angle)
        ahead = region.place.direction([cos(angle) * n[0], cos(angle) * n[1], rise])
        axis = np.cross(x, ahead if u1 > u0 else -ahead)
        axis /= np.linalg.norm(axis)
        return Edge(Ring(center, axis, x, radius), *ends, 0.0, abs(u1 - u0) / bend.neutral_radius)

    def _round_on_bend(
        self, region: Region, bend: Bend, curve: Arc, edge: int, skin: int, a: int, b: int
    ) -> tuple[Edge, Trace]:
        """A circle in the flat: an ellipse in (angle, axial), and the spline it is in space."""
        way, spin = (1.0 if bend.up else -1.0), (1.0 if curve.sweep > 0 else -1.0)
        rn, r = bend.neutral_radius, curve.radius
        uc, vc = bend.ahead(curve.center), bend.beside(curve.center)
        center = (uc / rn, way * vc)
        first = curve.start_angle - atan2(bend.along[1], bend.along[0])
        if rn >= 1:  # the ellipse is longer along the axis than round it
            trace = EllipseTrace(center, (0.0, way), (spin, 0.0), r, r / rn)
            low = (spin * first) % tau
        else:
            trace = EllipseTrace(center, (1.0, 0.0), (0.0, -spin * way), r / rn, r)
            low = (spin * (first - pi / 2)) % tau
        high = low + abs(curve.sweep)

        def flat(x: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
            angle = first + spin * (x - low)
            s, c = r * np.sin(angle), r * np.cos(angle)
            return uc + s, spin * c, -s, vc + c, -spin * s, -c

        spline = self._spline(region, bend, _Bow(low, high, flat), edge, skin)
        return Edge(spline, a, b, low, high), trace

    def _spline(self, region: Region, bend: Bend, bow: _Bow, edge: int, skin: int) -> Spline:
        """The cut on one skin; both skins get the spans that the worse of them needs."""
        if edge not in self._spans:
            self._spans[edge] = max(
                _spans_needed(self._in_space(region, bend, bow, k), bow.low, bow.high)
                for k in (0, 1)
            )
        curve = self._in_space(region, bend, bow, skin)
        return _quintic(curve, np.linspace(bow.low, bow.high, self._spans[edge] + 1))

    def _in_space(
        self, region: Region, bend: Bend, bow: _Bow, skin: int
    ) -> Callable[[NDArray[np.float64]], tuple[NDArray[np.float64], ...]]:
        """Position, first and second derivative (n, 3) of a flat cut once it is bent."""
        t = self.folded.blank.thickness
        radius = skin_radius(bend, t, self.depth(skin))
        way = 1.0 if bend.up else -1.0
        along = region.place.direction([*bend.along, 0.0])
        across = region.place.direction([*bend.across, 0.0])
        z = way * region.place.turn[:, 2]
        center = region.place.apply([*bend.start, axis_height(bend, t)])
        rn = bend.neutral_radius

        def curve(x: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
            u, du, ddu, v, dv, ddv = (part[:, None] for part in bow.flat(x))
            s, c = np.sin(u / rn), np.cos(u / rn)
            out, onward = s * across - c * z, c * across + s * z
            turn, turn2 = du / rn, ddu / rn
            return (
                center + v * along + radius * out,
                dv * along + radius * turn * onward,
                ddv * along + radius * (turn2 * onward - turn * turn * out),
            )

        return curve

    def add_skin(self, region: Region, skin: int) -> None:
        """The back (0) or drawn (1) face of a region."""
        bend = self.folded.bend_of(region)
        traces: dict[int, tuple[Trace, ...]] = {}
        loops: list[tuple[tuple[int, int], ...]] = []
        against = bend is not None and bend.up
        for loop in region.loops:
            run: list[tuple[int, int]] = []
            for side in loop:
                edge = self.on_skin(region, side, skin)
                run.append((edge, 1 if side.forward else -1))
                if bend is not None:
                    traces[edge] = (self._skin_trace(bend, side, skin),)
            loops.append(tuple((e, -s) for e, s in reversed(run)) if against else tuple(run))
        surface, flipped = self._skin_surface(region, bend, skin)
        self.faces.append(Face(surface, tuple(loops), flipped, traces))

    def _skin_surface(
        self, region: Region, bend: Bend | None, skin: int
    ) -> tuple[Plane | Cylinder, bool]:
        turn = region.place.turn
        if bend is None:
            first = region.loops[0][0].curve.start
            point = region.place.apply([*first, self.depth(skin)])
            return Plane(point, turn[:, 2], turn[:, 0]), skin == 0
        t = self.folded.blank.thickness
        way = 1.0 if bend.up else -1.0
        surface = Cylinder(
            region.place.apply([*bend.start, axis_height(bend, t)]),
            region.place.direction([way * bend.along[0], way * bend.along[1], 0.0]),
            -way * turn[:, 2],
            skin_radius(bend, t, self.depth(skin)),
        )
        return surface, (skin == 1) if bend.up else (skin == 0)

    def _skin_trace(self, bend: Bend, side: Side, skin: int) -> Trace:
        if side.fold is None:
            return self._trace[side.edge, skin]
        way = 1.0 if bend.up else -1.0
        drawn = side if side.forward else side.back()
        v0, v1 = bend.beside(drawn.curve.start), bend.beside(drawn.curve.end)
        angle = bend.turn_rad if side.fold[1] else 0.0
        return LineTrace((angle, way * v0), (0.0, way if v1 > v0 else -way))

    def add_wall(self, region: Region, side: Side) -> None:
        """The cut edge under one side of a region."""
        back, drawn = self.on_skin(region, side, 0), self.on_skin(region, side, 1)
        if side.start == side.end:
            self._add_round_wall(region, side, back, drawn)
            return
        first, last = self.upright(region, side.start), self.upright(region, side.end)
        loop = ((back, 1), (last, 1), (drawn, -1), (first, -1))
        t = self.folded.blank.thickness
        p = self.vertices[self.edges[back].start]
        q = self.vertices[self.edges[back].end]
        through = (self.vertices[self.edges[drawn].start] - p) / t
        curve = self.edges[back].curve
        bent = region.bend is not None
        if isinstance(curve, Straight):
            travel = (q - p) / np.linalg.norm(q - p)
            self.faces.append(Face(Plane(p, np.cross(travel, through), travel), (loop,), False, {}))
        elif isinstance(curve, Ring) and bent:  # square across the bend: a flat wall
            travel = np.cross(curve.axis, curve.x)
            self.faces.append(
                Face(Plane(p, np.cross(travel, through), through), (loop,), False, {})
            )
        elif isinstance(curve, Ring):
            assert isinstance(side.curve, Arc)
            self._add_arc_wall(region, side.curve, loop)
        else:
            upper = self.edges[drawn].curve
            assert isinstance(curve, Spline) and isinstance(upper, Spline)
            low, high = self.edges[back].low, self.edges[back].high
            traces: dict[int, tuple[Trace, ...]] = {
                back: (LineTrace((0.0, 0.0), (1.0, 0.0)),),
                drawn: (LineTrace((0.0, t), (1.0, 0.0)),),
                first: (LineTrace((low, 0.0), (0.0, 1.0)),),
                last: (LineTrace((high, 0.0), (0.0, 1.0)),),
            }
            self.faces.append(Face(Ruled(curve, upper, t), (loop,), False, traces))

    def _add_arc_wall(
        self, region: Region, curve: Arc, loop: tuple[tuple[int, int], ...]
    ) -> None:
        (back, _), (last, _), (drawn, _), (first, _) = loop
        t, size = self.folded.blank.thickness, abs(curve.sweep)
        outside = curve.sweep > 0
        angle = curve.start_angle if outside else curve.start_angle + curve.sweep
        surface = self._upright_cylinder(region, curve, angle)
        begin, step = (0.0, 1.0) if outside else (size, -1.0)
        traces: dict[int, tuple[Trace, ...]] = {
            back: (LineTrace((begin, 0.0), (step, 0.0)),),
            drawn: (LineTrace((begin, t), (step, 0.0)),),
            first: (LineTrace((begin, 0.0), (0.0, 1.0)),),
            last: (LineTrace((size - begin, 0.0), (0.0, 1.0)),),
        }
        run = loop if outside else tuple((e, -s) for e, s in reversed(loop))
        self.faces.append(Face(surface, (run,), not outside, traces))

    def _add_round_wall(self, region: Region, side: Side, back: int, drawn: int) -> None:
        """A whole circle: one cylinder face with a seam."""
        assert isinstance(side.curve, Arc)
        t, seam = self.folded.blank.thickness, self.upright(region, side.start)
        outside = side.curve.sweep > 0
        surface = self._upright_cylinder(region, side.curve, side.curve.start_angle)
        way = 1 if outside else -1
        begin = 0.0 if outside else tau
        traces: dict[int, tuple[Trace, ...]] = {
            back: (LineTrace((begin, 0.0), (float(way), 0.0)),),
            drawn: (LineTrace((begin, t), (float(way), 0.0)),),
            seam: (LineTrace((tau, 0.0), (0.0, 1.0)), LineTrace((0.0, 0.0), (0.0, 1.0))),
        }
        loop = ((back, way), (seam, 1), (drawn, -way), (seam, -1))
        self.faces.append(Face(surface, (loop,), not outside, traces))

    def _upright_cylinder(self, region: Region, curve: Arc, angle: float) -> Cylinder:
        return Cylinder(
            region.place.apply([*curve.center, 0.0]),
            region.place.turn[:, 2],
            region.place.direction([cos(angle), sin(angle), 0.0]),
            curve.radius,
        )


_Curve3: TypeAlias = Callable[[NDArray[np.float64]], tuple[NDArray[np.float64], ...]]


def _hermite(curve: _Curve3, at: NDArray[np.float64]) -> list[NDArray[np.float64]]:
    """The six Bezier poles of every span, each (spans, 3)."""
    h = float(at[1] - at[0])
    p, d, dd = curve(at)
    b0, b5 = p[:-1], p[1:]
    b1, b4 = b0 + h / 5 * d[:-1], b5 - h / 5 * d[1:]
    b2 = b0 + 2 * h / 5 * d[:-1] + h * h / 20 * dd[:-1]
    b3 = b5 - 2 * h / 5 * d[1:] + h * h / 20 * dd[1:]
    return [b0, b1, b2, b3, b4, b5]


def _spans_needed(curve: _Curve3, low: float, high: float) -> int:
    """Spans that keep the quintic within FIT, judged at the middle of each span."""
    spans = 2
    while True:
        at = np.linspace(low, high, spans + 1)
        b0, b1, b2, b3, b4, b5 = _hermite(curve, at)
        middle = (b0 + 5 * b1 + 10 * b2 + 10 * b3 + 5 * b4 + b5) / 32
        off = middle - curve(at[:-1] + (at[1] - at[0]) / 2)[0]
        worst = float(np.sqrt((off**2).sum(axis=1).max()))
        if worst <= FIT:
            return spans
        spans = max(spans + 1, int(np.ceil(spans * min(4.0, 1.02 * (worst / FIT) ** (1 / 6)))))


def _quintic(curve: _Curve3, knots: NDArray[np.float64]) -> Spline:
    """The C2 quintic through position and two derivatives at the knots."""
    b0, b1, b2, b3, b4, b5 = _hermite(curve, knots)
    spans = len(knots) - 1
    poles = np.empty((3 * spans + 3, 3))
    poles[:3] = b0[0], b1[0], b2[0]
    poles[-3:] = b3[-1], b4[-1], b5[-1]
    for i in range(spans - 1):
        poles[3 * i + 3 : 3 * i + 6] = b3[i], 2 * b4[i] - b3[i], b2[i + 1]
    return Spline(poles, knots)
