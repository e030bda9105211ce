"""What a tyre may meet on one side: the tub's own metal, the rail, the floor, the body, and what
else was measured."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import acos, atan2, ceil, cos, hypot, pi, radians, sin, tan

import numpy as np

from parts.kinds.wheel_tub.disc import whole_disc
from parts.kinds.wheel_tub.local import Local
from parts.kinds.wheel_tub.path import BandPath
from parts.kinds.wheel_tub.surround import BodySide, Rail
from parts.place import Vector
from parts.sheet.curve import Arc
from parts.sheet.loop import Loop
from parts.trade.sweep import Block, Plate, Rolled, Surface

FACETS = 32  # straight pieces a half circle is taken as, on the side nearer to the tyre
ROUND_FACETS = 2  # the same for the quarter circle of a formed rim
RAIL_DEPTH = 50.0  # of the rail behind its outer face, as far as a tyre is concerned
STAND_OUT = 0.04  # mm by which a fold's tangents may stand out of its round
FLOOR_SPAN = 300.0  # of floor beyond the tub's edges that is looked at
Spatial = tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class Arch:
    """The wheel opening's lip, in (p, q): centre, radius, and its inboard thickness."""

    p: float
    q: float
    radius: float
    lip: float


@dataclass(frozen=True, eq=False)
class Room:
    """Everything a tyre may meet on one side, for one shape of tub.

    `standoff` is how far the band's inboard edge stays off the disc's face, `rim` the inside
    radius of a rim formed between them (0: none). `others` are further things, by name.
    """

    local: Local
    path: BandPath
    disc_face: float
    standoff: float
    rim: float
    skin: BodySide
    body: BodySide
    rail: Rail | None
    arch: Arch | None
    others: Mapping[str, Surface]

    @property
    def inboard(self) -> float:
        """Distance of the band's inboard edge from the centre plane."""
        return self.disc_face + self.standoff

    @cached_property
    def surfaces(self) -> dict[str, tuple[Surface, ...]]:
        """By name, in vehicle axes."""
        found: dict[str, tuple[Surface, ...]] = {
            "disc": (self._disc(),),
            "band": (self._roll(), *self._ends()),
            "body side": tuple(self._body()),
            "floor": tuple(self._floors()),
        }
        if self.rim > 0:
            found["formed rim"] = tuple(self._rim())
        if self.rail is not None:
            found["rail"] = tuple(self._rail_blocks(self.rail))
        return found | {name: (surface,) for name, surface in self.others.items()}

    def shaped(self, path: BandPath, disc_face: float) -> Room:
        """The same surround with another band and disc."""
        return replace(self, path=path, disc_face=disc_face)

    def _at(self, points: Sequence[Spatial]) -> Vector:
        return np.array([self.local.vehicle(*point) for point in points])

    def _disc(self) -> Plate:
        corners = _outside(whole_disc(self.path, -self.path.thickness))
        return Plate(self._at([(p, q, self.disc_face) for p, q in corners]))

    def _roll(self) -> Rolled:
        path = self.path
        # angles run right-handed about the outboard axis, from +p toward +q
        spots = [path.at(u, path.thickness) for u in np.linspace(0, path.length, 61)]
        far = max(self.skin.out(*spot) for spot in spots)
        return Rolled(
            self.local.vehicle(*path.center, 0.0),
            self.local.way(0, 0, 1),
            self.local.way(1, 0, 0),
            path.radius,
            path.last.rise_deg,
            180.0 - path.first.rise_deg,
            self.inboard,
            far,
        )

    def _ends(self) -> Iterator[Block]:
        """Legs, folds and flanges, with the corner outside of the tub that they enclose; the folds
        by tangents, so that nothing of them is left out."""
        path, t = self.path, self.path.thickness
        m = (0.0, *path.marks)
        for marks, turn_deg in ((m[3::-1], path.first.turn_deg), (m[4:], path.last.turn_deg)):
            leg, fold, flange, end = (path.at(u, t) for u in marks)
            down = (fold[0] - leg[0], fold[1] - leg[1])
            size = hypot(*down)
            along = (down[0] / size, down[1] / size)
            outward = 1.0 if flange[0] > leg[0] else -1.0
            radius, turn = path.fold_radius + t, radians(turn_deg)
            count = max(2, ceil(turn / (2 * acos(radius / (radius + STAND_OUT)))))
            corners, at, heading = [leg], fold, atan2(along[1], along[0])
            step = turn / count
            for i in range(count):
                reach = radius * tan(step / 2) * (1 if i == 0 else 2)
                at = (at[0] + reach * cos(heading), at[1] + reach * sin(heading))
                corners.append(at)
                heading += outward * step
            yield self._prism([*corners, end])

    def _prism(self, corners: Sequence[tuple[float, float]]) -> Block:
        """What stands on a convex outline of the side view, from the band's edge to the skin."""
        near = self._at([(*c, self.inboard) for c in corners])
        far = self._at([(*c, self.skin.out(*c)) for c in corners])
        middle = (near.mean(axis=0) + far.mean(axis=0)) / 2
        rings = [near, far]
        for i in range(len(corners)):
            rings.append(np.array([near[i - 1], near[i], far[i], far[i - 1]]))
        plates = [Plate(ring) for ring in rings]
        return Block(
            tuple(
                one if (one.corners[0] - middle) @ one.normal > 0 else Plate(one.corners[::-1])
                for one in plates
            )
        )

    def _rim(self) -> Iterator[Plate]:
        """A formed rim by chords across its round: they lie on the tyre's side of it."""
        path, rim = self.path, self.rim
        flat = path.radius + path.thickness - rim
        arch = np.radians(np.linspace(path.last.rise_deg, 180.0 - path.first.rise_deg, FACETS + 1))
        rounds = np.linspace(0.0, pi / 2, ROUND_FACETS + 1)
        for (a, b), (r, s) in itertools.product(
            itertools.pairwise(arch), itertools.pairwise(rounds)
        ):
            ring = []
            for angle, turn in ((a, r), (b, r), (b, s), (a, s)):
                out = flat + rim * sin(turn)
                p, q = path.center[0] + out * cos(angle), path.center[1] + out * sin(angle)
                ring.append((p, q, self.disc_face + rim * (1 - cos(turn))))
            yield Plate(self._at(ring))

    def _floors(self) -> Iterator[Plate]:
        """The floor in front of and behind the tub, from where the band's legs would meet it."""
        foot = whole_disc(self.path, -self.path.thickness)[0]
        low = max(self.disc_face - FLOOR_SPAN, 0.0)
        for (p, q), way in ((foot.start, -1.0), (foot.end, 1.0)):
            far = p + way * FLOOR_SPAN
            corners = [(p, q, low), (far, q, low)]
            corners += [(far, q, self.skin.out(far, q)), (p, q, self.skin.out(p, q))]
            yield Plate(self._at(corners))

    def _body(self) -> Iterator[Plate]:
        """The inner skin as if it closed the band's opening; or, where an arch is given, all of
        the body side at the depth of its lip: round the opening, and below its centre beside it."""
        face = self.skin if self.arch is None else self.body.inward(self.arch.lip)

        def plate(ring: Sequence[tuple[float, float]]) -> Plate:
            return Plate(self._at([(p, q, face.out(p, q)) for p, q in ring]))

        if self.arch is None:
            yield plate(_outside(whole_disc(self.path)))
            return
        arch, wide = self.arch, max(self.path.radius, self.arch.radius) + 60.0
        for a, b in itertools.pairwise(np.linspace(0.0, pi, FACETS + 1)):
            yield plate(
                [
                    (arch.p + radius * cos(angle), arch.q + radius * sin(angle))
                    for angle, radius in ((a, arch.radius), (b, arch.radius), (b, wide), (a, wide))
                ]
            )
        for way in (-1.0, 1.0):
            near, far, low = arch.p + way * arch.radius, arch.p + way * wide, arch.q - arch.radius
            yield plate([(near, arch.q), (near, low), (far, low), (far, arch.q)])

    def _rail_blocks(self, rail: Rail) -> Iterator[Block]:
        """From station to station; where lean and taper warp a side it stands out to the wider
        of the two ways to fold it."""
        for a, b in itertools.pairwise(rail.stations):
            corners = [
                (s.p, q, o - back)
                for s in (a, b)
                for q, o in ((s.top, s.outer), (s.bottom, s.outer_low))
                for back in (0.0, RAIL_DEPTH)
            ]
            yield Block.around(self._at(corners))


def _outside(loop: Loop) -> list[tuple[float, float]]:
    """Corners of a convex outline; arcs by tangents, so that nothing of it is left out."""
    corners: list[tuple[float, float]] = []
    for curve in loop:
        corners.append(curve.start)
        if isinstance(curve, Arc):
            count = max(4, int(FACETS * abs(curve.sweep) / pi))
            step = curve.sweep / count
            reach = curve.radius / cos(step / 2)
            for i in range(count):
                angle = curve.start_angle + (i + 0.5) * step
                corners.append(
                    (curve.center[0] + reach * cos(angle), curve.center[1] + reach * sin(angle))
                )
    return corners
