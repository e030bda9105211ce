"""The metal cut across the middle of a bend, as the end view shows it: a chain of flats and bends,
drawn shorter than they are where they are long."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, cos, hypot, pi, radians, sin

from parts.sheet.bend_lines import bend_lines
from parts.sheet.bend_side import is_rolled
from parts.sheet.curve import Point
from parts.sheet.fold import stretches
from parts.sheet.fold_order.held import Held

ALIKE = cos(radians(30))  # bends that lean more than this to the cut are not seen in it
POWER = 0.6  # flats are drawn by this power of their share of the longest, so that a lip is seen
LEAST = 0.15  # share of the longest flat that any flat is drawn with
ROLL = 0.4  # radius of a roll, of the longest flat
CHORD = pi / 24


@dataclass(frozen=True, slots=True)
class Link:
    """A flat of some length, or a bend of some turn; + comes up, away from the die. mm, radians."""

    length: float
    turn_rad: float = 0.0
    rolled: bool = False


def chain(one: Held, side: int) -> list[Link]:
    """What follows the bend on one side, from its edge outward."""
    blank, bend = one.folded.blank, one.bend
    along = (side * bend.across[0], side * bend.across[1])
    half = bend.allowance / 2
    inside = [(low, high) for low, high in stretches(blank.outline, one.middle, along)
              if low < half < high]  # fmt: skip
    end = inside[0][1] if inside else half
    met: list[tuple[float, int]] = []
    for number, other in enumerate(blank.bends):
        turned = abs(other.along[0] * bend.along[0] + other.along[1] * bend.along[1])
        if number in one.bends or turned < ALIKE:
            continue
        for line in bend_lines(one.folded, number):
            places = (_ahead(one.middle, along, line.at(f))
                      for f in line.crossings(one.middle, along))  # fmt: skip
            met += [(at, number) for at in places if half < at < end]
    links: list[Link] = []
    done = half
    for at, number in sorted(met):
        other = blank.bends[number]
        start = max(at - other.allowance / 2, done)
        links.append(Link(start - done))
        up = other.up == one.step.drawn_face_up
        turn = other.turn_rad if up else -other.turn_rad
        links.append(Link(other.allowance, turn, is_rolled(other, blank.thickness)))
        done = at + other.allowance / 2
    return [*links, Link(max(end - done, 0.0))]


def _ahead(start: Point, along: Point, point: Point) -> float:
    return (point[0] - start[0]) * along[0] + (point[1] - start[1]) * along[1]


def drawn_lengths(chains: Sequence[Sequence[Link]], longest: float) -> list[list[float]]:
    """Lengths on paper of the links of several chains, the longest flat drawn so long; radii of
    rolls.

    >>> [[round(x, 1) for x in one] for one in drawn_lengths([[Link(100)], [Link(25)]], 20)]
    [[20.0], [8.7]]
    """
    most = max((link.length for one in chains for link in one if not link.turn_rad), default=0.0)

    def short(length: float) -> float:
        share = length / most if most else 0.0
        return longest * max(share**POWER, LEAST) if share > 0 else 0.0

    return [
        [ROLL * longest if link.rolled else short(link.length) for link in one] for one in chains
    ]


def walked(
    links: Sequence[Link], lengths: Sequence[float], start: Point, angle_rad: float, radius: float
) -> list[Point]:
    """The middle of the metal along a chain, as points: from `start`, heading to the right at an
    angle. Bends of a brake get `radius`, rolls that which `lengths` has for them."""
    points = [start]
    heading = angle_rad
    for link, length in zip(links, lengths, strict=True):
        x, y = points[-1]
        if not link.turn_rad:
            if length > 0:
                points.append((x + length * cos(heading), y + length * sin(heading)))
            continue
        bow = length if link.rolled else radius
        way = 1.0 if link.turn_rad > 0 else -1.0
        cx, cy = x - way * bow * sin(heading), y + way * bow * cos(heading)
        count = max(2, ceil(abs(link.turn_rad) / CHORD))
        for k in range(1, count + 1):
            at = heading + link.turn_rad * k / count
            points.append((cx + way * bow * sin(at), cy - way * bow * cos(at)))
        heading += link.turn_rad
    return points


def thick(points: Sequence[Point], by: float) -> list[Point]:
    """The outline of a strip so thick about its middle line: down one side and back the other."""
    left: list[Point] = []
    right: list[Point] = []
    for k, (x, y) in enumerate(points):
        before, after = points[max(k - 1, 0)], points[min(k + 1, len(points) - 1)]
        size = hypot(after[0] - before[0], after[1] - before[1])
        nx, ny = -(after[1] - before[1]) / size, (after[0] - before[0]) / size
        left.append((x + by / 2 * nx, y + by / 2 * ny))
        right.append((x - by / 2 * nx, y - by / 2 * ny))
    return [*left, *reversed(right)]
