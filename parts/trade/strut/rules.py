"""What a lid on struts must do: the limits it is held to."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np
from numpy.typing import NDArray

from parts.tables import find
from parts.trade.strut.given import not_below_zero
from parts.trade.strut.hung import HungLid, looked_at, strut_moment_nm
from parts.trade.strut.lid import weight_moment_nm
from parts.trade.strut.mounts import lever
from parts.trade.strut.spring import Condition

Floats = NDArray[np.float64]
ROOM_C = 20.0


@dataclass(frozen=True, slots=True)
class Rules:
    """Limits a lid on struts is held to; `usual_rules` has the common ones.

    `hold_margin_percent`: what the struts' moment must have over the weight's, cold and aged,
    with their friction against them, from `holds_from_deg` up (None: at full opening only).
    The seal counts in neither rule: it lifts a lid off its latch, it does not open it.
    """

    shut_at_c: float
    hold_at_c: float
    aged_percent: float
    hold_margin_percent: float
    closed_reserve: float
    closed_reserve_wished: float
    open_reserve: float
    open_reserve_wished: float
    from_vertical_deg: float
    lean_deg: float
    near_over_centre_deg: float
    hand_force_wished_n: float
    slam_factor: float
    gap: float
    force_tolerance_n: float
    holds_from_deg: float | None = None

    def __post_init__(self) -> None:
        not_below_zero(
            "rules", hold_margin_percent=self.hold_margin_percent,
            closed_reserve=self.closed_reserve, open_reserve=self.open_reserve, gap=self.gap,
            holds_from_degrees=self.holds_from_deg or 0.0,
        )  # fmt: skip
        if not self.hold_at_c <= self.shut_at_c:
            raise ValueError(
                f"rules: must hold at {self.hold_at_c:g} °C and stay shut at {self.shut_at_c:g}; "
                "the first must be the colder"
            )

    @property
    def hot(self) -> Condition:
        """New and hot: when it must stay shut."""
        return Condition(self.shut_at_c)

    @property
    def cold(self) -> Condition:
        """New and cold."""
        return Condition(self.hold_at_c)

    @property
    def worst(self) -> Condition:
        """Cold and aged: when it must stay open."""
        return Condition(self.hold_at_c, self.aged_percent)

    def conditions(self) -> tuple[Condition, ...]:
        """Cold, room, hot, and cold when aged: the curves worth drawing."""
        return self.cold, Condition(ROOM_C), self.hot, self.worst


def usual_rules() -> Rules:
    """The limits of strut_rules.csv.

    >>> usual_rules().worst
    Condition(temperature_c=-10.0, aged_percent=15.0)
    """
    names = {
        "shut_at_c": "shut at", "hold_at_c": "hold at", "aged_percent": "aged loss",
        "hold_margin_percent": "hold margin", "closed_reserve": "closed reserve",
        "closed_reserve_wished": "closed reserve wished", "open_reserve": "open reserve",
        "open_reserve_wished": "open reserve wished", "from_vertical_deg": "from vertical",
        "lean_deg": "lean", "near_over_centre_deg": "near over centre",
        "hand_force_wished_n": "hand force wished", "slam_factor": "slam factor", "gap": "gap",
        "force_tolerance_n": "force tolerance",
    }  # fmt: skip
    return Rules(**{k: float(find("strut_rules", row)["value"]) for k, row in names.items()})


def held_at_deg(rules: Rules, open_deg: float, step_deg: float = 1.0) -> Floats:
    """Angles at which the lid must hold. Raises ValueError for a start beyond the opening."""
    if rules.holds_from_deg is None:
        return np.array([open_deg])
    if rules.holds_from_deg > open_deg:
        raise ValueError(
            f"rules: to hold from {rules.holds_from_deg:g} degrees, but the lid opens to "
            f"{open_deg:g} only"
        )
    return rules.holds_from_deg + looked_at(open_deg - rules.holds_from_deg, step_deg)


def needed_to_hold_nm(hung: HungLid, rules: Rules, open_deg: Floats) -> Floats:
    """Strut moment that holds the lid with the margin asked for, (n,)."""
    weight = weight_moment_nm(hung.lid, open_deg)
    return weight + rules.hold_margin_percent / 100 * np.abs(weight)


def most_to_stay_shut_n(hung: HungLid, rules: Rules) -> float:
    """F1 of each strut at which the shut lid springs open hot; inf where none would do it."""
    push = float(strut_moment_nm(hung, 0.0, rules.hot)[0])
    weight = float(weight_moment_nm(hung.lid, 0.0))
    return hung.strut.f1_n * weight / push if push > 0 else inf


def least_to_hold_n(hung: HungLid, rules: Rules) -> float:
    """F1 of each strut that holds as the rules ask, with the friction it has now.

    inf where the strut has no lever to hold with, 0 where the lid stays without.
    """
    at = held_at_deg(rules, hung.open_deg)
    need = needed_to_hold_nm(hung, rules, at)
    arm = lever(hung.mounts, at)
    each = strut_moment_nm(hung, at, rules.worst) / hung.strut.f1_n
    lost = hung.count * hung.strut.friction * arm / 1000
    force = np.full(len(at), inf)
    np.divide(need + lost, each, out=force, where=arm > 0)
    return float(np.where(need <= 0, 0.0, force).max())
