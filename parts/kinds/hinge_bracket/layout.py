"""From the job file to hinges: pivot, swing, arm and struts of every hand asked for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from parts.kinds.hinge_bracket.axes import pivot_at
from parts.kinds.hinge_bracket.config import Hand, HingeBracket, HingeSide
from parts.kinds.hinge_bracket.pivot import Sought, sought
from parts.kinds.hinge_bracket.plan import Sides, sides_of
from parts.kinds.hinge_bracket.section import Around, around, fence
from parts.kinds.hinge_bracket.struts import Hanging, hang
from parts.kinds.hinge_bracket.swings import Swung, arm_about, for_hand, out_of_room, swung
from parts.sheet.curve import Point
from parts.sheet.loop import contains
from parts.trade.swing import InLine, in_line, swing

LEAST_SPACING = 1.0  # mm between two hinges


@dataclass(frozen=True, eq=False)
class Hung:
    """A lid on its hinges, laid out.

    `pivot` is told from the lid's edge half way between the hinges. `sought` is the search for it
    where there was one. `mirrored` names the hand that stands in for one not measured. `sides` is
    the lid in plan, `in_line` what the two hinges' axes allow.
    """

    pivot: Point
    sought: Sought | None
    hanging: Hanging
    hinges: tuple[Swung, ...]
    mirrored: Hand | None
    sides: Sides | None
    in_line: InLine | None
    spacing: float

    @property
    def alike(self) -> bool:
        """Whether all hinges have the same section and pivot, so that one tells of all."""
        first = self.hinges[0]
        return all(one.pivot == first.pivot and one.around == first.around for one in self.hinges)


class NoPivot(ValueError):
    """No pivot of the room will do; carries the search, and why the best place has no arm."""

    def __init__(self, found: Sought, why: str) -> None:
        super().__init__(why)
        self.sought, self.why = found, why


def lay_out_lid(config: HingeBracket) -> Hung:
    """The lid on its hinges; raises NoPivot where the pivot was to be found and none will do."""
    sides: dict[Hand, HingeSide] = {}
    mirrored: Hand | None = None
    for hand in config.hands:
        side = config.side(hand)
        if side is None:
            side, mirrored = config.left or config.right, hand
        assert side is not None
        sides[hand] = side
    search, pivot = None, config.pivot
    if pivot == "found":
        search, pivot = _find(config, list(dict.fromkeys(sides.values())))
    assert not isinstance(pivot, str)
    hanging = hang(config, pivot)
    hinges: list[Swung] = []
    for hand, side in sides.items():
        if hinges and side == hinges[0].side:
            hinges.append(for_hand(config, hinges[0], hand))
        else:
            hinges.append(swung(config, side, hand, pivot, hanging))
    spacing = _spacing(config)
    allowed = None
    if spacing > config.arm.bush_length:
        allowed = in_line(config.arm.bush_length, config.arm.play, spacing)
    return Hung(
        pivot, search, hanging, tuple(hinges), mirrored, sides_of(config, pivot), allowed, spacing
    )


def _find(config: HingeBracket, sides: Sequence[HingeSide]) -> tuple[Sought, Point]:
    """The best pivot for which each side clears and has an arm within its room; where there is
    none, the best for which there is an arm at all."""
    assert config.pivot_room is not None
    sections = [around(config, side) for side in sides]
    found = sought(config, sections[0], fence(config.pivot_room))
    second: Point | None = None
    why = ""
    for pivot in found.tries:
        fits, no_arm = _fits(config, zip(sides, sections, strict=True), pivot)
        if fits:
            return found, pivot
        why = why or no_arm
        if not no_arm:
            second = second or pivot
    if second is None:
        raise NoPivot(found, why)
    return found, second


def _fits(
    config: HingeBracket, sides: Iterable[tuple[HingeSide, Around]], pivot: Point
) -> tuple[bool, str]:
    """Whether every side clears by the wish, with an arm in its room; else why one has no arm."""
    fits = True
    for side, what in sides:
        here = pivot_at(config, side, pivot)
        arm, no_arm = arm_about(config, what, here)
        if arm is None:
            return False, no_arm
        clear = swing(what.lid, here).clearance >= config.clearance
        fits = fits and clear and out_of_room(config, arm) is None
    return fits, ""


def _spacing(config: HingeBracket) -> float:
    """Between the two hinge planes; a side that was not measured is the other's mirror image."""
    right, left = config.right or config.left, config.left or config.right
    assert right is not None
    assert left is not None
    return right.y + left.y


def in_room(config: HingeBracket, pivot: Point) -> bool:
    """Whether the pivot lies in the room given for it, or no room is given."""
    if config.pivot_room is None:
        return True
    loop = fence(config.pivot_room)
    if contains([loop], pivot):
        return True
    return any(_near(curve.nearest(pivot), pivot) for curve in loop)


def _near(a: Point, b: Point) -> bool:
    return abs(a[0] - b[0]) + abs(a[1] - b[1]) < 1e-6
