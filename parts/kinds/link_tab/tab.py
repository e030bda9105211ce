"""One tab, laid out: its holes, the foot it stands on, its outline and its blank.

A tab's own axes: x along its root, y up and away from what it stands on, z along the bolt, with
the measured hole at (0, 0) and z = 0 in the middle of its thickness. The drawn face is at +z.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from parts.kinds.link_tab.folded import FoldedFoot, fold_foot
from parts.kinds.link_tab.given import Given
from parts.kinds.link_tab.stands import Foot, NoTab, RoundTube
from parts.place import Place
from parts.sheet.blank import Bend, Blank, Cutout
from parts.sheet.curve import Point
from parts.sheet.loop import circle
from parts.sheet.shop import Rack
from parts.trade.tab_outline import (
    TabOutline,
    arc_of_holes,
    lightening_hole,
    row_of_holes,
    tab_outline,
)

ALONG = 0.2  # of a tube's direction along the bolt, under which it counts as running along the tab
LATERAL, VERTICAL = 1, 2  # the vehicle's axes that a bolt may run along most


@dataclass(frozen=True, slots=True)
class Sizes:
    """What is chosen of a tab: its sheet, the edge round its holes, the width of its root, and
    the diameter of a lightening hole (0 for none)."""

    rack: Rack
    edge: float
    root: float
    lightening: float = 0.0

    @property
    def thickness(self) -> float:
        return self.rack.stock.thickness


@dataclass(frozen=True, eq=False)
class Tab:
    """One tab: `place` carries its own axes to the vehicle, `way` is 1 for the one further along
    the bolt and -1 for the other (the way from the joint to it)."""

    name: str
    way: int
    place: Place
    sizes: Sizes
    foot: Foot
    folded: FoldedFoot | None
    outline: TabOutline
    opening: tuple[Point, float] | None
    blank: Blank

    @property
    def thickness(self) -> float:
        return self.sizes.thickness

    @property
    def blank_place(self) -> Place:
        """Carries the blank, whose back face lies at depth 0, to the vehicle."""
        back = self.place.turn[:, 2] * self.thickness / 2
        return Place(self.place.turn, self.place.origin - back)


def names_of(given: Given) -> tuple[tuple[str, int], ...]:
    """The tabs of a hand by name, with the way from the joint to each.

    Tabs on a bolt across the vehicle are told as outboard and inboard, on one along it as front
    and rear, on an upright one as upper and lower.
    """
    if not given.double:
        return (("tab", -side_of_joint(given)),)
    return ((f"{side_word(given, 1)} tab", 1), (f"{side_word(given, -1)} tab", -1))


def side_word(given: Given, way: int) -> str:
    """What the side of the joint that lies `way` along the bolt is called."""
    main = int(np.abs(given.bolt_way).argmax())
    if main == LATERAL:
        outboard = 1 if given.hand == "right" else -1
        return "outboard" if way == outboard else "inboard"
    if main == VERTICAL:
        return "upper" if way > 0 else "lower"
    return "rear" if way > 0 else "front"


def side_of_joint(given: Given) -> int:
    """In single shear, the way along the bolt from the tab to the joint."""
    main = int(np.abs(given.bolt_way).argmax())
    outboard = 1 if main == LATERAL and given.hand == "right" else -1
    return outboard if given.config.joint_on == "outboard" else -outboard


def place_of(given: Given, way: int, thickness: float) -> Place:
    """Where a tab stands: its own axes in those of the vehicle."""
    y, z = given.up, given.bolt_way
    off = way * (given.gap / 2 + thickness / 2)
    return Place(np.column_stack([np.cross(y, z), y, z]), given.at + off * z)


def rearward(place: Place) -> int:
    """1 where the tab's x runs rearward (upward for a tab across the vehicle), else -1."""
    x, _, z = place.turn[:, 0]
    main = x if abs(x) >= abs(z) else z
    return 1 if main >= 0 else -1


def holes_of(given: Given, place: Place, foot_middle: Point) -> tuple[Point, ...]:
    """Centres of the holes in the tab's own axes, the lowest or foremost first; raises NoTab."""
    row = given.config.holes
    if row is None:
        return ((0.0, 0.0),)
    own = (row.measured or 0) - 1 if row.measured else None
    count = row.count if own is None else 2 * row.count - 1
    if row.way == "up":
        holes = row_of_holes((0.0, 0.0), row.pitch, count, 90.0)
    elif row.way == "across":
        holes = row_of_holes((0.0, 0.0), row.pitch, count, 0.0 if rearward(place) > 0 else 180.0)
    else:
        try:
            holes = arc_of_holes((0.0, 0.0), _about(given, place, foot_middle), row.pitch, count)
        except ValueError as error:
            raise NoTab("holes", str(error), "a pitch less than twice the arc's radius",
                        "write a smaller pitch") from error  # fmt: skip
        if rearward(place) > 0:  # an arc runs from right to left over the top
            holes = holes[::-1]
    return holes if own is None else holes[row.count - 1 - own : 2 * row.count - 1 - own]


