"""Points measured by tape: distances and coordinates, with their ±, solved all together."""

from parts.trade.tape.adjustment import (
    adjust,
    covariance_between,
    point_error_along,
    relative_error_along,
)
from parts.trade.tape.groups import joined
from parts.trade.tape.survey import (
    CheckedReading,
    Distance,
    Measured,
    OnPlane,
    Point,
    Reason,
    Solution,
    SolvedPoint,
)

__all__ = [
    "CheckedReading",
    "Distance",
    "Measured",
    "OnPlane",
    "Point",
    "Reason",
    "Solution",
    "SolvedPoint",
    "adjust",
    "covariance_between",
    "joined",
    "point_error_along",
    "relative_error_along",
]
