"""The numbers of laid-out tabs, each with its source."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, degrees, hypot

import numpy as np

from parts.kinds.link_tab.folded import FoldedFoot
from parts.kinds.link_tab.laid import Laid
from parts.kinds.link_tab.screens import counted_length, is_wrapped, leg_of, throat_of
from parts.kinds.link_tab.stands import RoundTube
from parts.kinds.link_tab.strap import Strap
from parts.kinds.link_tab.tab import Tab, rearward
from parts.report import Figure
from parts.sheet import measure
from parts.sheet.allowance import Allowance
from parts.sheet.fold import Folded
from parts.trade.fork import play, shrink_spacer
from parts.trade.joint import tilt_limit
from parts.trade.weld import leg_for_gap

GEOMETRY = "computed from the measured points"
STRENGTH = "as strength asks"
CUT = "computed from the cut"


def hand_figures(laid: Laid) -> Iterator[Figure]:
    """The numbers of one hand that belong to no tab alone."""
    given, thickness = laid.given, laid.chosen.sizes.thickness
    stand = given.stand
    if isinstance(stand, RoundTube):
        off = float(np.linalg.norm(stand.from_axis(given.at)))
        yield Figure("hole from the tube's axis", off, "mm", GEOMETRY, given.plus_minus)
        yield Figure("hole over the tube", off - stand.od / 2, "mm", GEOMETRY, given.plus_minus)
        yield Figure("tab off square to the tube", stand.cant_deg(given.bolt_way), "deg", GEOMETRY)
    else:
        yield Figure("hole over the face", stand.height(given.at), "mm", GEOMETRY, given.plus_minus)
        lean = degrees(np.arccos(min(1.0, float(given.up @ stand.out))))
        yield Figure("tab off square to the face", lean, "deg", GEOMETRY)
    x, _, z = (float(v) for v in given.up)
    if hypot(x, z) > 0.5:
        yield Figure("tab from straight up, + rearward", degrees(atan2(x, z)), "deg", GEOMETRY)
    if given.held is not None:
        yield from _link_angles(laid)
    if given.double:
        yield Figure("gap between the tabs", given.gap, "mm", _gap_source(laid))
        loose = play(given.joint, given.gap, given.config.joint.spacer)
        yield Figure("play of the joint", loose, "mm", "gap less ball and spacers")
        yield Figure("outside of the pair", given.gap + 2 * thickness, "mm", "gap and two tabs")
        spacer = shrink_spacer(given.gap)
        words = f"bolted in while welding; {spacer.least:.2f} to {spacer.most:.2f}; {spacer.source}"
        yield Figure("welding spacer, length", spacer.length, "mm", words)
    limit = tilt_limit(given.joint, given.gap)
    yield Figure("tilt of the joint that the fork allows", limit.angle_deg, "deg", limit.by)
    yield Figure("bolt, clamped", laid.bolt.grip, "mm", "tabs, spacers, ball")
    yield Figure("bolt, length", laid.bolt.length, "mm", _bolt_source(laid))
    worst = max(given.pulls, key=lambda pull: pull.size_n)
    yield Figure("greatest force on the joint", worst.size_n, "N", worst.case)
    if laid.spreader is not None:
        yield Figure("spreader plate, least thickness", laid.spreader.thickness, "mm",
                     laid.spreader.why)  # fmt: skip


def _gap_source(laid: Laid) -> str:
    return "given" if laid.given.config.gap is not None else "ball, spacers and play"


def _bolt_source(laid: Laid) -> str:
    if laid.given.config.bolt_length is not None:
        return "given"
    return "through washers, nut and two threads, its shank past the shear planes if there is one"


def _link_angles(laid: Laid) -> Iterator[Figure]:
    held = laid.given.held
    assert held is not None
    x, y, z = np.subtract(held.link.chassis, held.link.axle)
    yield Figure("link, length", held.link.length, "mm", GEOMETRY)
    rise = degrees(atan2(z, hypot(x, y)))
    yield Figure("link at ride, + rising to the chassis", rise, "deg", GEOMETRY)
    skew = degrees(atan2(abs(y), abs(x)))
    yield Figure("link at ride, off straight along the vehicle", skew, "deg", GEOMETRY)


def tab_figures(laid: Laid, tab: Tab, folded: Folded) -> Iterator[Figure]:
    """The numbers of one tab."""
    given, sizes = laid.given, tab.sizes
    asked = laid.chosen.searched
    yield Figure("hole", given.hole, "mm",
                 "given" if given.config.hole is not None else "bolt and 0.3 mm")  # fmt: skip
    yield Figure("edge round the hole", sizes.edge, "mm", STRENGTH if "edge" in asked else "given")
    yield Figure("root, straight across", sizes.root, "mm",
                 STRENGTH if "root" in asked else "given")  # fmt: skip
    yield Figure("thickness", tab.thickness, "mm",
                 STRENGTH if "sheet" in asked else f"stock {sizes.rack.stock.name}")  # fmt: skip
    if tab.folded is None:
        yield Figure("hole over the highest point of the root", -tab.foot.crown, "mm", CUT)
        yield from _cut(laid, tab)
    else:
        yield from _foot(laid, tab, tab.folded)
    if tab.opening is not None:
        (x, y), diameter = tab.opening
        yield Figure("lightening hole", diameter, "mm", "as the screening allows")
        yield Figure("lightening hole below the hole", -y, "mm", CUT)
        if abs(x) > 0.005:
            yield Figure("lightening hole beside the hole, + rearward", rearward(tab.place) * x,
                         "mm", CUT)  # fmt: skip
    yield from _blank(folded, sizes.rack.stock.material.density_kg_m3)


def _blank(folded: Folded, density: float) -> Iterator[Figure]:
    width, height = measure.blank_box(folded)
    yield Figure("blank, along", width, "mm", "computed from the blank")
    yield Figure("blank, across", height, "mm", "computed from the blank")
    yield Figure("mass", measure.mass_kg(folded, density), "kg", f"volume, at {density:g} kg/m3")


def strap_figures(strap: Strap, folded: Folded) -> Iterator[Figure]:
    """The numbers of the strap between a pair."""
    yield Figure("from the root, along the tabs' edge", strap.start, "mm", GEOMETRY)
    yield Figure("length", strap.length, "mm", "from the root to the room of the joint's head")
    yield Figure("width over the outside", strap.width, "mm", "gap, less what it slides in by")
    yield from _bends(folded, strap.allowances)
    yield from _blank(folded, strap.rack.stock.material.density_kg_m3)


def _bends(folded: Folded, allowances: tuple[Allowance, ...]) -> Iterator[Figure]:
    for bend, allowance in zip(folded.blank.bends, allowances, strict=True):
        yield Figure(f"{bend.name}: turn angle", abs(bend.turn_deg), "deg", GEOMETRY)
        yield Figure(f"{bend.name}: inside radius", bend.radius, "mm", "bend book, or the die's")
        yield Figure(f"{bend.name}: bend allowance", allowance.length_mm, "mm", allowance.source,
                     allowance.plus_minus_mm)  # fmt: skip


def _foot(laid: Laid, tab: Tab, foot: FoldedFoot) -> Iterator[Figure]:
    """The folded foot: its turn, its length and its bolts."""
    bend = foot.bend
    yield Figure("hole over the face, up the tab", -foot.apex, "mm", CUT)
    yield Figure("foot: turn angle", abs(bend.turn_deg), "deg", GEOMETRY)
    yield Figure("foot: inside radius", bend.radius, "mm", "bend book, or the die's")
    yield Figure("foot: bend allowance", foot.allowance.length_mm, "mm", foot.allowance.source,
                 foot.allowance.plus_minus_mm)  # fmt: skip
    yield Figure("foot: length over the outside", foot.length, "mm", "given")
    if foot.holes:
        yield Figure("foot: holes", foot.hole, "mm", "clearance hole")
        yield Figure("foot: holes from the outside of the tab", foot.from_apex, "mm", GEOMETRY)
        yield Figure("foot: holes, pitch", foot.pitch, "mm", GEOMETRY)
    else:
        yield Figure("weld, leg", leg_of(laid.given, tab), "mm", "round the foot's three edges")


def _cut(laid: Laid, tab: Tab) -> Iterator[Figure]:
    """Root and welds."""
    given, foot = laid.given, tab.foot
    yield Figure("root, along the cut", foot.length, "mm", CUT)
    if foot.cope is not None:
        yield Figure("cope, depth", foot.cope.depth, "mm", f"{foot.cope.shape}, cut square")
        if foot.cope.shape == "ellipse":
            yield Figure("cope, long half axis of the ellipse", foot.cope.long, "mm",
                         "tube's radius over the cosine of the cant")  # fmt: skip
    yield Figure("fit-up gap, nearest", foot.gaps[0], "mm", "as asked")
    yield Figure("gap at the root, widest", foot.gaps[1], "mm", "cut square through the thickness")
    leg = leg_of(given, tab)
    own = given.config.weld.leg is not None
    words = "given" if own else "0.7 of the thickness, or the least throat"
    yield Figure("weld, leg", leg, "mm", words)
    try:
        lay = leg_for_gap(leg, foot.gaps[1])
    except ValueError:
        lay = leg
    if lay > leg:
        yield Figure("weld, leg over the widest gap", lay, "mm", "AWS D1.1 5.21, from memory")
    yield Figure("weld, throat", throat_of(given, tab), "mm", "leg and the angle between the faces")
    words = "wrapped round both ends" if is_wrapped(given) else "less a throat at each end"
    yield Figure("weld on each face, counted", counted_length(given, tab), "mm", words)