def _under(given: Given, place: Place) -> float:
    """Where along the root what the tab stands on has its middle: over the axis of a tube that it
    stands across, else straight below the hole."""
    if not isinstance(given.stand, RoundTube):
        return 0.0
    under = given.stand.under(place)
    (x, _, z), (dx, _, dz) = under.point, under.along
    return x - z * dx / dz if abs(dz) >= ALONG else 0.0


def _about(given: Given, place: Place, foot_middle: Point) -> Point:
    stand = given.stand
    if not isinstance(stand, RoundTube):
        return foot_middle
    under = stand.under(place)
    (x, y, z), (dx, dy, dz) = under.point, under.along
    if abs(dz) < ALONG:
        raise NoTab(
            "holes.way", "the tube runs along the tab: its axis is no point of it",
            "a tab that stands across the tube", 'write way = "up" or "across"',
        )  # fmt: skip
    return (x - z * dx / dz, y - z * dy / dz)


def tabs_of(given: Given, sizes: Sizes) -> tuple[Tab, ...]:
    """The tabs of a hand; raises NoTab."""
    return tuple(lay_out_tab(given, sizes, name, way) for name, way in names_of(given))


def alike(given: Given, tabs: tuple[Tab, ...]) -> bool:
    """Whether all tabs of a hand are one and the same blank: then one's screening is all's."""
    return given.double and all(tab.blank == tabs[0].blank for tab in tabs)


def lay_out_tab(given: Given, sizes: Sizes, name: str, way: int) -> Tab:
    """The tab of these sizes; raises NoTab where what was measured, or the sizes, leave none."""
    place = place_of(given, way, sizes.thickness)
    middle = _under(given, place) + rearward(place) * given.config.root_shift
    left, right = middle - sizes.root / 2, middle + sizes.root / 2
    folded: FoldedFoot | None = None
    if given.config.foot is not None:
        edge, foot, folded = fold_foot(given, place, left, right, sizes.rack.stock.name)
    else:
        try:
            foot = given.stand.foot(place, left, right, sizes.thickness, given.config.fit_gap)
        except ValueError as error:
            found, _, remedy = str(error).partition(": ")
            raise NoTab("root", found, "a root that lies on it from end to end", remedy) from error
        edge = foot.curves
    start, end = foot.curves[0].start, foot.curves[-1].end
    holes = holes_of(given, place, ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2))
    try:
        outline = tab_outline(holes, given.hole, sizes.edge, edge)
    except ValueError as error:
        found, _, remedy = str(error).partition(": ")
        raise NoTab(
            "outline", found, "holes that stand clear of the root",
            remedy or "move the hole up, or make the root narrower",
        ) from error  # fmt: skip
    blank = _blank(outline, sizes.thickness, folded)
    plain = Tab(name, way, place, sizes, foot, folded, outline, None, blank)
    return plain if sizes.lightening == 0 else lightened(plain, sizes.lightening)


def _blank(outline: TabOutline, thickness: float, folded: FoldedFoot | None) -> Blank:
    cutouts = [
        Cutout("hole" if len(outline.holes) == 1 else f"hole {n}", loop)
        for n, loop in enumerate(outline.openings, start=1)
    ]
    bends: tuple[Bend, ...] = ()
    if folded is not None:
        bends = (folded.bend,)
        cutouts += [
            Cutout(f"foot hole {n}", circle(at, folded.hole))
            for n, at in enumerate(folded.holes, start=1)
        ]
    return Blank(thickness, outline.outer, tuple(cutouts), bends, _metal(outline))


def _metal(outline: TabOutline) -> Point:
    """A point of the tab that is metal for sure: between the highest hole and the edge over it."""
    x, y = max(outline.holes, key=lambda hole: hole[1])
    top = max(curve.box()[3] for curve in outline.outer)
    return (x, (y + outline.hole / 2 + top) / 2)


def lightened(tab: Tab, diameter: float) -> Tab:
    """The tab with a lightening hole where there is most room for it."""
    at = lightening_spot(tab)
    if at is None:
        return tab
    hole = Cutout("lightening hole", circle(at, diameter))
    blank = replace(tab.blank, cutouts=(*tab.blank.cutouts, hole))
    return replace(tab, opening=(at, diameter), blank=blank)


def lightening_spot(tab: Tab) -> Point | None:
    """Where a lightening hole has most room, whatever its size."""
    found = lightening_hole(tab.outline, 0.0, 1e-3)
    return None if found is None else found[0]
