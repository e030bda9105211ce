"""Blanks to test with: four drawn by hand, and as many random ones as asked for.

Allowances are those of a neutral fibre at `k` of the thickness from the inside: turn (rad) times
(radius + k t).
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from math import acos, cos, pi, radians, sin, tan

from parts.sheet.blank import Bend, Blank, Cutout
from parts.sheet.curve import Arc, Line, Point
from parts.sheet.loop import Loop, circle, contains, loop_distance, moved, polygon, slot


def bend(
    name: str, start: Point, end: Point, turn_deg: float, radius: float, t: float, k: float = 0.42
) -> Bend:
    """A bend with the allowance of its neutral fibre; the swinging metal is left of the line."""
    return Bend(name, start, end, turn_deg, radius, allowance(turn_deg, radius, t, k))


def allowance(turn_deg: float, radius: float, t: float, k: float = 0.42) -> float:
    """Flat length of a bend.

    >>> round(allowance(90, 3, 2), 4)
    6.0319
    """
    return radians(abs(turn_deg)) * (radius + k * t)


def rounded(loop: Loop, corner: int, radius: float) -> Loop:
    """The straight-sided loop with a corner (the start of side `corner`) rounded off."""
    before, after = loop[corner - 1], loop[corner]
    assert isinstance(before, Line)
    assert isinstance(after, Line)
    (ax, ay), (bx, by) = before.tangent(1), after.tangent(0)
    sweep = pi - _between((-ax, -ay), (bx, by))
    left = ax * by - ay * bx > 0
    back = radius * tan(sweep / 2)
    start = (after.start[0] - back * ax, after.start[1] - back * ay)
    end = (after.start[0] + back * bx, after.start[1] + back * by)
    way = 1.0 if left else -1.0
    center = (start[0] - way * radius * ay, start[1] + way * radius * ax)
    bow = Arc(start, end, center, way * sweep)
    done = [*loop]
    done[corner - 1] = Line(before.start, start)
    done[corner] = Line(end, after.end)
    done.insert(corner, bow)
    return tuple(done)


def _between(a: Point, b: Point) -> float:
    return acos(max(-1.0, min(1.0, a[0] * b[0] + a[1] * b[1])))


def l_bracket() -> Blank:
    """One bend, four holes, one rounded corner."""
    t, width, base, flange = 2.0, 60.0, 40.0, 50.0
    end = allowance(90, 3, t) + flange
    outline = rounded(polygon([(0, -base), (width, -base), (width, end), (0, end)]), 1, 8)
    holes = (
        Cutout("a", circle((12, 12 - base), 6.5)),
        Cutout("b", circle((width - 14, 14 - base), 6.5)),
        Cutout("c", circle((15, end - 14), 6.5)),
        Cutout("d", circle((width - 15, end - 14), 9)),
    )
    return Blank(t, outline, holes, (bend("tab", (0, 0), (width, 0), 90, 3, t),), (30, -20))


def z_with_gusset() -> Blank:
    """A flange up, one down, and a gusset flange between two relief notches."""
    t, radius, width, depth = 3.0, 4.0, 90.0, 70.0
    ba = allowance(90, radius, t)
    low, high = 18.0, 52.0  # the gusset, along the right-hand edge
    notch, deep = 4.0, radius + t
    outline = polygon(
        [
            (0, -ba - 45),
            (width, -ba - 45),
            (width, low - notch),
            (width - deep, low - notch),
            (width - deep, low),
            (width + ba + 28, low),
            (width + ba + 28, high - 8),
            (width + ba + 20, high),
            (width - deep, high),
            (width - deep, high + notch),
            (width, high + notch),
            (width, depth + ba + 40),
            (0, depth + ba + 40),
        ]
    )
    cutouts = (
        Cutout("a", circle((20, 35), 9)),
        Cutout("b", circle((55, 20), 6.5)),
        Cutout("c", circle((55, 52), 6.5)),
        Cutout("d", circle((25, -ba - 25), 11)),
        Cutout("e", circle((65, -ba - 25), 6.5)),
        Cutout("slot", slot((45, depth + ba + 20), 33, 9, 0)),
        Cutout("g", circle((width + ba + 14, 35), 6.5)),
    )
    bends = (
        bend("up", (width, 0), (0, 0), 90, radius, t),
        bend("down", (0, depth), (width, depth), -90, radius, t),
        bend("gusset", (width, high), (width, low), 90, radius, t),
    )
    return Blank(t, outline, cutouts, bends, (40, 35))


def box() -> Blank:
    """Four walls with corner reliefs and a lip; four openings cross or lie in bends."""
    t, radius, k = 1.5, 2.0, 0.4
    ba = allowance(90, radius, t, k)
    width, depth, tall, lip = 120.0, 80.0, 35.0, 15.0
    rr = radius + t + 1  # each corner notch reaches this far into the base
    top = depth + ba + tall
    outline = polygon(
        [
            (rr, -ba - tall),
            (width - rr, -ba - tall),
            (width - rr, rr),
            (width + ba + tall, rr),
            (width + ba + tall, depth - rr),
            (width - rr, depth - rr),
            (width - rr, top + ba + lip),
            (rr, top + ba + lip),
            (rr, depth - rr),
            (-ba - tall, depth - rr),
            (-ba - tall, rr),
            (rr, rr),
        ]
    )
    cutouts = (
        Cutout("a", circle((30, 25), 8)),
        Cutout("b", circle((60, 40), 22)),
        Cutout("upright slot", slot((92, 40), 26.5, 6.5, 90)),
        Cutout("d", circle((30, 55), 8)),
        Cutout("over the front bend", circle((40, -1.2), 6)),
        Cutout("slot over the front bend", slot((85, -ba / 2), 13, 7, 90)),
        Cutout("g", circle((width + ba + 18, 30), 6.5)),
        Cutout("h", circle((width + ba + 18, 50), 6.5)),
        Cutout("i", circle((60, depth + ba + 18), 10)),
        Cutout("in the left bend", circle((-ba / 2, 40), 3)),
        Cutout("along the lip bend", slot((60, top + ba / 2), 35, 5, 0)),
        Cutout("l", circle((90, top + ba + 8), 4.5)),
    )
    bends = (
        bend("front", (width, 0), (0, 0), 90, radius, t, k),
        bend("rear", (0, depth), (width, depth), 90, radius, t, k),
        bend("right", (width, depth), (width, 0), 90, radius, t, k),
        bend("left", (0, 0), (0, depth), 90, radius, t, k),
        bend("lip", (0, top), (width, top), 90, radius, t, k),
    )
    return Blank(t, outline, cutouts, bends, (60, 15))


def skew() -> Blank:
    """Three bends at odd angles, flanges that taper right through them, openings in bends."""
    t, radius, k = 2.0, 5.0, 0.44
    low, high = _Slope((100, -8), 168), _Slope((0, 70), 9)
    ba_low, ba_high = allowance(75, radius, t, k), allowance(110, radius, t, k)
    a, b = low.at_x(0), low.at_x(100)
    c, d = high.at_x(100), high.at_x(0)
    outline = polygon(
        [
            _plus(a, (0, 6)),
            _plus(low.off(a, ba_low + 45), (14, 0)),
            _plus(low.off(b, ba_low + 45), (-22, 0)),
            _plus(b, (0, 6)),
            _plus(c, (0, -6)),
            _plus(high.off(c, ba_high + 50), (-15, 0)),
            _plus(high.off(d, ba_high + 50), (20, 0)),
            _plus(d, (0, -6)),
        ]
    )
    below, above = _middle(a, b), _middle(c, d)
    aslant = high.off(above, ba_high / 2)
    aslant = (aslant[0] + 20 * high.along[0], aslant[1] + 20 * high.along[1])
    cutouts = (
        Cutout("middle", circle((50, 35), 16)),
        Cutout("over the low bend", circle(low.off(below, ba_low * 0.4), 9)),
        Cutout("c", circle(high.off(above, ba_high + 24), 8)),
        Cutout("slot in the high bend", slot(aslant, 14, 6, 40)),
        Cutout("e", circle((25, 20), 6.5)),
        Cutout("f", circle((75, 50), 6.5)),
    )
    third = _Slope(high.off(above, ba_high + 36), -5)
    bends = (
        bend("low", *low.run(-30, 150), 75, radius, t, k),
        bend("high", *high.run(-30, 150), -110, radius, t, k),
        bend("third", *third.run(-80, 80), 40, radius, t, k),
    )
    return Blank(t, outline, cutouts, bends, (50, 22))


NAMED: dict[str, Callable[[], Blank]] = {
    "l_bracket": l_bracket,
    "z_with_gusset": z_with_gusset,
    "box": box,
    "skew": skew,
}


class _Slope:
    """A straight line through a point at an angle; `off` goes to its left."""

    def __init__(self, point: Point, angle_deg: float) -> None:
        self.point = point
        self.along = (cos(radians(angle_deg)), sin(radians(angle_deg)))

    def at_x(self, x: float) -> Point:
        f = (x - self.point[0]) / self.along[0]
        return (x, self.point[1] + f * self.along[1])

    def off(self, p: Point, far: float) -> Point:
        return (p[0] - far * self.along[1], p[1] + far * self.along[0])

    def run(self, low: float, high: float) -> tuple[Point, Point]:
        (x, y), (dx, dy) = self.point, self.along
        return (x + low * dx, y + low * dy), (x + high * dx, y + high * dy)


def _plus(p: Point, by: Point) -> Point:
    return (p[0] + by[0], p[1] + by[1])


def _middle(p: Point, q: Point) -> Point:
    return ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)


def random_blank(seed: int) -> Blank:
    """A plate with 0 to 8 bends, or now and then a rolled band; openings anywhere in it.

    Bends may run askew, flanges taper through them, and a second bend may follow on a flange, so
    some parts run into themselves. Every blank can be folded.
    """
    rng = random.Random(seed)
    return _random_band(rng) if rng.random() < 0.08 else _random_plate(rng)


def spoilt_blank(seed: int) -> Blank:
    """A random blank with one thing moved at random: often it can no longer be folded."""
    blank, rng = random_blank(seed), random.Random(-seed - 1)
    by = (rng.uniform(-30, 30), rng.choice([0.0, rng.uniform(-30, 30)]))
    what = rng.choice(["bend", "turned bend", "short bend", "opening", "corner", "base"])
    if "bend" in what and blank.bends:
        i = rng.randrange(len(blank.bends))
        b = blank.bends[i]
        start, end = _plus(b.start, by), _plus(b.end, by)
        if what == "turned bend":
            start, end = b.start, _plus(b.end, by)
        if what == "short bend":
            start, end = b.start, _middle(b.start, b.end)
        bends = (*blank.bends[:i], replace(b, start=start, end=end), *blank.bends[i + 1 :])
        return replace(blank, bends=bends)
    if what == "opening" and blank.cutouts:
        i = rng.randrange(len(blank.cutouts))
        one = blank.cutouts[i]
        cutouts = (*blank.cutouts[:i], Cutout(one.name, moved(one.loop, by)))
        return replace(blank, cutouts=cutouts + blank.cutouts[i + 1 :])
    if what == "corner" and all(isinstance(curve, Line) for curve in blank.outline):
        corners = [curve.start for curve in blank.outline]
        i = rng.randrange(len(corners))
        corners[i] = _plus(corners[i], by)
        return replace(blank, outline=polygon(corners))
    return replace(blank, base=_plus(blank.base, (3 * by[0], 3 * by[1])))


def _random_band(rng: random.Random) -> Blank:
    t, radius = rng.choice([1.0, 1.5, 2.0, 3.0]), rng.uniform(60, 400)
    turn, width = rng.uniform(40, 300), rng.uniform(40, 320)
    size = allowance(turn, radius, t, 0.5)
    if rng.random() < 0.5:  # rolled from end to end
        outline = polygon([(0, 0), (size, 0), (size, width), (0, width)])
        base = (size / 2, width / 2)
    else:  # with a flat lip at either end
        outline = polygon([(-25, 0), (size + 20, 0), (size + 20, width), (-25, width)])
        base = (-12.0, 1.5)
    roll = Bend("roll", (0, width), (0, 0), rng.choice([1, -1]) * turn, radius, size)
    return Blank(t, outline, _random_openings(rng, outline, (roll,)), (roll,), base)


@dataclass(frozen=True)
class _Metal:
    t: float
    radius: float
    k: float
    relief: float  # corner notch; 0 where flanges stand on two edges only


def _random_plate(rng: random.Random) -> Blank:
    """Flanges on the front and rear edges, perhaps askew, or on any of four notched edges."""
    t = rng.choice([1.0, 1.5, 2.0, 3.0, 4.0, 6.0])
    radius = t * rng.choice([0.5, 1.0, 1.5, 2.0])
    notched = rng.random() < 0.5
    relief = radius + t + rng.uniform(0.5, 3) if notched else 0.0
    metal = _Metal(t, radius, rng.uniform(0.33, 0.5), relief)
    width, depth = rng.uniform(60, 160), rng.uniform(50, 120)
    edges = [
        _Edge("front", (0, 0), width, 0),
        _Edge("right", (width, 0), depth, 90),
        _Edge("rear", (width, depth), width, 180),
        _Edge("left", (0, depth), depth, 270),
    ]
    corners: list[Point] = []
    bends: list[Bend] = []
    for edge in edges:
        across = edge.name in ("front", "rear")
        if rng.random() < 0.8 and (across or notched):
            _add_flange(rng, edge, metal, corners, bends)
        elif notched:
            r = metal.relief
            corners += [edge.at(r, -r), edge.at(r, 0), edge.at(edge.size - r, 0)]
        elif across:
            corners += [edge.at(0, 0), edge.at(edge.size, 0)]
    outline = polygon(corners)
    sharp = [i for i in range(len(outline)) if _convex(outline, i)]
    if sharp and rng.random() < 0.4:
        outline = rounded(outline, rng.choice(sharp), rng.uniform(1, 4))
    base = (width / 2 + rng.uniform(-1, 1), depth / 2 + rng.uniform(-1, 1))
    cutouts = _random_openings(rng, outline, tuple(bends))
    rng.shuffle(bends)
    return Blank(t, outline, cutouts, tuple(bends), base)


@dataclass(frozen=True)
class _Edge:
    """An edge of the base plate seen from outside: x along it, y outward."""

    name: str
    corner: Point
    size: float
    heading_deg: float

    def at(self, x: float, y: float) -> Point:
        (cx, cy), heading = self.corner, radians(self.heading_deg)
        dx, dy = cos(heading), sin(heading)
        return (cx + x * dx + y * dy, cy + x * dy - y * dx)


def _add_flange(
    rng: random.Random, edge: _Edge, metal: _Metal, corners: list[Point], bends: list[Bend]
) -> None:
    """A flange on the edge, now and then with a lip on the flange."""
    notched = metal.relief > 0
    lean = radians(0.0 if notched else rng.choice([0.0, 0.0, rng.uniform(-12, 12)]))
    turn = _random_turn(rng)
    far = allowance(turn, metal.radius, metal.t, metal.k) + rng.uniform(18, 60)

    def out(x: float, beyond: float) -> Point:
        return edge.at(x, beyond / cos(lean) + (x - edge.size / 2) * tan(lean))

    def add_bend(name: str, beyond: float, turn_deg: float) -> None:
        over = 2.0 if notched else 100.0  # how far the line overhangs the metal
        ends = out(edge.size - metal.relief + over, beyond), out(metal.relief - over, beyond)
        bends.append(bend(name, *ends, turn_deg, metal.radius, metal.t, metal.k))

    add_bend(edge.name, 0, turn)
    if rng.random() < 0.35:
        lip = _random_turn(rng)
        add_bend(f"{edge.name} lip", far, lip)
        far += allowance(lip, metal.radius, metal.t, metal.k) + rng.uniform(6, 25)
    inner = metal.relief if notched else rng.uniform(2, 6)
    left, right = metal.relief, edge.size - metal.relief
    taper = [rng.choice([0.0, rng.uniform(0, 0.2) * edge.size]) for _ in range(2)]
    corners += [out(left, -inner), out(left + taper[0], far), out(right - taper[1], far)]
    if not notched:
        corners.append(out(right, -inner))


def _random_turn(rng: random.Random) -> float:
    size = rng.choice([90, 90, 90, 45, 60, 120, 135, rng.uniform(15, 150)])
    return size if rng.random() < 0.65 else -size


def _convex(outline: Loop, i: int) -> bool:
    before, after = outline[i - 1], outline[i]
    (ax, ay), (bx, by) = before.tangent(1), after.tangent(0)
    return ax * by - ay * bx > 0.3 and before.length > 12 and after.length > 12


def _random_openings(
    rng: random.Random, outline: Loop, bends: tuple[Bend, ...]
) -> tuple[Cutout, ...]:
    """Holes and slots clear of the edge and of one another, drawn towards the bends."""
    boxes = [curve.box() for curve in outline]
    low = (min(b[0] for b in boxes), min(b[1] for b in boxes))
    high = (max(b[2] for b in boxes), max(b[3] for b in boxes))
    found: list[Cutout] = []
    for _ in range(rng.randint(2, 14)):
        center = (rng.uniform(low[0], high[0]), rng.uniform(low[1], high[1]))
        if bends and rng.random() < 0.6:
            chosen = rng.choice(bends)
            f, ahead = rng.random(), rng.uniform(-3, chosen.allowance + 3)
            center = (
                chosen.start[0] + f * (chosen.end[0] - chosen.start[0]) + ahead * chosen.across[0],
                chosen.start[1] + f * (chosen.end[1] - chosen.start[1]) + ahead * chosen.across[1],
            )
        size = rng.uniform(2, 16)
        if rng.random() < 0.35:
            loop = slot(center, size + rng.uniform(2, 18), size, rng.uniform(0, 180))
        else:
            loop = circle(center, size)
        if not contains([outline], center) or loop_distance(loop, outline, 1.0) is not None:
            continue
        if not contains([outline], loop[0].start):
            continue
        if any(
            loop_distance(loop, other.loop, 1.5) is not None
            or contains([other.loop], center)
            or contains([loop], other.loop[0].start)
            for other in found
        ):
            continue
        found.append(Cutout(f"opening {len(found) + 1}", loop))
    return tuple(found)


def turned_over(blank: Blank) -> Blank:
    """The same sheet mirrored (y to -y) on the drawn face: the other hand."""

    def flip(p: Point) -> Point:
        return (p[0], -p[1])

    def flipped(loop: Loop) -> Loop:
        curves = []
        for curve in reversed(loop):
            if isinstance(curve, Arc):
                # run backwards and seen in a mirror: the sweep keeps its sign
                curves.append(
                    Arc(flip(curve.end), flip(curve.start), flip(curve.center), curve.sweep)
                )
            else:
                curves.append(Line(flip(curve.end), flip(curve.start)))
        return tuple(curves)

    bends = tuple(
        Bend(b.name, flip(b.end), flip(b.start), b.turn_deg, b.radius, b.allowance)
        for b in blank.bends
    )
    cutouts = tuple(Cutout(c.name, flipped(c.loop)) for c in blank.cutouts)
    return Blank(blank.thickness, flipped(blank.outline), cutouts, bends, flip(blank.base))


def scaled(blank: Blank, by: float) -> Blank:
    """Every length times `by`."""

    def put(p: Point) -> Point:
        return (by * p[0], by * p[1])

    def grown(loop: Loop) -> Loop:
        return tuple(
            Arc(put(c.start), put(c.end), put(c.center), c.sweep)
            if isinstance(c, Arc)
            else Line(put(c.start), put(c.end))
            for c in loop
        )

    bends = tuple(
        Bend(b.name, put(b.start), put(b.end), b.turn_deg, by * b.radius, by * b.allowance)
        for b in blank.bends
    )
    cutouts = tuple(Cutout(c.name, grown(c.loop)) for c in blank.cutouts)
    return Blank(by * blank.thickness, grown(blank.outline), cutouts, bends, put(blank.base))
