"""The return flange of a bumper mount, and room for a spanner beside it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from mount_by_hand import Array, bar_normal, folded_back, rail_normal
from mount_made import (
    LEAN,
    WORKED,
    T,
    assert_bolts_up,
    config,
    creases,
    faceted,
    findings_at,
    in_vehicle,
    laid,
    made,
    normals,
    piece_of,
)
from mounts import one_bend_case, two_bend_case
from shapely.geometry import LineString, Polygon

from parts.kinds.bench import Bench, Rack, Spots
from parts.kinds.bumper_mount import lay_out
from parts.kinds.bumper_mount.config import BumperMount
from parts.part import Piece
from parts.sheet.allowance import BendBook
from parts.sheet.check import check_sheet
from parts.sheet.collide import self_collisions
from parts.sheet.shop import Shop
from parts.sheet.stock import Stock, material


def flange_cases() -> list[tuple[Piece, dict[str, Any], Array, Array]]:
    height = 26.0
    found = [(piece_of(made(return_flange=height)), WORKED, rail_normal(0, 0, 1),
              bar_normal(6, LEAN, 1, 1))]  # fmt: skip
    for cases in (one_bend_case, two_bend_case):
        for seed in range(14):
            case = cases(seed)
            part = laid(case, return_flange=height)
            if part.pieces:
                rail, bar = normals(case, part.pieces[0])
                found.append((part.pieces[0], case.points, rail, bar))
    return found


def test_return_flange_stands_away_from_the_face_with_free_ends_clear_of_the_bends() -> None:
    on_rail = on_bar = 0
    cases = flange_cases()
    assert len(cases) > 15
    for piece, points, rail, bar in cases:
        *main, hung = piece.blank.bends
        assert hung.name == "return" and abs(hung.turn_deg) == 90
        folds = creases(piece.blank)
        edge = faceted(piece.blank.outline)
        start, end, n = (np.array(v) for v in (hung.start, hung.end, hung.across))
        d = (end - start) / np.linalg.norm(end - start)
        outer = Polygon([start - 0.02 * d, end + 0.02 * d, end + 0.02 * d + 300 * n,
                         start - 0.02 * d + 300 * n])  # fmt: skip
        flange = max(getattr(edge.intersection(outer), "geoms", [edge.intersection(outer)]),
                     key=lambda g: g.area)  # fmt: skip
        tips = np.array([p for p in flange.exterior.coords
                         if (np.array(p) - start) @ n > hung.allowance - 1e-6])  # fmt: skip
        # free ends: from a thickness before the bend to its end, nothing stands beside it
        for side, way in ((start, -1), (end, 1)):
            beside = Polygon([side + way * 0.01 * d - n, side + way * 3 * d - n,
                              side + way * 3 * d + hung.allowance * n,
                              side + way * 0.01 * d + hung.allowance * n])  # fmt: skip
            assert beside.intersection(edge).area < 1e-9
        strip = LineString([start, end])
        t = piece.blank.thickness
        for b in main:
            assert strip.distance(LineString([b.start, b.end])) > 2 * t
        first = float(np.mean([(np.array(main[0].across) @ (p - np.array(main[0].start)))
                               for p in (start, end)])) < 0  # fmt: skip
        on_rail, on_bar = on_rail + first, on_bar + (not first)
        flat = np.array([[*p, w] for p in tips for w in (0.0, t)])
        space = in_vehicle(piece, folded_back(flat, [folds[-1]] if first else folds, t))
        at, normal = (points["A1"], rail) if first else (points["S1"], bar)
        heights = (space - np.array(at)) @ normal
        assert heights.max() == pytest.approx(26.0, abs=1e-6)
        assert heights.min() > 0
        assert_bolts_up(piece, points, rail, bar)
        assert self_collisions(piece.folded) == []
    assert on_rail > 3 and on_bar > 3


# Findings


def test_bolt_without_room_for_a_spanner_is_told() -> None:
    assert not [f for f in made().findings if "spanner" in f.remedy]
    tall = made(return_flange=200)
    assert [f for f in tall.findings if "socket" in f.needed and "spanner" in f.remedy]


def flange_box(piece: Piece) -> tuple[Array, Array, Array]:
    """The flat of a return on the rail leg as a box: corner, three edges (3, 3), their lengths."""
    hung = piece.blank.bends[-1]
    start, end, n = (np.array(v) for v in (hung.start, hung.end, hung.across))
    coords = np.array(faceted(piece.blank.outline).exterior.coords) - start
    beside = coords @ (end - start) / ((end - start) @ (end - start))
    ahead = (coords @ n)[(beside > 0) & (beside < 1)]
    low, high = start + hung.allowance * n, start + max(ahead) * n
    t, fold = piece.blank.thickness, creases(piece.blank)[-1:]
    flat = [[*low, 0.0], [*(low + end - start), 0.0], [*high, 0.0], [*low, t]]
    corner, along, up, through = in_vehicle(piece, folded_back(flat, fold, t))
    edges = np.array([along, up, through]) - corner
    lengths = np.linalg.norm(edges, axis=1)
    return corner, edges / lengths[:, None], lengths


@pytest.mark.parametrize(
    ("height", "adjust", "clash"),
    [(478, 0, True), (478, 3, True), (478, 10, True), (464, 0, False), (464, 12, True),
     (456, 12, False), (496, 12, True), (500, 45, True)],
)  # fmt: skip
def test_room_for_a_spanner_is_that_beside_the_axis_anywhere_in_the_slot(
    height: float, adjust: float, clash: bool
) -> None:
    stud = (1098 - 3.5 * (478 - height) / 70, 622.0, float(height))
    other = (1098 - 3.5 * (478 - 300) / 70, 622.0, 300.0) if adjust > 12 else WORKED["S2"]
    reach = max(0.0, (10 + 2 * adjust - 11) / 2)  # the slot's half length between end centres
    part = made({"S1": stud, "S2": other}, return_flange=27, bar_adjust=adjust)
    corner, edges, lengths = flange_box(piece_of(part))
    n = bar_normal(6, LEAN, 1, 1)
    up = np.array([0, 0, 1.0]) - n[2] * n
    up /= np.linalg.norm(up)
    needed = 23 / 2 + 1  # M10 socket, 1.3 x 16 + 2 and rounded up, and 1 round it
    axis = np.linspace(needed + T, needed + T + 50, 600)
    points = np.array([
        stud + a * up + s * n for a in np.linspace(-reach, reach, 81) for s in axis
    ])  # fmt: skip
    local = (points - corner) @ edges.T
    off = np.linalg.norm(local - np.clip(local, 0, lengths), axis=1)
    told = findings_at(part, "right: S1")
    assert [off.min() < needed] == [clash]
    assert bool(told) is clash
    if clash:
        assert float(told[0].found.split(" mm")[0]) == pytest.approx(off.min(), abs=0.35)


@pytest.mark.parametrize("t", [2.0, 3.0, 4.0, 5.0, 6.0, 8.0])
def test_the_usual_height_of_a_return_flange_suits_the_usual_die(t: float) -> None:
    usual = 7 * t  # as its description says
    words = str(BumperMount.model_fields["return_flange"].description)
    assert "Usual: 7 times the thickness" in words
    far = {name: (x + (150 if name[0] == "S" else 0), y + (40 if name[0] == "S" else 0), z)
           for name, (x, y, z) in WORKED.items()}  # fmt: skip
    rack = Rack(Stock("plate", material("S235"), t))
    table = Bench("job", {"plate": rack}, Spots.exact(far))
    piece = piece_of(lay_out("mount", config(return_flange=usual, reach=400, bar_mass=1), table))
    assert piece.blank.bends[-1].name == "return"
    said = list(check_sheet(piece.folded, rack, BendBook(), Shop()))
    assert not [str(f) for f in said if f.refuses and "return" in f.where]
