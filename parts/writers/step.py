"""The folded solid of every piece as a STEP file, in the piece's own axes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from parts.part import Part, Piece, thickness_words

if TYPE_CHECKING:
    from parts.solid.step import Body

COLOURS = {  # by family of metal, to tell them apart on the screen; sRGB
    "steel": (0.55, 0.58, 0.62),
    "stainless": (0.75, 0.77, 0.78),
    "aluminium": (0.83, 0.84, 0.86),
    "galvanised": (0.66, 0.70, 0.74),
}


def write(part: Part, folder: Path) -> list[Path]:
    """Write `STEM.step` for every piece; returns the files."""
    from parts.solid import step

    files = []
    for piece in part.pieces:
        path = folder / f"{part.stem(piece)}.step"
        step.write(path, body(part, piece), part.made_on)
        files.append(path)
    return files


def body(part: Part, piece: Piece) -> Body:
    """The solid of a piece with what a STEP file says of it."""
    from parts.solid import step

    metal = piece.stock.material
    return step.Body(
        piece.kernel_solid,
        part.stem(piece),
        (metal.name, f"{thickness_words(piece.stock.thickness)} mm sheet"),
        metal.density_kg_m3,
        COLOURS.get(metal.family, COLOURS["steel"]),
    )
