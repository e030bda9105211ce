"""A blank on paper: from its own mm to those of the sheet."""

from __future__ import annotations

from dataclasses import dataclass

from parts.paper.dimensions import PITCH, Border
from parts.part import Piece
from parts.sheet.curve import Point
from parts.writers.drawing.edges import Datum
from parts.writers.drawing.marks import Layout

BESIDE = 4.0  # mm that values may stand past the ends of the blank


def axis_of(border: Border) -> int:
    """Which axis is read along a border: 0 for x, 1 for y."""
    return 0 if border in ("below", "above") else 1


def first_border(axis: int) -> Border:
    """Where an axis is read, all of it or its nearer half."""
    return "left" if axis else "below"


def second_border(axis: int) -> Border:
    """Where the farther half of an axis may be read."""
    return "right" if axis else "above"


@dataclass(frozen=True, eq=False)
class Scaled:
    """A blank on paper: its lower left corner at (0, 0), all in mm of paper."""

    piece: Piece
    laid: Layout
    scale: float
    both: bool

    def put(self, p: Point) -> Point:
        return (self.scale * (p[0] - self.laid.box[0]), self.scale * (p[1] - self.laid.box[1]))

    @property
    def size(self) -> Point:
        return self.put((self.laid.box[2], self.laid.box[3]))

    def datum(self, border: Border) -> Datum:
        """What readings along a border start from."""
        return self.laid.y if axis_of(border) else self.laid.x

    def bounds(self, border: Border) -> tuple[float, float]:
        """The border's own coordinate, and the origin of its readings along it."""
        wide, high = self.size
        axis = axis_of(border)
        edge = {"below": 0.0, "left": 0.0, "above": high, "right": wide}[border]
        return edge, self.scale * (self.datum(border).at - self.laid.box[axis])

    def ends(self, border: Border) -> tuple[float, float]:
        """Where values along a border must stay; between the extension lines of a plain dimension
        where one stands outside them."""
        axis = axis_of(border)
        plain = border == second_border(axis) and self.unread(axis)
        past = -PITCH / 2 if plain else BESIDE
        return -past, self.size[axis] + past

    def unread(self, axis: int) -> bool:
        """Whether no reading along an axis tells the blank's whole size."""
        start, box = (self.laid.x, self.laid.y)[axis].at, self.laid.box
        return min(abs(start - box[axis]), abs(start - box[axis + 2])) > 0.05

    def depth(self, border: Border, p: Point) -> float:
        """How deep inside its border a point lies."""
        x, y = self.put(p)
        wide, high = self.size
        return {"below": y, "above": high - y, "left": x, "right": wide - x}[border]
