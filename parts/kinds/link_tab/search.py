"""Sizes as strength asks: the thinnest sheet, then the narrowest edge and root, that hold."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import ceil

from parts.kinds.bench import Bench
from parts.kinds.link_tab.config import LinkTab
from parts.kinds.link_tab.given import Given
from parts.kinds.link_tab.joint_screens import bolt_used
from parts.kinds.link_tab.screens import pin_of, strength_screens, tab_screens
from parts.kinds.link_tab.stands import NoTab, RoundTube
from parts.kinds.link_tab.tab import Sizes, alike, tabs_of
from parts.kinds.link_tab.wall import stand_screens
from parts.sheet.shop import Rack
from parts.tables import find
from parts.trade.links.car import rule
from parts.trade.reserve import JUST, Screen
from parts.trade.tab_outline import TabOutline, lightening_hole

FORCES = ("N", "MPa", "N/mm", "Nm", "")  # units of the screens that the wished reserve is for
EDGE_STEP, ROOT_STEP = 0.5, 1.0  # mm that sizes are rounded to
COARSE = 12  # root steps between the roots tried first
MOST_EDGE = 4.0  # times the hole: more edge adds nothing to what is counted
OF_TUBE = 0.96  # of a tube's diameter that a root across it may be wide


@dataclass(frozen=True, eq=False)
class Chosen:
    """The sizes chosen, and whether they have the reserve wished; `searched` names what was
    left to strength."""

    sizes: Sizes
    holds: bool
    searched: tuple[str, ...]


def enough(screens: Iterable[Screen], reserve: float) -> bool:
    """Whether strength has the reserve wished, and every other line holds."""
    return enough_of(spare(screens, reserve))


def enough_of(spare_: float) -> bool:
    """Whether what is spare is all that was wished."""
    return spare_ >= 1 - JUST


def spare(screens: Iterable[Screen], reserve: float) -> float:
    """The least reserve over what is wished of it, 1 where all is as wished."""
    return min(
        screen.reserve / (reserve if screen.unit in FORCES else 1.0) for screen in screens
    )


def choose(config: LinkTab, givens: Sequence[Given], bench: Bench) -> Chosen:
    """Sizes for all hands alike. Raises NoTab where no size tried can be laid out."""
    searched = tuple(
        name
        for name, left_open in (
            ("sheet", bool(config.thicker)),
            ("edge", config.edge is None),
            ("root", config.root is None),
        )
        if left_open
    )
    if config.edge is not None and config.root is not None and not config.thicker:
        sizes = Sizes(bench.racks[config.stock], config.edge, config.root)
        return Chosen(_lightened(config, givens, sizes), True, ())
    best: tuple[float, Sizes] | None = None
    for rack in _racks(config, bench):
        edge = config.edge or _edge(config, givens, rack)
        judge = _judge(config, givens, rack, edge)
        sizes = Sizes(rack, edge, config.root or _root(config, givens, edge, judge))
        if best is None or judge(sizes.root) > best[0]:
            best = (judge(sizes.root), sizes)
        if enough_of(best[0]):
            break
    assert best is not None
    sizes = best[1]
    if best[0] == 0:
        for given in givens:
            tabs_of(given, sizes)  # says what is in the way
    return Chosen(_lightened(config, givens, sizes), enough_of(best[0]), searched)


def _racks(config: LinkTab, bench: Bench) -> list[Rack]:
    names = dict.fromkeys((config.stock, *config.thicker))
    return sorted((bench.racks[name] for name in names), key=lambda rack: rack.stock.thickness)


def _edge(config: LinkTab, givens: Sequence[Given], rack: Rack) -> float:
    """The least edge at which bearing, tear-out and net section have the reserve wished."""
    usual = float(find("edge_distances", "loaded bolt")["factor"])
    floor = float(find("edge_distances", "end")["factor"])
    hole, bolt = givens[0].hole, givens[0].bolt
    least = ceil(max(usual * bolt.diameter, floor * hole) / EDGE_STEP) * EDGE_STEP
    most = min(MOST_EDGE * hole, (config.root or config.most_root) / 2)
    edge = least
    while edge + EDGE_STEP <= most:
        if all(_edge_holds(config, given, rack, edge) for given in givens):
            break
        edge += EDGE_STEP
    return edge


def _edge_holds(config: LinkTab, given: Given, rack: Rack, edge: float) -> bool:
    pin = pin_of(given, bolt_used(given, rack.stock.thickness).threads_in_plane)
    return enough(strength_screens(given, rack, edge, pin), config.reserve)


def _judge(
    config: LinkTab, givens: Sequence[Given], rack: Rack, edge: float
) -> Callable[[float], float]:
    """How near a root comes to holding with the reserve wished: 1 or more where it does, 0 for
    one that cannot be laid out."""

    @cache
    def judge(root: float) -> float:
        try:
            found = [judged(given, Sizes(rack, edge, root)) for given in givens]
        except NoTab:
            return 0.0
        return min(spare(one, config.reserve) for one in found)

    return judge


def judged(given: Given, sizes: Sizes) -> tuple[Screen, ...]:
    """The screens of one hand that its sizes answer for; raises NoTab."""
    tabs = tabs_of(given, sizes)
    pin = pin_of(given, bolt_used(given, sizes.thickness).threads_in_plane)
    told = tabs[:1] if alike(given, tabs) else tabs
    return (
        *(screen for tab in told for screen in tab_screens(given, tab, pin)),
        *stand_screens(given, tabs),
    )


def _root(
    config: LinkTab, givens: Sequence[Given], edge: float, judge: Callable[[float], float]
) -> float:
    """The narrowest root that holds, else the one that comes nearest."""
    roots = list(_roots(config, givens, edge))
    tried: list[int] = [*range(0, len(roots), COARSE), len(roots) - 1]
    first = next((n for n in tried if enough_of(judge(roots[n]))), None)
    if first is None:
        return max((roots[n] for n in tried), key=judge)
    low, high = max(first - COARSE, -1), first
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough_of(judge(roots[middle])) else (middle, high)
    return roots[high]


def _roots(config: LinkTab, givens: Sequence[Given], edge: float) -> Iterator[float]:
    most = config.most_root
    for given in givens:
        if isinstance(given.stand, RoundTube):
            most = min(most, OF_TUBE * given.stand.od)
    root = ceil(2 * edge / ROOT_STEP) * ROOT_STEP  # no narrower than the tab is round its hole
    yield root
    while root + ROOT_STEP <= most:
        root += ROOT_STEP
        yield root


def _lightened(config: LinkTab, givens: Sequence[Given], sizes: Sizes) -> Sizes:
    """With the largest lightening hole, in whole mm, that leaves the web and every screen as it
    was wished; without one where none is asked for, or even a small one does not."""
    if not config.lightening:
        return sizes
    rooms = [
        _room(tab.outline, config.web) for given in givens for tab in tabs_of(given, sizes)
    ]
    most = min(rooms, default=0.0)

    def holds(diameter: float) -> bool:
        tried = replace(sizes, lightening=diameter)
        return all(enough(judged(given, tried), config.reserve) for given in givens)

    return _largest(sizes, most, holds)


def _largest(sizes: Sizes, most: float, holds: Callable[[float], bool]) -> Sizes:
    light = least_hole()
    low, high = int(light) - 1, int(most)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if holds(float(middle)) else (low, middle - 1)
    return replace(sizes, lightening=float(low)) if low >= light else sizes


def least_hole() -> float:
    """Diameter under which a lightening hole is not worth its cut, mm."""
    return rule("least lightening hole")


def _room(outline: TabOutline, web: float) -> float:
    found = lightening_hole(outline, web, least_hole())
    return 0.0 if found is None else found[1]
