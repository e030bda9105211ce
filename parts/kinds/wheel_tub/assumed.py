"""What a wheel tub takes for granted: the tyre, how far the axle moves, what was wished."""

from __future__ import annotations

from collections.abc import Iterator

from parts.kinds.assumed import of_mirror
from parts.kinds.bench import Bench
from parts.kinds.wheel_tub.config import TubSide, WheelTub
from parts.kinds.wheel_tub.findings import wishes
from parts.trade.gear import Gear


def assumptions(config: WheelTub, bench: Bench) -> Iterator[str]:
    """In sentences; a tub carries no load and none is assumed."""
    gear = bench.gears[config.axle]
    yield from _tyre(gear)
    yield from _travel(gear)
    for hand in config.hands:
        side = config.side(hand)
        if side is None:
            yield of_mirror(hand)
        else:
            yield f"{hand}: wanted clear of the tyre in every pose: {_wished(config, side)}"
            if side.arch is None:
                yield f"{hand}: no wheel opening was given, so the body side counts as closed there"
    yield f"rail, body side and floors lie where they were measured, ± {config.surround_error:g} mm"


def _tyre(gear: Gear) -> Iterator[str]:
    size, section, spread = gear.size, gear.section, gear.spread
    yield (
        f"the tyre is {section.width:.1f} mm wide ({size.width.source}) and "
        f"{section.diameter:.1f} in diameter ({size.diameter.source})"
    )
    yield (
        f"± of the tyre: {spread['width']:.1f} mm in width, {spread['diameter']:.1f} in diameter; "
        f"with all growth in service one of its size may come to {size.greatest_width.value:.1f} "
        f"by {size.greatest_diameter.value:.1f} ({size.greatest_diameter.source})"
    )


def _travel(gear: Gear) -> Iterator[str]:
    stops = gear.stops
    lock = f", {stops.lock_deg:g}° of lock" if gear.steers else ""
    yield (
        f"each wheel moves {stops.bump:g} mm up from ride to its stop and {stops.droop:g} down"
        f"{lock}, in every combination of left and right; links stay as long as they are and "
        "bushes do not give"
    )
    spread = gear.spread
    yield (
        f"± of the wheel's place: {spread['across']:.1f} mm across, {spread['fore-aft']:.1f} fore "
        f"and aft, {spread['height']:.1f} in height"
    )


def _wished(config: WheelTub, side: TubSide) -> str:
    wished = wishes(config, side)
    if config.style != "formed":
        del wished["formed rim"]
    return ", ".join(f"{name} {gap:g} mm" for name, gap in wished.items())
