"""The flat blank of every piece as DXF, twice: to cut, and with bends and marks drawn on.

Both are R2010, 1:1 in mm, drawn nominal (the cutter allows for its own kerf), seen from the
drawn face. Each contour is one closed LWPOLYLINE, a round hole one CIRCLE. `STEM.dxf` holds the
layer CUT and nothing else. `STEM-marked.dxf` adds BEND, the middle of every bend with its
direction, turn from flat, inside radius and, where the bend book knows it, the turn to bend over
to, and of a roll its two ends; and MARK, words, a cross at x 0, y 0, and an arrow along the grain
where a bend needs it so.

A cutter may want it otherwise: `data` writes any of the versions, layers and marks of a style. R12
has no LWPOLYLINE, so there a contour is a closed POLYLINE; nor does it say its unit.
"""

from __future__ import annotations

import logging
import re
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
from parts.trade.cutter import DxfStyle, Layer
from parts.writers import lettering, marking
from parts.writers.lettering import Label, Metal

LINETYPES = {"CUT": "CONTINUOUS", "BEND": "LONG_DASH_TWO_DOTS", "MARK": "CONTINUOUS"}
Attributes = dict[str, Any]

PLAIN, MARKED = DxfStyle(), DxfStyle(bend_lines=True, marks=True)
OLDEST = "R12"
ASCII_ONLY = (OLDEST, "R2000", "R2004")  # a letter beyond ASCII is spelt out in these

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
    return _text(part, piece, MARKED if marked else PLAIN)


def data(part: Part, piece: Piece, style: DxfStyle) -> bytes:
    """The whole DXF file as a cutter wants it, as bytes."""
    written = _text(part, piece, style)
    if style.version in ASCII_ONLY:
        written = re.sub(r"[^\x00-\x7f]", lambda found: f"\\U+{ord(found[0]):04X}", written)
    return written.encode("utf-8")


def _text(part: Part, piece: Piece, style: DxfStyle) -> str:
    import ezdxf

    blank = piece.folded.blank
    with _no_dates():
        old = style.version == OLDEST
        drawing = ezdxf.new(style.version, units=0 if old else ezdxf.units.MM)
        if not old:
            drawing.header["$MEASUREMENT"] = 1
            drawing.header["$LASTSAVEDBY"] = "tinwright"
        x0, y0, x1, y1 = loops.box(blank.outline)
        drawing.header["$EXTMIN"], drawing.header["$EXTMAX"] = (x0, y0, 0.0), (x1, y1, 0.0)
        _set_up_layers(drawing, style)
        space = drawing.modelspace()
        for loop in (*(cutout.loop for cutout in blank.cutouts), blank.outline):
            _draw_contour(space, loop, style)
        if style.bend_lines or style.marks:
            _draw_marks(space, part, piece, style)
        for kind in sorted(drawing.entitydb.dxf_types_in_use()):
            drawing.classes.add_class(kind)  # the library's own order changes from run to run
        stream = StringIO()
        drawing.write(stream)
    return stream.getvalue()


def _set_up_layers(drawing: Any, style: DxfStyle) -> None:
    """The layers that the style draws on; layer 0, which every file has, may be one of them."""
    by_name: dict[str, tuple[Layer, str]] = {}
    for what, layer in style.drawn.items():
        by_name.setdefault(layer.name, (layer, LINETYPES[what]))
    for layer, linetype in by_name.values():
        if linetype not in drawing.linetypes:
            drawing.linetypes.add(linetype, LONG_DASH_TWO_DOTS, description="ISO 128-2 type 05")
        if layer.name in drawing.layers:
            drawing.layers.remove(layer.name)
        drawing.layers.add(layer.name, color=layer.colour, linetype=linetype)


def _on(style: DxfStyle, layer: Layer) -> Attributes:
    """What puts a thing on a layer; where others share it, with a colour of its own."""
    return {"layer": layer.name} | ({"color": layer.colour} if style.by_colour else {})


@contextmanager
def _no_dates() -> Iterator[None]:
    """Have the library leave out the time of day and its random file numbers, and not tell the
    user that R12 has no unit."""
    import ezdxf

    before, talk = ezdxf.options.write_fixed_meta_data_for_testing, logging.getLogger("ezdxf")
    level = talk.level
    ezdxf.options.write_fixed_meta_data_for_testing = True
    talk.setLevel(logging.ERROR)
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
        talk.setLevel(level)


