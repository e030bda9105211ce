"""The sheet pieces of a lid hinge, laid out in the flat and placed on the vehicle, and screened.

Each function takes what it needs and nothing else; each raises NoPiece where no piece can be. A
left hand is laid out from its own measurements with `pad_way` and every w turned round.
"""

from parts.kinds.hinge_bracket.metal.apart import Apart, apart
from parts.kinds.hinge_bracket.metal.arm import arm
from parts.kinds.hinge_bracket.metal.arm_screens import arm_screens, hub_screens, thickness_needed
from parts.kinds.hinge_bracket.metal.brackets import body_bracket, strut_bracket
from parts.kinds.hinge_bracket.metal.doubler import Ring, doubler, ring
from parts.kinds.hinge_bracket.metal.given import (
    Angle,
    ArmShape,
    BodySizes,
    Cut,
    Face,
    Fixing,
    Hinge,
    Mount,
    PadSizes,
    Slab,
    StudSizes,
    Way,
    Weld,
)
from parts.kinds.hinge_bracket.metal.loads import Loads, PivotBolt, standing_n
from parts.kinds.hinge_bracket.metal.pad import lid_face, lid_pad
from parts.kinds.hinge_bracket.metal.screens import bracket_screens, pad_screens, pivot_screens
from parts.kinds.hinge_bracket.metal.sheets import (
    Bending,
    NoPiece,
    Sheet,
    flat_sheet,
    folding_sheet,
)

__all__ = [
    "Angle",
    "Apart",
    "ArmShape",
    "Bending",
    "BodySizes",
    "Cut",
    "Face",
    "Fixing",
    "Hinge",
    "Loads",
    "Mount",
    "NoPiece",
    "PadSizes",
    "PivotBolt",
    "Ring",
    "Sheet",
    "Slab",
    "StudSizes",
    "Way",
    "Weld",
    "apart",
    "arm",
    "arm_screens",
    "body_bracket",
    "bracket_screens",
    "doubler",
    "flat_sheet",
    "folding_sheet",
    "hub_screens",
    "lid_face",
    "lid_pad",
    "pad_screens",
    "pivot_screens",
    "ring",
    "standing_n",
    "strut_bracket",
    "thickness_needed",
]
