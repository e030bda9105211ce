"""Whether the folded part runs into itself. No kernel; building the solid would not notice.

A line network just under the skin of every region (`INSET` deep) is carried into the flat axes of
every other region it comes near. There a region is nothing but its flat outline times the
thickness, bent or not, so being inside it is a question of the flat pattern:

        region A  .---------.            B unrolled  .-----------.
                  | .-----. |  lines of A            |   --o--   |  o: inside B, so they collide
                  | '-----' |                        '-----------'
                  '---------'

A report is a point that lies in the metal of both. Mere touching gives none, nor does an overlap
shallower than `INSET`; one deeper than about twice that is always found.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from parts.sheet.blank import Bend
from parts.sheet.fold import Folded, neighbours
from parts.sheet.network import CHORD, INSET, Array, Numbers, Zone, in_metal, pieces, zone_of

SHORTEST = 1e-5  # mm; a stretch inside another region must be longer to count


@dataclass(frozen=True, slots=True)
class Collision:
    """Two regions that share metal, and a point (x, y, z) that lies in both.

    Regions are called by their bend: "bend tab" for the bent zone, "flange tab" for the flat one
    beyond it, and "base" for the one that stays put.
    """

    first: str
    second: str
    point: tuple[float, float, float]


def self_collisions(folded: Folded) -> list[Collision]:
    """Every pair of regions that run into each other, once; empty for a part that clears.

    A strip bent square three times: the inside is 30 + 2 radii of 2 = 34 mm tall, so the last leg,
    which starts a radius up, has 32 mm before it runs into the first:

    >>> from parts.sheet.blank import Blank
    >>> from parts.sheet.fold import fold
    >>> from parts.sheet.loop import polygon
    >>> def strip(last):
    ...     size = 112 + last
    ...     outline = polygon([(0, 0), (size, 0), (size, 20), (0, 20)])
    ...     bends = [Bend(f"b{x}", (x, 20), (x, 0), -90, 2, 4) for x in (40, 74, 108)]
    ...     return fold(Blank(2, outline, (), tuple(bends), (5, 5)))
    >>> self_collisions(strip(last=31.9))
    []
    >>> [(hit.first, hit.second) for hit in self_collisions(strip(last=32.1))]
    [('base', 'flange b108')]
    """
    zones = [zone_of(folded, region) for region in folded.regions]
    net = _Net.of(zones)
    names = region_names(folded)
    found: dict[tuple[int, int], Array] = {}
    for number, zone in enumerate(zones):
        near = net.near(zone, number, found)
        if near.size == 0:
            continue
        for owner, point in _hits(zone, net, near, zones):
            found.setdefault((min(owner, number), max(owner, number)), point)
    return [
        Collision(names[i], names[j], (float(p[0]), float(p[1]), float(p[2])))
        for (i, j), p in sorted(found.items(), key=lambda item: item[0])
    ]


def region_names(folded: Folded) -> tuple[str, ...]:
    """What each region is called: "base", "bend NAME", "flange NAME"."""
    names = []
    for region, over in zip(folded.regions, neighbours(folded).over, strict=True):
        bend = "" if over is None else folded.blank.bends[over[0]].name
        kind = "flange" if region.bend is None else "bend"
        names.append("base" if over is None else f"{kind} {bend}")
    return tuple(names)


@dataclass(frozen=True, eq=False)
class _Net:
    """The lines of all zones: `owner` (n,), `own` and `space` (n, 2, 3), boxes (n, 3)."""

    owner: Numbers
    own: Array
    space: Array
    least: Array
    greatest: Array

    @classmethod
    def of(cls, zones: list[Zone]) -> _Net:
        owner = np.repeat(np.arange(len(zones)), [len(zone.lines) for zone in zones])
        own = np.concatenate([zone.lines for zone in zones])
        space = np.concatenate([zone.space(zone.lines) for zone in zones])
        return cls(owner, own, space, space.min(axis=1), space.max(axis=1))

    def near(self, zone: Zone, number: int, found: dict[tuple[int, int], Array]) -> Numbers:
        """Lines of other zones whose boxes meet the zone's, but for pairs already found."""
        meets = (self.least < zone.box[1]).all(axis=1) & (self.greatest > zone.box[0]).all(axis=1)
        done = [i + j - number for i, j in found if number in (i, j)]
        return np.flatnonzero(meets & ~np.isin(self.owner, [number, *done]))


