"""Whether punch and die can get at every bend: turns too sharp, and channels too deep.

A channel is two bends of one sense on one flat, its base. The leg bent first stands beside the
punch while the other bend is made. At the end of that stroke the base rises from the die, leaning
b = 90 less half the turn from the punch, and the leg comes back over it:

        punch | .
              |   . leg      its own bend turns the leg by a: at a depth of
              |     .        W sin b / sin(a - b), W between two square bends,
              |    /         it meets the middle line of the punch
              |  /  base W
              v/

`punch room` is the share of that depth that a punch allows. Whichever leg is the better one to
bend first counts. Profiles of three bends or more that close are looked at in `sheet.profile`.

NOT looked at here: the order of the bends beyond the two of a channel, what stands on the other
side of the punch, legs that hang down beside the die, the walls at the ends of a bend: these are
looked at bend by bend in `fold_order`, unless they run over 30 degrees askew, where that knows no
channel but sees the metal all the same. NOT looked at anywhere, and to be thought of at the brake:
back gauge and frame, and metal that hits metal on the way. Rolled bends ask nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from math import inf, radians, sin

from parts.report import Finding
from parts.sheet.bend_rules import outside_setback
from parts.sheet.bend_side import AWAY, EDGE, BendSide, is_rolled
from parts.sheet.blank import Bend
from parts.sheet.curve import SAME_POINT, Line, Point
from parts.sheet.fold import Folded, Region, stretches
from parts.sheet.profile import profiles, same_way
from parts.sheet.shop import SLACK, Shop, bounds, shown, tenths_up


def tooling(folded: Folded, sides: tuple[BendSide, ...], shop: Shop) -> Iterator[Finding]:
    """Every turn, channel and profile that punch and die cannot make; `sides` by `bend_sides`."""
    t, bends = folded.blank.thickness, folded.blank.bends
    pressed = [n for n, bend in enumerate(bends) if not is_rolled(bend, t)]
    for number in pressed:
        yield from _turn(bends[number], shop)
    for region in folded.regions:
        if region.bend is None:
            yield from _channels(folded, region, sides, shop)
    yield from profiles(folded, set(pressed), shop)


def _turn(bend: Bend, shop: Shop) -> Iterator[Finding]:
    turn_deg = abs(bend.turn_deg)
    for bound in bounds("most turn", shop.most_turn_deg):
        if turn_deg > bound.value + SLACK:
            yield Finding(
                bound.severity,
                f"bend {bend.name}",
                f"turn of {turn_deg:.4g} degrees, {180 - turn_deg:.4g} included",
                f"{bound.value:g} degrees or less on a brake",
                "turn it less, split it over two bends, or close it by hand after bending; a brake "
                "with sharper tools may say so by [shop] most_turn",
                bound.source,
            )
            return


# channels


def room_factor(first_deg: float, last_deg: float) -> float:
    """Depth at which a leg bent first meets the punch's middle line, over the base's width.

    Turns of the leg's own bend and of the one made last. Square channel; one whose sides lean
    out by 45 degrees never does:

    >>> round(room_factor(90, 90), 9), room_factor(45, 45)
    (1.0, inf)
    """
    lean = radians(90 - last_deg / 2)
    over = radians(first_deg) - lean
    return sin(lean) / sin(over) if over > 1e-9 else inf


@dataclass(frozen=True, slots=True)
class _Wall:
    """A bend of a flat: its number, which of its lines meets the flat, and that stretch of it."""

    number: int
    which: int
    line: Line


def _channels(
    folded: Folded, region: Region, sides: tuple[BendSide, ...], shop: Shop
) -> Iterator[Finding]:
    t, bends = folded.blank.thickness, folded.blank.bends
    walls = [
        _Wall(*side.fold, side.curve)
        for loop in region.loops
        for side in loop
        if side.fold is not None and isinstance(side.curve, Line)
        and not is_rolled(bends[side.fold[0]], t)
        and abs(bends[side.fold[0]].turn_deg) < 180  # a hem is refused as it is
    ]  # fmt: skip
    worst: dict[tuple[int, int], tuple[float, Finding]] = {}
    for one, other in combinations(sorted(walls, key=lambda wall: wall.number), 2):
        a, b = bends[one.number], bends[other.number]
        if one.number == other.number or a.up != b.up or not same_way(a, b):
            continue
        pair = (one.number, other.number)
        for found in _channel(one, other, a, b, sides, shop):
            if pair not in worst or found[0] > worst[pair][0]:
                worst[pair] = found
    for _, finding in worst.values():
        yield finding


def _channel(
    one: _Wall, other: _Wall, a: Bend, b: Bend, sides: tuple[BendSide, ...], shop: Shop
) -> Iterator[tuple[float, Finding]]:
    """How far the better of the two legs uses up the room, and the finding if that is too far."""
    low, high, width = _between(one.line, other.line, a)
    if high - low < SAME_POINT:
        return
    inside = [_inside_setback(a), _inside_setback(b)]
    wide = width + inside[0] + inside[1]
    legs = [
        _depth(sides[2 * wall.number + 1 - wall.which], a, low, high) + setback
        for wall, setback in ((one, inside[0]), (other, inside[1]))
    ]
    turns = [abs(a.turn_deg), abs(b.turn_deg)]
    rooms = [wide * room_factor(*turns), wide * room_factor(*turns[::-1])]
    leg, room = min(zip(legs, rooms, strict=True), key=lambda pair: pair[0] / pair[1])
    for bound in bounds("punch room", shop.punch_room):
        if leg > bound.value * room + SLACK:
            yield leg / room, Finding(
                bound.severity,
                f"channel between bends {a.name} and {b.name}",
                f"{shown(wide)} wide inside, its legs {shown(legs[0])} and {shown(legs[1])} deep",
                f"one leg of {bound.value * room:.2f} mm or less: the punch needs room",
                f"shorten a leg by {tenths_up(leg - bound.value * room):g} mm, widen the base, or "
                "make two parts of it; a punch that clears more may say so by [shop] punch_room",
                bound.source,
            )  # fmt: skip
            return


def _inside_setback(bend: Bend) -> float:
    return outside_setback(bend.radius, 0.0, bend.turn_deg, leg_to="tangent")


def _between(one: Line, other: Line, bend: Bend) -> tuple[float, float, float]:
    """The stretch along the bend that both lines share, and how near they come there."""
    d = bend.along
    spans = [sorted(p[0] * d[0] + p[1] * d[1] for p in (line.start, line.end))
             for line in (one, other)]  # fmt: skip
    low, high = max(s[0] for s in spans), min(s[1] for s in spans)
    ends = [(_at(one, d, x), _at(other, d, x)) for x in (low, high)]
    n = bend.across
    gaps = [abs((q[0] - p[0]) * n[0] + (q[1] - p[1]) * n[1]) for p, q in ends]
    return low, high, min(gaps)


def _at(line: Line, d: Point, x: float) -> Point:
    """The point of an endless line that lies `x` along the direction `d`."""
    start = line.start[0] * d[0] + line.start[1] * d[1]
    end = line.end[0] * d[0] + line.end[1] * d[1]
    return line.at((x - start) / (end - start))


def _depth(side: BendSide, bend: Bend, low: float, high: float) -> float:
    """Greatest length of the flat on a side of a bend, over a stretch along `bend`."""
    d = bend.along
    origin, unit = side.on_blank((0.0, 0.0)), side.on_blank((1.0, 0.0))
    start = origin[0] * d[0] + origin[1] * d[1]
    step = unit[0] * d[0] + unit[1] * d[1] - start
    ends = sorted(((low - start) / step, (high - start) / step))
    hair = min(1e-3, (ends[1] - ends[0]) / 4)
    near, far = ends[0] + hair, ends[1] - hair
    corners = [p[0] + by for curve in side.outline for p in (curve.start, curve.at(0.5))
               for by in (-hair, hair)]  # fmt: skip
    return max(_reach(side, x) for x in (near, far, *(x for x in corners if near < x < far)))


def _reach(side: BendSide, x: float) -> float:
    """Length of the flat at `x`, to its edge or to the next bend."""
    top = max(
        (high for low, high in stretches(side.outline, (x, 0.0), AWAY) if low < EDGE < high),
        default=0.0,
    )
    for _, line in side.lines:
        ahead = [line.at(f)[1] for f in line.crossings((x, 0.0), AWAY)]
        top = min([top, *(y for y in ahead if y > -EDGE)])
    return max(top, 0.0)
