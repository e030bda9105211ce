"""Link tab: a pair of tabs, or one, that hold the joint of a link.

seen along the bolt:      seen along the tab:

       .--.                   |  o  |   joint between two tabs,
      / () \\                  | (_) |   spacers on either side
     /      \\                 |     |
    '-.____.-'  cope         _|_____|_
     (      )   tube         (_________
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial

from parts.kinds.bench import Bench
from parts.kinds.link_tab.assumed import assumptions, load_cases
from parts.kinds.link_tab.config import LinkTab
from parts.kinds.link_tab.figures import hand_figures
from parts.kinds.link_tab.findings import findings, too_weak
from parts.kinds.link_tab.given import points_used
from parts.kinds.link_tab.hands import hands_of
from parts.kinds.link_tab.laid import Laid
from parts.kinds.link_tab.pieces import pieces_of
from parts.kinds.link_tab.scenery import scenery
from parts.kinds.link_tab.sketches import wrap_sketch
from parts.kinds.link_tab.tables import axle_tables, tilt_table
from parts.kinds.sides import of_hand
from parts.part import Part, Piece
from parts.report import Chart, Figure
from parts.scenery import Later
from parts.trade.gear import Gear
from parts.trade.links import charts, figures, over_bump, over_roll

__all__ = ["LinkTab", "lay_out"]

CAUTIONS = (
    "Loss of a link can mean loss of control. The loads used here are assumptions. Material, weld, "
    "weld inspection, bolt class and the vehicle's real loads must be approved by a licensed "
    "engineer.",
    "Not for seat belts, seats, steering or brakes: do not use these tabs for their mountings.",
    "The screening is rough and looks at one great load. Fatigue is not screened: millions of "
    "small loads crack a weld that one great load leaves whole. Inspect the welds every year. What "
    "is screened is giving way: corners of the root and the crown of a cope yield in places at "
    "about 0.6 of that load.",
    "Weld only by a qualified welder. Set the pinion angle and cycle the axle through bump, droop "
    "and roll with the tabs tacked, before they are welded.",
    "Bolt the welding spacer in hard and leave it in until the tabs are cold: welds close the gap. "
    "Take rubber and seals out of the heat. Ream the holes after welding.",
    "Welding on the vehicle: disconnect the battery and control units, earth near the weld, no "
    "fuel, sealer or foam within reach, fire watch for 30 minutes. Grind zinc off first.",
    "Cut and offer up the first tab, or a card of it, before cutting the rest.",
)


def lay_out(name: str, config: LinkTab, bench: Bench) -> Part:
    """The tabs of each hand asked for, with forces, figures and findings."""
    gear = bench.gears[config.axle] if config.axle is not None else None
    hands = hands_of(config, bench)
    said, laids = list(hands.findings), hands.laids
    pieces: list[Piece] = []
    for laid in laids:
        hand = laid.given.hand
        said += of_hand(hand, (*too_weak(laid), *findings(laid)))
        made, wrong = pieces_of(laid)
        pieces += made
        said += wrong
    used = points_used(hands.givens)
    held = gear if gear is not None and any(one.held for one in hands.givens) else None
    known = held is not None and held.car is not None
    tables = list(axle_tables(hands.forces())) if known else []
    tilts = tilt_table(laids)
    cases = load_cases(config, hands.givens, hands.forces() if known else ())
    return Part(
        bench.job, name, config.kind, bench.made_on, tuple(pieces),
        (*_axle_figures(held), *_hand_figures(laids)), tuple(said), CAUTIONS,
        bench.measurements_of(used), config.note, bench.spots.listed(used),
        (*tables, *((tilts,) if tilts is not None else ())), _charts(held),
        tuple(sketch for laid in laids if (sketch := wrap_sketch(laid)) is not None),
        summary=tuple(_summary(laids)), assumptions=tuple(assumptions(config, laids)),
        load_cases=tuple(cases), later=Later(partial(scenery, hands.givens)),
    )  # fmt: skip



def _hand_figures(laids: Iterable[Laid]) -> Iterator[Figure]:
    for laid in laids:
        for figure in hand_figures(laid):
            yield replace(figure, name=f"{laid.given.hand}: {figure.name}")


def _axle_figures(gear: Gear | None) -> tuple[Figure, ...]:
    if gear is None or gear.car is None:
        return ()
    ride = over_bump(gear.axle, gear.car, gear.stops, 1)
    return figures(next(one for one in ride if one.travels.left == 0), gear.car)


def _charts(gear: Gear | None) -> tuple[Chart, ...]:
    if gear is None or gear.car is None:
        return ()
    bump = over_bump(gear.axle, gear.car, gear.stops)
    roll = over_roll(gear.axle, gear.car, gear.stops)
    return charts(bump, roll, gear.car)


def _summary(laids: Iterable[Laid]) -> Iterator[str]:
    """The weakest line of each hand, by name."""
    for laid in laids:
        name, screen = laid.weakest()
        where = f"{name}, {screen.name}" if name else screen.name
        note = f" ({screen.note})" if screen.note else ""
        yield (
            f"{laid.given.hand}: the least reserve of strength is {screen.reserve:.2f}: "
            f"{where}{note}; fatigue is not screened"
        )
