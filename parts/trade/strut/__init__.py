"""Gas struts for a lid: its weight, what they push, whether it stays shut and open, which to buy.

Points are seen from the hinge pivot with the lid shut: rearward, then up. Moments that open are
positive. The struts' own weight is left out.
"""

from parts.trade.strut.areas import Area
from parts.trade.strut.cautions import CAUTIONS
from parts.trade.strut.choices import Choice, Found, Rejected, Wanted
from parts.trade.strut.clear import Room, clearance
from parts.trade.strut.findings import findings
from parts.trade.strut.hung import (
    HandForce,
    HungLid,
    balancing_force_n,
    hand_to_close,
    hand_to_latch,
    hand_to_open,
    looked_at,
    net_moment_nm,
    rests_on_seal_deg,
    rises_from_deg,
    sinks_below_deg,
    strut_moment_nm,
)
from parts.trade.strut.lid import (
    Lid,
    Seal,
    SealRun,
    seal_moment_nm,
    seal_round,
    weight_moment_nm,
)
from parts.trade.strut.loads import MountLoad, hinge_force_n, mount_loads
from parts.trade.strut.mounts import (
    Angles,
    Mounts,
    angles,
    length,
    length_range,
    lever,
    over_centre_deg,
)
from parts.trade.strut.rules import Rules, least_to_hold_n, most_to_stay_shut_n, usual_rules
from parts.trade.strut.search import search
from parts.trade.strut.spring import Condition, Moving, Strut, StrutSize, force_n, sizes
from parts.trade.strut.weighing import (
    Disagreement,
    Extra,
    LidMass,
    Plate,
    built_up,
    disagreements,
    weigh,
)

__all__ = [
    "CAUTIONS",
    "Angles",
    "Area",
    "Choice",
    "Condition",
    "Disagreement",
    "Extra",
    "Found",
    "HandForce",
    "HungLid",
    "Lid",
    "LidMass",
    "MountLoad",
    "Mounts",
    "Moving",
    "Plate",
    "Rejected",
    "Room",
    "Rules",
    "Seal",
    "SealRun",
    "Strut",
    "StrutSize",
    "Wanted",
    "angles",
    "balancing_force_n",
    "built_up",
    "clearance",
    "disagreements",
    "findings",
    "force_n",
    "hand_to_close",
    "hand_to_latch",
    "hand_to_open",
    "hinge_force_n",
    "least_to_hold_n",
    "length",
    "length_range",
    "lever",
    "looked_at",
    "most_to_stay_shut_n",
    "mount_loads",
    "net_moment_nm",
    "over_centre_deg",
    "rests_on_seal_deg",
    "rises_from_deg",
    "seal_moment_nm",
    "seal_round",
    "search",
    "sinks_below_deg",
    "sizes",
    "strut_moment_nm",
    "usual_rules",
    "weigh",
    "weight_moment_nm",
]
