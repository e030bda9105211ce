"""The metal of a hinge with its swing: what each piece comes near."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.pieces import Metal
from parts.sheet.loop import Loop
from parts.trade.swing import Outline, Section, Swing, swing

ARM, DOUBLER = "arm", "doubler"


@dataclass(frozen=True, slots=True)
class PieceSwung:
    """One piece told to the surround over the swing, and the clearance wished."""

    piece: str
    swings: bool
    found: Swing
    wish: float

    @property
    def other(self) -> str:
        """What it comes nearest to."""
        return self.found.item if self.swings else self.found.mover


def pieces_swung(config: HingeBracket, metal: Metal) -> tuple[PieceSwung, ...]:
    """The arm with its return told to each thing that stays, every other piece to the nearest:
    those that swing to what stays, those that stay to the lid and what it carries. A doubler
    lies within the arm.

    As the section sees them, wherever along the axis they are. Raises NotProved.
    """
    return tuple(_swung(config, metal))


def _swung(config: HingeBracket, metal: Metal) -> Iterator[PieceSwung]:
    one = metal.swung
    stays = tuple(replace(item, against=None) for item in one.around.told_to_arm)
    for cut in metal.cuts:
        own = outlines(cut.name, cut.side_view)
        if cut.name == ARM:
            for item in stays:
                passed = item.name in one.around.passed_under
                wish = config.neck_clearance if passed else config.arm_clearance
                found = swing(Section(own, (item,), config.opening), one.pivot)
                yield PieceSwung(cut.name, True, found, wish)
        elif cut.name != DOUBLER:
            moving, fixed = (own, stays) if cut.swings else (one.around.carried, own)
            found = swing(Section(moving, fixed, config.opening), one.pivot)
            yield PieceSwung(cut.name, cut.swings, found, config.arm_clearance)


def outlines(name: str, views: Sequence[Loop]) -> tuple[Outline, ...]:
    """What the section sees of a piece: its leg or plate, and its foot or return."""
    bent = f"{name}, {'return' if name == ARM else 'foot'}"
    return tuple(Outline(called, view) for called, view in zip((name, bent), views, strict=False))


@dataclass(frozen=True, eq=False)
class Made:
    """The metal of one hinge, and how it swings."""

    metal: Metal
    swung: tuple[PieceSwung, ...]

    @property
    def arm(self) -> Swing | None:
        """The arm where it comes nearest to anything, its return with it; None without one."""
        told = [one.found for one in self.swung if one.piece == ARM]
        return min(told, key=lambda found: found.clearance, default=None)
