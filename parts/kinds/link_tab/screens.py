"""Rough checks of one tab's strength under everything that pulls at it: screening, no proof.

Bending of the tab is told as a beam's, which a plate held along its root is not. Worked out by
finite elements (tests/test_tab_plate.py) it carries 1.3 times that at least in its plane and 1.4
times across it, but yields before in places: at the crown of a cope from 0.6 of it. That matters
for fatigue, which is not looked at.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from math import ceil, cos, radians

import numpy as np

from parts.kinds.link_tab.foot_screens import foot_screens, foot_weld_sizes, metal_of
from parts.kinds.link_tab.given import Given
from parts.kinds.link_tab.on_tab import OnTab, fork_of, on_tab
from parts.kinds.link_tab.stands import NoTab
from parts.kinds.link_tab.tab import Tab
from parts.sheet.curve import Point, distance
from parts.sheet.fold import stretches
from parts.sheet.shop import Rack
from parts.tables import find
from parts.trade import screening
from parts.trade.lug import (
    AtHole,
    Lug,
    Pin,
    PlateSection,
    aisc_lug,
    bolt_as_pin,
    en_lug,
    plate_share,
    section_screens,
)
from parts.trade.reserve import Screen
from parts.trade.tab_outline import least_edge
from parts.trade.weld import (
    Load,
    Run,
    effective_length,
    length_screens,
    root_screen,
    size_screens,
    tab_welds,
    throat_stress,
    usual_leg,
    weld_group,
    weld_screens,
)
from parts.trade.weld.tab import trimmed

LEVELS = 6  # straight cuts across the tab that are looked at, from its root to below the hole
ABOVE = 0.01  # mm over the crown of the foot at which the lowest of them lies
LOOKS = 9  # places along each weld at which the loads are compared
HARDEST = 3  # loads that are then looked at closely
LEG_STEP = 0.5  # mm that a leg is rounded up to
COUNTED_DEG = (60.0, 120.0)  # EN 1993-1-8 4.3.2.1: fillets between faces at these angles


def tab_screens(given: Given, tab: Tab, pin: Pin) -> tuple[Screen, ...]:
    """Every line of the screening of one tab, each at its worst case."""
    loads, rack, edge = on_tab(given, tab), tab.sizes.rack, clear_edge(tab)
    return (
        *_worst((load.case, _lug(given, rack, edge, pin, load.in_plane)) for load in loads),
        *_worst(_sections(given, tab, load) for load in loads),
        *_held(given, tab, loads),
        *screening.edge_distances(least_edge(tab.outline)[0], given.hole, given.bolt.diameter),
    )


def _held(given: Given, tab: Tab, loads: Sequence[OnTab]) -> Iterator[Screen]:
    """How the tab is held at its root, or its folded foot on the face."""
    if tab.folded is None:
        yield from _worst(_welds(given, tab, loads))
        yield from weld_sizes(given, tab)
        return
    throat = throat_of(given, tab)
    yield from _worst(foot_screens(given, tab, tab.folded, loads, throat))
    if tab.folded.fixing.fixing == "welded":
        yield from foot_weld_sizes(given, tab, tab.folded, throat)


def strength_screens(given: Given, rack: Rack, edge: float, pin: Pin) -> tuple[Screen, ...]:
    """Those that sheet and edge alone answer for: bearing, tear-out, net section."""
    share = plate_share(fork_of(given, rack.stock.thickness))
    way = given.bolt_way
    found = []
    for pull in given.pulls:
        flat = pull.force - (pull.force @ way) * way
        found.append((pull.case, _lug(given, rack, edge, pin, share * float(np.linalg.norm(flat)))))
    return _worst(found)


def pin_of(given: Given, threads_in_plane: bool) -> Pin:
    """The bolt as the pin of the joint."""
    return bolt_as_pin(given.bolt, given.strength, threads_in_plane, given.hole)


def _worst(every: Iterable[tuple[str, Iterable[Screen]]]) -> tuple[Screen, ...]:
    """Of each name the screen with the least reserve, its case said."""
    least: dict[str, Screen] = {}
    for case, screens in every:
        for screen in screens:
            if screen.name not in least or screen.reserve < least[screen.name].reserve:
                least[screen.name] = replace(
                    screen, note="; ".join(filter(None, (case, screen.note)))
                )
    return tuple(least.values())


def _lug(
    given: Given, rack: Rack, edge: float, pin: Pin, force_n: float
) -> Iterator[Screen]:
    metal = rack.stock.material
    lug = Lug(
        rack.stock.thickness, given.hole, edge, edge, metal.yield_mpa, metal.ultimate_mpa
    )
    judge = en_lug if given.config.method == "EN 1993-1-8" else aisc_lug
    return judge(force_n, lug, pin)


def clear_edge(tab: Tab) -> float:
    """The least metal from a hole's centre to an edge, another hole or the lightening hole."""
    holes, radius = tab.outline.holes, tab.outline.hole / 2
    found = [least_edge(tab.outline)[0]]
    found += [distance(a, b) - radius for n, a in enumerate(holes) for b in holes[n + 1 :]]
    if tab.opening is not None:
        at, diameter = tab.opening
        found += [distance(at, hole) - diameter / 2 for hole in holes]
    return min(found)


