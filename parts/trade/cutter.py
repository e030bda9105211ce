"""The cutter that sheets are sent to: how it wants its files, and what it can do."""

from __future__ import annotations

from dataclasses import dataclass, field

Size = tuple[float, float]

NAME_WORDS = ("job", "part", "piece", "hand", "material", "thickness", "quantity")


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer of a DXF file: its name, and the number of its colour (1 to 255)."""

    name: str
    colour: int


@dataclass(frozen=True, slots=True)
class DxfStyle:
    """How a DXF is written. Bends and marks are drawn only where that is said.

    Layers of one name are one layer: what is drawn on it is told apart by its colours.
    """

    version: str = "R2010"
    bend_lines: bool = False
    marks: bool = False
    cut: Layer = Layer("CUT", 7)
    bend: Layer = Layer("BEND", 5)
    mark: Layer = Layer("MARK", 3)

    @property
    def drawn(self) -> dict[str, Layer]:
        """The layers drawn on, by our own names for what is on them: CUT, BEND, MARK."""
        layers = {"CUT": self.cut}
        layers |= {"BEND": self.bend} if self.bend_lines else {}
        return layers | ({"MARK": self.mark} if self.marks else {})

    @property
    def by_colour(self) -> bool:
        """Whether some of what is drawn shares a layer.

        >>> DxfStyle(marks=True).by_colour, DxfStyle(marks=True, mark=Layer("CUT", 3)).by_colour
        (False, True)
        """
        return len({layer.name for layer in self.drawn.values()}) < len(self.drawn)


@dataclass(frozen=True, slots=True)
class Limits:
    """What the cutter can do; None, () or no entry: not stated.

    `refuses` tells whether a piece beyond a limit is refused, or only mentioned. Sizes are mm,
    longest first or not; `least_hole` and `least_gap` are in thicknesses of the sheet.
    `thicknesses` gives the thinnest and thickest sheet of each material that the cutter keeps.
    """

    refuses: bool = False
    largest_flat: Size | None = None
    largest_bent: Size | None = None  # of the blank, before it is bent
    sheets: tuple[Size, ...] = ()  # along the grain, across it
    thicknesses: tuple[tuple[str, float, float], ...] = ()
    least_hole: float | None = None
    least_gap: float | None = None
    bends: bool = True
    most_turn_deg: float | None = None
    rolls: bool = False
    hems: bool = False


@dataclass(frozen=True, slots=True)
class Cutter:
    """A cutter: its name, a word to it, how it wants its files and their names, its limits."""

    name: str
    note: str = ""
    dxf: DxfStyle = field(default_factory=DxfStyle)
    file_names: tuple[str, ...] = NAME_WORDS
    step: bool = True
    drawing: bool = True
    limits: Limits = field(default_factory=Limits)
