"""What a lid on its hinges takes for granted: its weight, its struts, the hands that move it."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from parts.kinds.assumed import of_bolts, of_mirror
from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.layout import Hung
from parts.kinds.hinge_bracket.metal import Loads
from parts.kinds.hinge_bracket.screening import MOST_STRUTS, strut_n
from parts.report import Load, LoadCase
from parts.trade.bolts import property_class
from parts.trade.strut import HungLid, Rules


def assumptions(config: HingeBracket, hung: Hung) -> Iterator[str]:
    """In sentences, what weighs most first."""
    hanging = hung.hanging
    known = hanging.weighed
    yield (
        f"the lid weighs {known.mass.mass_kg:.2f} kg, its centre {known.mass.along:.0f} mm behind "
        f"its front edge: {known.source}"
    )
    way = "below" if known.mass.up < 0 else "above"
    yield f"that centre lies {abs(known.mass.up):.0f} mm {way} the lid's top: {known.up_source}"
    if hanging.hung is not None:
        yield from _struts(hanging.hung, hanging.rules)
    far = hypot(*hanging.handle)
    yield (
        f"a hand pulls or lifts square to the lid, {far:.0f} mm from the pivot, with "
        f"{hanging.rules.hand_force_wished_n:g} N at most wished"
    )
    yield (
        f"wanted clear over the whole swing to {config.opening:g}°: {config.clearance:g} mm round "
        "the lid"
    )
    strength = property_class(config.bolt_class)
    yield of_bolts("pivot", config.arm.pivot_bolt, strength)
    yield (
        f"each pivot carries half of the weight and of {MOST_STRUTS} struts, as if they all pulled "
        "one way"
    )
    if hung.mirrored is not None:
        yield of_mirror(hung.mirrored)


def _struts(hung: HungLid, rules: Rules) -> Iterator[str]:
    strut, margin = hung.strut, rules.hold_margin_percent
    how_many = "one strut" if hung.count == 1 else f"{hung.count} struts"
    yield (
        f"{how_many} of {strut.f1_n:g} N at 20 °C, {strut.progression:g} times that pushed in, "
        f"friction {strut.friction:.0f} N each; the force goes with the absolute temperature"
    )
    yield (
        f"the lid must stay shut at {rules.hot}, and stay open at {rules.worst}, with {margin:g} "
        "% over the weight's moment"
    )


def load_cases(config: HingeBracket, hung: Hung, loads: Loads) -> Iterator[LoadCase]:
    """What the pieces of one hinge are screened for."""
    anyway, job = "any direction in the plane of the swing", "weight, struts and job file"
    yield LoadCase(
        "standing", "the lid held still, its struts hot, new and pushed in",
        (Load("on each pivot", loads.pivot_n, "N", anyway),), 1.0, job,
    )  # fmt: skip
    yield LoadCase(
        "slammed", "the lid let fall, or thrown open against its stop",
        (Load("on each pivot", loads.slammed_n, "N", anyway),), loads.slam_factor, job,
    )  # fmt: skip
    hand = Load(
        "by a hand at the lid's edge", loads.side_n, "N",
        f"sideways, {loads.side_arm:.0f} mm from the hinge axis",
    )  # fmt: skip
    share = Load("on each pivot meanwhile", loads.pushed_n, "N", anyway)
    yield LoadCase(
        "pushed aside", "the open lid pushed sideways by hand or wind",
        (hand, share), 1.0, "job file: arm.side_push",
    )  # fmt: skip
    if config.struts is not None and config.struts.brackets is not None:
        force = strut_n(hung) * loads.slam_factor
        yield LoadCase(
            "strut slammed", "a lid let fall on its struts, or thrown open by them",
            (Load("on each strut's bracket", force, "N", "along the strut"),),
            loads.slam_factor, "the strut hot, new and pushed in",
        )  # fmt: skip
