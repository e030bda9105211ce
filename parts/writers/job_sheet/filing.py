"""What files a build leaves of a part, by name, and what each is for."""

from __future__ import annotations

from dataclasses import dataclass

from parts.part import Part, Piece, Sketch

FOLDING = "-folding.pdf"  # only where there is something to fold
OF_PIECE = (
    (".dxf", "to cut: paths only, 1:1 in mm", "laser cutter"),
    (".step", "folded solid", "laser and bending service"),
    ("-marked.dxf", "blank with bend lines and hand", "folder"),
    ("-drawing.pdf", "shop drawing", "whoever makes it"),
    (FOLDING, "fold sheet: every step at the brake", "folder"),
    ("-template.pdf", "paper at full size; measure both bars", "marking out"),
    (".py", "script that builds it again", "anyone who programs"),
)
OF_PART = (
    ("on_vehicle", ".step", "all pieces where they sit on the vehicle", "3D programs"),
    ("cut_list", ".csv", "cut list for a spreadsheet", "ordering"),
)
ALWAYS = (
    ("figures.json", "every number of the part with its source", "anyone who programs"),
    ("proof.json", "what was read back and compared, and how it agreed", "anyone in doubt"),
)
ON_PAPER = ("paper model at full size", "trying the motion")


@dataclass(frozen=True, slots=True)
class Filed:
    """A file of the part, in its folder: its name, what it is, and whom it is for."""

    name: str
    what: str
    reader: str


def of_piece(part: Part, piece: Piece) -> tuple[Filed | None, ...]:
    """The files of one piece, in the order of `OF_PIECE`; None for one that it has not."""
    stem = part.stem(piece)
    return tuple(
        Filed(f"{stem}{ending}", what, reader) if ending != FOLDING or piece.blank.bends else None
        for ending, what, reader in OF_PIECE
    )


def of_sketch(part: Part, sketch: Sketch) -> Filed:
    """The file of a sketch that wants full size."""
    name = f"{part.stem_of(sketch.title)}-template.pdf"
    return Filed(name, f"{sketch.title}, {ON_PAPER[0]}", ON_PAPER[1])


def of_part(part: Part) -> tuple[Filed, ...]:
    """The files of the part as a whole, but for the job sheet."""
    own = [
        Filed(f"{part.stem_of(word)}{ending}", what, reader)
        for word, ending, what, reader in OF_PART
    ]
    sketches = [of_sketch(part, sketch) for sketch in part.sketches if sketch.full_size]
    return (*own, *sketches, *(Filed(*row) for row in ALWAYS))
