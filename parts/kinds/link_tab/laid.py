"""One hand laid out: its tabs, its bolt, how far its joints tilt, and every line of screening."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from parts.kinds.link_tab.given import Given
from parts.kinds.link_tab.joint_screens import (
    BoltUsed,
    bolt_screens,
    bolt_used,
    fit_screens,
    shank_screens,
    tilt_screens,
    tilts_of,
)
from parts.kinds.link_tab.screens import pin_of, tab_screens
from parts.kinds.link_tab.search import FORCES, Chosen
from parts.kinds.link_tab.stands import NoTab
from parts.kinds.link_tab.strap import Strap, lay_out_strap
from parts.kinds.link_tab.tab import Tab, alike, tabs_of
from parts.kinds.link_tab.wall import spreader_under, stand_screens
from parts.trade.links import Sweep, Tilt
from parts.trade.reserve import Screen, least
from parts.trade.tube_wall import Spreader


@dataclass(frozen=True, eq=False)
class Laid:
    """All of one hand. `own` are the screens of each tab, `shared` those of joint, bolt and what
    the tabs stand on."""

    given: Given
    chosen: Chosen
    tabs: tuple[Tab, ...]
    strap: Strap | None
    bolt: BoltUsed
    tilts: tuple[Tilt, ...]
    own: tuple[tuple[Screen, ...], ...]
    shared: tuple[Screen, ...]
    spreader: Spreader | None

    def screens(self) -> Iterator[tuple[str, Screen]]:
        """Every screen with the name of the tab it belongs to, "" for none."""
        for tab, screens in zip(self.tabs, self.own, strict=True):
            yield from ((tab.name, screen) for screen in screens)
        yield from (("", screen) for screen in self.shared)

    def weakest(self) -> tuple[str, Screen]:
        """The line of strength with the least reserve, and its tab."""
        strength = [(name, one) for name, one in self.screens() if one.unit in FORCES]
        lowest = least(screen for _, screen in strength)
        return next(pair for pair in strength if pair[1] is lowest)


def laid_out(given: Given, chosen: Chosen, sweep: Callable[[], Sweep]) -> Laid:
    """One hand with the sizes chosen; raises NoTab. `sweep` is solved where a link is held."""
    tabs = tabs_of(given, chosen.sizes)
    used = bolt_used(given, chosen.sizes.thickness)
    pin = pin_of(given, used.threads_in_plane)
    tilts: tuple[Tilt, ...] = ()
    try:
        if given.held is not None:
            tilts = tilts_of(given, sweep())
        tilted = (*tilt_screens(given, tilts), *shank_screens(given, tabs[0], tilts))
    except ValueError as error:
        found, _, remedy = str(error).partition("; ")
        raise NoTab("joint", found, "a joint that goes into the fork and tilts in it",
                    remedy) from error  # fmt: skip
    stood = stand_screens(given, tabs)
    shared = (
        *tilted,
        *fit_screens(given, tabs[0]),
        *used.threads,
        *bolt_screens(given, chosen.sizes.thickness, used),
        *stood,
    )
    told = tabs[:1] if alike(given, tabs) else tabs
    own = tuple(tab_screens(given, tab, pin) for tab in told) * (len(tabs) // len(told))
    return Laid(
        given, chosen, tabs, lay_out_strap(given, tabs), used, tilts, own, shared,
        spreader_under(given, tabs, stood),
    )  # fmt: skip
