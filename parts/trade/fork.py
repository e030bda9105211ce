"""The fork round a link's joint: its gap and spacers, and the bolt through it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from parts.tables import Row, find, rows
from parts.trade.bolts import Bolt
from parts.trade.joint import Joint
from parts.trade.reserve import Screen, at_least, at_most

PLAY = {"ball": "play of a steel ball", "bush": "play of a bush sleeve"}
TWIN = 1.0  # mm; sizes of the other system nearer than this are taken for each other


@dataclass(frozen=True, slots=True)
class ShrinkSpacer:
    """What to bolt in while welding: longer than the gap, which closes as the welds cool."""

    length: float
    least: float
    most: float
    source: str


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
    bolt: Bolt, length: float, tab: float, gap: float, washer: float, shank: float | None = None
) -> Iterator[Screen]:
    """Plain shank past the far shear plane, and through the far tab; `washer` is what lies
    under the head. `shank` is the bolt's own plain shank, where it was measured.

    >>> from parts.trade.bolts import bolt
    >>> [s.holds for s in thread_screens(bolt("M16"), 80, 6, 37, 0)]
    [False, False]
    """
    found, source = shank, "measured"
    if found is None:
        found, source = plain_shank(bolt, length), _thread_rule(bolt, length)["source"]
    plane = washer + tab + gap
    yield at_least("threads out of the shear plane", found, plane, "mm", source)
    yield at_least("threads out of the tab", found, plane + tab, "mm", source)


def _thread_rule(bolt: Bolt, length: float) -> Row:
    series = "metric" if bolt.series.startswith("metric") else "inch"
    return next(
        row for row in rows("bolt_threads")
        if row["series"] == series and length <= float(row["to_length_mm"])
    )  # fmt: skip
