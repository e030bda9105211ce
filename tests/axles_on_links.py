"""Axles on links, as the published examples and the demo car have them."""

from __future__ import annotations

from dataclasses import dataclass

from parts.trade.axle import Arm, Link, LiveAxle, Wheel

Triple = tuple[float, float, float]


def pair(name: str, chassis: Triple, axle: Triple) -> tuple[Link, Link]:
    """A link on the right, told in X rearward, Y right, Z up, and its mirror image."""
    left = Link(f"{name} left", (chassis[0], -chassis[1], chassis[2]), (axle[0], -axle[1], axle[2]))
    return left, Link(f"{name} right", chassis, axle)


def wheels(radius: float, half_track: float = 760.0) -> tuple[Wheel, Wheel]:
    return Wheel((0, -half_track, radius)), Wheel((0, half_track, radius))


def demo_car() -> LiveAxle:
    """Equal parallel links 560 long, 10 down to the rear, and a lateral bar 720 long."""
    lower = pair("lower", (-628, 450, 300), (-68, 450, 290))
    upper = pair("upper", (-612, 450, 480), (-52, 450, 470))
    return LiveAxle((*lower, *upper, bar(331)), *wheels(331))


def three_link() -> LiveAxle:
    """Four lengths for four freedoms; nothing alike on both sides."""
    lower = pair("lower", (-628, 450, 300), (-68, 480, 280))
    upper = Link("upper", (-400, -60, 440), (-30, -60, 480))
    return LiveAxle((*lower, upper, bar(331)), *wheels(331))


def splayed() -> LiveAxle:
    lower = pair("lower", (-600, 400, 300), (-60, 480, 270))
    upper = pair("upper", (-420, 380, 450), (-40, 110, 480))
    return LiveAxle((*lower, *upper), *wheels(331))


def ladder() -> LiveAxle:
    arms = (Arm("arm left", (-900, -400, 300)), Arm("arm right", (-900, 400, 300)))
    return LiveAxle((bar(331),), *wheels(331), arms=arms, give=60)


def bar(height: float) -> Link:
    return Link("lateral bar", (0, -390, height), (0, 330, height))


@dataclass(frozen=True)
class Sheet:
    """A public four-link worksheet: its inputs (X forward of the axle, as printed) and results."""

    source: str
    wheelbase: float
    radius: float
    mass: float
    mass_height: float
    axle_mass: float
    upper: tuple[Triple, Triple]  # frame end, axle end
    lower: tuple[Triple, Triple]
    centre: tuple[float, float]
    anti_squat: float
    roll_centre: float
    roll_axis_deg: float  # + rising to the front: roll oversteer

    def axle(self) -> LiveAxle:
        def turned(point: Triple) -> Triple:
            return (-point[0], point[1], point[2])

        links = (
            *pair("lower", *(turned(p) for p in self.lower)),
            *pair("upper", *(turned(p) for p in self.upper)),
        )
        return LiveAxle(links, *wheels(self.radius, self.wheelbase / 4))


SHEETS = {
    "inch, 120 wheelbase": Sheet(
        "scribd.com document 485520683", 120, 22, 4200, 38, 700,
        ((54, 16, 30), (0, 2, 29)), ((54, 18, 25), (0, 22, 18)),
        (99, 31), 91, 30, 5,
    ),
    "inch, 108.5 wheelbase": Sheet(
        "fdocuments.in, a worksheet with travel", 108.5, 19.75, 4200, 34, 700,
        ((32, 13, 32), (0, 2, 28)), ((47, 3, 28), (3, 22, 19.75)),
        (141, 46), 95, 27, 2,
    ),
    "metric": Sheet(
        "scribd.com document 200697480", 2525, 450, 1800, 1050, 275,
        ((805, 275, 710), (0, 0, 750)), ((1250, 350, 600), (100, 575, 500)),
        (1893, 656), 76, 750, 0,
    ),
}  # fmt: skip
