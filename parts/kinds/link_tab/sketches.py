"""Papers to wrap round the tube: where the tabs stand, and lines to set them by."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from parts.kinds.link_tab.laid import Laid
from parts.kinds.link_tab.stands import RoundTube
from parts.part import Shape, Sketch
from parts.place import Vector
from parts.sheet.curve import Curve, Line, Point
from parts.sheet.loop import box, moved
from parts.trade.cope import wrap_paper

BEYOND = 15.0  # mm of paper past the feet, along the tube
UPWARD = ("straight up", (0.0, 0.0, 1.0))
REARWARD = ("straight back", (1.0, 0.0, 0.0))
NAME_AT = 4.0  # mm from the start of a line to its name
ALIKE = 2.0  # degrees; marks nearer round the tube than this would be one line


def wrap_sketch(laid: Laid) -> Sketch | None:
    """The paper of one hand, printed side out; None for tabs that stand on no tube."""
    given = laid.given
    if not isinstance(given.stand, RoundTube):
        return None
    marks = dict(_marks(laid))
    papers = [
        wrap_paper(
            given.stand.under(tab.place), tab.foot.curves[0].start[0], tab.foot.curves[-1].end[0],
            tab.thickness, (0.0, 0.0),
            {name: tab.place.inverse().direction(way) for name, way in marks.items()},
        )
        for tab in laid.tabs
    ]  # fmt: skip
    along, girth = given.stand.along, papers[0].circumference
    feet, shifts = [], []
    for tab, paper in zip(laid.tabs, papers, strict=True):
        # each paper's y = 0 is abreast of its own tab's hole; the sketch's of the ball's middle
        shift = float((tab.place.origin - given.at) @ along)
        shifts.append(shift)
        feet.append(Shape(tab.name, "metal", moved(paper.foot, (0.0, shift)), closed=True))
    ys = [y for foot in feet for y in box(foot.curves)[1::2]]
    low, high = min(*ys, 0.0) - BEYOND, max(*ys, 0.0) + BEYOND
    lines = [
        Shape(line.name, "fixed", _named_near((x, low), (x, high)))
        for line in papers[0].lines[1:]
        for x in (line.line.start[0],)
    ]
    left, right = (-girth / 2, 0.0), (girth / 2, 0.0)
    around = Shape("abreast of the joint", "fixed", _named_near(left, right))
    edges = [
        Shape(name, "room", _named_near((x, high), (x, low)))
        for name, x in (("the paper meets itself", left[0]), ("", right[0]))
    ]
    holes: list[tuple[str, Point]] = [("hole over here", (0.0, shift)) for shift in shifts]
    return Sketch(
        f"{given.hand} wrap paper", f"round the tube, {girth:.1f} mm in all",
        f"along the tube's axis, {_words(along)}", (*feet, around, *lines, *edges), tuple(holes),
        "printed side out; wrap it round the tube, edge to edge", full_size=True,
    )  # fmt: skip


def _named_near(start: Point, end: Point) -> tuple[Curve, ...]:
    """A line whose name, which stands at the middle of its first curve, stands near its start."""
    whole = Line(start, end)
    first = 2 * NAME_AT / whole.length
    return (whole.between(0.0, first), whole.between(first, 1.0))


def _marks(laid: Laid) -> Iterator[tuple[str, Vector]]:
    """Directions that get a line along the tube, the hole's first; those that run along the tube
    or beside one that is there are left out."""
    given, stand = laid.given, laid.given.stand
    assert isinstance(stand, RoundTube)
    taken: list[Vector] = []
    for name, way in (
        ("toward the hole", stand.from_axis(given.at)),
        (UPWARD[0], np.array(UPWARD[1])),
        (REARWARD[0], np.array(REARWARD[1])),
    ):
        flat = way - (way @ stand.along) * stand.along
        size = float(np.linalg.norm(flat))
        if size < 0.1 * float(np.linalg.norm(way)):
            continue
        flat = flat / size
        if all(_between_deg(flat, other) > ALIKE for other in taken):
            taken.append(flat)
            yield name, way


def _between_deg(one: Vector, other: Vector) -> float:
    return float(np.degrees(np.arccos(np.clip(one @ other, -1.0, 1.0))))


def _words(way: Vector) -> str:
    """The vehicle's direction that is nearest, for the paper's upper edge."""
    words = (("rearward", "forward"), ("to the right", "to the left"), ("up", "down"))
    main = int(np.abs(way).argmax())
    return words[main][0 if way[main] > 0 else 1]
