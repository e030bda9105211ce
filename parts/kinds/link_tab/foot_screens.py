"""A folded foot: its bolts, or the welds round it, and its bending where it is held."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from math import hypot

from parts.kinds.link_tab.folded import FoldedFoot, along_foot
from parts.kinds.link_tab.given import Given
from parts.kinds.link_tab.on_tab import OnTab
from parts.kinds.link_tab.stands import FlatFace, NoTab
from parts.kinds.link_tab.tab import Tab
from parts.place import Place, axes
from parts.sheet.curve import Line
from parts.trade import screening
from parts.trade.bolts import (
    PropertyClass,
    property_class,
    shear_resistance_n,
    tension_resistance_n,
)
from parts.trade.reserve import Screen, at_most
from parts.trade.weld import (
    Load,
    Run,
    WeldMetal,
    length_screens,
    size_screens,
    weld_metal,
    weld_screens,
)

FAR_IN = 3.0  # holes; bolts that lie as far in from an edge lose nothing by it
CLASS = "8.8"  # of the bolts of a foot
PRYING = "statics of the foot about its toe and its heel"


def foot_place(given: Given, tab: Tab, foot: FoldedFoot) -> Place:
    """Axes on the face: x along the fold as the tab's, z out of the face, y = 0 at the apex; the
    tab's x = 0 is x = 0 here."""
    assert isinstance(given.stand, FlatFace)
    apex = tab.place.apply([0.0, foot.apex, -foot.way * tab.thickness / 2])
    return axes(tab.place.turn[:, 0], given.stand.out, apex)


def foot_runs(given: Given, tab: Tab, foot: FoldedFoot, throat: float) -> tuple[Run, ...]:
    """Fillets on the three free edges of a welded foot."""
    place = foot_place(given, tab, foot)
    assert isinstance(given.stand, FlatFace)
    way = along_foot(foot, tab.place, given.stand.out)
    up = 1.0 if way @ place.turn[:, 1] > 0 else -1.0
    low, high = up * foot.setback, up * foot.length
    left, right = tab.foot.curves[0].start[0], tab.foot.curves[-1].end[0]
    near, far = (right, left) if up > 0 else (left, right)  # the foot lies to the left of the runs
    corners = [(near, low), (near, high), (far, high), (far, low)]
    return tuple(
        Run(Line(a, b), throat, place, "lap")
        for a, b in pairwise(corners)
    )


def between_toes(given: Given, tabs: Sequence[Tab]) -> float | None:
    """From toe to toe of two feet that are turned toward each other, below 0 where they lie over
    each other; None for any others."""
    if len(tabs) != 2 or tabs[0].folded is None or tabs[1].folded is None:
        return None
    one, other = tabs[0].folded, tabs[1].folded
    assert isinstance(given.stand, FlatFace)
    way = along_foot(one, tabs[0].place, given.stand.out)
    apart = foot_place(given, tabs[1], other).origin - foot_place(given, tabs[0], one).origin
    if apart @ way <= 0:
        return None
    return float(apart @ way) - one.length - other.length


def foot_screens(
    given: Given, tab: Tab, foot: FoldedFoot, loads: Sequence[OnTab], throat: float
) -> Iterator[tuple[str, list[Screen]]]:
    """Every load's screens of the foot, with its case."""
    for load in loads:
        if foot.fixing.fixing == "bolted":
            yield load.case, list(_bolted(given, tab, foot, load))
        else:
            for sense in (1, -1):
                yield load.case, _welded(given, tab, foot, load, sense, throat)


def metal_of(given: Given, tab: Tab) -> WeldMetal:
    """What the welds' strength rests on; raises NoTab for metals of which nothing is known."""
    parts = (tab.sizes.rack.stock.material, given.stand.material)
    try:
        return weld_metal(parts, given.config.weld.filler)
    except ValueError as error:
        raise NoTab(
            "stock", str(error).partition(": ")[0], "steel welded to steel", "take a steel sheet"
        ) from error  # fmt: skip


def _welded(
    given: Given, tab: Tab, foot: FoldedFoot, load: OnTab, sense: int, throat: float
) -> list[Screen]:
    metal = metal_of(given, tab)
    force = tab.place.direction([load.along, load.away, sense * load.across])
    at = tab.place.apply([*load.hole, 0.0])
    runs = foot_runs(given, tab, foot, throat)
    found = weld_screens(runs, Load(force, at), metal, given.config.weld.method)
    return [replace(screen, note="") for screen in found]


def foot_weld_sizes(given: Given, tab: Tab, foot: FoldedFoot, throat: float) -> Iterator[Screen]:
    """Whether the welds round a foot are thick and long enough."""
    yield from size_screens(throat, min(tab.thickness, given.stand.wall))
    yield from length_screens(max(tab.foot.width, foot.length - foot.setback), throat, 0)


def _bolted(given: Given, tab: Tab, foot: FoldedFoot, load: OnTab) -> Iterator[Screen]:
    """The bolt that takes most. A force off the face levers about the toe, one across the tab
    about toe or heel, whichever is nearer to the bolts; one along the root pulls at one bolt."""
    strength = property_class(CLASS, foot.bolt.diameter)
    height = load.hole[1] - foot.apex
    toe = foot.length - foot.from_apex
    pull = max(load.away, 0.0) * (1 + foot.from_apex / toe)
    levered = load.across * height / min(toe, foot.from_apex)
    beside = abs(load.along) * height / foot.pitch
    tension = (pull + levered) / 2 + beside
    shear = hypot(load.along, load.across) / 2
    yield replace(screening.bolt_tension(tension, foot.bolt, strength), name="foot bolt, tension")
    sheared = screening.bolt_shear(shear, foot.bolt, strength, hole=foot.hole)
    yield replace(sheared, name="foot bolt, shear")
    both = shear / shear_resistance_n(foot.bolt, strength, hole=foot.hole) + tension / (
        1.4 * tension_resistance_n(foot.bolt, strength)
    )
    yield at_most("foot bolt, shear with tension", both, 1.0, "", "EN 1993-1-8 table 3.4", PRYING)
    metal = tab.sizes.rack.stock.material
    arm = max(foot.from_apex - foot.setback, 0.0)
    bent = screening.root_bending(2 * tension, arm, tab.foot.width, tab.thickness, metal.yield_mpa)
    yield replace(bent, name="bending of the foot", note=f"{arm:.1f} from its bolts to the fold")
    side = (tab.foot.width - foot.pitch) / 2
    yield replace(
        screening.bearing(
            shear, foot.bolt, strength, tab.thickness, metal.ultimate_mpa, foot.hole,
            min(toe, side), min(toe, side), gauge=foot.pitch,
        ),
        name="foot bolt, bearing",
    )  # fmt: skip
    yield from _in_wall(given, foot, strength, shear, tension)


def _in_wall(
    given: Given, foot: FoldedFoot, strength: PropertyClass, shear: float, tension: float
) -> Iterator[Screen]:
    """The bolt that takes most, in the wall that the foot lies on."""
    wall, ultimate = given.stand.wall, given.stand.material.ultimate_mpa
    punched = screening.punching(tension, foot.bolt, wall, ultimate)
    note = "a flat face bending in is not looked at"
    yield replace(punched, name="foot bolt, punching the wall", note=note)
    far = FAR_IN * foot.hole
    borne = screening.bearing(
        shear, foot.bolt, strength, wall, ultimate, foot.hole, far, far, gauge=foot.pitch
    )
    note = f"in holes as the foot's, {far:.0f} mm or more from the wall's edges"
    yield replace(borne, name="foot bolt, bearing in the wall", note=note)
