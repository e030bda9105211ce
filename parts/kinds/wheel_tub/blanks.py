"""The blanks of a tub: disc, band and inner skin, each at its place on the vehicle."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from parts.kinds.bench import Bench, Rack
from parts.kinds.wheel_tub.band import BandEdges
from parts.kinds.wheel_tub.band import outline as band_outline
from parts.kinds.wheel_tub.config import WheelTub
from parts.kinds.wheel_tub.disc import Spun, trimmed_disc, whole_disc
from parts.kinds.wheel_tub.room import Room
from parts.kinds.wheel_tub.skin import frame, skin_place
from parts.kinds.wheel_tub.tabs import tabbed_disc
from parts.place import Place
from parts.sheet.blank import Bend, Blank
from parts.sheet.combine import subtract
from parts.sheet.curve import Line, Point
from parts.sheet.loop import Loop, box, contains, moved, polygon

TOWARD = "toward the tyre"
SEAM_CLEAR = 10.0  # mm of roll that a seam leaves beside it at least


class NoTub(ValueError):
    """Measurements between which no tub can be laid out; carries where, what and the remedy."""

    def __init__(self, where: str, found: str, needed: str, remedy: str) -> None:
        super().__init__(f"{where}: {found}; needs {needed}")
        self.where, self.found, self.needed, self.remedy = where, found, needed, remedy


@dataclass(frozen=True, eq=False)
class Cut:
    """One blank of the tub, named, at its place on the vehicle."""

    name: str
    blank: Blank
    place: Place
    faces: str


def disc_cuts(
    config: WheelTub, bench: Bench, rack: Rack, room: Room, fold_radius: float, spun: Spun | None
) -> Iterator[Cut]:
    """The disc, in as many parts as the rail leaves of it, each drawn about the band's centre.

    The blank of a formed disc is a starting value, and its name says so in every file.
    """
    path, t = room.path, rack.stock.thickness
    place = room.local.place(
        np.array([1.0, 0, 0]), np.array([0, 0, 1.0]), np.array([*path.center, room.disc_face - t])
    )
    to_center = (-path.center[0], -path.center[1])
    reach = path.radius + t
    cuts_rail = room.rail is not None and room.disc_face - t - config.disc_rail_gap < (
        room.rail.furthest_out(path.center[0] - reach, path.center[0] + reach)
    )
    bends: tuple[Bend, ...] = ()
    if config.style == "tabs":
        whole = whole_disc(path)
        allowance = bench.allowance(rack, 90.0).length_mm
        flange = bench.book.least_flange(rack.stock.material, t, rack.die_v).value
        blocked = room.rail.swollen(config.disc_rail_gap) if room.rail and cuts_rail else None
        try:
            shape, bends = tabbed_disc(
                path, (whole[0].end, whole[0].start), fold_radius, config.tab, allowance,
                blocked, flange + 2 * t,
            )  # fmt: skip
        except ValueError as error:
            raise NoTub("tab", str(error), "a tab beyond its bend", "make `tab` longer") from error
    elif spun is not None:
        shape = whole_disc(path, spun.by_length - reach)
    else:
        shape = whole_disc(path)
    parts = trimmed_disc(shape, room.rail if cuts_rail else None, config.disc_rail_gap)
    if not parts:
        raise NoTub("disc", "the rail leaves nothing of it", "metal beside the rail",
                    "look at the rail's stations")  # fmt: skip
    first = "disc" if spun is None else "disc_approximate"
    for number, part in enumerate(parts):
        name = first if number == 0 else f"{first}_part_{number + 1}"
        own = tuple(_shifted(bend, to_center) for bend in bends if _keeps(part, bend))
        outline = moved(part, shift=to_center)
        yield Cut(name, Blank(t, outline, (), own, inside(outline)), place, TOWARD)


def _shifted(bend: Bend, by: Point) -> Bend:
    start, end = ((x + by[0], y + by[1]) for x, y in (bend.start, bend.end))
    return replace(bend, start=start, end=end)


def _keeps(part: Loop, bend: Bend) -> bool:
    (ax, ay), (bx, by) = bend.start, bend.end
    return contains([part], ((ax + bx) / 2, (ay + by) / 2))


def band_cuts(
    config: WheelTub, room: Room, edges: BandEdges
) -> tuple[tuple[Cut, ...], tuple[Loop, ...]]:
    """The band, in two where it has a seam, and the notches it has; raises NoBand or NoTub."""
    path, t = room.path, room.path.thickness
    whole, notches = band_outline(path, edges)
    _, low, _, high = box(whole)
    bends = path.bends(low - 10, high + 10, room.local.ends)
    m = path.marks
    first, last = (m[1] + m[2]) / 2, (m[3] + m[4]) / 2
    if config.seam is None:
        blank = Blank(t, whole, (), bends, _in_band(whole, first))
        return (Cut("band", blank, band_place(room, first), TOWARD),), notches
    share = config.seam if room.local.ends[0] == "front" else 1 - config.seam
    u = share * path.length
    if not m[2] + SEAM_CLEAR < u < m[3] - SEAM_CLEAR:
        raise NoTub("seam", f"falls {u:.0f} mm along the band, in a leg or flange",
                    "a seam in the roll", "choose it nearer to 0.5")  # fmt: skip
    wide = 10 * (high - low) + 100
    beyond, before = _rectangle(u, path.length + wide, wide), _rectangle(-wide, u, wide)
    halves = (subtract(whole, beyond)[0], subtract(whole, before)[0])
    part = (u - m[2]) / path.roll
    _, roll, _ = bends
    rolls = (
        replace(roll, turn_deg=part * path.roll_deg, allowance=u - m[2]),
        replace(
            roll, start=(u, roll.start[1]), end=(u, roll.end[1]),
            turn_deg=(1 - part) * path.roll_deg, allowance=m[3] - u,
        ),
    )  # fmt: skip
    cuts = [
        Cut(f"band_{end}", Blank(t, half, (), (fold, turn), _in_band(half, base)),
            band_place(room, base), TOWARD)
        for end, half, turn, fold, base in zip(
            room.local.ends, halves, rolls, (bends[0], bends[2]), (first, last), strict=True
        )
    ]  # fmt: skip
    return tuple(cuts), notches


def _rectangle(low: float, high: float, wide: float) -> Loop:
    return polygon([(low, -wide), (high, -wide), (high, wide), (low, wide)])


def _in_band(loop: Loop, u: float) -> Point:
    """A point of the metal at u along the band."""
    for v in np.linspace(5.0, box(loop)[3], 60):
        if contains([loop], (u, float(v))):
            return (u, float(v))
    raise NoTub("band", "a leg has no metal left", "metal at both ends", "look at the rail")


def band_place(room: Room, u: float) -> Place:
    """Place of the flat zone at u: its blank coordinates carried to vehicle axes."""
    path, t = room.path, room.path.thickness
    dp, dq = path.way(u, t)
    along, toward = np.array([dp, dq, 0.0]), np.array([dq, -dp, 0.0])
    p, q = path.at(u, t)
    origin = np.array([p, q, room.inboard]) - u * along - t * toward
    return room.local.place(along, toward, origin)


def skin_cut(config: WheelTub, room: Room) -> Cut:
    """The inner skin."""
    t = room.path.thickness
    drawn = skin_place(room.local, room.skin, room.path.center)
    shape = frame(room.path, room.skin, room.local, drawn, config.skin_margin, config.arch_gap)
    place = Place(drawn.turn, drawn.origin - t * drawn.turn[:, 2])
    return Cut("skin", Blank(t, shape, (), (), inside(shape)), place, TOWARD)


def inside(loop: Loop) -> Point:
    """A point of the metal, half a millimetre in from the middle of the longest straight side."""
    side = max((c for c in loop if isinstance(c, Line)), key=lambda c: c.length)
    (x, y), (dx, dy) = side.at(0.5), side.tangent(0.5)
    return (x - 0.5 * dy, y + 0.5 * dx)
