"""How an axle moves: where its wheels are at any travel, how fast, and about what."""

from parts.trade.axle.arms import Independent, StraightUp, SwingArm
from parts.trade.axle.centres import (
    InstantCentre,
    anti_squat_percent,
    front_view,
    roll_centre,
    side_view,
)
from parts.trade.axle.links import Arm, Link
from parts.trade.axle.live import LiveAxle
from parts.trade.axle.pose import (
    LEFT,
    RIGHT,
    Axle,
    AxlePose,
    CannotFollow,
    Cell,
    MotionBound,
    Speed,
    Wheel,
    point_speed,
)
from parts.trade.axle.standard import Stops, Travels, standard_poses
from parts.trade.axle.steer import Kingpin, Steered

__all__ = [
    "LEFT",
    "RIGHT",
    "Arm",
    "Axle",
    "AxlePose",
    "CannotFollow",
    "Cell",
    "Independent",
    "InstantCentre",
    "Kingpin",
    "Link",
    "LiveAxle",
    "MotionBound",
    "Speed",
    "Steered",
    "Stops",
    "StraightUp",
    "SwingArm",
    "Travels",
    "Wheel",
    "anti_squat_percent",
    "front_view",
    "point_speed",
    "roll_centre",
    "side_view",
    "standard_poses",
]
