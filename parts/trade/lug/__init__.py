"""A link's pin and the plates it goes through: bearing, tear-out, net section, pin, root.

Screening: enough to see what is far off. Fatigue is not looked at.
"""

from parts.trade.lug.bolt import aisc_bolt_shear
from parts.trade.lug.pin import (
    DoubleShear,
    Fork,
    Pin,
    SingleShear,
    bolt_as_pin,
    pin_moment_nmm,
    pin_screens,
    plain_pin,
    plate_share,
)
from parts.trade.lug.plate import (
    Lug,
    aisc_bolt_bearing,
    aisc_lug,
    aisc_proportions,
    en_lug,
    en_lug_in_service,
)
from parts.trade.lug.section import (
    AtHole,
    PlateSection,
    section_screens,
    side_load,
    single_shear_moment_nmm,
)

__all__ = [
    "AtHole",
    "DoubleShear",
    "Fork",
    "Lug",
    "Pin",
    "PlateSection",
    "SingleShear",
    "aisc_bolt_bearing",
    "aisc_bolt_shear",
    "aisc_lug",
    "aisc_proportions",
    "bolt_as_pin",
    "en_lug",
    "en_lug_in_service",
    "pin_moment_nmm",
    "pin_screens",
    "plain_pin",
    "plate_share",
    "section_screens",
    "side_load",
    "single_shear_moment_nmm",
]
