"""What is to be laid on sheets, by which rules, and how it came to lie."""

from __future__ import annotations

from dataclasses import dataclass, field

from parts.nesting.given import Size
from parts.sheet.loop import Loop, area, moved
from parts.sheet.press import Sourced


@dataclass(frozen=True, slots=True)
class Wanted:
    """A blank to be cut, and how many of it.

    `grain_deg` is the direction on the blank that must lie along the grain of the sheet; None
    where the blank may lie any way.
    """

    part: str
    piece: str
    hand: str
    outline: Loop
    openings: tuple[Loop, ...] = ()
    quantity: int = 1
    grain_deg: float | None = None

    @property
    def area(self) -> float:
        """Metal of one, mm2."""
        return area(self.outline) - sum(abs(area(loop)) for loop in self.openings)

    @property
    def name(self) -> str:
        """Part, piece and hand in words."""
        return ", ".join(word for word in (self.part, self.piece, self.hand) if word)


@dataclass(frozen=True, slots=True)
class Rules:
    """How blanks are laid: mm between any two, mm from the edge of the sheet, and the sizes of
    sheet to choose from with who states them."""

    gap: Sourced
    margin: Sourced
    sizes: tuple[Size, ...]
    sizes_source: str


@dataclass(frozen=True, slots=True)
class Placed:
    """One copy of a blank on a sheet: `number` counts the wanted blanks from 0, `copy` from 1.

    The blank is turned about its own origin, then shifted; the sheet's corner is (0, 0) and its
    first size runs along x, as the grain does.
    """

    number: int
    copy: int
    turn_deg: float
    shift: tuple[float, float]

    def loop(self, drawn: Loop) -> Loop:
        """A loop of the blank as it lies on the sheet."""
        return moved(drawn, self.shift, self.turn_deg)


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet and what lies on it."""

    size: Size
    placed: tuple[Placed, ...]

    @property
    def area(self) -> float:
        return self.size[0] * self.size[1]


@dataclass(frozen=True, slots=True)
class OffCut:
    """What is left of a sheet: the largest rectangle (x0, y0, x1, y1), and how long a strip over
    its whole width is left at the end, mm; 0 for none."""

    rectangle: tuple[float, float, float, float]
    strip: float


@dataclass(frozen=True, eq=False)
class Nest:
    """The blanks of one material and thickness on sheets.

    `stocks` are the names it goes by in the job. `left_over` has the wanted blanks, by number and
    how many, that fit no sheet. `by` says how they were laid, `note` why not as was asked.
    """

    stocks: tuple[str, ...]
    material: str
    thickness: float
    wanted: tuple[Wanted, ...]
    rules: Rules
    sheets: tuple[Sheet, ...]
    left_over: tuple[tuple[int, int], ...] = ()
    off_cut: OffCut | None = None
    by: str = "boxes"
    note: str = field(default="")

    @property
    def used_share(self) -> float:
        """Metal of the blanks laid, as a share of the sheets; 0 where there is no sheet."""
        metal = sum(self.wanted[p.number].area for sheet in self.sheets for p in sheet.placed)
        return metal / sum(sheet.area for sheet in self.sheets) if self.sheets else 0.0

    @property
    def sheets_less_strip(self) -> float:
        """How many sheets, the strip left of the last counted as not used."""
        if not self.sheets or self.off_cut is None:
            return 0.0
        return len(self.sheets) - self.off_cut.strip / self.sheets[-1].size[0]

    @property
    def by_size(self) -> tuple[tuple[Size, int], ...]:
        """How many sheets of each size, in the order they are laid."""
        sizes = [sheet.size for sheet in self.sheets]
        return tuple((size, sizes.count(size)) for size in dict.fromkeys(sizes))