def _draw_contour(space: Any, loop: Loop, style: DxfStyle) -> None:
    first, attributes = loop[0], _on(style, style.cut)
    if isinstance(first, Arc) and first.full:
        space.add_circle(first.center, first.radius, dxfattribs=attributes)
        return
    points = [(curve.start[0] + 0.0, curve.start[1] + 0.0, bulge(curve)) for curve in loop]
    add = space.add_polyline2d if style.version == OLDEST else space.add_lwpolyline
    add(points, format="xyb", close=True, dxfattribs=attributes)


def _draw_marks(space: Any, part: Part, piece: Piece, style: DxfStyle) -> None:
    folded = piece.folded
    metal = Metal.of(folded.blank.loops)
    middles = [bend_lines(folded, i) for i in range(len(folded.blank.bends))]
    cross = (Line((-CROSS, 0), (CROSS, 0)), Line((0, -CROSS), (0, CROSS)))
    ends = [end for i in range(len(middles)) for end in ends_of_roll(folded, i)]
    lines: list[Curve] = [curve for loop in folded.blank.loops for curve in loop]
    lines += [*(line for found in middles for line in found), *ends]
    keep_clear = lettering.spots([*lines, *cross])
    if style.bend_lines:
        on = _on(style, style.bend)
        keep_clear = _draw_bends(space, piece, middles, ends, metal, keep_clear, on)
    if not style.marks:
        return
    on = _on(style, style.mark)
    for line in cross:
        space.add_line(line.start, line.end, dxfattribs=on)
    near = folded.blank.base
    for words in marking.piece_words(part, piece):
        label = lettering.fitted(words, near, 0.0, metal, keep_clear)
        near = label.below()
        _draw_label(space, label, on)
        keep_clear = np.vstack([keep_clear, label.cover()])
    grain = grain_of(folded, piece.stock.material)
    if grain is not None:
        _draw_grain(space, grain, on, lettering.fitted(
            ARROW, folded.blank.base, grain.angle_deg, metal, keep_clear, turned=True
        ))  # fmt: skip


def _draw_bends(
    space: Any, piece: Piece, middles: list[list[Line]], ends: list[Curve], metal: Metal,
    keep_clear: Any, on: Attributes,
) -> Any:  # fmt: skip
    """Lines and words of the bends; returns the spots to keep clear, with those of the words."""
    for number, (bend, found) in enumerate(zip(piece.blank.bends, middles, strict=True)):
        for line in found:
            space.add_line(line.start, line.end, dxfattribs=on)
        longest = max(found, key=lambda line: line.length)
        for words in marking.bend_words(bend, piece.allowances[number].over):
            reading_deg = marking.reading_deg(bend)
            label = lettering.fitted(words, longest.at(0.5), reading_deg, metal, keep_clear)
            _draw_label(space, label, on)
            keep_clear = np.vstack([keep_clear, label.cover()])
    for end in ends:
        space.add_line(end.start, end.end, dxfattribs=on)
    return keep_clear


def _draw_label(space: Any, label: Label, on: Attributes) -> None:
    from ezdxf.enums import TextEntityAlignment

    attributes = {**on, "rotation": label.angle_deg}
    words = " ".join(label.words.split())  # a line break would end the value
    words = words.replace("°", "%%d")  # the format's own code, which every font knows
    text = space.add_text(words, height=label.height, dxfattribs=attributes)
    text.set_placement(label.middle, align=TextEntityAlignment.MIDDLE_CENTER)


def _draw_grain(space: Any, grain: Grain, on: Attributes, label: Label) -> None:
    """The word "grain" in the middle of a line with a head at either end: it has no sense."""
    _draw_label(space, replace(label, words=GRAIN), on)
    (x, y), (dx, dy) = label.middle, grain.direction
    inner, outer, head = len(GRAIN) / 2 * label.height, label.length / 2, HEAD * label.height

    def at(along: float, across: float = 0.0) -> tuple[float, float]:
        return (x + along * dx - across * dy, y + along * dy + across * dx)

    for way in (1, -1):
        tip = at(way * outer)
        space.add_line(at(way * inner), tip, dxfattribs=on)
        for beside in (head / 3, -head / 3):
            space.add_line(at(way * (outer - head), beside), tip, dxfattribs=on)
