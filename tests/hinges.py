"""Hinges to lay out in metal: an invented arm, faces and mounts, told by hand."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from swings import PIVOT, demo

from parts.kinds.bench import Bench, Rack, Spots
from parts.kinds.hinge_bracket import metal
from parts.kinds.hinge_bracket.metal import (
    ArmShape,
    BodySizes,
    Cut,
    Face,
    Fixing,
    Hinge,
    Mount,
    PadSizes,
    Sheet,
    StudSizes,
    Way,
    Weld,
)
from parts.place import Place
from parts.sheet.fold import Folded
from parts.sheet.soundness import fold_or_findings
from parts.sheet.stock import Stock, material
from parts.trade.swing import NeckSizes, neck

Array = NDArray[np.float64]

EDGE = np.array([260.0, 430.0, 880.0])  # the lid's front edge at the hinge plane, on the vehicle
OPENING = 82.0
BUSH, ARM_T, GAP, ADJUST, BODY_ADJUST = 14.0, 5.0, 2.0, 5.0, 3.0
NECK = NeckSizes(hub=26, width=34, fillet=12, pad=((60, -8), (130, -8)))
FLOOR = Face((-100, -90), (1, 0), (0, 1))
BODY_MOUNT, LID_MOUNT = (260.0, -260.0), (200.0, -60.0)
STEEL = "S235"


def bench() -> Bench:
    racks = {
        f"{t:g}": Rack(Stock(f"{t:g}", material(STEEL), t), die_v, radius)
        for t, die_v, radius in ((2, 12, 2.5), (3, 25, 4), (4, 32, 5), (5, 40, 6.5), (6, 50, 8))
    }
    return Bench("job", racks, Spots.exact({}))


def sheet(thickness: float) -> Sheet:
    return metal.folding_sheet(bench(), f"{thickness:g}")


@cache
def outline() -> Any:
    """The arm of an invented lid: gutter cleared by 8, all else by 3."""
    return neck(demo(), PIVOT, NECK, ["gutter"], 8, 3).outline.curves


def shape(thickness: float = ARM_T) -> ArmShape:
    return ArmShape(outline(), NECK.pad, thickness, BUSH)


def hinge(pad_way: Way = -1, place: Place | None = None) -> Hinge:
    return Hinge(place or Place(np.eye(3), EDGE), PIVOT, OPENING, pad_way)


def by_hand(u: float, v: float, w: float) -> Array:
    """A place of the level lid on the vehicle: back is rearward, aside is right, up is up."""
    return EDGE + np.array([u, w, v])


def turned_by_hand(points: Array, angle_deg: float) -> Array:
    """Places of the vehicle as the lid opens about the pivot, its back going up."""
    a = np.radians(angle_deg)
    x, z = EDGE[0] + PIVOT[0], EDGE[2] + PIVOT[1]
    dx, dz = points[..., 0] - x, points[..., 2] - z
    return np.stack(
        [x + dx * np.cos(a) - dz * np.sin(a), points[..., 1], z + dx * np.sin(a) + dz * np.cos(a)],
        axis=-1,
    )


PAD = PadSizes(45, Fixing("M6", adjust=ADJUST), Weld(2))
BODY = BodySizes(10.5, GAP, 90, Fixing("M8", adjust=BODY_ADJUST))
STUD = StudSizes(8.4, 18, 70, Fixing("M6"))


@dataclass(frozen=True, eq=False)
class Set:
    """All pieces of one hand, cut and folded."""

    hinge: Hinge
    cuts: dict[str, Cut]

    def folded(self, name: str) -> Folded:
        found, findings = fold_or_findings(self.cuts[name].blank)
        assert found is not None, (name, findings)
        return found

    def vehicle(self, name: str, at: tuple[float, float], w: float) -> Array:
        """A place of a piece's blank, at depth w, on the vehicle."""
        folded = self.folded(name)
        return self.cuts[name].place.apply(folded.space(folded.region_at(at), at, w))


@cache
def laid(pad_way: Way = -1, flange: float = 0.0, bolted: bool = False) -> Set:
    """Every piece; mounts lie 25 beside the hinge plane, on the pad's side."""
    here, arm, plate = hinge(pad_way), shape(), sheet(ARM_T)
    sizes = replace(PAD, leg=52, arm=Fixing("M6")) if bolted else PAD
    pad = metal.lid_pad(here, arm, sheet(3), sizes)
    on_lid = Face((0, -8), (1, 0), (0, -1))
    wall = Face((300, 0), (0, 1), (-1, 0))
    cuts = [
        pad.cut,
        metal.arm(here, arm, plate, pad, flange),
        metal.doubler(here, arm, sheet(3), pad, 2),
        metal.body_bracket(here, FLOOR, ARM_T, plate, BODY).cut,
        metal.strut_bracket(here, "strut bracket, lid", Mount(LID_MOUNT, 25 * pad_way, pad_way),
                            on_lid, sheet(3), STUD, True).cut,
        metal.strut_bracket(here, "strut bracket, body", Mount(BODY_MOUNT, 25 * pad_way, pad_way),
                            wall, sheet(3), STUD, False).cut,
    ]  # fmt: skip
    return Set(here, {cut.name: cut for cut in cuts})
