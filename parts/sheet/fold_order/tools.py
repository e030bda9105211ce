"""Punches and dies as the search takes them, from brake_limits.csv and what the shop states.

Every limit with two rows gives two tools: what is mentioned past the first is the usual tool, what
is refused past the second the furthest that tools go. A step that needs one past the usual says so.

The goose-neck's throat is that of the `punch room` a channel is held to, no more and no less: a
leg as deep as is let pass just clears it. Its own rim runs straight from the tip:

        \\    |    a first bend of turn a, the base W leaning b from the punch, a leg d deep:
         \\  |     k = (d sin(a - b) - W sin b) / (W cos b + d cos(a - b))
     neck \\ |     is how far the throat passes the vertical, over the height
           \\|
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import cos, degrees, pi, radians, sin, tan

import numpy as np

from parts.sheet.curve import Point
from parts.sheet.fold_order.convex import Array, Outline, cut, hull
from parts.sheet.fold_order.stroke import Stroke, Tool
from parts.sheet.shop import Shop, bounds

WIDEST_RAD = radians(44)  # half the angle of a punch's tip, for square bends and a little over
FREE_RAD = radians(1)  # that the tip is sharper than the bend
HORNS = "with horned end pieces"
UP = np.array([0.0, 1.0])
FAR = 1e4  # mm: beam and table have no end


@dataclass(frozen=True, eq=False, slots=True)
class Punch:
    """A punch: `throat` is 0 for a straight one, else the side it leaves open, +1 or -1."""

    name: str
    thickness: float
    height: float
    throat: int = 0
    horns: bool = False  # end pieces whose feet reach under the rim of a box
    unusual: str = ""  # what about it not every shop has


@dataclass(frozen=True, eq=False, slots=True)
class Die:
    """A single-V die: `shoulder` is its top beside the V on either side.

    None: it is bevelled at 45 degrees from the V, and an eighth of it stands on either side.
    """

    name: str
    shoulder: float | None
    height: float
    unusual: str = ""


@dataclass(frozen=True, eq=False)
class Tools:
    """All punches and dies in the order they are tried, and what stands above and below."""

    punches: tuple[Punch, ...]
    dies: tuple[Die, ...]
    room: float
    neck: float
    narrow: float  # land beside the V of the narrowest die, over the V
    beam: float
    table: float
    horn_height: float
    horn_reach: float

    @cached_property
    def source(self) -> str:
        """What the tools were taken as."""
        punch, die = self.punches[0], self.dies[0]
        land = f"{die.shoulder:g} mm beside its V"
        if self.dies[-1].shoulder is None:
            land += f" (or {self.narrow:g} V)"
        return (
            f"common tools from memory where [shop] states none: straight punch "
            f"{punch.thickness:g} mm thick or goose-neck for a punch room of {self.room:g}, "
            f"{_heights(punch.height, self.punches[-1].height)} under a beam {self.beam:g} mm "
            f"thick; die with {land}, {_heights(die.height, self.dies[-1].height)} on a table "
            f"{self.table:g} mm thick"
        )


def _heights(usual: float, most: float) -> str:
    return f"{usual:g} mm high" if most == usual else f"{usual:g} or {most:g} mm high"


def tools_of(shop: Shop) -> Tools:
    """The tools of a shop; what it does not state is taken from brake_limits.csv.

    >>> [punch.name for punch in tools_of(Shop()).punches if not punch.unusual]
    ['straight punch', 'goose-neck punch', 'goose-neck punch']
    """
    thick = [bound.value for bound in bounds("punch thickness", shop.punch_thickness)]
    neck, body = thick[0], thick[-1]
    reach = [bound.value for bound in bounds("punch height", shop.punch_height)]
    deep = [bound.value for bound in bounds("die height", shop.die_height)]
    punches = [
        Punch(name, thickness, height, way, horns,
              " and ".join(filter(None, (slim, HORNS if horns else "",
                                         "" if height == reach[-1] else f"{height:g} mm high"))))
        for height in sorted(set(reach)) for horns in (False, True)
        for name, thickness, way, slim in (
            ("straight punch", body, 0, ""), ("goose-neck punch", neck, 1, ""),
            ("goose-neck punch", neck, -1, ""), ("slim punch", neck, 0, f"{neck:g} mm thick"),
        )
        if name != "slim punch" or neck < body
    ]  # fmt: skip
    narrow = bounds("die shoulder per V")[0].value
    lands: tuple[float | None, ...] = (bounds("die shoulder", shop.die_shoulder)[-1].value,)
    lands = lands if shop.die_shoulder is not None else (*lands, None)
    dies = [
        Die("narrow die" if land is None else "die", land, height,
            " and ".join(filter(None, ("ground narrow beside its V" if land is None else "",
                                       "" if height == deep[-1] else f"{height:g} mm high"))))
        for height in sorted(set(deep)) for land in lands
    ]  # fmt: skip
    return Tools(
        tuple(punches), tuple(dies), bounds("punch room", shop.punch_room)[0].value, neck, narrow,
        bounds("beam thickness")[0].value, bounds("table thickness")[0].value,
        bounds("horn height")[0].value, bounds("horn reach")[0].value,
    )  # fmt: skip


def upper(tools: Tools, punch: Punch, stroke: Stroke, first_turn_deg: float | None) -> list[Tool]:
    """What stands over the bend, for metal that a bend of that turn holds."""
    beam = Tool(_block(tools.beam / 2, punch.height, FAR), full_length=True)
    corners = _profile(tools, punch, stroke, first_turn_deg)
    if not punch.horns:
        return [Tool(_round(corners)), beam]
    foot = cut(np.array(corners), UP, tools.horn_height)
    body = cut(np.array(corners), -UP, -tools.horn_height)
    return [Tool(_round(foot)), Tool(_round(body), short=tools.horn_reach), beam]


def _profile(
    tools: Tools, punch: Punch, stroke: Stroke, first_turn_deg: float | None
) -> list[Point]:
    """The corners of a punch, anticlockwise."""
    tip = max(min(WIDEST_RAD, pi / 2 - stroke.last - FREE_RAD), FREE_RAD)
    if not punch.throat:
        half = min(punch.thickness / 2, punch.height * tan(tip))
        return [(0.0, 0.0), (half, half / tan(tip)), (half, punch.height),
                (-half, punch.height), (-half, half / tan(tip))]  # fmt: skip
    rim = min(throat(tools.room, stroke, first_turn_deg), 0.9 * tan(tip))
    under = stroke.bend.radius * (1 / cos(stroke.last) - 1)  # where the inner faces would meet
    top = -rim * (punch.height + under)
    starts = min((punch.thickness + rim * under) / (tan(tip) - rim), punch.height)
    neck = [(min(-rim * under, 0.0), 0.0), (top, punch.height),
            (top - punch.thickness, punch.height), (-starts * tan(tip), starts)]  # fmt: skip
    return [(punch.throat * x, z) for x, z in neck][:: punch.throat]


def throat(room: float, stroke: Stroke, first_turn_deg: float | None) -> float:
    """How far the throat passes the vertical over the bend, over the height (see above).

    Room of 1.5, both bends square: a leg of 1.5 W ends 0.5 W sin 45 past the vertical, at a height
    of 2.5 W sin 45:

    >>> from parts.sheet.blank import Bend
    >>> square = Stroke(Bend("b", (0, 0), (9, 0), 90, 2, 4), 2, 12, 90)
    >>> round(throat(1.5, square, 90), 9)
    0.2
    """
    first_deg = 90.0 if first_turn_deg is None or first_turn_deg <= 0 else first_turn_deg
    drawn = pi / 2 - radians(abs(stroke.bend.turn_deg)) / 2
    lean = pi / 2 - stroke.last
    if degrees(drawn) + 1 > first_deg:  # never comes back over the punch
        return 0.0 if room > 1 else (room - 1) / (room + 1)
    depth = room * sin(drawn) / sin(radians(first_deg) - drawn)
    over = radians(first_deg) - lean
    return (depth * sin(over) - sin(lean)) / (cos(lean) + depth * cos(over))


def lower(tools: Tools, die: Die, stroke: Stroke) -> list[Tool]:
    """What stands under the bend."""
    land = tools.narrow * stroke.die_v if die.shoulder is None else die.shoulder
    half = stroke.die_v / 2
    bevel = land if die.shoulder is None else 0.0
    block = _round([(-half - land, -die.height), (half + land, -die.height), (half + land, -bevel),
                    (half + land - bevel, 0.0), (bevel - half - land, 0.0),
                    (-half - land, -bevel)])  # fmt: skip
    table = _block(tools.table / 2, -FAR, -die.height)
    return [Tool(block, with_die=True), Tool(table, with_die=True, full_length=True)]


def _block(half: float, low: float, high: float) -> Outline:
    return _round([(-half, low), (half, low), (half, high), (-half, high)])


def _round(corners: Sequence[Point] | Array) -> Outline:
    outline = hull(np.array(corners))
    assert outline is not None
    return outline


def words(punch: Punch, gauge_side: int) -> str:
    """What a punch is called in a step whose gauge is on that side, +1 ahead or -1 behind."""
    way = "back" if punch.throat == gauge_side else "front"
    turned = f"throat to the {way}" if punch.throat else ""
    return ", ".join(filter(None, (punch.name, turned, punch.unusual)))


def unusual(punch: Punch, die: Die) -> Iterator[str]:
    """What of the tools not every shop has."""
    if punch.unusual:
        yield f"a punch {punch.unusual}"
    if die.unusual:
        yield f"a die {die.unusual}"
