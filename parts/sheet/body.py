"""The folded metal as vertices, edges and faces: plain arrays that any kernel can take.

Built straight from the regions, so neighbouring faces share their edges and nothing has to be
cut, joined or sewn. A cut edge is the ruled surface between its two skin curves, which is what a
square cut in the flat becomes once the sheet is bent.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import cos, sin, tau

import numpy as np

from parts.place import Vector, cross
from parts.sheet.bent_cut import (
    FIT,
    LEVEL,
    BentSkin,
    Bow,
    quintic,
    round_cut,
    spans_needed,
    straight_cut,
)
from parts.sheet.blank import Bend
from parts.sheet.curve import Arc, Line
from parts.sheet.fold import Folded, Region, Side
from parts.sheet.shape import (
    Body,
    Cylinder,
    Edge,
    EllipseTrace,
    Face,
    LineTrace,
    Pair,
    Plane,
    Ring,
    Ruled,
    Spline,
    Straight,
    Trace,
)

__all__ = [
    "FIT", "Body", "Cylinder", "Edge", "EllipseTrace", "Face", "LineTrace", "Pair", "Plane",
    "Ring", "Ruled", "Spline", "Straight", "Trace", "body",
]  # fmt: skip


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


@dataclass(eq=False)
class _Build:
    """Vertices, edges and faces so far, each numbered as it was first needed."""

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
        cut, bent = side.curve, self._bent_skin(region, bend, skin)
        if isinstance(cut, Arc):
            bow, ellipse = round_cut(bend, cut)
            spline = self._spline(region, bend, bow, side.edge, skin)
            return Edge(spline, a, b, bow.low, bow.high), ellipse
        bow, trace = straight_cut(bend, cut)
        p, q = self.vertices[a], self.vertices[b]
        ahead = abs(bend.ahead(cut.end) - bend.ahead(cut.start))
        if ahead < LEVEL:
            reach = float(np.linalg.norm(q - p))
            return Edge(Straight(p, (q - p) / reach), a, b, 0.0, reach), trace
        if abs(bend.beside(cut.end) - bend.beside(cut.start)) < LEVEL:
            ring = bent.square_cut(cut, p)
            return Edge(ring, a, b, 0.0, ahead / bend.neutral_radius), trace
        spline = self._spline(region, bend, bow, side.edge, skin)
        return Edge(spline, a, b, bow.low, bow.high), trace

    def _bent_skin(self, region: Region, bend: Bend, skin: int) -> BentSkin:
        return BentSkin(region.place, bend, self.folded.blank.thickness, self.depth(skin))

    def _spline(self, region: Region, bend: Bend, bow: Bow, edge: int, skin: int) -> Spline:
        """The cut on one skin; both skins get the spans that the worse of them needs."""
        if edge not in self._spans:
            self._spans[edge] = max(
                spans_needed(self._bent_skin(region, bend, k).in_space(bow), bow.low, bow.high)
                for k in (0, 1)
            )
        curve = self._bent_skin(region, bend, skin).in_space(bow)
        return quintic(curve, np.linspace(bow.low, bow.high, self._spans[edge] + 1))

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
        surface = self._bent_skin(region, bend, skin).surface()
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
            self.faces.append(Face(Plane(p, cross(travel, through), travel), (loop,), False, {}))
        elif isinstance(curve, Ring) and bent:  # square across the bend: a flat wall
            travel = cross(curve.axis, curve.x)
            self.faces.append(
                Face(Plane(p, cross(travel, through), through), (loop,), False, {})
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
