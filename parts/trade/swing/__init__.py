"""How a lid swings about its hinge: what it comes near, where the pivot may be, and the arm."""

from parts.trade.swing.axes_in_line import InLine, in_line, share_used
from parts.trade.swing.contours import Contour
from parts.trade.swing.doubt import Sensitivity, sensitivity
from parts.trade.swing.neck import Neck, NeckSizes, Throat, leg_angle_deg, neck, neck_spare, throat
from parts.trade.swing.pivot_map import PivotMap, pivot_map
from parts.trade.swing.plate import PlateSwing, SideEdge, plate_swing
from parts.trade.swing.profiles import FOLD, SKIN, lid_edge, panel_ahead, seal
from parts.trade.swing.section import Outline, Section, outside_room, polyline
from parts.trade.swing.simple import deepest_pivot, edge_clearance
from parts.trade.swing.stop import Stop, StrutLength, stop
from parts.trade.swing.swing import CurvePoint, Swing, clearance_curve, opened, swing
from parts.trade.swing.witness import NotProved

__all__ = [
    "FOLD",
    "SKIN",
    "Contour",
    "CurvePoint",
    "InLine",
    "Neck",
    "NeckSizes",
    "NotProved",
    "Outline",
    "PivotMap",
    "PlateSwing",
    "Section",
    "Sensitivity",
    "SideEdge",
    "Stop",
    "StrutLength",
    "Swing",
    "Throat",
    "clearance_curve",
    "deepest_pivot",
    "edge_clearance",
    "in_line",
    "leg_angle_deg",
    "lid_edge",
    "neck",
    "neck_spare",
    "opened",
    "outside_room",
    "panel_ahead",
    "pivot_map",
    "plate_swing",
    "polyline",
    "seal",
    "sensitivity",
    "share_used",
    "stop",
    "swing",
    "throat",
]
