"""What one tab feels of all that pulls at the joint."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from parts.kinds.link_tab.given import Given
from parts.kinds.link_tab.tab import Tab
from parts.sheet.curve import Point
from parts.trade.lug import (
    DoubleShear,
    Fork,
    SingleShear,
    plate_share,
    side_load,
    single_shear_moment_nmm,
)


@dataclass(frozen=True, slots=True)
class OnTab:
    """What one tab feels at one of its holes, N in its own axes: along its root, away from it,
    and across it, either way."""

    case: str
    hole: Point
    along: float
    away: float
    across: float
    moment_nmm: float

    @property
    def in_plane(self) -> float:
        return hypot(self.along, self.away)


def fork_of(given: Given, thickness: float) -> Fork:
    """Joint and tabs on the bolt."""
    ball = given.joint.ball_width
    if given.double:
        return DoubleShear(thickness, ball, (given.gap - ball) / 2)
    return SingleShear(thickness, ball, given.config.joint.spacer)


def on_tab(given: Given, tab: Tab) -> tuple[OnTab, ...]:
    """Every pull at every hole. Across the tab the link's own part counts together with 10 % of
    its force."""
    fork = fork_of(given, tab.thickness)
    share, home = plate_share(fork), tab.place.inverse()
    found = []
    for pull in given.pulls:
        x, y, z = (share * float(v) for v in home.direction(pull.force))
        across = abs(z) + side_load(share * pull.size_n)
        moment = single_shear_moment_nmm(pull.size_n, fork)
        found += [OnTab(pull.case, hole, x, y, across, moment) for hole in tab.outline.holes]
    return tuple(found)
