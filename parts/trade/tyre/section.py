"""The outline of a tyre's section: half of it, from bead to crown, to be turned about the axle.

Every outline here is convex and contains the true one: a hollow (above the rim lip, or in a
crown that is worn or dished) is filled. That is on the safe side for anything outside the tyre.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import acos, cos, hypot, pi, sin

import numpy as np
from numpy.typing import NDArray

from parts.sheet.stock import MM_PER_INCH
from parts.tables import find
from parts.trade.tyre.size import TyreSize
from parts.trade.tyre.standard import rule

TOLERANCE = 0.05  # mm: no outline of arcs stands further out than this from the arcs

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class TyreSection:
    """A free tyre's outline as (half width, radius) points in mm, from bead to crown.

    Half widths are from the tyre's centre plane, radii from the wheel's axis. The first point
    is the bead end, the last is the crown at half width 0; with its mirror image the outline
    is convex. `slack`: how far it may stand outside the true outline. `plus_minus`: of the
    readings it was drawn from; it is not in the points.
    """

    points: tuple[Point, ...]
    section_width: float  # of the tyre alone; the rim's lips may be wider
    rim_radius: float  # bead seat
    slack: float
    plus_minus: float
    source: str

    @property
    def width(self) -> float:
        """Of tyre and rim together."""
        return 2 * max(y for y, _ in self.points)

    @property
    def diameter(self) -> float:
        return 2 * max(r for _, r in self.points)

    def rings(self) -> NDArray[np.float64]:
        """(n, 2) array of (y, r), bead to bead over the crown; y is negative first."""
        left = [(-y, r) for y, r in self.points]
        right = [(y, r) for y, r in reversed(self.points) if y > 0]
        return np.array(left + right, dtype=np.float64)

    def grown(self, width_factor: float, height_factor: float) -> TyreSection:
        """Wider by one factor, and higher above the bead seat by the other.

        Both factors are 1 or more (ValueError): a smaller tyre is another section.
        """
        if width_factor < 1 or height_factor < 1:
            raise ValueError(
                f"growth by {width_factor:g} and {height_factor:g} would shrink the tyre; "
                "needs factors of 1 or more"
            )
        seat = self.rim_radius
        grown = [(y * width_factor, seat + (r - seat) * height_factor) for y, r in self.points]
        return replace(
            self,
            points=_outline([*self.points, *grown]),  # the bead end stays in
            section_width=self.section_width * width_factor,
            slack=self.slack * max(width_factor, height_factor),
            source=f"{self.source}, grown",
        )

    def grown_to(self, width: float, diameter: float) -> TyreSection:
        """Grown to a section width and diameter; it never shrinks to either.

        >>> grown = rounded_section(200, 600, 381).grown_to(208, 580)
        >>> round(grown.width, 6), round(grown.diameter, 6)
        (208.0, 600.0)
        """
        height, seat = self.diameter / 2 - self.rim_radius, self.rim_radius
        return self.grown(
            max(width / self.section_width, 1.0), max((diameter / 2 - seat) / height, 1.0)
        )


def section_of(size: TyreSize, shoulder_radius: float | None = None) -> TyreSection:
    """The rounded outline of a tyre at its working width and diameter, its rim's lips included.

    `plus_minus` is the larger of those of half the width and half the diameter.
    """
    spreads = (size.width.plus_minus or 0.0, size.diameter.plus_minus or 0.0)
    return rounded_section(
        size.width.value, size.diameter.value, size.rim_diameter, shoulder_radius,
        rim_width_in=size.rim_width_in, plus_minus=max(spreads) / 2,
    )  # fmt: skip


def rounded_section(
    width: float,
    diameter: float,
    rim_diameter: float,
    shoulder_radius: float | None = None,
    *,
    rim_width_in: float | None = None,
    plus_minus: float = 0.0,
) -> TyreSection:
    """Full width from the bead seat up, a flat crown, and a round shoulder between them.

    Without a `shoulder_radius` it is 10 mm, smaller than that of the squarest tyres (mud and
    competition patterns), so the outline is not smaller than a real tyre of that width and
    diameter. The shoulder is drawn by tangents: its corners stand out by 0.05 mm at most.
    With `rim_width_in` the rim's lips are included, which stand out beside a narrow tyre.

    By hand: tangents that stand out 0.05 at a radius of 20 turn 2 acos(20/20.05) = 8.09
    degrees each, so 12 corners; with the bead and the crown 14 points.

    >>> section = rounded_section(200, 600, 381, 20)
    >>> section.points[0], section.points[-1]
    ((100.0, 190.5), (0.0, 300.0))
    >>> len(section.points)
    14

    Raises ValueError for a tyre that does not go over its rim or a shoulder it has no room for.
    """
    half, crown, seat = width / 2, diameter / 2, rim_diameter / 2
    radius = shoulder_radius
    if radius is None:
        radius = float(find("tyre_shoulders", "square", what="shoulder")["radius_mm"])
    if not 0 < seat < crown or half <= 0:
        raise ValueError(
            f"a tyre {width:g} wide and {diameter:g} in diameter does not go over a rim of "
            f"{rim_diameter:g}; all three in mm"
        )
    if not 0 <= radius <= min(half, crown - seat) + 1e-9:
        raise ValueError(
            f"a shoulder radius of {radius:g} does not go into the section; needs 0 to "
            f"{min(half, crown - seat):g} mm"
        )
    points = [(half, seat), *_shoulder(half - radius, crown - radius, radius), (0.0, crown)]
    if rim_width_in is not None:
        points += _lip(rim_width_in, seat)
    return TyreSection(
        _outline(points), width, seat, TOLERANCE, plus_minus,
        f"section {width:.1f} x {diameter:.1f} mm with a shoulder of {radius:g} mm",
    )  # fmt: skip


def measured_section(
    points: Iterable[Point],
    rim_diameter: float,
    plus_minus: float,
    *,
    width: float | None = None,
    diameter: float | None = None,
    rim_width_in: float | None = None,
) -> TyreSection:
    """The outline through half widths measured at radii, bead to crown, both flanks alike.

    Between two points a tyre bulges out of the chord by an unknown amount, but not past the
    chords next to it, drawn on. So the corner where these meet is taken in, and the outline
    contains every bulging tyre through the points; `slack` is the largest distance of such a
    corner from its chord. More points make it smaller. Nothing is wider than `width` nor
    higher than `diameter`, which default to the widest and the highest point: so one of the
    points must lie at the crown (half width 0) and one at the widest place. A point in a
    hollow is passed over.

    Raises ValueError for fewer than three points, a negative half width or no crown point.
    """
    given = [(float(y), float(r)) for y, r in points]
    if len(given) < 3 or min(y for y, _ in given) < 0:
        raise ValueError("a measured outline needs three points or more, half widths 0 or over")
    if min(y for y, _ in given) > 0:
        raise ValueError("a measured outline ends at the crown; give its radius at half width 0")
    seat = rim_diameter / 2
    crown = max(diameter / 2 if diameter else 0.0, max(r for _, r in given))
    if crown <= seat or min(r for _, r in given) < 0:
        raise ValueError(f"the outline does not go over the rim's radius of {seat:g} mm")
    half = max(width / 2 if width else 0.0, max(y for y, _ in given))
    through = _outline(given)
    corners, slack = _corners(through, half, crown)
    if rim_width_in is not None:
        corners += _lip(rim_width_in, seat)
    return TyreSection(
        _outline([*through, *corners]), 2 * half, seat, slack, plus_minus,
        f"measured at {len(given)} points",
    )  # fmt: skip


def _lip(rim_width_in: float, seat: float) -> list[Point]:
    """The rim's lip as two corners: the lip's edge at the seat's radius and above it."""
    over = rule("lips over rim width")
    height = rule("rim lip height")
    half = (rim_width_in * MM_PER_INCH + over) / 2
    return [(half, seat), (half, seat + height)]


