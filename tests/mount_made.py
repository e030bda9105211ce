"""Bumper mounts laid out from plain keys, and what is on their blanks, by other means."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import atan, degrees, hypot, pi, tan
from typing import Any

import numpy as np
import pytest
from mount_by_hand import Array, Crease, bar_normal, folded_back, rail_normal, single_fold
from mounts import Case
from scipy.optimize import brentq
from shapely.geometry import LineString, Polygon

from parts.kinds.bench import Bench, Rack, Spots
from parts.kinds.bumper_mount import lay_out
from parts.kinds.bumper_mount.config import BumperMount
from parts.part import Part, Piece
from parts.report import Finding
from parts.sheet.blank import Blank, Cutout
from parts.sheet.curve import Arc, Curve
from parts.sheet.stock import Stock, material
from parts.trade.screening import Screen

LEAN = degrees(atan(3.5 / 70))  # the studs: 3.5 rearward over 70 of height
WORKED = {
    "A1": (946.5, 580.0, 452.0), "A2": (1001.0, 580.0, 447.5),
    "S1": (1098.0, 622.0, 478.0), "S2": (1094.5, 622.0, 408.0),
}  # fmt: skip
SIDE: dict[str, Any] = {
    "rail_holes": ["A1", "A2"], "bar_studs": ["S1", "S2"],
    "bar_face": {"sweep": "6 ± 0", "lean": f"{LEAN:.12f} ± 0"},
    "rail_face": {"toe": "0 ± 0", "lean": "0 ± 0"},
}  # fmt: skip
T, R = 5.0, 5.0
# metal round an M12 and an M10: the most of 1.5 d0 for a slot (EN 1993-1-8 table 3.3), 1.5 d
# (common practice) and the washer of ISO 7089 (24 and 20) with 1 mm beyond its rim
AROUND = {"M12 slot": 1.5 * 13.5, "M12": 1.5 * 12, "M10 slot": 1.5 * 11, "M10": 1.5 * 10}


def config(side: dict[str, Any] | None = None, **keys: Any) -> BumperMount:
    asked = {"kind": "bumper_mount", "stock": "plate", "hand": "right", "bar_mass": 8}
    sides = {} if {"right", "left"} & set(keys) else {"right": {**SIDE, **(side or {})}}
    return BumperMount.model_validate({**asked, **sides, **keys})


def bench(
    points: dict[str, tuple[float, float, float]] = WORKED,
    covariance: Array | None = None,
    t: float = T,
    r: float = R,
) -> Bench:
    spots = Spots.exact(points)
    if covariance is not None:
        spots = replace(spots, covariance=covariance)
    return Bench("job", {"plate": Rack(Stock("plate", material("S235"), t), None, r)}, spots)


def made(
    points: dict[str, tuple[float, float, float]] | None = None,
    side: dict[str, Any] | None = None,
    **keys: Any,
) -> Part:
    return lay_out("mount", config(side, **keys), bench({**WORKED, **(points or {})}))


def piece_of(part: Part) -> Piece:
    assert len(part.pieces) == 1, [str(f) for f in part.findings]
    return part.pieces[0]


def figure(piece: Piece, name: str) -> float:
    (found,) = [f.value for f in piece.figures if f.name == name]
    return found


def spread(piece: Piece, name: str) -> float:
    (found,) = [f.plus_minus for f in piece.figures if f.name == name]
    assert found is not None
    return found


def refusals(part: Part) -> list[Finding]:
    return [f for f in part.findings if f.refuses]


# What is on the blank, measured by other means


@cache
def faceted(loop: tuple[Curve, ...]) -> Polygon:
    points = []
    for curve in loop:
        n = 1 if not isinstance(curve, Arc) else max(8, round(abs(curve.sweep) / pi * 360))
        points += [curve.at(i / n) for i in range(n)]
    return Polygon(points)


def middle(cutout: Cutout) -> tuple[float, float]:
    first = cutout.loop[0]
    if len(cutout.loop) == 1:
        assert isinstance(first, Arc)
        return first.center
    x, y = np.mean([curve.start for curve in cutout.loop], axis=0)
    return float(x), float(y)


def size(cutout: Cutout) -> tuple[float, float]:
    """Length and width of a slot or a round hole."""
    shape = faceted(cutout.loop).minimum_rotated_rectangle
    x, y = shape.exterior.coords.xy
    sides = [hypot(x[i + 1] - x[i], y[i + 1] - y[i]) for i in range(2)]
    return max(sides), min(sides)


def creases(blank: Blank) -> list[Crease]:
    return [Crease(b.start, b.end, b.turn_deg, b.radius, b.allowance) for b in blank.bends]


def in_vehicle(piece: Piece, points: Array) -> Array:
    return np.asarray(points) @ piece.place.turn.T + piece.place.origin


def skins(piece: Piece, name: str, folds: list[Crease]) -> Array:
    """Where a hole's middle comes to lie on back and drawn skin (2, 3)."""
    (cutout,) = [c for c in piece.blank.cutouts if c.name == name]
    x, y = middle(cutout)
    return in_vehicle(piece, folded_back([[x, y, 0.0], [x, y, piece.blank.thickness]], folds,
                                         piece.blank.thickness))  # fmt: skip


