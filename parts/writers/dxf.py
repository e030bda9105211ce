"""The flat blank of every piece as DXF, twice: to cut, and with bends and marks drawn on.

Both are R2010, 1:1 in mm, drawn nominal (the cutter allows for its own kerf), seen from the
drawn face. Each contour is one closed LWPOLYLINE, a round hole one CIRCLE. `STEM.dxf` holds the
layer CUT and nothing else. `STEM-marked.dxf` adds BEND, the middle of every bend with its
direction, turn from flat, inside radius and, where the bend book knows it, the turn to bend over
to, and of a roll its two ends; and MARK, words, a cross at x 0, y 0, and an arrow along the grain
where a bend needs it so.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from io import StringIO
from pathlib import Path
from typing import Any

import numpy as np

from parts.part import Part, Piece
from parts.sheet import loop as loops
from parts.sheet.bend_lines import bend_lines, ends_of_roll
from parts.sheet.curve import Arc, Curve, Line, bulge
from parts.sheet.grain import Grain, grain_of
from parts.sheet.loop import Loop
from parts.writers import lettering, marking
from parts.writers.lettering import Label, Metal

CUT, BEND, MARK = "CUT", "BEND", "MARK"
LAYERS = ((CUT, 7, "CONTINUOUS"), (BEND, 5, "LONG_DASH_TWO_DOTS"), (MARK, 3, "CONTINUOUS"))

# ISO 128-2 line type 05, long dash and two dots: dash 24 d, gap 3 d, dot 0.5 d, for a line
# d = 0.25 mm wide; from memory. One repeat is 8.5 mm, so it shows on a short bend at scale 1.
LONG_DASH_TWO_DOTS = (8.5, 6.0, -0.75, 0.125, -0.75, 0.125, -0.75)

CROSS = 5.0  # mm, each arm
ARROW = "<--- grain --->"  # room to ask for: the word with a shaft on either side
GRAIN = "grain"
HEAD = 0.8  # length of an arrow's head over the height of its word


def write(part: Part, folder: Path) -> list[Path]:
    """Write `STEM.dxf` and `STEM-marked.dxf` for every piece; returns the files."""
    files = []
    for piece in part.pieces:
        for ending, marked in ((".dxf", False), ("-marked.dxf", True)):
            path = folder / f"{part.stem(piece)}{ending}"
            path.write_text(text(part, piece, marked), encoding="utf-8", newline="\n")
            files.append(path)
    return files


def text(part: Part, piece: Piece, marked: bool) -> str:
    """The whole DXF file; the same characters for the same piece."""
    import ezdxf

    blank = piece.folded.blank
    with _no_dates():
        drawing = ezdxf.new("R2010", units=ezdxf.units.MM)
        drawing.header["$MEASUREMENT"] = 1
        drawing.header["$LASTSAVEDBY"] = "tinwright"
        x0, y0, x1, y1 = loops.box(blank.outline)
        drawing.header["$EXTMIN"], drawing.header["$EXTMAX"] = (x0, y0, 0.0), (x1, y1, 0.0)
        for name, colour, linetype in LAYERS[: 3 if marked else 1]:
            if linetype not in drawing.linetypes:
                drawing.linetypes.add(linetype, LONG_DASH_TWO_DOTS, description="ISO 128-2 type 05")
            drawing.layers.add(name, color=colour, linetype=linetype)
        space = drawing.modelspace()
        for loop in (*(cutout.loop for cutout in blank.cutouts), blank.outline):
            _draw_contour(space, loop)
        if marked:
            _draw_marks(space, part, piece)
        for kind in sorted(drawing.entitydb.dxf_types_in_use()):
            drawing.classes.add_class(kind)  # the library's own order changes from run to run
        stream = StringIO()
        drawing.write(stream)
    return stream.getvalue()


@contextmanager
def _no_dates() -> Iterator[None]:
    """Have the library leave out the time of day and its random file numbers."""
    import ezdxf

    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _draw_contour(space: Any, loop: Loop) -> None:
    first = loop[0]
    if isinstance(first, Arc) and first.full:
        space.add_circle(first.center, first.radius, dxfattribs={"layer": CUT})
        return
    points = [(curve.start[0] + 0.0, curve.start[1] + 0.0, bulge(curve)) for curve in loop]
    space.add_lwpolyline(points, format="xyb", close=True, dxfattribs={"layer": CUT})


def _draw_marks(space: Any, part: Part, piece: Piece) -> None:
    folded = piece.folded
    metal = Metal.of(folded.blank.loops)
    middles = [bend_lines(folded, i) for i in range(len(folded.blank.bends))]
    cross = (Line((-CROSS, 0), (CROSS, 0)), Line((0, -CROSS), (0, CROSS)))
    lines: list[Curve] = [curve for loop in folded.blank.loops for curve in loop]
    lines += [line for found in middles for line in found]
    ends = [end for i in range(len(middles)) for end in ends_of_roll(folded, i)]
    lines += ends
    keep_clear = lettering.spots([*lines, *cross])
    for number, (bend, found) in enumerate(zip(folded.blank.bends, middles, strict=True)):
        for line in found:
            space.add_line(line.start, line.end, dxfattribs={"layer": BEND})
        longest = max(found, key=lambda line: line.length)
        for words in marking.bend_words(bend, piece.allowances[number].over):
            reading_deg = marking.reading_deg(bend)
            label = lettering.fitted(words, longest.at(0.5), reading_deg, metal, keep_clear)
            _draw_label(space, label, BEND)
            keep_clear = np.vstack([keep_clear, label.cover()])
    for end in ends:
        space.add_line(end.start, end.end, dxfattribs={"layer": BEND})
    for line in cross:
        space.add_line(line.start, line.end, dxfattribs={"layer": MARK})
    near = folded.blank.base
    for words in marking.piece_words(part, piece):
        label = lettering.fitted(words, near, 0.0, metal, keep_clear)
        near = label.below()
        _draw_label(space, label, MARK)
        keep_clear = np.vstack([keep_clear, label.cover()])
    grain = grain_of(folded, piece.stock.material)
    if grain is not None:
        _draw_grain(space, grain, lettering.fitted(
            ARROW, folded.blank.base, grain.angle_deg, metal, keep_clear, turned=True
        ))  # fmt: skip


def _draw_label(space: Any, label: Label, layer: str) -> None:
    from ezdxf.enums import TextEntityAlignment

    attributes = {"layer": layer, "rotation": label.angle_deg}
    words = " ".join(label.words.split())  # a line break would end the value
    words = words.replace("°", "%%d")  # the format's own code, which every font knows
    text = space.add_text(words, height=label.height, dxfattribs=attributes)
    text.set_placement(label.middle, align=TextEntityAlignment.MIDDLE_CENTER)


def _draw_grain(space: Any, grain: Grain, label: Label) -> None:
    """The word "grain" in the middle of a line with a head at either end: it has no sense."""
    _draw_label(space, replace(label, words=GRAIN), MARK)
    (x, y), (dx, dy) = label.middle, grain.direction
    inner, outer, head = len(GRAIN) / 2 * label.height, label.length / 2, HEAD * label.height

    def at(along: float, across: float = 0.0) -> tuple[float, float]:
        return (x + along * dx - across * dy, y + along * dy + across * dx)

    for way in (1, -1):
        tip = at(way * outer)
        space.add_line(at(way * inner), tip, dxfattribs={"layer": MARK})
        for beside in (head / 3, -head / 3):
            space.add_line(at(way * (outer - head), beside), tip, dxfattribs={"layer": MARK})