def _shoulder(y: float, r: float, radius: float) -> list[Point]:
    """Corners of the tangents round a quarter circle, standing out by `TOLERANCE` at most.

    The first tangent is the flank and the last is the crown.
    """
    if radius == 0:
        return [(y, r)]
    count = int(pi / 4 / acos(radius / (radius + TOLERANCE))) + 1
    step = pi / 2 / count
    out = radius / cos(step / 2)
    angles = [(i + 0.5) * step for i in range(count)]
    return [(min(y + out * cos(a), y + radius), min(r + out * sin(a), r + radius)) for a in angles]


def _corners(through: Sequence[Point], half: float, crown: float) -> tuple[list[Point], float]:
    """Where the chords beside each chord meet, cut off at `half` and `crown`; and the slack."""
    chain = [*through, *((-y, r) for y, r in reversed(through) if y > 0)]
    bottom = through[0][1]
    found: list[Point] = []
    slack = 0.0
    for i in range(len(through) - 1):
        a, b = chain[i], chain[i + 1]
        room = [(half, bottom), (half, crown), (-half, crown), (-half, bottom)]
        room = _cut(room, b, a)
        if i > 0:
            room = _cut(room, chain[i - 1], a)
        if i + 2 < len(chain):
            room = _cut(room, b, chain[i + 2])
        found += room
        slack = max([slack, *(_distance(p, a, b) for p in room)])
    return found, slack


def _cut(polygon: list[Point], a: Point, b: Point) -> list[Point]:
    """The part of a convex polygon to the left of the line from a to b, or on it."""
    sides = [_cross(a, b, p) for p in polygon]
    kept: list[Point] = []
    for i, p in enumerate(polygon):
        q, at, next_at = polygon[(i + 1) % len(polygon)], sides[i], sides[(i + 1) % len(polygon)]
        if at >= 0:
            kept.append(p)
        if (at > 0 > next_at) or (at < 0 < next_at):
            share = at / (at - next_at)
            kept.append((p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])))
    return kept


def _outline(points: Iterable[Point]) -> tuple[Point, ...]:
    """Convex hull of the points and their mirror images: its right half, bead to crown."""
    both = sorted({(side * y, r) for y, r in points for side in (1.0, -1.0)})
    hull = [*_chain(both)[:-1], *_chain(both[::-1])[:-1]]  # anticlockwise
    lowest = min(r for _, r in hull)
    bead = hull.index(max(p for p in hull if p[1] == lowest))
    right = [p for p in hull[bead:] + hull[:bead] if p[0] > 0]
    return (*right, (0.0, max(r for _, r in hull)))


def _chain(points: Sequence[Point]) -> list[Point]:
    """One half of a convex hull, by points in the order of their half width."""
    chain: list[Point] = []
    for p in points:
        while len(chain) > 1 and _cross(chain[-2], chain[-1], p) <= 0:
            chain.pop()
        chain.append(p)
    return chain


def _cross(a: Point, b: Point, p: Point) -> float:
    """Above 0 where p lies left of the line from a to b."""
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])


def _distance(p: Point, a: Point, b: Point) -> float:
    return abs(_cross(a, b, p)) / hypot(b[0] - a[0], b[1] - a[1])