def assert_hole_lies(skin: Array, at: Array, normal: Array, t: float) -> None:
    """One skin's hole centre is the measured point, the other a thickness along the metal."""
    off = skin - at
    along = off @ normal
    assert np.abs(off - np.outer(along, normal)).max() < 1e-6
    assert sorted(along) == pytest.approx([0.0, t], abs=1e-6)


def assert_bolts_up(
    piece: Piece, points: dict[str, tuple[float, float, float]], rail: Array, bar: Array
) -> None:
    """Every hole on its bolt's axis, the contact skins on the faces, metal on the right side."""
    folds = [c for c, b in zip(creases(piece.blank), piece.blank.bends, strict=True)
             if b.name != "return"]  # fmt: skip
    t = piece.blank.thickness
    for name in ("A1", "A2"):
        assert_hole_lies(skins(piece, name, []), np.array(points[name]), rail, t)
    for name in ("S1", "S2"):
        assert_hole_lies(skins(piece, name, folds), np.array(points[name]), bar, t)


def laid(case: Case, **keys: Any) -> Part:
    table = bench(case.points, None, case.thickness, case.radius)
    return lay_out("mount", BumperMount.model_validate({**case.keys, **keys}), table)


def normals(case: Case, piece: Piece) -> tuple[Array, Array]:
    """Out of the faces into the metal: as drawn for the rail, toward the rail for the bar."""
    p = {name: np.array(at) for name, at in case.points.items()}
    bar = np.cross(p["B2"] - p["B1"], p["B3"] - p["B1"])
    bar /= np.linalg.norm(bar)
    rail_middle = (p["A1"] + p["A2"]) / 2
    return case.metal, bar * np.sign((rail_middle - p["B1"]) @ bar)


def findings_at(part: Part, where: str) -> list[Finding]:
    return [f for f in part.findings if f.where == where]


STEP = {
    "A1": (900.0, 580.0, 450.0), "A2": (900.0, 580.0, 510.0),
    "S1": (1050.0, 640.0, 450.0), "S2": (1050.0, 640.0, 510.0),
}  # fmt: skip


def step_turn(height: float, run: float) -> float:
    """Turn of a step between parallel faces, degrees, in the one plane that it lies in.

    From the rail holes to the first bend 23 mm (metal of 18 round the M12, 5 of straight edge),
    from the second to the studs 20.5 (half an 11 mm hole, 2t + R to the bend). The rail's skin is
    outside its bend, the same skin inside the bar's, a thickness below the bar's face.
    """

    def off(turn: float) -> float:
        apexes = 23 + (R + T) * tan(turn / 2) + 20.5 + R * tan(turn / 2)
        return tan(turn) * (run - apexes) - (height - T)

    return degrees(brentq(off, 0.05, 1.2))


ABREAST = {  # two rail bolts side by side, a long leg, a square bar
    "A1": (700.0, 580.0, 470.0), "A2": (700.0, 580.0, 410.0),
    "S1": (950.0, 612.0, 478.0), "S2": (950.0, 612.0, 408.0),
}  # fmt: skip
SQUARE: dict[str, Any] = {**SIDE, "bar_face": {"sweep": "0 ± 0", "lean": "0 ± 0"}}
PARALLEL: dict[str, Any] = {**SIDE, "bar_face": {"sweep": "90 ± 0", "lean": "0 ± 0"}}


def abreast(**keys: Any) -> Piece:
    asked = config(**{"right": SQUARE, "reach": 300, "bar_mass": 4, **keys})
    return piece_of(lay_out("mount", asked, bench(ABREAST)))


def screen(piece: Piece, name: str) -> Screen:
    (found,) = [s for s in piece.screens if s.name == name]
    return found


def across(blank: Blank, ahead: float) -> LineString:
    """The plate's widest run on the line so far beyond the start of the first bend."""
    b = blank.bends[0]
    start, d, n = np.array(b.start), np.array(b.along), np.array(b.across)
    line = LineString([start - 400 * d + ahead * n, start + 400 * d + ahead * n])
    met = line.intersection(faceted(blank.outline))
    return max(getattr(met, "geoms", [met]), key=lambda run: run.length)


def net_width(blank: Blank, ahead: float) -> float:
    """The same less every hole that lies on it, by other geometry than the project's."""
    run = across(blank, ahead)
    for cutout in blank.cutouts:
        run = run.difference(faceted(cutout.loop))
    return float(run.length)


def worked_fold() -> Any:
    return single_fold(
        (WORKED["A1"], rail_normal(0, 0, 1)), (WORKED["S1"], bar_normal(6, LEAN, 1, 1)),
        [WORKED["A1"], WORKED["A2"]], [WORKED["S1"], WORKED["S2"]], T, R,
    )  # fmt: skip
