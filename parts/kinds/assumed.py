"""What several kinds take for granted, in words for the engineer's page."""

from __future__ import annotations

from parts.sheet.stock import Material
from parts.trade.bolts import PropertyClass


def of_bolts(where: str, name: str, strength: PropertyClass) -> str:
    """A bolt and its strength.

    >>> from parts.trade.bolts import property_class
    >>> of_bolts("rail", "M12", property_class("8.8"))
    'rail: bolt M12, 8.8, counted on with yield 640 and tensile strength 800 MPa'
    """
    return (
        f"{where}: bolt {name}, {strength.name}, counted on with yield "
        f"{strength.design_yield_mpa:g} and tensile strength {strength.design_ultimate_mpa:g} MPa"
    )


def of_metal(where: str, metal: Material) -> str:
    """A metal that is already on the vehicle, taken to be what the job file says."""
    return (
        f"{where}: {metal.name}, yield {metal.yield_mpa:g} and tensile strength "
        f"{metal.ultimate_mpa:g} MPa ({metal.source})"
    )


def of_mirror(hand: str) -> str:
    """A side that was not measured."""
    return f"the {hand} hand was not measured: it is the mirror image of the other"
