"""What a hand's tabs stand on: whether its wall holds, and the spreader plate it may want."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from parts.kinds.link_tab.given import Given
from parts.kinds.link_tab.on_tab import OnTab, on_tab
from parts.kinds.link_tab.stands import RoundTube
from parts.kinds.link_tab.tab import Tab
from parts.tables import find
from parts.trade.reserve import Screen, at_least
from parts.trade.tube_wall import (
    Foot,
    FootLoad,
    Spreader,
    Tube,
    punching_screen,
    spreader,
    wall_screens,
)

ACROSS_DEG = 45.0  # between tube and bolt; over it a tab counts as standing along its tube


def stand_screens(given: Given, tabs: Sequence[Tab]) -> tuple[Screen, ...]:
    """The wall under all the tabs of a hand, each line at its worst case."""
    least: dict[str, Screen] = {}
    if tabs[0].folded is not None:  # a foot spreads what it hands to the wall
        return (_usual(given, tabs[0]),)
    for load in on_tab(given, tabs[0]):
        for screen in _screens(given, tabs, load):
            if screen.name not in least or screen.reserve < least[screen.name].reserve:
                note = "; ".join(filter(None, (load.case, screen.note)))
                least[screen.name] = replace(screen, note=note)
    return (*least.values(), _usual(given, tabs[0]))


def _screens(given: Given, tabs: Sequence[Tab], load: OnTab) -> Iterator[Screen]:
    tab, count = tabs[0], len(tabs)
    height = load.hole[1] - min(one.foot.crown for one in tabs)
    off = load.hole[0] - (tab.foot.curves[0].start[0] + tab.foot.curves[-1].end[0]) / 2
    # the more loaded tab's share, for each of them
    both = FootLoad(
        count * load.away,
        count * (abs(load.along) * height + abs(load.away * off)),
        count * (load.across * height + load.moment_nmm),
    )
    apart = given.gap + tab.thickness if count == 2 else None
    stand = given.stand
    if isinstance(stand, RoundTube):
        across = stand.cant_deg(given.bolt_way) <= ACROSS_DEG
        foot = Foot("across" if across else "along", tab.foot.width, tab.thickness, apart)
        yield from wall_screens(both, foot, _tube(stand), given.config.method)
    else:
        foot = Foot("along", tab.foot.width, tab.thickness, apart)
        yield punching_screen(
            both, foot, stand.wall, stand.material.yield_mpa,
            "as of a tube's wall; a flat face bending in is not looked at",
        )  # fmt: skip


def _tube(stand: RoundTube) -> Tube:
    metal = stand.material
    return Tube(stand.od, stand.wall, metal.yield_mpa, metal.ultimate_mpa, stand.pressed)


def _usual(given: Given, tab: Tab) -> Screen:
    row = find("fork_rules", "tube wall to tab")
    need = float(row["least"]) * tab.thickness
    note = f"{row['least']} of the tab"
    return at_least("wall to tab", given.stand.wall, need, "mm", row["source"], note)


def spreader_under(given: Given, tabs: Sequence[Tab], found: Sequence[Screen]) -> Spreader | None:
    """A spreader plate, where the wall of a tube wants one."""
    if not isinstance(given.stand, RoundTube):
        return None
    judged = [screen for screen in found if screen.name.startswith("tube wall")]
    return spreader(judged, _tube(given.stand), tabs[0].thickness)
