"""The brake seen along the bend, from the operator's right, at the end of the stroke: punch, die,
metal, and the gauge where it stood before. A sign of it, not to scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from math import cos, pi, radians, sin, tan
from typing import TypeAlias

from parts.paper.clear import Ground, beside_line, pointed
from parts.paper.dimensions import PAST, between, text_of
from parts.paper.layout import Block, block_of, extent
from parts.paper.page import Mark, Pen, Stroke, polyline, rectangle, scaled
from parts.paper.pens import HIDDEN, THIN
from parts.sheet.curve import Arc, Curve, Line, Point
from parts.sheet.fold_order.held import Held
from parts.sheet.loop import polygon
from parts.writers.fold_sheet.profile import Link, chain, drawn_lengths, thick, walked

VEE = 9.0  # mm of paper, all of these
METAL, RADIUS = 1.2, 1.0
SHOULDER, LEAST_DIE = 2.5, 6.5
STEM, HEAD = 4.4, 10.5  # how wide the punch is, and how far it is drawn over its tip
FINGER = (3.0, 4.5)
LONGEST = (22.0, 19.0, 16.5, 14.0, 11.5, 9.0, 7.0, 5.0)  # flats
MOST = 1.2  # radians that half a turn is drawn with at most
STEEL, FIXED, SHEET = 0.88, 0.2, 0.55  # how dark, 0 black to 1 white
EDGE = Pen(0.25)
LETTERS = 2.5
BELOW = 4.6  # mm from the die to the line of the dimension

Named: TypeAlias = tuple[str, list[Point], bool]  # words, what they name, whether an arrow points


def end_view(one: Held, room: Point) -> Block:
    """The end view in a room so wide and high."""
    for longest in LONGEST:
        if one.step.rolled:
            marks, named = _roll(one, longest)
        else:
            marks, named = _stroke(one, longest, room[1])
        whole = block_of([*marks, *_words(marks, named, room)])
        if whole.width <= room[0] and whole.height <= room[1]:
            return whole
    return _shrunk([mark for mark in marks if isinstance(mark, Stroke)], room)


def _shrunk(strokes: Sequence[Stroke], room: Point) -> Block:
    """Lines alone, as large as the room allows: for a bend so sharp, or a cut so long, that no
    words find room beside it."""
    block = block_of(strokes)
    share = min(room[0] / block.width, room[1] / block.height)
    return block_of(replace(one, curves=scaled(one.curves, share)) for one in strokes)


def _words(marks: Sequence[Mark], named: Sequence[Named], room: Point) -> Iterator[Mark]:
    """The words of a view, each where it finds room near what it names."""
    ground = Ground()
    ground.add(*marks)
    boxes = [extent(mark) for mark in marks]
    left, right = min(b[0] for b in boxes), max(b[2] for b in boxes)
    spare = max(0.0, room[0] - (right - left)) / 2
    within = (left - spare, right + spare)
    for text, tips, at_tip in named:
        said = None if at_tip else beside_line(ground, text, LETTERS, tips, 0.0)
        if said is None or not all(within[0] < extent(mark)[0] and extent(mark)[2] < within[1]
                                   for mark in said):  # fmt: skip
            said = pointed(ground, text, LETTERS, tips, near=2.0 * (not at_tip),
                           needs_leader=at_tip, within=within)  # fmt: skip
        if said is not None:
            ground.add(*said)
            yield from said


def _stroke(one: Held, longest: float, high: float) -> tuple[list[Mark], list[Named]]:
    """A stroke of the brake: the operator on the left, the gauge on the right."""
    near, far = chain(one, -one.side), chain(one, one.side)
    half = min(one.bend.turn_rad / 2, MOST)
    least = (VEE / 2 + SHOULDER + METAL) / cos(half)
    lengths = [_past_die(links, drawn, least) for links, drawn in
               zip((near, far), drawn_lengths((near, far), longest), strict=True)]  # fmt: skip
    middle = _middle(half)
    bent = _strip((near, far), lengths, half, middle)
    flat = _strip((near, far), lengths, 0.0, METAL / 2)
    depth, stop = _depth(half, middle), max(x for x, _ in thick(flat, METAL))
    top = high - depth - (BELOW + PAST if one.step.gauge is not None else 0.0) - 0.1
    marks: list[Mark] = [*_die(half, middle), *_punch(half, middle, top)]
    if one.step.gauge is not None:
        finger = rectangle((stop, -1.0), (stop + FINGER[0], FINGER[1] - 1.0))
        marks.append(Stroke(finger, EDGE, closed=True, fill=FIXED))
        reading = text_of(one.step.gauge.distance)
        marks += between((0.0, -depth), (stop, -depth), (0.0, -BELOW), reading)
        marks.append(Stroke((Line((stop, -depth - 1.0), (stop, -1.0)),), THIN))
    marks.append(Stroke(polyline(flat), HIDDEN))
    marks.append(Stroke(polygon(thick(bent, METAL)), EDGE, closed=True, fill=SHEET))
    named: list[Named] = [("you", [min(bent, key=lambda p: p[0])], False)]
    if one.step.gauge is not None:
        named.append(("gauge", [(stop + FINGER[0] / 2, FINGER[1] - 1.0)], False))
    return marks, named


def _past_die(links: Sequence[Link], lengths: list[float], least: float) -> list[float]:
    """Lengths on paper, the first long enough where the next flange hangs down beside the die."""
    if len(links) > 1 and links[1].turn_rad < 0:
        return [max(lengths[0], least), *lengths[1:]]
    return lengths


def _middle(half: float) -> float:
    """Height of the bend's centre over the die, its legs on both edges of the opening."""
    return (RADIUS + METAL - VEE / 2 * sin(half)) / cos(half)


