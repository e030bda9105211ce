"""Words on the blank: bends with their way and turn, numbers of openings and points, radii.

Each finds a place of its own. Extension lines may be broken for words that would else stand far
from what they name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import inf

from parts.paper.clear import Ground, beside_line, pointed, radial
from parts.paper.dimensions import text_of
from parts.paper.layout import extent
from parts.paper.page import Mark, Stroke
from parts.sheet.bend_lines import bend_lines
from parts.sheet.bend_side import is_rolled
from parts.sheet.curve import Arc, Point
from parts.writers import marking
from parts.writers.drawing.edges import Round
from parts.writers.drawing.marks import Layout, Opening
from parts.writers.drawing.scaled import Scaled

LETTERS = 2.5
PAST = 1.0  # mm that words may stand past all else that is drawn, left and right
FRACTIONS = tuple(0.5 + way * k / 20 for k in range(10) for way in (1, -1))  # along a bend
POINTED = (0.5, 0.3, 0.7, 0.15, 0.85)  # along an arc or a bend, where it may be pointed at
NEAR, FAR = 12.0, 40.0  # mm from what is named, before and after extension lines are broken

Place = Callable[[Ground, float], "list[Mark] | None"]


@dataclass(frozen=True, eq=False)
class _Room:
    """What words keep clear of: `full` is all that is drawn, `bare` all but extension lines;
    `within` says how far left and right words may stand."""

    full: Ground
    bare: Ground
    within: tuple[float, float]

    def put(self, *groups: Sequence[Place]) -> list[Mark]:
        """The first label that a place gives, near before far, then taken as drawn; a group of
        places comes before the next. Nothing where there is no place at all: tables tell it too."""
        grounds = ((self.full, NEAR), (self.bare, FAR), (self.bare, inf))
        for places, (ground, most) in product(groups, grounds):
            for place in places:
                found = place(ground, most)
                if found is not None:
                    self.full.add(*found)
                    self.bare.add(*found)
                    return found
        return []


def labels(
    sheet: Scaled, marks: Sequence[Mark], extensions: Sequence[Stroke], points: Sequence[Point]
) -> list[Mark]:
    """All words on the picture of a blank, given what else is drawn of it."""
    room = _room(marks, extensions)
    found: list[Mark] = []
    for number in range(len(sheet.piece.blank.bends)):
        found += _bend_words(sheet, room, number)
    for number, opening in enumerate(sheet.laid.openings, 1):
        found += _number(sheet, room, str(number), opening)
    for number, point in enumerate(points, 1):
        found += _point(sheet, room, f"P{number}", point)
    for text, rounds in _radii(sheet.laid):
        found += _radius(sheet, room, text, rounds)
    return found


def _room(marks: Sequence[Mark], extensions: Sequence[Stroke]) -> _Room:
    full, bare = Ground(), Ground()
    full.add(*marks, *extensions)
    bare.add(*marks)
    boxes = [extent(mark) for mark in (*marks, *extensions)]
    within = (min(b[0] for b in boxes) - PAST, max(b[2] for b in boxes) + PAST)
    return _Room(full, bare, within)


def _bend_words(sheet: Scaled, room: _Room, number: int) -> list[Mark]:
    """What a bend does, along its line; in short where that is too short; else pointed at."""
    bend = sheet.piece.blank.bends[number]
    name = f"B{number + 1} {'↑ up' if bend.up else '↓ down'}"
    text = f"{name} {abs(bend.turn_deg):.4g}°"
    if is_rolled(bend, sheet.piece.stock.thickness):
        text += f" rolled R{bend.radius:.4g}"
    lines = sorted(bend_lines(sheet.piece.folded, number), key=lambda one: -one.length)
    middles = [sheet.put(line.at(f)) for line in lines for f in FRACTIONS]
    tips = [sheet.put(lines[0].at(f)) for f in POINTED]
    angle_deg = marking.reading_deg(bend)

    def along(words: str) -> Place:
        return lambda ground, most: beside_line(
            ground, words, LETTERS, middles, angle_deg, bold=True
        )

    def at(ground: Ground, most: float) -> list[Mark] | None:
        return pointed(
            ground, text, LETTERS, tips, bold=True, needs_leader=True, within=room.within, most=most
        )

    return room.put([along(text), along(name)], [at])


def _number(sheet: Scaled, room: _Room, text: str, opening: Opening) -> list[Mark]:
    """The number of an opening, close to its edge."""
    if opening.what == "hole":
        tips, reach = [sheet.put(opening.middle)], sheet.scale * opening.reach
    else:
        tips = [sheet.put(curve.at(f)) for curve in opening.loop for f in (0.25, 0.5, 0.75)]
        reach = 0.0

    def beside(ground: Ground, most: float) -> list[Mark] | None:
        return pointed(
            ground, text, LETTERS, tips, bold=True, near=reach, within=room.within, most=most
        )

    return room.put([beside])


def _point(sheet: Scaled, room: _Room, text: str, point: Point) -> list[Mark]:
    """The name of a point that a table tells; left out where points are crowded."""
    tips = [sheet.put(point)]

    def beside(ground: Ground, most: float) -> list[Mark] | None:
        return pointed(ground, text, LETTERS, tips, within=room.within, most=min(most, NEAR))

    return room.put([beside])


def _radius(sheet: Scaled, room: _Room, text: str, rounds: Sequence[Round]) -> list[Mark]:
    """A radius pointed at along itself, or where that finds no room, aslant."""
    tips = [(sheet.put(one.arc.at(f)), _inward(one.arc, f)) for one in rounds for f in POINTED]
    ends = [tip for tip, _ in tips[: len(POINTED)]]

    def along(ground: Ground, most: float) -> list[Mark] | None:
        return radial(ground, text, LETTERS, tips, room.within, min(most, FAR))

    def aslant(ground: Ground, most: float) -> list[Mark] | None:
        return pointed(
            ground, text, LETTERS, ends, needs_leader=True, within=room.within, most=most
        )

    return room.put([along, aslant])


def _radii(laid: Layout) -> Iterator[tuple[str, list[Round]]]:
    """Radii to be written: rounded corners of one radius together, other arcs each by itself."""
    corners: dict[str, list[Round]] = {}
    for outline in laid.outlines:
        for one in outline.rounds:
            text = f"R{text_of(one.arc.radius)}"
            if one.corner:
                corners.setdefault(text, []).append(one)
            else:
                yield text, [one]
    for text, rounds in corners.items():
        yield (f"{len(rounds)}× {text}" if len(rounds) > 1 else text), rounds


def _inward(arc: Arc, fraction: float) -> Point:
    """Unit direction from a point of an arc to its centre."""
    (x, y), (cx, cy) = arc.at(fraction), arc.center
    return ((cx - x) / arc.radius, (cy - y) / arc.radius)
