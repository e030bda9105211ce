"""How near a tyre comes to what is round it, over all the travel there is."""

from parts.trade.sweep.least import (
    MOST_POSES,
    TOLERANCE,
    Least,
    TooSlow,
    clearances,
    clearances_to,
    least,
    leasts,
    lowest,
)
from parts.trade.sweep.motion import Motion, motion
from parts.trade.sweep.rolled import Rolled
from parts.trade.sweep.surfaces import Block, Plate, Spot, Surface
from parts.trade.sweep.together import Together
from parts.trade.sweep.wheel import Wheel

__all__ = [
    "MOST_POSES",
    "TOLERANCE",
    "Block",
    "Least",
    "Motion",
    "Plate",
    "Rolled",
    "Spot",
    "Surface",
    "Together",
    "TooSlow",
    "Wheel",
    "clearances",
    "clearances_to",
    "least",
    "leasts",
    "lowest",
    "motion",
]
