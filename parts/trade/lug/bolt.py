"""The bolt of a link by AISC 360; EN 1993-1-8 is `parts.trade.screening.bolt_shear`."""

from __future__ import annotations

from parts.tables import find
from parts.trade.bolts import Bolt, PropertyClass
from parts.trade.lug.pin import Fork, plate_share
from parts.trade.reserve import Screen, aisc_phi, at_most


def aisc_bolt_shear(
    force_n: float, bolt: Bolt, strength: PropertyClass, fork: Fork, threads_in_plane: bool
) -> Screen:
    """Shear on the plane that takes most: F_nv A_b with F_nv 0.45 or 0.563 of the bolt's
    ultimate strength, on the shank's full section (AISC 360 J3.6, LRFD)."""
    row = find("aisc_bolt_shear", "threads in the plane" if threads_in_plane else
               "shank in the plane", what="bolt in shear")  # fmt: skip
    stress = float(row["factor"]) * strength.ultimate_mpa
    limit = aisc_phi("bolts") * stress * bolt.shank_area
    return at_most(
        "bolt shear", plate_share(fork) * abs(force_n), limit, "N", "AISC 360 J3.6", row["name"]
    )
