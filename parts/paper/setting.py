"""What a shop prints on, and how true its printer is."""

from __future__ import annotations

from dataclasses import dataclass

PAPERS = {"A4": (210.0, 297.0), "A3": (297.0, 420.0), "Letter": (215.9, 279.4)}  # ISO 216; ANSI
BAR = 100.0


@dataclass(frozen=True, slots=True)
class Setting:
    """Paper and printer: a paper's name, or "roll" with its width, and what the printer makes of
    a bar of 100 mm across and along the sheet."""

    paper: str = "A4"
    roll: float = 610.0
    bars: tuple[float, float] = (BAR, BAR)

    @property
    def stretch(self) -> tuple[float, float]:
        """How much a drawing must be stretched across and along, so that the print is true."""
        return (BAR / self.bars[0], BAR / self.bars[1])