def _hits(zone: Zone, net: _Net, near: Numbers, zones: list[Zone]) -> Iterator[tuple[int, Array]]:
    """Owner and point of the lines that run inside the zone."""
    local = zone.local(net.space[near])
    if zone.bend is None:
        line, at = _stretches_inside(zone, local)
    else:
        piece, low, high, own = _unrolled_pieces(zone, zone.bend, local)
        inner, inner_at = _stretches_inside(zone, own)
        line, at = piece[inner], low[inner] + inner_at * (high[inner] - low[inner])
    for i, fraction in zip(near[line], at, strict=True):
        owner = int(net.owner[i])
        start, end = net.own[i]
        if _deep(zones[owner], start + fraction * (end - start)):
            p, q = net.space[i]
            yield owner, p + fraction * (q - p)


def _deep(zone: Zone, own: Array) -> bool:
    """Whether a point of the zone's network truly lies under its skin, also in a narrow web."""
    p = own[None, :2]
    a, run = zone.sides[:, 0], zone.sides[:, 1] - zone.sides[:, 0]
    along = ((p - a) * run).sum(axis=1) / np.maximum((run**2).sum(axis=1), 1e-24)
    foot = a + np.clip(along, 0, 1)[:, None] * run
    gap = float(np.linalg.norm(foot - p, axis=1).min())
    return gap > INSET / 2 and bool(in_metal(p, zone.sides)[0])


def _unrolled_pieces(zone: Zone, bend: Bend, local: Array) -> tuple[Numbers, Array, Array, Array]:
    """Straight lines near a bend, as short pieces in its unrolled axes.

    Gives each piece's line, its low and high fraction of that line, and its ends (n, 2, 3).
    """
    about = zone.about_axis(local)
    start, run = about[:, 0, 1:], about[:, 1, 1:] - about[:, 0, 1:]
    outer = bend.radius + zone.thickness
    low, high = _within_circle(start, run, outer)
    low, high = np.maximum(low, 0.0), np.minimum(high, 1.0)
    kept = np.flatnonzero(high - low > 1e-12)
    low, high = low[kept], high[kept]
    longest = sqrt(8 * CHORD * bend.radius)  # keeps a chord within CHORD of its true depth
    size = np.linalg.norm(run[kept], axis=1) * (high - low)
    counts = np.maximum(np.ceil(size / max(longest, 0.02)), 1).astype(np.intp)
    piece, first, last = pieces(counts)
    begin = low[piece] + first * (high - low)[piece]
    finish = low[piece] + last * (high - low)[piece]
    line = kept[piece]
    p, q = about[line, 0], about[line, 1] - about[line, 0]
    ends = np.stack([p + begin[:, None] * q, p + finish[:, None] * q], axis=1)
    own = zone.unrolled(ends)
    whole = np.abs(own[:, 1, 1] - own[:, 0, 1]) < bend.neutral_radius * pi / 2
    return line[whole], begin[whole], finish[whole], own[whole]


def _within_circle(start: Array, run: Array, radius: float) -> tuple[Array, Array]:
    """Fractions (n,), (n,) between which start + f run (n, 2) lies within a circle about 0."""
    a = (run**2).sum(axis=1)
    still = a < 1e-18
    a = np.where(still, 1.0, a)
    b = (start * run).sum(axis=1)
    c = (start**2).sum(axis=1) - radius**2
    under = b * b - a * c
    root = np.sqrt(np.maximum(under, 0.0))
    inside = np.where(c < 0, np.inf, -np.inf)
    low = np.where(still, -inside, np.where(under > 0, (-b - root) / a, np.inf))
    high = np.where(still, inside, np.where(under > 0, (-b + root) / a, -np.inf))
    return low, high


