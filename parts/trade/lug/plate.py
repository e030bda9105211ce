"""The plate round a pin: bearing, tear-out and net section, by EN 1993-1-8 or by AISC 360."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt

from parts.trade.bolts import partial_factor
from parts.trade.lug.pin import PINS, Pin
from parts.trade.reserve import Screen, aisc_phi, at_least, at_most

BESIDE = 16.0  # mm; AISC 360 D5.1 counts no more than two thicknesses and this beside the hole
STEEL_MPA = 210000.0  # modulus, EN 1993-1-1 3.2.6
TYPE_A = "EN 1993-1-8 table 3.9, type A"


@dataclass(frozen=True, slots=True)
class Lug:
    """One plate with a hole for a pin; `end` runs from the hole's centre to the edge along the
    force, `side` to the nearer edge across it."""

    thickness: float
    hole: float
    end: float
    side: float
    yield_mpa: float
    ultimate_mpa: float

    @property
    def clear_end(self) -> float:
        return self.end - self.hole / 2

    @property
    def clear_side(self) -> float:
        return self.side - self.hole / 2


def en_lug(force_n: float, lug: Lug, pin: Pin) -> Iterator[Screen]:
    """Bearing 1.5 t d f_y / gamma_M0, and the type A plate (table 3.9) turned round to forces:
    2 t f_y (a - 2 d_0 / 3) for the end and 2 t f_y (c - d_0 / 3) beside the hole.

    The yield that bears is the lower of pin and plate. `force_n`: on this plate alone.

    >>> from parts.trade.lug.pin import plain_pin
    >>> lug = Lug(12, 17, 28, 25, 355, 470)
    >>> [round(s.limit) for s in en_lug(30000, lug, plain_pin(16, 640, 800))]
    [102240, 69580, 92300]
    """
    force_n = abs(force_n)
    bears = min(lug.yield_mpa, pin.yield_mpa)
    plate = 2 * lug.thickness * lug.yield_mpa / partial_factor("M0")
    bearing = 1.5 * lug.thickness * pin.diameter * bears / partial_factor("M0")
    yield at_most("bearing of the pin", force_n, bearing, "N", PINS)
    end = max(plate * (lug.clear_end - 2 * lug.hole / 3), 0.0)
    yield at_most("tear-out", force_n, end, "N", TYPE_A)
    side = max(plate * (lug.clear_side - lug.hole / 3), 0.0)
    yield at_most("net section", force_n, side, "N", TYPE_A)


def en_lug_in_service(
    force_n: float, lug: Lug, pin: Pin, e_mpa: float = STEEL_MPA
) -> Iterator[Screen]:
    """A pin that is to come out again, under the force as it comes: bearing 0.6 t d f_y, and
    contact 0.591 sqrt(E F (d_0 - d) / (d^2 t)) within 2.5 f_y (EN 1993-1-8 3.13.2)."""
    force_n = abs(force_n)
    bears = min(lug.yield_mpa, pin.yield_mpa)
    gamma = partial_factor("M6,ser")
    bearing = 0.6 * lug.thickness * pin.diameter * bears / gamma
    yield at_most("bearing of the pin in service", force_n, bearing, "N", PINS)
    play = max(lug.hole - pin.diameter, 0.0)
    contact = 0.591 * sqrt(e_mpa * force_n * play / (pin.diameter**2 * lug.thickness))
    yield at_most(
        "contact of the pin in service", contact, 2.5 * bears / gamma, "MPa",
        "EN 1993-1-8 (3.14), (3.15)",
    )  # fmt: skip


def aisc_lug(force_n: float, lug: Lug, pin: Pin) -> Iterator[Screen]:
    """The pin-connected plate of AISC 360 (LRFD): D5.1 rupture across and shear past the hole,
    J7 bearing 1.8 F_y d t, D2 yield of the width 2 x `side`.

    >>> from parts.trade.lug.pin import plain_pin
    >>> lug = Lug(12, 17, 28, 25, 250, 400)
    >>> [round(s.limit) for s in aisc_lug(9000, lug, plain_pin(16, 640, 800))]
    [64800, 118800, 118800, 135000]
    """
    force_n = abs(force_n)
    t, phi = lug.thickness, aisc_phi("rupture")
    bearing = aisc_phi("pin bearing") * 1.8 * min(lug.yield_mpa, pin.yield_mpa) * pin.diameter * t
    yield at_most("bearing of the pin", force_n, bearing, "N", "AISC 360 J7")
    past = phi * 0.6 * lug.ultimate_mpa * 2 * t * max(lug.clear_end + pin.diameter / 2, 0.0)
    yield at_most("tear-out", force_n, past, "N", "AISC 360 D5.1(b)")
    across = phi * lug.ultimate_mpa * 2 * t * max(_beside(lug), 0.0)
    yield at_most("net section", force_n, across, "N", "AISC 360 D5.1(a)")
    gross = aisc_phi("yielding") * lug.yield_mpa * 2 * lug.side * t
    yield at_most("gross section", force_n, gross, "N", "AISC 360 D2(a)")


def aisc_proportions(lug: Lug, pin: Pin) -> Iterator[Screen]:
    """What AISC 360 D5.2 asks of the plate's shape: end 1.33 b_e, width 2 b_e + d, and a hole
    no more than 1 mm over the pin."""
    source = "AISC 360 D5.2"
    yield at_least("end beyond the hole", lug.clear_end, 1.33 * _beside(lug), "mm", source)
    width = 2 * _beside(lug) + pin.diameter
    yield at_least("width at the hole", 2 * lug.side, width, "mm", source)
    yield at_most("hole for the pin", lug.hole, pin.diameter + 1, "mm", source)


def aisc_bolt_bearing(force_n: float, lug: Lug, bolt_diameter: float) -> Screen:
    """A bolt that clamps and does not turn: the lesser of 1.2 l_c t F_u and 2.4 d t F_u
    (AISC 360 J3.10, where the hole is not to grow in service)."""
    tear = 1.2 * max(lug.clear_end, 0.0)
    most = 2.4 * bolt_diameter
    limit = aisc_phi("bolt bearing") * min(tear, most) * lug.thickness * lug.ultimate_mpa
    note = "tear-out governs" if tear < most else "bearing governs"
    return at_most("bearing of the bolt", abs(force_n), limit, "N", "AISC 360 J3.10", note)


def _beside(lug: Lug) -> float:
    """b_e: metal counted on each side of the hole."""
    return min(2 * lug.thickness + BESIDE, lug.clear_side)
