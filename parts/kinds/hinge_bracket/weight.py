"""The lid's mass and centre from what is known of it, and what the sources disagree by."""

from __future__ import annotations

from dataclasses import dataclass, replace

from parts.kinds.hinge_bracket.weight_config import WeightConfig
from parts.sheet.stock import material
from parts.trade.strut import Disagreement, Extra, LidMass, Plate, built_up, disagreements, weigh

SCALES, GIVEN, PLATES = "two scales", "as given", "plates and extras"


@dataclass(frozen=True, slots=True)
class Weighed:
    """The lid's mass and centre in lid axes, whence, and how other sources differ: each with
    where it comes from. `up_source` tells whence the centre's height is."""

    mass: LidMass
    source: str
    others: tuple[tuple[str, Disagreement], ...] = ()
    up_source: str = "given"


def weighed(config: WeightConfig) -> Weighed:
    """Scales go before a given mass, and both before plates."""
    up = config.centre[1] if config.centre else None
    plates = _plates(config) if config.plates else None
    if config.scales is not None:
        one, up_from = config.scales, "given; level scales do not show it"
        if up is None and plates is not None:
            up, up_from = plates.up, "from the plates; level scales do not show it"
        elif up is None:
            up, up_from = 0.0, "not known, taken as 0: hang the lid by a corner to see it"
        found = weigh(one.hinge_edge, one.latch_edge, one.apart, one.hinge_at, up, one.plus_minus)
        others = [(GIVEN, d) for d in disagreements(found, config.mass, _along(config))]
        if plates is not None:
            others += [(PLATES, d) for d in disagreements(found, plates.mass_kg, plates.along)]
        return Weighed(found, SCALES, tuple(others), up_from)
    if config.mass is not None and config.centre is not None:
        given = LidMass(config.mass, config.centre[0], config.centre[1])
        others = []
        if plates is not None:
            others = [(PLATES, d) for d in disagreements(given, plates.mass_kg, plates.along)]
        return Weighed(given, GIVEN, tuple(others))
    assert plates is not None
    up_from = PLATES
    if config.centre is not None:
        plates, up_from = replace(plates, up=config.centre[1]), "given"
    others = [(GIVEN, d) for d in disagreements(plates, config.mass, _along(config))]
    return Weighed(plates, PLATES, tuple(others), up_from)


def _along(config: WeightConfig) -> float | None:
    return config.centre[0] if config.centre else None


def _plates(config: WeightConfig) -> LidMass:
    plates = [
        Plate(p.name, p.size[0] * p.size[1], p.thickness, material(p.material).density_kg_m3, p.at)
        for p in config.plates
    ]
    return built_up(plates, [Extra(e.name, e.mass, e.at) for e in config.extras])