def _stretches_inside(zone: Zone, lines: Array) -> tuple[Numbers, Array]:
    """Stretches of lines (n, 2, 3) in the zone's own axes that run in its metal.

    Gives each stretch's line and the fraction at its middle.
    """
    low, high = _between_faces(lines[..., 2], zone.thickness)
    kept = np.flatnonzero(high > low)
    low, high, ends = low[kept], high[kept], lines[kept]
    run = ends[:, 1] - ends[:, 0]
    first = ends[:, 0, :2] + low[:, None] * run[:, :2]
    last = ends[:, 0, :2] + high[:, None] * run[:, :2]
    corner, far = zone.sides.min(axis=(0, 1)), zone.sides.max(axis=(0, 1))
    boxed = (np.minimum(first, last) < far).all(axis=1) & (np.maximum(first, last) > corner).all(
        axis=1
    )
    kept, low, high, ends, run = kept[boxed], low[boxed], high[boxed], ends[boxed], run[boxed]
    if kept.size == 0:
        return kept, np.empty(0)
    row, fraction = _crossings(ends[:, 0, :2], run[:, :2], zone.sides)
    within = (fraction > low[row]) & (fraction < high[row])
    every = np.arange(len(kept))
    rows = np.concatenate([every, every, row[within]])
    marks = np.concatenate([low, high, fraction[within]])
    order = np.lexsort((marks, rows))
    rows, marks = rows[order], marks[order]
    same = rows[1:] == rows[:-1]
    line, width = rows[:-1][same], np.diff(marks)[same]
    middle = marks[:-1][same] + width / 2
    long = width * np.linalg.norm(run[line], axis=1) > SHORTEST
    line, middle = line[long], middle[long]
    inside = in_metal(ends[line, 0, :2] + middle[:, None] * run[line, :2], zone.sides)
    return kept[line[inside]], middle[inside]


def _between_faces(w: Array, thickness: float) -> tuple[Array, Array]:
    """Fractions (n,), (n,) between which depths w (n, 2) lie within the thickness."""
    rise = w[:, 1] - w[:, 0]
    level = np.abs(rise) < 1e-12
    rise = np.where(level, 1.0, rise)
    back, drawn = -w[:, 0] / rise, (thickness - w[:, 0]) / rise
    inside = (w[:, 0] > 0) & (w[:, 0] < thickness)
    low = np.where(level, np.where(inside, 0.0, 1.0), np.maximum(np.minimum(back, drawn), 0.0))
    high = np.where(level, np.where(inside, 1.0, 0.0), np.minimum(np.maximum(back, drawn), 1.0))
    return low, high


def _crossings(start: Array, run: Array, sides: Array) -> tuple[Numbers, Array]:
    """Where lines start + f run (n, 2) cross the sides (m, 2, 2): line numbers and fractions f."""
    a, b = sides[:, 0], sides[:, 1]
    off_a = run[:, :1] * (a[:, 1] - start[:, 1:]) - run[:, 1:] * (a[:, 0] - start[:, :1])
    off_b = run[:, :1] * (b[:, 1] - start[:, 1:]) - run[:, 1:] * (b[:, 0] - start[:, :1])
    row, side = np.nonzero((off_a > 0) != (off_b > 0))
    share = off_a[row, side] / (off_a[row, side] - off_b[row, side])
    point = a[side] + share[:, None] * (b[side] - a[side])
    along = ((point - start[row]) * run[row]).sum(axis=1)
    return row, along / (run[row] ** 2).sum(axis=1)
