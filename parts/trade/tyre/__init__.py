"""Tyres and wheels: what the sidewall says, how large the tyre really is, where it stands.

The outline, which needs numpy, is in `parts.trade.tyre.section`.
"""

from parts.trade.tyre.designation import (
    Designation,
    DesignationError,
    Flotation,
    Letter,
    Metric,
    Numeric,
    parse_designation,
)
from parts.trade.tyre.series import standard_sizes
from parts.trade.tyre.size import Dimension, TyreSize, measured_tyre, tyre_size
from parts.trade.tyre.wheel import WheelPosition, from_back_space, from_offset, wheel_centre_y

__all__ = [
    "Designation",
    "DesignationError",
    "Dimension",
    "Flotation",
    "Letter",
    "Metric",
    "Numeric",
    "TyreSize",
    "WheelPosition",
    "from_back_space",
    "from_offset",
    "measured_tyre",
    "parse_designation",
    "standard_sizes",
    "tyre_size",
    "wheel_centre_y",
]
