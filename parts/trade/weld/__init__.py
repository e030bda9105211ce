"""Fillet welds: sizes and lengths, groups of lines and arcs in space, and their strength."""

from parts.trade.weld.fillet import (
    effective_length,
    full_strength_throat,
    leg,
    leg_for_gap,
    length_screens,
    long_lap_factor,
    root_screen,
    simplified_strength_mpa,
    size_screens,
    throat,
    usual_leg,
)
from parts.trade.weld.group import Load, Run, WeldGroup, throat_stress, weld_group
from parts.trade.weld.strength import (
    METHODS,
    Method,
    WeldMetal,
    WeldStress,
    weld_metal,
    weld_screens,
    weld_stresses,
)
from parts.trade.weld.tab import tab_welds, trimmed

__all__ = [
    "METHODS",
    "Load",
    "Method",
    "Run",
    "WeldGroup",
    "WeldMetal",
    "WeldStress",
    "effective_length",
    "full_strength_throat",
    "leg",
    "leg_for_gap",
    "length_screens",
    "long_lap_factor",
    "root_screen",
    "simplified_strength_mpa",
    "size_screens",
    "tab_welds",
    "throat",
    "throat_stress",
    "trimmed",
    "usual_leg",
    "weld_group",
    "weld_metal",
    "weld_screens",
    "weld_stresses",
]
