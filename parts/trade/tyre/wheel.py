"""Where the rim stands beside the face it is bolted to.

inner lip     centre plane      mounting face     -> outboard
    |              |<---- offset ---->|     + when the face is outboard of the plane
    |<--------- back space ---------->|     over the lips; the nominal one is half an inch less
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import Literal

from parts.sheet.stock import MM_PER_INCH
from parts.trade.lengths import Measured
from parts.trade.tyre.standard import rule

Convention = Literal["nominal", "lips"]


@dataclass(frozen=True, slots=True)
class WheelPosition:
    """A rim beside its mounting face; every position is mm inboard of the face, + inboard.

    `centre` and so all the others carry `plus_minus`.
    """

    rim_width_in: float
    centre: float
    plus_minus: float
    source: str

    @property
    def half_rim(self) -> float:
        return self.rim_width_in * MM_PER_INCH / 2

    @property
    def inner_seat(self) -> float:
        """Inner bead seat: the nominal back space."""
        return self.centre + self.half_rim

    @property
    def inner_lip(self) -> float:
        """Inner edge of the rim: the back space that a straight edge across the lips gives."""
        return self.inner_seat + rule("lips over rim width") / 2

    @property
    def outer_lip(self) -> float:
        return self.centre - self.half_rim - rule("lips over rim width") / 2


def from_offset(rim_width_in: float, offset: Measured) -> WheelPosition:
    """The rim from its nominal width in inches and its offset (ET) in mm.

    8 in wide, offset 25: the inner seat lies 4 x 25.4 + 25 behind the face.

    >>> round(from_offset(8, Measured(25, 1)).inner_seat, 1)
    126.6
    """
    spread = _spread("offset", offset)
    _check_width(rim_width_in)
    return WheelPosition(rim_width_in, offset.value, spread, "offset (ET)")


def from_back_space(rim_width_in: float, back_space: Measured, over: Convention) -> WheelPosition:
    """The rim from its back space in mm, by one of the two conventions in use.

    `over`: 'lips' is a straight edge laid across the inner lip, as measured in the shop;
    'nominal' counts from the bead seat, half an inch less, as some sellers print it.

    8 in wide, 5.5 in over the lips, 5 in nominal: 1 in of offset.

    >>> round(from_back_space(8, Measured(5.5 * 25.4, 1), "lips").centre, 3)
    25.4
    """
    spread = _spread("back space", back_space)
    _check_width(rim_width_in)
    if back_space.value <= 0:
        raise ValueError(f"a back space of {back_space.value:g} mm is none; needs over 0")
    if over == "lips":
        half, source = (
            (rim_width_in * MM_PER_INCH + rule("lips over rim width")) / 2,
            "back space over the rim lips",
        )
    else:
        half, source = rim_width_in * MM_PER_INCH / 2, "back space over the nominal rim width"
    return WheelPosition(rim_width_in, back_space.value - half, spread, source)


def wheel_centre_y(mounting_face_y: Measured, wheel: WheelPosition) -> Measured:
    """Y of the rim's centre plane from that of the mounting face, vehicle axes, either hand.

    Faces 1560 apart, offset 20: the centre planes stand at 760.

    >>> wheel_centre_y(Measured(-780, 1.5), from_offset(9.5, Measured(20, 1)))
    Measured(value=-760.0, plus_minus=1.803, tool=None)

    Raises ValueError where a ± is not known or the face lies on the vehicle's centre plane.
    """
    spread = _spread("mounting face", mounting_face_y)
    if mounting_face_y.value == 0:
        raise ValueError("a mounting face on the centre plane has no hand; needs Y not 0")
    inboard = -1 if mounting_face_y.value > 0 else 1
    y = mounting_face_y.value + inboard * wheel.centre
    return Measured(float(y), round(hypot(spread, wheel.plus_minus), 3))


def _spread(what: str, reading: Measured) -> float:
    if reading.plus_minus is None:
        raise ValueError(f"the {what} has no ±; give it, or the tool it was read with")
    return reading.plus_minus


def _check_width(rim_width_in: float) -> None:
    if not 2 <= rim_width_in <= 20:
        raise ValueError(
            f"a rim {rim_width_in:g} in wide is none; a rim width is 2 to 20 inches, lip to lip "
            "less 1 in"
        )