def _sections(given: Given, tab: Tab, load: OnTab) -> tuple[str, Iterator[Screen]]:
    yield_mpa = tab.sizes.rack.stock.material.yield_mpa
    screens: dict[str, Screen] = {}
    for height, middle, section in sections(tab, load.hole):
        at = AtHole(
            load.along, load.away, load.across, load.hole[1] - height, load.hole[0] - middle,
            load.moment_nmm,
        )  # fmt: skip
        for screen in section_screens(at, section, yield_mpa):
            if screen.name not in screens or screen.reserve < screens[screen.name].reserve:
                note = f"{section.width:.1f} wide, {load.hole[1] - height:.1f} below the hole"
                screens[screen.name] = replace(screen, note=note)
    return load.case, iter(screens.values())


def sections(tab: Tab, hole: Point) -> Iterator[tuple[float, float, PlateSection]]:
    """Straight cuts across the tab below a hole: height, middle of the cut, and its section."""
    low, high = tab.foot.crown + ABOVE, hole[1] - tab.outline.hole / 2
    heights = [low + k * (high - low) / LEVELS for k in range(LEVELS)] if high > low else [low]
    if tab.opening is not None:
        heights.append(tab.opening[0][1])
    for height in heights:
        runs = stretches(tab.outline.outer, (hole[0], height), (1.0, 0.0))
        if not runs:
            continue
        start, end = max(runs, key=lambda run: run[1] - run[0])
        middle = hole[0] + (start + end) / 2
        yield height, middle, _cut(tab, height, middle, end - start)


def _cut(tab: Tab, height: float, middle: float, width: float) -> PlateSection:
    if tab.opening is not None:
        (x, y), diameter = tab.opening
        half = (diameter / 2) ** 2 - (height - y) ** 2
        if half > 0:
            return PlateSection(width, tab.thickness, 2 * half**0.5, x - middle)
    return PlateSection(width, tab.thickness)


# Welds


def leg_of(given: Given, tab: Tab) -> float:
    """Leg of the fillet on each face: as asked, else the usual one that keeps the least throat,
    to the next half millimetre."""
    if given.config.weld.leg is not None:
        return given.config.weld.leg
    least = float(find("weld_rules", "least throat")["value"]) / _throat_of_leg(tab)
    return LEG_STEP * ceil(max(usual_leg(tab.thickness), least) / LEG_STEP - 1e-9)


def throat_of(given: Given, tab: Tab) -> float:
    """The thinner throat of the two, where the tab leans on what it stands on."""
    return leg_of(given, tab) * _throat_of_leg(tab)


def _throat_of_leg(tab: Tab) -> float:
    """Throat over leg on the side where the faces stand widest open."""
    return cos(radians(min(tab.foot.openings_deg[1], COUNTED_DEG[1]) / 2))


def is_wrapped(given: Given) -> bool:
    weld = given.config.weld
    if weld.ends is not None:
        return weld.ends == "wrapped"
    return weld.length is None and not weld.stop_short


def stops_short(given: Given, tab: Tab) -> float:
    """How far open welds stop from the edges of the tab."""
    weld = given.config.weld
    if weld.length is None:
        return weld.stop_short
    return max((tab.foot.length - weld.length) / 2, 0.0)


def runs_of(given: Given, tab: Tab) -> tuple[Run, ...]:
    """The welds at the root; raises NoTab where nothing is left of them."""
    short = stops_short(given, tab)
    try:
        return tab_welds(
            tab.foot.curves, tab.thickness, throat_of(given, tab), is_wrapped(given), short
        )
    except ValueError as error:
        found, _, remedy = str(error).partition(": ")
        raise NoTab("weld", found, "a weld along the root", remedy) from error


def _welds(
    given: Given, tab: Tab, loads: Sequence[OnTab]
) -> Iterator[tuple[str, Sequence[Screen]]]:
    """The welds under the loads that stress them most, each way across the tab."""
    weld = given.config.weld
    metal = metal_of(given, tab)
    runs = runs_of(given, tab)
    off = 0.0 if given.double else -tab.way * _reach(given, tab)
    every = [
        (load.case, Load((load.along, load.away, sense * load.across), (*load.hole, off)))
        for load in loads
        for sense in (1, -1)
    ]
    group, places = weld_group(runs), np.linspace(0.0, 1.0, LOOKS)
    points = np.concatenate([run.at(places) for run in runs])
    most = [np.linalg.norm(throat_stress(group, load, points), axis=1).max() for _, load in every]
    for n in sorted(range(len(every)), key=lambda n: -most[n])[:HARDEST]:
        case, load = every[n]
        found = weld_screens(runs, load, metal, weld.method)
        yield case, [replace(screen, note="") for screen in found]


def _reach(given: Given, tab: Tab) -> float:
    """In single shear, from the middle of the tab to the middle of the joint."""
    return tab.thickness / 2 + given.config.joint.spacer + given.joint.ball_width / 2


def weld_sizes(given: Given, tab: Tab) -> Iterator[Screen]:
    """Whether the welds are thick and long enough, and no longer than what they lie on."""
    throat = throat_of(given, tab)
    yield from size_screens(throat, min(tab.thickness, given.stand.wall))
    ends = 0 if is_wrapped(given) else 2
    length = tab.foot.length
    if not is_wrapped(given):
        length = sum(c.length for c in trimmed(tab.foot.curves, stops_short(given, tab)))
    for screen in length_screens(length, throat, ends):
        yield screen if ends else replace(screen, note="")
    if given.config.weld.length is not None:
        yield root_screen(given.config.weld.length, tab.foot.length)


def counted_length(given: Given, tab: Tab) -> float:
    """Length of one fillet that counts."""
    if is_wrapped(given):
        return tab.foot.length
    whole = tab.foot.length - 2 * stops_short(given, tab)
    return effective_length(whole, throat_of(given, tab))
