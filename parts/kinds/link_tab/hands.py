"""Every hand of a part, from its config to tabs laid out; sizes are chosen for all alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from parts.kinds.bench import Bench
from parts.kinds.link_tab.config import Hand, LinkTab
from parts.kinds.link_tab.findings import GEOMETRY, no_tab
from parts.kinds.link_tab.given import Forces, Given, given
from parts.kinds.link_tab.laid import Laid, laid_out
from parts.kinds.link_tab.loads import all_forces
from parts.kinds.link_tab.search import choose
from parts.kinds.link_tab.stands import NoTab
from parts.kinds.sides import made_as_mirror
from parts.report import Finding, Severity
from parts.trade.axle import CannotFollow
from parts.trade.links import CaseForces, Sweep, live_axle, swept


@dataclass(frozen=True, eq=False)
class Hands:
    """The hands that could be laid out, what they were laid out from, and why others could not.

    `forces` gives those of all load cases, solved at the first call; it must only be called for
    an axle whose car is known.
    """

    givens: tuple[Given, ...]
    laids: tuple[Laid, ...]
    findings: tuple[Finding, ...]
    forces: Callable[[], tuple[CaseForces, ...]]


def hands_of(config: LinkTab, bench: Bench) -> Hands:
    """Every hand asked for."""
    gear = bench.gears[config.axle] if config.axle is not None else None

    @cache
    def forces() -> tuple[CaseForces, ...]:
        assert gear is not None
        return all_forces(gear, config.shock)

    @cache
    def sweep() -> Sweep:
        assert gear is not None
        return swept(live_axle(gear.axle), gear.stops)

    said: list[Finding] = []
    givens: list[Given] = []
    for hand in config.hands:
        try:
            one, found = _given(config, bench, hand, forces)
            said += found
            givens.append(one)
        except (NoTab, CannotFollow) as no:
            said.append(_refused(no, hand))
    laids: list[Laid] = []
    if len(givens) == len(config.hands):
        try:
            chosen = choose(config, givens, bench)
        except NoTab as no:
            said.append(no_tab(no, givens[0].hand))
            return Hands(tuple(givens), (), tuple(said), forces)
        for one in givens:
            try:
                laids.append(laid_out(one, chosen, sweep))
            except (NoTab, CannotFollow) as no:
                said.append(_refused(no, one.hand))
    return Hands(tuple(givens), tuple(laids), tuple(said), forces)


def _given(
    config: LinkTab, bench: Bench, hand: Hand, forces: Forces
) -> tuple[Given, list[Finding]]:
    side = config.side(hand)
    if side is not None:
        return given(config, side, bench, hand, False, forces), []
    other = config.left or config.right
    assert other is not None
    one = given(config, other, bench.mirrored(), hand, True, forces)
    return one, [made_as_mirror(hand)]


def _refused(no: NoTab | CannotFollow, hand: Hand) -> Finding:
    if isinstance(no, NoTab):
        return no_tab(no, hand)
    found, _, remedy = str(no).partition("; ")
    return Finding(Severity.REFUSES, f"{hand}: axle", found, "an axle that follows its travel",
                   remedy, GEOMETRY)  # fmt: skip
