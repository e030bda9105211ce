"""Links of a live axle: its geometry through travel, what they carry, how far joints tilt."""

from parts.trade.links.car import Car
from parts.trade.links.cases import LoadCase, Moment, load_case, load_cases, moments, tyre_loads
from parts.trade.links.forces import (
    SHARE_NOTE,
    CaseForces,
    LinkForce,
    Worst,
    balance,
    forces_of,
    link_forces,
    worst,
)
from parts.trade.links.geometry import (
    Anti,
    LinkGeometry,
    anti_words,
    link_geometry,
    live_axle,
    over_bump,
    over_roll,
)
from parts.trade.links.pairs import LinkPair, link_pairs, plan_centre
from parts.trade.links.show import charts, figures, force_table, worst_figures
from parts.trade.links.statics import Line, Load, Shared, Stand, shared, stand
from parts.trade.links.tilt import Bolts, Sweep, Tilt, joint_tilts, level_bolts, swept

__all__ = [
    "SHARE_NOTE",
    "Anti",
    "Bolts",
    "Car",
    "CaseForces",
    "Line",
    "LinkForce",
    "LinkGeometry",
    "LinkPair",
    "Load",
    "LoadCase",
    "Moment",
    "Shared",
    "Stand",
    "Sweep",
    "Tilt",
    "Worst",
    "anti_words",
    "balance",
    "charts",
    "figures",
    "force_table",
    "forces_of",
    "joint_tilts",
    "level_bolts",
    "link_forces",
    "link_geometry",
    "link_pairs",
    "live_axle",
    "load_case",
    "load_cases",
    "moments",
    "over_bump",
    "over_roll",
    "plan_centre",
    "shared",
    "stand",
    "swept",
    "tyre_loads",
    "worst",
    "worst_figures",
]
