"""The pin or bolt of a link: its shear and its bending between the plates of a fork."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot, pi, sqrt
from typing import TypeAlias

from parts.trade.bolts import Bolt, PropertyClass, partial_factor, shear_resistance_n
from parts.trade.reserve import Screen, at_most

PINS = "EN 1993-1-8 table 3.10"


@dataclass(frozen=True, slots=True)
class Pin:
    """What goes through the hole. `modulus` (mm3) is of the section that bends; `shear_n` is
    what one plane of it resists."""

    diameter: float
    modulus: float
    yield_mpa: float
    shear_n: float
    source: str

    @property
    def moment_nmm(self) -> float:
        """What it resists in bending, 1.5 W_el f_yp / gamma_M0."""
        return 1.5 * self.modulus * self.yield_mpa / partial_factor("M0")

    @property
    def service_moment_nmm(self) -> float:
        """The same in service, for a pin that is to come out again: 0.8 W_el f_yp."""
        return 0.8 * self.modulus * self.yield_mpa / partial_factor("M6,ser")


@dataclass(frozen=True, slots=True)
class DoubleShear:
    """A joint between two like plates. `gap` and `other_gap` (the same unless given) lie between
    the joint and the plate on either side: spacers and play."""

    outer: float  # thickness of each plate
    middle: float  # width of the joint where it bears on the pin
    gap: float
    other_gap: float | None = None

    @property
    def gaps(self) -> tuple[float, float]:
        return (self.gap, self.gap if self.other_gap is None else self.other_gap)


@dataclass(frozen=True, slots=True)
class SingleShear:
    """A joint beside one plate, on a stud that the plate alone holds."""

    outer: float
    middle: float
    gap: float


Fork: TypeAlias = DoubleShear | SingleShear


def plain_pin(diameter: float, yield_mpa: float, ultimate_mpa: float) -> Pin:
    """A plain pin: shear 0.6 A f_up / gamma_M2 in one plane (EN 1993-1-8 table 3.10).

    >>> pin = plain_pin(16, 235, 360)   # 0.6 x 201.06 x 360 / 1.25
    >>> round(pin.shear_n), round(pin.modulus, 1)
    (34744, 402.1)
    """
    shear_n = 0.6 * pi / 4 * diameter**2 * ultimate_mpa / partial_factor("M2")
    return Pin(diameter, _modulus(diameter), yield_mpa, shear_n, PINS)


def bolt_as_pin(
    bolt: Bolt, strength: PropertyClass, threads_in_plane: bool, hole: float | None = None
) -> Pin:
    """A bolt used as the pin of a link; with threads in a shear plane it shears and bends on
    the diameter of its stress area.

    >>> from parts.trade.bolts import bolt, property_class
    >>> pin = bolt_as_pin(bolt("M16"), property_class("8.8"), threads_in_plane=True)
    >>> round(pin.shear_n, -1)
    60160.0
    """
    core = 2 * sqrt(bolt.stress_area / pi) if threads_in_plane else bolt.diameter
    shear_n = shear_resistance_n(bolt, strength, 1, threads_in_plane, hole)
    return Pin(
        bolt.diameter, _modulus(core), strength.design_yield_mpa, shear_n,
        f"{PINS}; shear as a bolt, table 3.4",
    )  # fmt: skip


def plate_share(fork: Fork) -> float:
    """The part of the force that the more loaded plate takes: half, or more where the joint
    does not sit in the middle, and all of it in single shear.

    >>> plate_share(DoubleShear(6, 12, 1)), plate_share(DoubleShear(6, 12, 1, 6))
    (0.5, 0.6)
    """
    return max(_shares(fork)) if isinstance(fork, DoubleShear) else 1.0


def pin_moment_nmm(force_n: float, fork: Fork) -> float:
    """Greatest moment in the pin, loads spread evenly over each plate and over the joint.

    Double shear with the joint in the middle is F / 8 (b + 4 c + 2 a), figure 3.11 of
    EN 1993-1-8; out of the middle it is the same statics. Single shear is the whole force at
    the distance between the middles of plate and joint.

    >>> pin_moment_nmm(30000, DoubleShear(6, 12, 1))
    105000.0
    >>> pin_moment_nmm(30000, SingleShear(6, 12, 1))
    300000.0
    """
    force_n = abs(force_n)
    if isinstance(fork, SingleShear):
        return force_n * (fork.outer / 2 + fork.gap + fork.middle / 2)
    near, far = _shares(fork)
    arm = fork.outer / 2 + fork.gap + fork.middle / 2
    return force_n * near * (arm - far * fork.middle / 2)


def pin_screens(
    force_n: float, pin: Pin, fork: Fork, service_force_n: float | None = None
) -> Iterator[Screen]:
    """Shear, bending and both at once; bending in service where that force is given.

    Both at once is (M / M_Rd)^2 + (V / V_Rd)^2 <= 1, told as its root so that the reserve is
    the factor the force may grow by.
    """
    shear_n, moment_nmm = plate_share(fork) * abs(force_n), pin_moment_nmm(force_n, fork)
    yield at_most("pin shear", shear_n, pin.shear_n, "N", pin.source, "one plane")
    yield at_most("pin bending", moment_nmm, pin.moment_nmm, "Nmm", pin.source)
    together = hypot(moment_nmm / pin.moment_nmm, shear_n / pin.shear_n)
    yield at_most("pin shear with bending", together, 1.0, "", pin.source)
    if service_force_n is not None:
        yield at_most(
            "pin bending in service", pin_moment_nmm(service_force_n, fork),
            pin.service_moment_nmm, "Nmm", PINS, "a pin that is to come out again",
        )  # fmt: skip


def _shares(fork: DoubleShear) -> tuple[float, float]:
    """Parts of the force on the plate beside `gap` and on the other."""
    half = (fork.outer + fork.middle) / 2
    arms = [half + gap for gap in fork.gaps]
    return (arms[1] / sum(arms), arms[0] / sum(arms))


def _modulus(diameter: float) -> float:
    return pi / 32 * diameter**3
