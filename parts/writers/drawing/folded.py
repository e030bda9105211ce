"""The folded piece: from the front, from the left, from above, and pictorial, with its outside
sizes, in first angle projection (ISO 5456-2)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

from parts.paper.dimensions import HEIGHT, between, text_of
from parts.paper.layout import DROP, RISE, Block, block_of, extent
from parts.paper.page import Mark, Pen, Stroke, Words, scaled
from parts.paper.pens import HIDDEN, OUTLINE, THIN
from parts.part import Piece
from parts.sheet import loop as loops
from parts.sheet.curve import Box, Point

if TYPE_CHECKING:
    from parts.solid.overlap import Run
    from parts.solid.views import View

APART = 9.0  # mm between views, with room for what they are called
CLEAR = 2.0  # mm between what one view is called and the next view
OUT = 6.5  # mm from a view to its dimension
TITLE = 3.5
PICTURE = (55.0, 45.0)  # mm that the pictorial may take where its neighbours leave no more
SMOOTH = 2.0  # thicknesses; shorter lines where faces meet smoothly are not drawn
OFF = 0.02  # mm of the solid, that a chord may lie off its curve


@dataclass(frozen=True, slots=True)
class Views:
    """What is seen of a piece from the four sides, in its own mm."""

    front: View
    left: View
    above: View
    pictorial: View


def views(piece: Piece) -> Views:
    """The kernel's views of the folded metal; wakes the kernel."""
    from parts.solid import views as door

    solid, least = piece.kernel_solid, SMOOTH * piece.stock.thickness
    return Views(
        door.view(solid, door.FRONT, off=OFF),
        door.view(solid, door.LEFT, off=OFF),
        door.view(solid, door.ABOVE, off=OFF),
        door.view(solid, door.PICTORIAL, hidden=False, off=OFF, smooth=least),
    )


def pictures(piece: Piece) -> list[Block]:
    """A flat piece pictorial, in two sizes to choose from; wakes the kernel."""
    from parts.solid import views as door

    seen = door.view(piece.kernel_solid, door.PICTORIAL, hidden=False, off=OFF)
    return [block_of(_picture(seen, inf, (0.0, 0.0), PICTURE, share)) for share in (1.0, 0.7)]


def folded(seen: Views, scale: float, title: str) -> Block:
    """The four views: front at the upper left, what is seen from the left to the right of it,
    from above below it, and the pictorial in the corner left over.

    Each view is dimensioned over all on the outside.
    """
    front, left, above = (_box(one) for one in (seen.front, seen.left, seen.above))
    wide, high = scale * (front[2] - front[0]), scale * (front[3] - front[1])
    deep, side = scale * (above[3] - above[1]), scale * (left[2] - left[0])
    below = RISE * HEIGHT + 1.0
    called = Words("from the front", (0.0, -below), HEIGHT)
    beside = max(wide + APART, extent(called)[2] + CLEAR)
    marks: list[Mark] = [called]
    marks += _drawn(seen.front, front, scale, (0.0, 0.0))
    marks += _drawn(seen.left, left, scale, (beside, 0.0))
    marks += _drawn(seen.above, above, scale, (0.0, -APART - deep))
    marks += between((0.0, high), (wide, high), (0.0, OUT), text_of(front[2] - front[0]))
    marks += between((0.0, 0.0), (0.0, high), (-OUT, 0.0), text_of(front[3] - front[1]))
    depth = text_of(above[3] - above[1])
    marks += between((0.0, -APART - deep), (0.0, -APART), (-OUT, 0.0), depth, past_start=True)
    marks.append(Words("from the left", (beside, -below), HEIGHT))
    marks.append(Words("from above", (0.0, -APART - deep - below), HEIGHT))
    marks += _picture(seen.pictorial, scale, (beside, -APART), (side, deep))
    top = max(extent(mark)[3] for mark in marks) + 2.0
    marks.append(Words(title, (-OUT - HEIGHT, top + DROP * TITLE), TITLE, bold=True))
    return block_of(marks)


def finished(seen: Views) -> tuple[float, float, float]:
    """Outside sizes over all, along the piece's own x, y and z."""
    front, above = _box(seen.front), _box(seen.above)
    return (front[2] - front[0], above[3] - above[1], front[3] - front[1])


def _picture(
    seen: View, scale: float, corner: Point, room: Point, share: float = 1.0
) -> list[Mark]:
    """The pictorial, its upper left corner given, no larger than its room or to the scale; or a
    `share` of that."""
    box = _box(seen)
    wide, high = box[2] - box[0], box[3] - box[1]
    scale = min(scale, max(room[0], PICTURE[0]) / wide, max(room[1], PICTURE[1]) / high) * share
    low = (corner[0], corner[1] - scale * high)
    words = Words("pictorial, not to scale", (low[0], low[1] - RISE * HEIGHT - 1.0), HEIGHT)
    return [*_drawn(seen, box, scale, low), words]


def _drawn(seen: View, box: Box, scale: float, low: Point) -> list[Mark]:
    """A view with its lower left corner there; what is hidden lies under what is seen."""
    shift = (low[0] - scale * box[0], low[1] - scale * box[1])

    def run(runs: Iterable[Run], pen: Pen) -> list[Mark]:
        return [Stroke(scaled(one, scale, shift), pen) for one in runs]

    under = [*run(seen.hidden, HIDDEN), *run(seen.smooth, THIN)]
    return [*under, *run(seen.visible, OUTLINE)]


def _box(seen: View) -> Box:
    return loops.box(curve for run in (*seen.visible, *seen.hidden) for curve in run)
