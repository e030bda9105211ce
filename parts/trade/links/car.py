"""What of the car the per cents and the link forces need."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from parts.tables import find

GRAVITY = 9.80665  # m/s2, standard gravity (3rd CGPM, 1901)


def rule(name: str) -> float:
    """A number of link_rules.csv; UnknownName for one that is not there.

    >>> rule("grip")
    1.0
    """
    return float(find("link_rules", name, what="rule")["value"])


@dataclass(frozen=True, slots=True)
class Car:
    """The car standing level at ride, and how this axle is driven and braked.

    `share` of the mass stands on this axle; `mass_height` is above the ground, with all that is
    in the car; `loaded_radius` is the wheel centres' height. Of all drive and all braking this
    axle does `drive_share` and `brake_share`; without the latter, the share that stands on it
    when all wheels brake to `grip`. `drive_on_axle` says that the links take the drive torque
    (a final drive in the axle), `brakes_on_axle` that they take the brakes' (brakes out at the
    wheels); else the body takes it. `axle_mass_kg`, if known, is left out of the mass that
    squats. Raises ValueError for values that no car has.
    """

    mass_kg: float
    share: float
    wheelbase: float
    mass_height: float
    loaded_radius: float
    end: Literal["rear", "front"] = "rear"
    drive_share: float = 1.0
    brake_share: float | None = None
    drive_on_axle: bool = True
    brakes_on_axle: bool = True
    grip: float | None = None
    axle_mass_kg: float = 0.0

    def __post_init__(self) -> None:
        for name, value in (
            ("mass", self.mass_kg),
            ("wheelbase", self.wheelbase),
            ("mass height", self.mass_height),
            ("loaded radius", self.loaded_radius),
            ("grip", self.friction),
        ):
            if not value > 0:
                raise ValueError(f"the {name} is {value:g}; write a number above 0")
        if not 0 < self.share < 1:
            raise ValueError(f"the axle's share of the mass is {self.share:g}; write 0 to 1")
        for name, value in (("drive", self.drive_share), ("braking", self.braking_share)):
            if not 0 <= value <= 1:
                raise ValueError(f"the axle's share of {name} is {value:g}; write 0 to 1")
        if not 0 <= self.axle_mass_kg < self.mass_kg * self.share:
            raise ValueError(
                f"the axle's own mass is {self.axle_mass_kg:g} kg; it must be less than the "
                f"{self.mass_kg * self.share:g} kg that stand on it"
            )

    @property
    def friction(self) -> float:
        """Grip of the tyres: force along the ground over load."""
        return rule("grip") if self.grip is None else self.grip

    @property
    def weight_n(self) -> float:
        return self.mass_kg * GRAVITY

    @property
    def sign(self) -> int:
        """+1 where forward acceleration loads the axle: at the rear."""
        return 1 if self.end == "rear" else -1

    @property
    def squat_height(self) -> float:
        """Height of the mass that squats: all of the car but the axle, which lies wheel high.

        A public four-link worksheet (scribd.com document 485520683): 4200 with its mass 38 high,
        the axle 700 at 22:

        >>> round(Car(4200, 0.5, 120, 38, 22, axle_mass_kg=700).squat_height, 2)
        41.2
        """
        rest = self.mass_kg - self.axle_mass_kg
        return (self.mass_kg * self.mass_height - self.axle_mass_kg * self.loaded_radius) / rest

    @property
    def braking_share(self) -> float:
        """This axle's share of all braking."""
        if self.brake_share is not None:
            return self.brake_share
        return max(self.standing_n(-self.friction) / self.weight_n, 0.0)

    def standing_n(self, forward_g: float) -> float:
        """Load on both tyres of the axle while the car gathers speed by so many g; 0 once they
        lift, all of the car once the others do.

        Half of 1000 kg on a 2500 wheelbase, its mass 500 high, at 1 g:

        >>> round(Car(1000, 0.5, 2500, 500, 300).standing_n(1.0) / GRAVITY)
        700
        """
        moved = self.sign * forward_g * self.mass_height / self.wheelbase
        return self.weight_n * min(max(self.share + moved, 0.0), 1.0)

    def driving_n(self, way: float) -> float:
        """Load on both tyres while this axle drives the car at the limit of its grip.

        `way` of the grip is used forward (−: in reverse). The thrust loads or unloads the axle,
        which changes the thrust: N = share W / (1 − μ h / l) for all drive at the rear.

        >>> round(Car(1000, 0.5, 2500, 500, 300).driving_n(1.0) / GRAVITY)
        625
        """
        if self.drive_share == 0:
            return self.standing_n(0.0)
        gain = self.sign * way * self.friction * self.mass_height / self.wheelbase
        gain /= self.drive_share
        standing = self.share * self.weight_n
        return self.weight_n if gain >= 1 else min(standing / (1 - gain), self.weight_n)
