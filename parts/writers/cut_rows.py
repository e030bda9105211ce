"""What a cutter must know of each piece, one row a piece, whatever the paper or file."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from parts.part import Part, Piece
from parts.sheet import measure
from parts.sheet.bend_side import is_rolled
from parts.sheet.blank import Cutout
from parts.sheet.loop import box, length, slot_size


@dataclass(frozen=True, slots=True)
class CutRow:
    """One piece to cut; numbers are of one, however many are wanted.

    `wide` and `high` are the blank's box as drawn, mm; `area` is what is left after cutting, mm2;
    `cut_length` runs round the outline and every opening, mm, and each of them takes one pierce.
    `bends` counts those folded, `rolls` those rolled. `holes` counts openings of a size.
    """

    part: str
    piece: str
    hand: str
    quantity: int
    material: str
    thickness: float
    wide: float
    high: float
    area: float
    mass_kg: float
    cut_length: float
    pierces: int
    bends: int
    rolls: int
    holes: tuple[tuple[str, int], ...]
    stem: str


def cut_rows(part: Part) -> tuple[CutRow, ...]:
    """A row for every piece, in the part's order."""
    return tuple(_row(part, piece) for piece in part.pieces)


def holes_in_words(row: CutRow) -> str:
    """Openings by size: how many of each, and "" where there are none."""
    return ", ".join(f"{count} x {size}" for size, count in row.holes)


def _row(part: Part, piece: Piece) -> CutRow:
    blank = piece.blank
    wide, high = measure.blank_box(piece.folded)
    rolled = sum(is_rolled(bend, blank.thickness) for bend in blank.bends)
    return CutRow(
        part=part.name,
        piece=piece.name,
        hand=piece.hand,
        quantity=piece.quantity,
        material=piece.stock.material.name,
        thickness=piece.stock.thickness,
        wide=wide,
        high=high,
        area=measure.blank_area(piece.folded),
        mass_kg=piece.mass_kg,
        cut_length=sum(length(loop) for loop in blank.loops),
        pierces=len(blank.loops),
        bends=len(blank.bends) - rolled,
        rolls=rolled,
        holes=_by_size(blank.cutouts),
        stem=part.stem(piece),
    )


def _by_size(cutouts: tuple[Cutout, ...]) -> tuple[tuple[str, int], ...]:
    """Round holes first, then slots, then other openings; the smaller before the larger."""
    sizes = Counter(_size(cutout) for cutout in cutouts)
    return tuple((words, count) for (_, _, _, words), count in sorted(sizes.items()))


def _size(cutout: Cutout) -> tuple[int, float, float, str]:
    """What an opening is counted as: its sort, its sizes to a tenth of a mm, and words for them."""
    circle, slot = cutout.round_hole, slot_size(cutout.loop)
    if circle is not None:
        size = round(2 * circle.radius, 1)
        return (0, size, 0.0, f"hole {size:g}")
    if slot is not None:
        width, long = round(slot[2], 1), round(slot[1], 1)
        return (1, width, long, f"slot {width:g} x {long:g}")
    x0, y0, x1, y1 = box(cutout.loop)
    wide, high = round(x1 - x0, 1), round(y1 - y0, 1)
    return (2, wide, high, f"opening {wide:g} x {high:g}")