def _strip(
    chains: Sequence[Sequence[Link]], lengths: Sequence[Sequence[float]], half: float, height: float
) -> list[Point]:
    """The middle line of all the metal from the operator's end to the gauge's: about a centre at
    that height, or flat at that height where `half` is 0."""
    near, far = chains
    start: list[Point] = [(0.0, height)]
    if half:
        bow, count = RADIUS + METAL / 2, 8
        start = [(bow * sin(half * k / count), height - bow * cos(half * k / count))
                 for k in range(count + 1)]  # fmt: skip
    right = walked(far, lengths[1], start[-1], half, RADIUS + METAL / 2)
    left = walked(near, lengths[0], start[-1], half, RADIUS + METAL / 2)
    return _apart([*((-x, y) for x, y in reversed((*start[:-1], *left))), *start, *right])


def _apart(points: Sequence[Point]) -> list[Point]:
    """The points without those that lie on the one before."""
    kept = [points[0]]
    for before, after in pairwise(points):
        if abs(after[0] - before[0]) + abs(after[1] - before[1]) > 1e-6:
            kept.append(after)
    return kept


def _tool(half: float) -> float:
    """Half the angle of punch and die: those of a bend so sharp, with a little to spare."""
    return max(radians(10), min(radians(42), pi / 2 - half - radians(4)))


def _depth(half: float, middle: float) -> float:
    """How deep the die is drawn."""
    vee = VEE / 2 / tan(_tool(half))
    return max(LEAST_DIE, vee + 2.0, RADIUS + METAL - middle + 2.0)


def _die(half: float, middle: float) -> Iterator[Mark]:
    wide, depth = VEE / 2 + SHOULDER, _depth(half, middle)
    vee = max(VEE / 2 / tan(_tool(half)), RADIUS + METAL - middle + 0.5)
    corners = [(-wide, -depth), (wide, -depth), (wide, 0.0), (VEE / 2, 0.0), (0.0, -vee),
               (-VEE / 2, 0.0), (-wide, 0.0)]  # fmt: skip
    yield Stroke(polygon(corners), EDGE, closed=True, fill=STEEL)


def _punch(half: float, middle: float, most: float) -> Iterator[Mark]:
    """The punch, no higher than that over the die."""
    lean, nose = 0.7 * _tool(half), 0.95 * RADIUS
    x, y = nose * cos(lean), middle - nose * sin(lean)
    wide = STEM / 2
    shoulder = y + (wide - x) / tan(lean)
    top = max(min(middle + HEAD, most), shoulder + 1.5)
    tip: Curve = Arc((-x, y), (x, y), (0.0, middle), pi - 2 * lean)
    right = [(x, y), (wide, shoulder), (wide, top), (-wide, top), (-wide, shoulder), (-x, y)]
    yield Stroke((tip, *polyline(right)), EDGE, closed=True, fill=STEEL)


def _roll(one: Held, longest: float) -> tuple[list[Mark], list[Named]]:
    """A roll: the metal alone, with its inside radius."""
    near, far = chain(one, -one.side), chain(one, one.side)
    lengths = drawn_lengths((near, far), longest)
    turn = one.bend.turn_rad
    bow = max(3.0, 2.2 * longest / max(turn, 1.0))
    count = 24
    arc = [(bow * sin(turn * (k / count - 0.5)), -bow * cos(turn * (k / count - 0.5)))
           for k in range(count + 1)]  # fmt: skip
    right = walked(far, lengths[1], arc[-1], turn / 2, RADIUS + METAL / 2)
    left = walked(near, lengths[0], arc[-1], turn / 2, RADIUS + METAL / 2)
    points = _apart([*((-x, y) for x, y in reversed(left)), *arc, *right])
    marks: list[Mark] = [Stroke(polygon(thick(points, METAL)), EDGE, closed=True, fill=SHEET)]
    marks += [Stroke((Line((-1.2, 0.0), (1.2, 0.0)),), THIN),
              Stroke((Line((0.0, -1.2), (0.0, 1.2)),), THIN)]  # fmt: skip
    inner = bow - METAL / 2
    tips = [(inner * sin(a), -inner * cos(a)) for a in (0.0, 0.4, -0.4)]
    return marks, [(f"R{one.bend.radius:.4g}", tips, True)]
