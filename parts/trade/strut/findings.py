"""What is wrong with a lid on struts, or worth knowing, in words with numbers."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

import numpy as np

from parts.report import Finding, Severity
from parts.trade.strut.clear import Room, clearance
from parts.trade.strut.hung import (
    HungLid,
    hand_to_close,
    hand_to_open,
    net_moment_nm,
    rises_from_deg,
    sinks_below_deg,
    strut_moment_nm,
)
from parts.trade.strut.lid import weight_moment_nm
from parts.trade.strut.mounts import angles, length_range, lever, over_centre_deg
from parts.trade.strut.rules import (
    ROOM_C,
    Rules,
    held_at_deg,
    least_to_hold_n,
    most_to_stay_shut_n,
    needed_to_hold_nm,
)
from parts.trade.strut.spring import Condition, Moving, sizes

REFUSES, MENTIONS = Severity.REFUSES, Severity.MENTIONS
PRACTICE = "common practice"
STATICS = "moments about the hinge"


def findings(hung: HungLid, rules: Rules, room: Room | None = None) -> tuple[Finding, ...]:
    """All that is wrong with a lid on struts, or worth knowing. Raises ValueError.

    Refused: a strut that bottoms, runs out, goes over centre or leaves its room, a lid that
    springs open hot or sinks cold. The rest is mentioned.
    """
    return (
        *_lengths(hung, rules), *_over_centre(hung, rules), *_room(hung, rules, room),
        *_springs_open(hung, rules), *_sinks(hung, rules), *_lies(hung, rules),
        *_spare(hung, rules), *_force_of_size(hung), *_hand(hung, rules),
    )  # fmt: skip


def _lengths(hung: HungLid, rules: Rules) -> Iterator[Finding]:
    strut = hung.strut
    least, most = length_range(hung.mounts, hung.open_deg)
    shut, opened = least - strut.compressed, strut.extended - most
    if shut < rules.closed_reserve_wished:
        short = shut < rules.closed_reserve
        word = "bottoms" if shut < 0 else "is near bottoming"
        yield Finding(
            REFUSES if short else MENTIONS, "strut shut",
            f"it {word}: {least:.1f} mm between mounts, {strut.compressed:.1f} mm compressed, "
            f"{shut:.1f} mm left",
            f"{rules.closed_reserve if short else rules.closed_reserve_wished:g} mm left",
            "mounts further apart when shut, or a shorter strut", PRACTICE,
        )  # fmt: skip
    if opened < rules.open_reserve_wished:
        short = opened < rules.open_reserve
        word = "runs out" if opened < 0 else "nearly runs out"
        yield Finding(
            REFUSES if short else MENTIONS, "strut open",
            f"it {word}: {most:.1f} mm between mounts, {strut.extended:.1f} mm extended, "
            f"{opened:.1f} mm left",
            f"{rules.open_reserve if short else rules.open_reserve_wished:g} mm left when the "
            "hinge stop touches",
            "mount nearer the pivot, less opening, or a longer strut", PRACTICE,
        )  # fmt: skip


def _over_centre(hung: HungLid, rules: Rules) -> Iterator[Finding]:
    longest, shortest = over_centre_deg(hung.mounts)
    end_lever = float(lever(hung.mounts, [hung.open_deg])[0])
    if 0 <= longest <= hung.open_deg:
        yield Finding(
            REFUSES, "strut over centre",
            f"at {longest:.1f}° it points at the hinge; from there it pushes the lid shut",
            f"over-centre beyond {hung.open_deg + rules.near_over_centre_deg:.0f}°",
            "move the mount on the body down or forward", STATICS,
        )  # fmt: skip
    elif hung.open_deg < longest < hung.open_deg + rules.near_over_centre_deg:
        yield Finding(
            MENTIONS, "strut near over centre",
            f"lever {end_lever:.1f} mm fully open, nothing at {longest:.1f}°",
            f"over-centre {rules.near_over_centre_deg:g}° beyond the opening",
            "move the mount on the body down or forward", PRACTICE,
        )  # fmt: skip
    if 0 < shortest < hung.open_deg:
        yield Finding(
            MENTIONS, "strut over centre when shut",
            f"under {shortest:.1f}° it pushes the lid shut, over it open",
            "a hand that lifts it past that angle", "say so to whoever opens it", STATICS,
        )  # fmt: skip


def _room(hung: HungLid, rules: Rules, room: Room | None) -> Iterator[Finding]:
    if room is None:
        return
    free = clearance(room, hung.mounts, hung.open_deg) - hung.strut.tube / 2
    if free < rules.gap:
        word = f"{free:.1f} mm round its tube" if free > 0 else "it strikes"
        yield Finding(
            REFUSES, "strut in its room", word, f"{rules.gap:g} mm over the whole swing",
            "move its mounts, or a thinner tube", PRACTICE,
        )  # fmt: skip


def _springs_open(hung: HungLid, rules: Rules) -> Iterator[Finding]:
    weight = float(weight_moment_nm(hung.lid, 0.0))
    room = min(ROOM_C, rules.shut_at_c)
    push = {t: _shut_nm(hung, t) for t in (rules.hold_at_c, room, rules.shut_at_c)}
    at = room if push[room] >= weight else rules.shut_at_c
    if push[at] < weight:
        return
    even = f", and even at {rules.hold_at_c:+g} °C" if push[rules.hold_at_c] >= weight else ""
    most = most_to_stay_shut_n(hung, rules)
    yield Finding(
        REFUSES, "lid shut",
        f"{hung} springs open at {at:+g} °C{even}: struts {push[at]:.1f} N·m, "
        f"weight {weight:.1f} N·m",
        f"less from the struts than from the weight at {rules.shut_at_c:+g} °C",
        f"less than {most:.0f} N each on these mounts" if weight > 0
        else "a lid whose weight shuts it",
        STATICS,
    )  # fmt: skip


def _shut_nm(hung: HungLid, temperature_c: float) -> float:
    return float(strut_moment_nm(hung, 0.0, Condition(temperature_c))[0])


def _sinks(hung: HungLid, rules: Rules) -> Iterator[Finding]:
    at = held_at_deg(rules, hung.open_deg)
    push = strut_moment_nm(hung, at, rules.worst, Moving.OUT)
    need = needed_to_hold_nm(hung, rules, at)
    i = int(np.argmax(need - push))
    if push[i] < need[i]:
        free = net_moment_nm(hung, at[i : i + 1], rules.worst, Moving.OUT)[0]
        least = least_to_hold_n(hung, rules)
        word = "sinks" if free < 0 else "barely holds"
        yield Finding(
            REFUSES, "lid open",
            f"{hung} {word} from {at[i]:.0f} degrees at "
            f"{rules.worst}: struts {push[i]:.1f} N·m less friction",
            f"{need[i]:.1f} N·m, the weight's moment and {rules.hold_margin_percent:g} % over it",
            f"at least {least:.0f} N each on these mounts, with the friction of these"
            if least < inf else "move the mount on the body: the strut has no lever there",
            STATICS,
        )  # fmt: skip
        return
    for condition in (rules.cold, rules.worst):
        rises = rises_from_deg(hung, condition)
        if rises:
            below = sinks_below_deg(hung, condition)
            yield Finding(
                MENTIONS, "lid part open",
                f"{hung} sinks from {rises:.0f} degrees at "
                f"{condition}: it holds only above"
                + (f", and drops for certain under {below:.0f}" if below else ""),
                f"a hand on it until {rises:.0f} degrees",
                "say so to whoever opens it, or more force if it still stays shut hot", STATICS,
            )  # fmt: skip


def _spare(hung: HungLid, rules: Rules) -> Iterator[Finding]:
    """What a strut filled to the edge of its tolerance would do."""
    least, most = least_to_hold_n(hung, rules), most_to_stay_shut_n(hung, rules)
    f1_n, off = hung.strut.f1_n, rules.force_tolerance_n
    for spare, word in ((most - f1_n, "springs open hot"), (f1_n - least, "sinks cold")):
        if 0 < spare < off:
            yield Finding(
                MENTIONS, "strut force",
                f"{f1_n:g} N has {spare:.0f} N to spare before the lid {word}",
                f"{off:g} N, what a new strut may be off",
                "another force or other mounts; or a strut that was measured", PRACTICE,
            )  # fmt: skip


def _lies(hung: HungLid, rules: Rules) -> Iterator[Finding]:
    lies = angles(hung.mounts, hung.open_deg)
    if lies.shut_from_vertical_deg > rules.from_vertical_deg:
        yield Finding(
            MENTIONS, "strut shut",
            f"it lies {lies.shut_from_vertical_deg:.0f}° from vertical; its seal may run dry",
            f"{rules.from_vertical_deg:g}° at most, rod at the {lies.rod_at}",
            "steeper mounts, or a strut made for any position", PRACTICE,
        )  # fmt: skip
    if lies.lean_deg > rules.lean_deg:
        yield Finding(
            MENTIONS, "strut aside",
            f"it leans {lies.lean_deg:.1f}° out of the plane of the swing",
            f"{rules.lean_deg:g}° at most", "mounts nearer in line", PRACTICE,
        )  # fmt: skip
    if hung.count == 1:
        yield Finding(
            MENTIONS, "one strut", "it pushes on one side only and twists the lid",
            "two struts, or a lid stiff enough",
            "two struts of half the force, or mount it near the middle", PRACTICE,
        )  # fmt: skip


def _force_of_size(hung: HungLid) -> Iterator[Finding]:
    strut = hung.strut
    same = [s for s in sizes() if (s.rod, s.tube) == (strut.rod, strut.tube)]
    if not same:
        pairs = dict.fromkeys(f"{s.rod:g}-{s.tube:g}" for s in sizes())
        yield Finding(
            MENTIONS, "strut size", f"{strut.rod:g}-{strut.tube:g} is not a common pair",
            f"one of {', '.join(pairs)}", "make sure it can be bought", "struts.csv",
        )  # fmt: skip
    elif not same[0].least_f1_n <= strut.f1_n <= same[0].most_f1_n:
        yield Finding(
            MENTIONS, "strut size",
            f"{strut.f1_n:g} N is not commonly filled in {strut.rod:g}-{strut.tube:g}",
            f"{same[0].least_f1_n:g} to {same[0].most_f1_n:g} N", "another rod and tube",
            same[0].source,
        )  # fmt: skip


def _hand(hung: HungLid, rules: Rules) -> Iterator[Finding]:
    lifts = ("to open", hand_to_open(hung, rules.worst), rules.worst)
    pulls = ("to close", hand_to_close(hung, rules.hot), rules.hot)
    for word, hand, condition in (lifts, pulls):
        if hand.force_n > rules.hand_force_wished_n:
            yield Finding(
                MENTIONS, f"hand {word}",
                f"{hand.force_n:.0f} N at the handle, at {hand.at_deg:.0f}° and {condition}",
                f"{rules.hand_force_wished_n:g} N at most", "other mounts or force", PRACTICE,
            )  # fmt: skip
