"""What a hinge is screened for."""

from __future__ import annotations

from dataclasses import dataclass

from parts.trade.bolts import Bolt, PropertyClass
from parts.trade.strut.lid import GRAVITY


@dataclass(frozen=True, slots=True)
class Loads:
    """Assumed loads on one of two hinges.

    `pivot_n` is the greatest force on its pivot in the plane of the swing, standing still; it is
    screened in every direction, times the slam factor. `side_n` is a hand's push sideways at the
    lid's edge, `side_arm` from the hinge axis; the hinges stand `span` apart.
    """

    pivot_n: float
    slam_factor: float
    side_n: float
    side_arm: float
    span: float

    def __post_init__(self) -> None:
        for name, value in (
            ("pivot force", self.pivot_n), ("side force", self.side_n), ("arm", self.side_arm)
        ):
            if not value >= 0:
                raise ValueError(f"{name} {value:g}; needs 0 or more")
        if not self.slam_factor >= 1:
            raise ValueError(
                f"slam factor {self.slam_factor:g}; needs 1 or more, commonly 1.5 to 2"
            )
        if not self.span > 0:
            raise ValueError(f"hinges {self.span:g} mm apart; needs more than 0")

    @property
    def slammed_n(self) -> float:
        """Force on the pivot with the slam factor."""
        return self.pivot_n * self.slam_factor

    @property
    def aside_n(self) -> float:
        """Share of the hand's push on one hinge, along the pivot's axis."""
        return self.side_n / 2

    @property
    def pushed_n(self) -> float:
        """Force in the plane of the swing while a hand pushes sideways: what stands, and the
        couple by which two hinges keep the lid from turning in plan.

        >>> Loads(300, 1.5, side_n=100, side_arm=760, span=860).pushed_n.__round__(1)
        388.4
        """
        return self.pivot_n + self.side_n * self.side_arm / self.span

    def told(self) -> str:
        """The loads in words, for a screening's note.

        >>> Loads(300, 1.5, 100, 760, 860).told()
        'assumed: 300 N on the pivot, slam factor 1.5'
        """
        return f"assumed: {self.pivot_n:.0f} N on the pivot, slam factor {self.slam_factor:g}"

    def told_aside(self) -> str:
        """The sideways load in words."""
        return (
            f"assumed: {self.side_n:.0f} N sideways by hand, {self.side_arm:.0f} mm from the axis"
        )


def standing_n(strut_n: float, struts: int, mass_kg: float, hinges: int = 2) -> float:
    """More than a pivot can carry while the lid stands still: its share of all struts' force and
    of the weight, as if they pulled one way.

    >>> round(standing_n(260, 2, 14.8), 1)   # (520 + 145.1) / 2
    332.6
    """
    return (strut_n * struts + mass_kg * GRAVITY) / hinges


@dataclass(frozen=True, slots=True)
class PivotBolt:
    """The shoulder bolt and its bush: `shoulder` diameter, thread and class, the bush's length,
    and its row of bushes.csv."""

    shoulder: float
    thread: Bolt
    strength: PropertyClass
    bush_length: float
    bush: str = "sintered bronze"
