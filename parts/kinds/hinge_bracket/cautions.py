"""What must be said of a lid on hinges and struts."""

from __future__ import annotations

from parts.trade.strut import CAUTIONS as STRUT_CAUTIONS

LID_CAUTIONS = (
    "Two people lift and fit a lid. Prop it before anyone reaches under it, and keep hands away "
    "from the hinge, the gutter and the neck while it moves.",
    "Fingers get caught between the lid's edge and the panel, and between neck and gutter: teach "
    "whoever uses it to close it by the handle.",
    "A lid that opens into the wind needs a second latch that works without the first.",
    "Pin the paper model at its pivot and swing it over the section before cutting steel; then "
    "try one arm of ply or card on the vehicle. Swing by hand without the seal, then with it, "
    "before finish welding.",
    "Drill both pivots clamped together and set them with one rod through both. Make and mark a "
    "left and a right: two of one hand fit nowhere.",
    "The lid's stop is on both hinges and both touch together: one alone twists the lid.",
    "Welding on the vehicle: disconnect the battery and control units, earth near the weld, no "
    "fuel, sealer or foam within reach, fire watch for 30 minutes. Grind zinc off first.",
    "A lid in front of the windscreen, or one that holds rear lamps or a belt, is regulated: ask "
    "before changing its hinges on a road vehicle. The screening here rests on an assumed load "
    "and certifies nothing.",
)


def cautions(with_struts: bool) -> tuple[str, ...]:
    """Those of lids, and of struts where there are any."""
    return (*LID_CAUTIONS, *STRUT_CAUTIONS) if with_struts else LID_CAUTIONS
