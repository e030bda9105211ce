"""The numbers of a lid on its hinges, each with its source and, where measured, its ±."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import hypot, isfinite

from parts.kinds.hinge_bracket.config import Hand, HingeBracket
from parts.kinds.hinge_bracket.layout import Hung
from parts.kinds.hinge_bracket.made import Made
from parts.kinds.hinge_bracket.struts import Hanging
from parts.kinds.hinge_bracket.swings import Swung
from parts.kinds.hinge_bracket.weight import Weighed
from parts.report import Figure
from parts.sheet import measure
from parts.sheet.fold import Folded
from parts.trade.strut import (
    angles,
    hand_to_close,
    hand_to_latch,
    hand_to_open,
    least_to_hold_n,
    length_range,
    most_to_stay_shut_n,
    mount_loads,
    rests_on_seal_deg,
)
from parts.trade.swing import Swing, deepest_pivot, edge_clearance

PROVED = "proved over the swing"
GEOMETRY = "computed from the measured section"
STATICS = "moments about the hinge"
BLANK = "computed from the blank"


def of_hand(hung: Hung, one: Swung) -> str:
    """What to write before a figure of one hinge, where they differ."""
    return "" if hung.alike else f"{one.hand}: "


def told(hung: Hung) -> tuple[Swung, ...]:
    """The hinges that are worth telling of: one where all are alike."""
    return hung.hinges[:1] if hung.alike else hung.hinges


def figures(
    config: HingeBracket, hung: Hung, made: Mapping[Hand, Made]
) -> Iterator[Figure]:
    """The numbers of the whole lid, what limits first; `made` is the metal of each hand."""
    for one in told(hung):
        yield from _swing(config, one, of_hand(hung, one))
    yield from _search(hung)
    for one in told(hung):
        yield from _arm(config, one, made[one.hand].arm, of_hand(hung, one))
    yield from _axes(config, hung)
    yield from _weight(hung.hanging.weighed, hung.pivot)
    yield from _struts(hung.hanging)


def _swing(config: HingeBracket, one: Swung, hand: str) -> Iterator[Figure]:
    found = one.clear
    where = f"{found.mover} to {found.item}, at {found.angle_deg:.1f}°; {PROVED}"
    yield Figure(
        f"{hand}least clearance of the lid", found.clearance, "mm", where, one.doubt.plus_minus
    )
    yield Figure(f"{hand}pivot, ahead of the edge", -one.pivot[0], "mm", GEOMETRY,
                 config.pivot_plus_minus)  # fmt: skip
    yield Figure(f"{hand}pivot, below the lid's top", -one.pivot[1], "mm", GEOMETRY,
                 config.pivot_plus_minus)  # fmt: skip
    ahead, below = -one.pivot[0], -one.pivot[1]
    gap, fold = (one.side.gap or config.panel.gap).value, config.lid.fold.value
    if 0 < gap < ahead and below >= 0 and config.panel.level == 0:
        yield Figure(
            f"{hand}edge past the panel, by two radii", edge_clearance(ahead, below, gap, fold),
            "mm", "plane geometry of edge and panel alone; below 0 it strikes",
        )  # fmt: skip
        yield Figure(
            f"{hand}deepest pivot before it strikes", deepest_pivot(ahead, gap, fold), "mm",
            "plane geometry of edge and panel alone, below the lid's top",
        )  # fmt: skip


def _search(hung: Hung) -> Iterator[Figure]:
    if hung.sought is None:
        return
    found = hung.sought
    yield Figure("pivots tried", float(len(found.map.pivots)), "", "each solved and proved")
    yield Figure(
        "of them would do", float(found.map.allowed.sum()), "",
        "the lid clears by the wish, the hub turns, the neck keeps within the room's height",
    )  # fmt: skip
    if found.plus_minus is not None:
        for way, value in zip(("back or ahead", "up or down"), found.plus_minus, strict=True):
            yield Figure(
                f"the best pivot would move {way} by", value, "mm",
                "each outline off by its ± this way and that, one at a time; to the map's step",
            )  # fmt: skip


def _arm(
    config: HingeBracket, one: Swung, with_return: Swing | None, hand: str
) -> Iterator[Figure]:
    arm = one.arm
    if arm is None:
        return
    clears = with_return or arm.clears
    at = f"{clears.item}, at {clears.angle_deg:.1f}°; {PROVED}"
    yield Figure(f"{hand}least clearance of the arm", clears.clearance, "mm", f"to {at}")
    yield Figure(
        f"{hand}throat, inside radius", arm.throat.radius, "mm",
        f"to clear {arm.throat.item} by {config.neck_clearance:g}",
    )  # fmt: skip
    yield Figure(
        f"{hand}leg leaves the pivot at", arm.leg_deg, "deg", "from straight back, up is +"
    )
    yield Figure(f"{hand}hook of the neck", arm.hook_deg, "deg", GEOMETRY)
    yield Figure(f"{hand}depth stolen, below the pivot", arm.depth, "mm", "throat and arm's width")
    yield Figure(f"{hand}depth stolen, below the lid's top", arm.depth_below_lid, "mm", GEOMETRY)
    if one.stop is not None:
        yield Figure(
            f"{hand}stop, back of the lid's edge", one.stop.at[0], "mm",
            f"a place, no piece: a block fixed there meets the leg at {one.stop.opening_deg:g}°",
        )  # fmt: skip
        yield Figure(f"{hand}stop, above the lid's top", one.stop.at[1], "mm", GEOMETRY)
        yield Figure(f"{hand}opening for 1 mm at the stop", one.stop.deg_per_mm, "deg", GEOMETRY)


def _axes(config: HingeBracket, hung: Hung) -> Iterator[Figure]:
    if hung.in_line is not None:
        yield Figure("hinges apart", hung.spacing, "mm", "computed from both hinge planes")
        yield Figure(
            "one pivot may lie off the other's axis by", hung.in_line.offset, "mm",
            f"before {config.arm.play:g} mm of play in the bushes is gone",
        )  # fmt: skip
        yield Figure(
            "either axis may lean by", hung.in_line.tilt_deg, "deg",
            "to the line through both pivots",
        )  # fmt: skip
    if hung.sides is not None:
        yield Figure("skew of the lid to its axis", hung.sides.skew_deg, "deg", GEOMETRY)
        for side in hung.sides.by_side:
            yield Figure(
                f"lid as a whole, to {side.side}", side.clearance, "mm",
                f"at {side.angle_deg:.1f}°; {PROVED}",
            )  # fmt: skip


def _weight(known: Weighed, pivot: tuple[float, float]) -> Iterator[Figure]:
    mass = known.mass
    yield Figure("lid mass", mass.mass_kg, "kg", known.source, mass.mass_plus_minus_kg or None)
    yield Figure(
        "lid centre, behind its front edge", mass.along, "mm", known.source,
        mass.along_plus_minus or None,
    )  # fmt: skip
    yield Figure("lid centre, above its top", mass.up, "mm", known.up_source)
    for source, off in known.others:
        within = "within" if off.within else "beyond"
        yield Figure(
            f"{off.name}: {known.source} less {source}", off.off, off.unit,
            f"{within} the ± of the weighing", off.plus_minus or None,
        )  # fmt: skip
    if mass.moment_plus_minus_nm(pivot):
        yield Figure(
            "± of the shut lid's moment", mass.moment_plus_minus_nm(pivot), "N·m", "from the ±"
        )


def _struts(hanging: Hanging) -> Iterator[Figure]:
    hung, rules = hanging.hung, hanging.rules
    if hung is None:
        return
    least, most = length_range(hung.mounts, hung.open_deg)
    strut = hung.strut
    yield Figure("strut: length shut", least, "mm", "computed between ball centres")
    yield Figure("strut: length open", most, "mm", "computed between ball centres")
    yield Figure("strut: left when shut", least - strut.compressed, "mm", "before it bottoms")
    yield Figure("strut: left when open", strut.extended - most, "mm", "before it runs out")
    for name, place in (("lid", hung.mounts.lid), ("body", hung.mounts.body)):
        back, up = hanging.in_lid_axes(place)
        yield Figure(f"strut on the {name}, back of the lid's edge", back, "mm", GEOMETRY)
        yield Figure(f"strut on the {name}, above the lid's top", up, "mm", GEOMETRY)
    lies = angles(hung.mounts, hung.open_deg)
    yield Figure("strut: from upright, shut", lies.shut_from_vertical_deg, "deg", GEOMETRY)
    yield Figure("strut: from upright, open", lies.open_from_vertical_deg, "deg", GEOMETRY)
    yield Figure("strut: turns on its ball on the body", lies.at_body_deg, "deg", GEOMETRY)
    yield Figure("strut: turns on its ball on the lid", lies.at_lid_deg, "deg", GEOMETRY)
    load, _ = mount_loads(hung, rules.hot, rules.slam_factor)
    yield Figure(
        "strut: most into each mount", load.force_n, "N",
        f"at {load.at_deg:.0f}°, {rules.hot}, pushed in; brackets are screened for "
        f"{load.slam_factor:g} times that",
    )  # fmt: skip
    hold, shut = least_to_hold_n(hung, rules), most_to_stay_shut_n(hung, rules)
    for name, force in (("holds cold and aged", hold), ("springs open hot", shut)):
        if isfinite(force):  # infinite where no force would do it
            yield Figure(f"force that {name}, from", force, "N", f"each; {STATICS}")
    lift, pull = hand_to_open(hung, rules.worst), hand_to_close(hung, rules.hot)
    lever = f"{hypot(*hung.handle):.0f} mm from the pivot"
    yield Figure(
        "hand to open, most", lift.force_n, "N",
        f"at {lift.at_deg:.0f}°, {rules.worst}; {lever}",
    )  # fmt: skip
    yield Figure(
        "hand to close, most", pull.force_n, "N", f"at {pull.at_deg:.0f}°, {rules.hot}; {lever}"
    )
    if hung.seal is not None:
        yield Figure(
            "hand to latch", hand_to_latch(hung, rules.cold).force_n, "N",
            f"squeezes the seal slowly, {rules.cold}; a slam does it too",
        )  # fmt: skip
        rests = rests_on_seal_deg(hung, rules.hot)
        if rests is not None:
            yield Figure(
                "unlatched and hot it rests at", rests, "deg", "where the seal lets it lie"
            )


def cut_figures(folded: Folded, density_kg_m3: float) -> Iterator[Figure]:
    """The numbers of one blank."""
    along, across = measure.blank_box(folded)
    yield Figure("blank, along", along, "mm", BLANK)
    yield Figure("blank, across", across, "mm", BLANK)
    for bend in folded.blank.bends:
        yield Figure(f"{bend.name}: turn angle", abs(bend.turn_deg), "deg", BLANK)
    mass = measure.mass_kg(folded, density_kg_m3)
    yield Figure("mass", mass, "kg", f"volume, at {density_kg_m3:g} kg/m3")
