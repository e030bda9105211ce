"""A link's joint between two tabs: how far it tilts, what lies round it, the bolt through it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import acos, atan2, degrees, hypot
from typing import Literal

from parts.tables import Row, find, rows
from parts.trade.bolts import Bolt
from parts.trade.reserve import at_least, at_most
from parts.trade.screening import Screen

PLAY = {"ball": "play of a steel ball", "bush": "play of a bush sleeve"}
TWIN = 1.0  # mm; sizes of the other system nearer than this are taken for each other


@dataclass(frozen=True, slots=True)
class Joint:
    """A rod end or bush: hole through the ball, width of the ball (or sleeve) that is clamped,
    width of the body round it, outside of the head, and the tilt its maker allows."""

    bore: float
    ball_width: float
    body_width: float
    head_diameter: float
    tilt_limit_deg: float | None = None


@dataclass(frozen=True, slots=True)
class ShrinkSpacer:
    """What to bolt in while welding: longer than the gap, which closes as the welds cool."""

    length: float
    least: float
    most: float
    source: str


def tilt_to_plates_deg(joint: Joint, gap: float) -> float | None:
    """Tilt at which the head's edge comes to a plate of the fork; None where it never does.

    The largest angle with w cos + r sin <= gap / 2, w half the body's width and r the head's
    radius: atan2(r, w) - acos(gap / 2 / hypot(w, r)).

    A body 15 wide with a head of 42 in a gap of 37 (7.5 cos 36.4 + 21 sin 36.4 = 18.5):

    >>> round(tilt_to_plates_deg(Joint(16, 21, 15, 42), 37), 1)
    36.4

    Raises ValueError where the body does not go into the gap at all.
    """
    half, radius = joint.body_width / 2, joint.head_diameter / 2
    if gap < joint.body_width:
        raise ValueError(
            f"a gap of {gap:g} mm; the joint's body is {joint.body_width:g} mm wide: widen the "
            "fork or take a narrower joint"
        )
    reach = hypot(half, radius)
    if gap / 2 >= reach:
        return None
    return degrees(atan2(radius, half) - acos(gap / 2 / reach))


def tilt_limit_deg(joint: Joint, gap: float) -> tuple[float, str]:
    """The tilt that the joint has in this fork and what stops it: "the plates" or "the joint".

    >>> tilt_limit_deg(Joint(16, 21, 15, 42, tilt_limit_deg=16), 37)
    (16, 'the joint')

    Raises ValueError where neither sets a limit: the joint's own has to be given.
    """
    plates = tilt_to_plates_deg(joint, gap)
    own = joint.tilt_limit_deg
    if plates is None and own is None:
        raise ValueError("the plates never stop this joint: give the tilt that its maker allows")
    if own is not None and (plates is None or own <= plates):
        return own, "the joint"
    assert plates is not None
    return plates, "the plates"


def tilt_screen(tilt_deg: float, joint: Joint, gap: float) -> Screen:
    """The greatest tilt over the travel against what the joint has in its fork."""
    limit, stops = tilt_limit_deg(joint, gap)
    return at_most("joint tilt", tilt_deg, limit, "deg", "geometry of the fork", f"{stops} stop it")


def play(joint: Joint, gap: float, spacer: float = 0.0) -> float:
    """What the gap has over the joint and a spacer on either side; below 0 it does not go in."""
    return gap - joint.ball_width - 2 * spacer


def play_screens(
    joint: Joint, gap: float, spacer: float, kind: Literal["ball", "bush"] = "ball"
) -> Iterator[Screen]:
    """Whether the joint goes in, and is not left loose: play 0.5 to 1.0 mm for a steel ball,
    0.15 to 0.25 mm for a bush (common practice). The first screen is the one that must hold.

    >>> [round(s.found, 2) for s in play_screens(Joint(16, 21, 15, 42), 37.7, 8)]
    [37.7, 0.7, 0.7]
    """
    row = find("fork_rules", PLAY[kind])
    found = play(joint, gap, spacer)
    yield at_least("gap for the joint", gap, gap - found, "mm", "geometry of the fork")
    yield at_least("least play of the joint", found, float(row["least"]), "mm", row["source"])
    yield at_most("most play of the joint", found, float(row["most"]), "mm", row["source"])


def spacer_length(joint: Joint, gap: float, play: float) -> float:
    """Length of each of two spacers that leave `play` in all; raises ValueError below 0.

    >>> spacer_length(Joint(16, 21, 15, 42), gap=37.5, play=0.5)
    8.0
    """
    length = (gap - joint.ball_width - play) / 2
    if length < 0:
        raise ValueError(
            f"a gap of {gap:g} mm has no room for a joint of {joint.ball_width:g} mm with "
            f"{play:g} mm of play"
        )
    return length


def shrink_spacer(gap: float) -> ShrinkSpacer:
    """The length to make the welding spacer: the gap and what two fillets of 5 mm leg pull in,
    0.3 to 0.8 mm (common practice), the middle of it. Bolted in hard, and left in until cold.

    >>> shrink_spacer(37.5).length
    38.05
    """
    row = find("fork_rules", "weld shrink of a fork")
    least, most = gap + float(row["least"]), gap + float(row["most"])
    return ShrinkSpacer((least + most) / 2, least, most, row["source"])


def head_screen(height: float, joint: Joint, weld_leg: float) -> Screen:
    """From the hole's centre to what the tab stands on: head radius, weld leg and 5 mm.

    >>> head_screen(41, Joint(16, 21, 15, 42), 5).limit
    31.0
    """
    row = find("fork_rules", "clear of the joint's head")
    need = joint.head_diameter / 2 + weld_leg + float(row["least"])
    note = f"head radius, weld leg and {row['least']} mm"
    return at_least("room for the joint's head", height, need, "mm", row["source"], note)


def bolt_fit_screens(bolt: Bolt, hole: float, joint: Joint) -> Iterator[Screen]:
    """The bolt through the tab's hole and through the ball: it must go in, and rattles no more
    than common practice likes. A note names the size of the other system it may be mixed up
    with.

    >>> from parts.trade.bolts import bolt
    >>> [s.holds for s in bolt_fit_screens(bolt("M16"), 16.3, Joint(15.875, 21, 15, 42))]
    [True, True, False]
    """
    row = find("fork_rules", "hole over the bolt")
    other = twin(bolt)
    note = "" if other is None else f"not to be mixed up with {other}"
    most = bolt.diameter + float(row["most"])
    yield at_least("hole for the bolt", hole, bolt.diameter, "mm", "bolt diameter", note)
    yield at_most("play of the bolt in its hole", hole, most, "mm", row["source"], note)
    yield at_least("joint's bore for the bolt", joint.bore, bolt.diameter, "mm", "bolt diameter",
                   note)  # fmt: skip


def twin(bolt: Bolt) -> str | None:
    """The size of the other system (metric or inch) that is nearest, if within 1 mm.

    >>> from parts.trade.bolts import bolt
    >>> twin(bolt("M16")), twin(bolt("1/2-20 UNF")), twin(bolt("M22"))
    ('5/8 in', 'M12', None)
    """
    metric = bolt.series.startswith("metric")
    sizes = {
        row["name"].split("-")[0].split("x")[0]: float(row["diameter_mm"])
        for row in rows("bolts")
        if row["series"].startswith("metric") != metric
    }
    near = min(sizes, key=lambda size: abs(sizes[size] - bolt.diameter))
    if abs(sizes[near] - bolt.diameter) > TWIN:
        return None
    return f"{near} in" if metric else near


def bolt_length(bolt: Bolt, grip: float, washers: int = 2) -> float:
    """Least length under the head: grip, washers, nut and two threads beyond.

    >>> from parts.trade.bolts import bolt
    >>> bolt_length(bolt("M16"), 49)   # 49 + 2 x 3 + 14.8 + 2 x 2
    73.8
    """
    beyond = float(find("fork_rules", "bolt beyond the nut")["least"])
    return grip + washers * bolt.washer_thickness + bolt.nut_height + beyond * bolt.pitch


def plain_shank(bolt: Bolt, length: float) -> float:
    """Plain shank of a standard bolt of that length: what its thread, 2 d + 6 mm to 125 mm
    (ISO 888) or 2 d + 1/4 in to 6 in (ASME B18.2.1), leaves over.

    >>> from parts.trade.bolts import bolt
    >>> plain_shank(bolt("M16"), 80)
    42.0
    """
    row = _thread_rule(bolt, length)
    return max(length - float(row["times"]) * bolt.diameter - float(row["plus_mm"]), 0.0)


def thread_screens(
    bolt: Bolt, length: float, tab: float, gap: float, washer: float
) -> Iterator[Screen]:
    """Plain shank past the far shear plane, and through the far tab; `washer` is what lies
    under the head.

    >>> from parts.trade.bolts import bolt
    >>> [s.holds for s in thread_screens(bolt("M16"), 80, 6, 37, 0)]
    [False, False]
    """
    found = plain_shank(bolt, length)
    source = _thread_rule(bolt, length)["source"]
    plane = washer + tab + gap
    yield at_least("threads out of the shear plane", found, plane, "mm", source)
    yield at_least("threads out of the tab", found, plane + tab, "mm", source)


def _thread_rule(bolt: Bolt, length: float) -> Row:
    series = "metric" if bolt.series.startswith("metric") else "inch"
    return next(
        row for row in rows("bolt_threads")
        if row["series"] == series and length <= float(row["to_length_mm"])
    )  # fmt: skip
