"""What holds for every step of a fold sheet: metal, tool, face, and how to stay whole."""

from __future__ import annotations

from parts.part import Piece, thickness_words
from parts.sheet.bend_side import is_rolled
from parts.sheet.fold_order.steps import FoldOrder, NoOrder
from parts.writers.fold_sheet.wording import degrees_of, punch_of

HANDS = (
    "Gloves on, edges deburred; fingers out of the die and clear of the metal as it swings up. "
    "Check the first part on the vehicle before the rest are bent."
)


def head(piece: Piece, order: FoldOrder | NoOrder) -> list[str]:
    """A title, and what holds for the whole piece, a sentence each."""
    hand = f"{piece.hand} hand" if piece.hand else "no hand"
    metal = f"{piece.stock.material.name}, {thickness_words(piece.stock.thickness)} mm"
    sentences = [
        f"Folding: {piece.name}, {hand}",
        f"{piece.quantity} off, {metal}; {_radii(piece)}.",
        *_tool(piece, order),
        f"Drawn face: {piece.faces}.",
    ]
    if isinstance(order, FoldOrder):
        up = "up" if order.steps[0].drawn_face_up else "down"
        sentences.append(f"Start with the drawn face {up}. Seen on the drawn face, ↑ up bends come "
                         "toward you, ↓ down bends go away from you.")  # fmt: skip
        sentences.append(_legs(piece))
    return [*sentences, HANDS]


def _radii(piece: Piece) -> str:
    """The inside radii of what a die bends, and those of rolls."""
    thickness, words = piece.stock.thickness, []
    for name, rolls in (("inside radius", False), ("rolled to radius", True)):
        found = sorted({bend.radius for bend in piece.blank.bends
                        if is_rolled(bend, thickness) == rolls})  # fmt: skip
        if found:
            words.append(f"{name} {', '.join(f'{radius:.4g}' for radius in found)}")
    return ", ".join(words)


def _tool(piece: Piece, order: FoldOrder | NoOrder) -> list[str]:
    die = piece.die_used
    words = [] if die is None else [f"Die V {die.value:g} ({die.source})"]
    punches = [] if isinstance(order, NoOrder) else [punch_of(step) for step in order.steps]
    words += [word for word in dict.fromkeys(punches) if word]
    tools = [f"{'; '.join(words)}."] if words else []
    return [*tools, f"Tools taken as: {order.source}."] if order.source else tools


def _legs(piece: Piece) -> str:
    sharp = [bend for bend in piece.blank.bends if abs(bend.turn_deg) > 90
             and not is_rolled(bend, piece.stock.thickness)]  # fmt: skip
    words = "Outside legs: from where the outer faces meet to the farthest point"
    if sharp:
        words += f"; past {degrees_of(90)} from the outermost face"
    return f"{words}. Views from your right are not to scale."
