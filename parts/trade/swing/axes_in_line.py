"""How far out of line the pivots of two hinges may be before the play in their bushes is gone."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees


@dataclass(frozen=True, slots=True)
class InLine:
    """What two hinges allow: `tilt_deg`, by which either axis may lie askew to the line through
    both pivots; `offset`, by which one axis may lie beside the other where both are parallel;
    `twist_deg`, the angle between the axes where each takes its half."""

    tilt_deg: float
    offset: float
    twist_deg: float


def in_line(bush_length: float, play: float, spacing: float) -> InLine:
    """The error allowed to two hinges `spacing` apart, each a bolt in a bush of `bush_length`
    with `play` on the diameter.

    A bolt in a bush leans by play / length before it touches at both ends (plane geometry, small
    angles; nothing is taken to bend). A lid that joins both bushes lies along the line through
    the pivots, so each axis may be askew to it by as much; parallel axes that lie `offset` apart
    are askew by offset / spacing, each. Bushes 12 long with 0.06 play, 860 apart:

    >>> allowed = in_line(bush_length=12, play=0.06, spacing=860)
    >>> round(allowed.offset, 2), round(allowed.tilt_deg, 3)
    (4.3, 0.286)
    """
    for what, value in (("bush length", bush_length), ("play", play), ("spacing", spacing)):
        if not value > 0:
            raise ValueError(f"{what} {value:g} mm; needs more than 0")
    if not spacing > bush_length:
        raise ValueError(f"hinges {spacing:g} mm apart; needs more than the bush, {bush_length:g}")
    lean = play / bush_length
    return InLine(degrees(lean), spacing * lean, 2 * degrees(lean))


def share_used(allowed: InLine, spacing: float, offset: float, tilts_deg: tuple[float, float]
               ) -> float:  # fmt: skip
    """Share of the play that an error uses; above 1 the hinges bind.

    `offset` is how far the second axis lies beside the first; `tilts_deg` is how far either axis
    leans in the direction of the offset, seen square to both. Where the second pivot sits 2 mm
    off and both axes still point the old way:

    >>> round(share_used(in_line(12, 0.06, 860), 860, 2, (0, 0)), 3)
    0.465
    """
    line_deg = degrees(offset / spacing)
    return max(abs(tilt - line_deg) for tilt in tilts_deg) / allowed.tilt_deg
