"""What a link tab takes for granted: the car, load cases, strengths of metals, bolt and welds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from parts.kinds.assumed import of_bolts, of_metal, of_mirror
from parts.kinds.link_tab.config import LinkTab
from parts.kinds.link_tab.given import Given
from parts.kinds.link_tab.laid import Laid
from parts.kinds.link_tab.loads import GIVEN
from parts.kinds.link_tab.screens import is_wrapped, leg_of
from parts.report import Load, LoadCase
from parts.trade.links import Car, CaseForces
from parts.trade.links import LoadCase as Row
from parts.trade.links import load_cases as rows_of_cases


def assumptions(config: LinkTab, laids: Iterable[Laid]) -> Iterator[str]:
    """In sentences, the same ones of both hands once."""
    yield from dict.fromkeys(words for laid in laids for words in _of_hand(laid))
    yield from (of_mirror(hand) for hand in config.hands if config.side(hand) is None)


def _of_hand(laid: Laid) -> Iterator[str]:
    given, tab = laid.given, laid.tabs[0]
    config = given.config
    if given.held is not None and given.held.gear.car is not None and config.force is None:
        yield from _car(given.held.gear.car)
    if given.held is not None:
        yield "the joint at the link's other end is like this one, in a fork like this one"
    yield of_bolts("joint", config.bolt, given.strength)
    yield of_metal("what it stands on", given.stand.material)
    yield f"wall of what it stands on: {given.stand.wall:.1f} mm that count"
    if config.foot is None or config.foot.fixing == "welded":
        ends = "run round the ends of the root" if is_wrapped(given) else "open at their ends"
        yield (
            f"fillet welds of {leg_of(given, tab):g} mm leg on both faces, {ends}, sound all "
            f"through and no weaker than the metal; judged: {config.weld.method}"
        )
    yield f"bolt, lug and wall judged by {config.method}; reserve wished {config.reserve:g}"
    yield "fatigue is not looked at"


def _car(car: Car) -> Iterator[str]:
    yield (
        f"the car weighs {car.mass_kg:g} kg, {100 * car.share:.0f} % of it on this axle; wheelbase "
        f"{car.wheelbase:g} mm, its mass {car.mass_height:g} mm above the ground"
    )
    yield (
        f"the tyres' grip is {car.friction:g} of their load; this axle does "
        f"{100 * car.drive_share:.0f} % of the driving and {100 * car.braking_share:.0f} % of the "
        "braking"
    )
    by = {True: "the links", False: "the body"}
    yield f"drive torque is taken by {by[car.drive_on_axle]}, brakes by {by[car.brakes_on_axle]}"
    yield (
        "the axle's own weight and inertia are left with the body; the springs carry the propeller "
        "shaft's torque"
    )


def load_cases(
    config: LinkTab, givens: Iterable[Given], forces: Iterable[CaseForces]
) -> Iterator[LoadCase]:
    """The force that was given, or every case that the links' forces were worked out for, each
    with its greatest pull and push in the links that tabs hold."""
    if config.force is not None:
        shock = config.shock or 1.0
        pulls = {pull.case: pull for one in givens for pull in one.pulls}
        loads = tuple(
            Load("on the joint", pull.size_n, "N", case.removeprefix(f"{GIVEN}, "))
            for case, pull in pulls.items()
        )
        yield LoadCase(
            GIVEN, "the force in the link as the user takes it", loads, shock,
            "job file: force, and shock where one is given",
        )  # fmt: skip
        return
    names = [one.held.link.name for one in givens if one.held is not None]
    every = tuple(forces)
    for row in rows_of_cases():
        case = replace(row, shock=config.shock or row.shock)
        own = [one for one in every if one.case == case.name]
        if own and names:
            loads = tuple(load for name in names for load in _most(name, own))
            source = "job file: shock; " if config.shock else ""
            yield LoadCase(case.name, in_words(case), loads, case.shock, f"{source}{case.source}")


def _most(link: str, own: Iterable[CaseForces]) -> Iterator[Load]:
    """The greatest pull and push of a link in the poses of one case."""
    found = [(f.force_n, one.travels) for one in own for f in one.links if f.name == link]
    for word, (force, pose) in (("pull", max(found)), ("push", min(found))):
        if (force > 0) == (word == "pull") and abs(force) >= 1.0:
            yield Load(link, abs(force), "N", f"{word}, {pose}")


def in_words(case: Row) -> str:
    """What happens on the road, from the row of the table.

    >>> from parts.trade.links import load_case
    >>> in_words(load_case("bump under one wheel"))
    'one tyre with 3 times the load that stands on it, rolling; on the bump stop'
    """
    tyres, on = ("one tyre", "it") if case.wheels == "one" else ("both tyres", "them")
    times = f"{case.upright:g} times the load" if case.upright != 1 else "the load"
    words = [f"{tyres} with {times} that stands on {on}"]
    of = "their grip" if case.of == "grip" else "that load"
    for share, ways in ((case.along, ("forward", "rearward")), (case.across, ("right", "left"))):
        if share:
            words.append(f"{abs(share):g} of {of} {ways[share < 0]}")
    words.append({"drive": "driven", "brake": "braked", "none": "rolling"}[case.torque])
    lock = "; at full lock" if case.lock else ""
    return ", ".join(words) + lock + ("; on the bump stop" if case.poses == "bump" else "")
