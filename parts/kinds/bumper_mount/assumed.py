"""What a bumper mount takes for granted: bolts, friction of the joints, the load of the bar."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from parts.kinds.assumed import of_bolts, of_mirror
from parts.kinds.bumper_mount.config import BumperMount
from parts.kinds.bumper_mount.sections import screening_force_n
from parts.part import Piece
from parts.report import Load, LoadCase
from parts.trade.bolts import property_class


def assumptions(config: BumperMount, pieces: Iterable[Piece]) -> Iterator[str]:
    """In sentences; how the slip of the joints was reckoned is read from the screens."""
    strength = property_class(config.bolt_class)
    for where, name in (("rail", config.rail_bolt), ("bar", config.bar_bolt)):
        yield of_bolts(where, name, strength)
    slips = (
        f"{screen.name}: {screen.note}; bolts tightened to their preload"
        for piece in pieces
        for screen in piece.screens
        if screen.name.startswith("slip")
    )
    yield from dict.fromkeys(slips)
    yield "rail and bar themselves are not screened"
    yield from (of_mirror(hand) for hand in config.hands if config.side(hand) is None)


def load_cases(config: BumperMount) -> Iterator[LoadCase]:
    """The one load that a bracket is screened for."""
    load = Load("on the bar's studs of one bracket", screening_force_n(config), "N",
                "any direction, whichever is worst")  # fmt: skip
    yield LoadCase(
        "bar shaken",
        f"{config.bar_mass:g} kg of bar and fittings on one bracket, thrown about by the road "
        f"with {config.load_g:g} times its weight; no step, no tow, no crash",
        (load,), config.load_g, "job file: bar_mass and load_g; usual: 3 to 5 g",
    )  # fmt: skip
