"""Blanks on paper at full size, to mark out from or to offer up to the vehicle; and paper models.

`STEM-template.pdf` is cut up into sheets of the paper that the shop prints on. It shows the drawn
face: the edge, every opening with a cross where its punch mark goes, the middle of every bend with
its direction and turn, and where a roll starts and ends. Sketches that want full size, such as a
paper model, get a file each.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import cos, radians, sin
from pathlib import Path

import numpy as np

from parts.paper import pdf
from parts.paper.page import BEND, FAINT, HAIR, HIDDEN, Mark, Pen, Stroke, Words
from parts.paper.sheets import pages
from parts.paper.tiles import Drawing
from parts.part import Part, Piece, Sketch, thickness_words
from parts.sheet import measure
from parts.sheet.bend_lines import bend_lines, ends_of_roll
from parts.sheet.blank import Cutout
from parts.sheet.curve import Arc, Line, Point
from parts.writers import lettering, marking
from parts.writers.lettering import Label, Metal

EDGE = Pen(0.35)
PUNCH = 3.0  # mm that a centre mark stands out of its hole
LARGE = 25.0  # mm; the cross of a larger hole stays in its middle
SMALL = 2.5  # height of the words of a sketch
ROLES = {"metal": EDGE, "fixed": Pen(0.5), "path": HIDDEN, "room": FAINT}
REPEAT = 120.0  # mm between the words along a bend, so that every sheet tells them


def write(part: Part, folder: Path) -> list[Path]:
    """Write `STEM-template.pdf` for every piece, and for every sketch at full size; returns the
    files."""
    drawings = [(part.stem(piece), drawing_of(part, piece)) for piece in part.pieces]
    drawings += [
        (part.stem_of(sketch.title), sketched(part, sketch))
        for sketch in part.sketches
        if sketch.full_size
    ]
    files = []
    for stem, drawing in drawings:
        path = folder / f"{stem}-template.pdf"
        about = "full size; print at 100 % and measure the bars"
        pdf.write(path, pages(drawing, part.paper), drawing.title, full_size=True, about=about)
        files.append(path)
    return files


def drawing_of(part: Part, piece: Piece) -> Drawing:
    """The drawn face of a blank, with all that is marked on it."""
    folded, loops = piece.folded, piece.folded.blank.loops
    edges = [Stroke(loop, EDGE, closed=True) for loop in loops]
    crosses = [mark for cutout in folded.blank.cutouts for mark in _punch_marks(cutout)]
    drawn = [curve for stroke in (*edges, *crosses) for curve in stroke.curves]
    middles = [bend_lines(folded, number) for number in range(len(folded.blank.bends))]
    ends = [list(ends_of_roll(folded, number)) for number in range(len(folded.blank.bends))]
    drawn += [line for found in middles for line in found]
    drawn += [line for found in ends for line in found]
    metal, clear = Metal.of(loops), lettering.spots(drawn)
    marks: list[Mark] = [*edges, *crosses]
    for number, bend in enumerate(folded.blank.bends):
        marks += [Stroke((line,), BEND) for line in middles[number]]
        marks += [Stroke((line,), FAINT) for line in ends[number]]
        for said in marking.bend_words(bend, piece.allowances[number].over):
            for line in middles[number]:
                for at in _along(line):
                    label = lettering.fitted(said, at, marking.reading_deg(bend), metal, clear)
                    clear = np.vstack([clear, label.cover()])
                    marks.append(_set(label))
    near = folded.blank.base
    for said in (*marking.piece_words(part, piece), f"{part.job}: {piece.faces}"):
        label = lettering.fitted(said, near, 0.0, metal, clear)
        near, clear = label.below(), np.vstack([clear, label.cover()])
        marks.append(_set(label))
    return Drawing(_title(part, piece), _facts(piece), tuple(marks), loops)


def sketched(part: Part, sketch: Sketch) -> Drawing:
    """A sketch with the names of its points, and of its shapes where they begin."""
    marks: list[Mark] = [Stroke(one.curves, ROLES[one.role], one.closed) for one in sketch.shapes]
    drawn = [curve for shape in sketch.shapes for curve in shape.curves]
    names: list[Words] = []
    for name, (x, y) in sketch.points:
        marks += _cross((x, y), PUNCH + 2)
        names.append(_beside(Words(name, (x + PUNCH, y + PUNCH), SMALL), names))
    for shape in sketch.shapes:
        x, y = shape.curves[0].at(0.5)
        names.append(_beside(Words(shape.name, (x + 1, y + 1), SMALL, grey=0.35), names))
    marks += names
    facts = f"{sketch.note}; across: {sketch.across}, up: {sketch.up}".removeprefix("; ")
    return Drawing(f"{part.job}, {part.name}, {sketch.title}", facts, tuple(marks), (tuple(drawn),))


def _beside(words: Words, others: list[Words]) -> Words:
    """The words, lifted above any that they would run into."""

    def meets(one: Words, other: Words) -> bool:
        (x, y), (u, v) = one.at, other.at
        apart = max(u - x - pdf.width(one.text, SMALL), x - u - pdf.width(other.text, SMALL))
        return abs(y - v) < 1.5 * SMALL and apart < SMALL

    while any(meets(words, other) for other in others):
        words = replace(words, at=(words.at[0], words.at[1] + 0.5 * SMALL))
    return words


def _cross(at: Point, reach: float) -> list[Stroke]:
    x, y = at
    return [
        Stroke((Line((x - reach, y), (x + reach, y)),), HAIR),
        Stroke((Line((x, y - reach), (x, y + reach)),), HAIR),
    ]


def _punch_marks(cutout: Cutout) -> Iterator[Stroke]:
    """A cross through the middle of a round hole, or through both ends of a slot."""
    arcs = [curve for curve in cutout.loop if isinstance(curve, Arc)]
    if cutout.round_hole is None and len(arcs) != 2:
        return
    for arc in arcs:
        yield from _cross(arc.center, PUNCH if arc.radius > LARGE else arc.radius + PUNCH)


def _along(line: Line) -> Iterator[Point]:
    count = max(1, round(line.length / REPEAT))
    return (line.at((k + 0.5) / count) for k in range(count))


def _set(label: Label) -> Words:
    """A label as words on paper: its middle is the middle of their capitals."""
    slant, down = radians(label.angle_deg), label.height / 2
    at = (label.middle[0] + down * sin(slant), label.middle[1] - down * cos(slant))
    return Words(label.words, at, label.height, "middle", label.angle_deg)


def _title(part: Part, piece: Piece) -> str:
    return ", ".join((part.job, *marking.piece_words(part, piece)[:2]))


def _facts(piece: Piece) -> str:
    """Material and size, and what the drawn face looks at."""
    wide, high = measure.blank_box(piece.folded)
    thickness = thickness_words(piece.stock.thickness)
    return (
        f"{piece.stock.material.name}, {thickness} mm, {piece.quantity} off, blank {wide:.1f} "
        f"x {high:.1f}; this face: {piece.faces}"
    )
