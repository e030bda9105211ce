"""Slots, widths, lengths and mass of a bumper mount, by hand and from its outline."""

from __future__ import annotations

from math import radians, sqrt, tan

import numpy as np
import pytest
from mount_by_hand import Array, bar_normal, folded_back, rail_normal, single_fold
from mount_made import (
    LEAN,
    WORKED,
    R,
    T,
    bench,
    config,
    creases,
    faceted,
    figure,
    in_vehicle,
    made,
    piece_of,
    size,
)
from shapely.geometry import LineString

from parts.kinds.bumper_mount import lay_out
from parts.sheet.curve import Arc


def test_slot_is_bolt_and_twice_error_and_wish() -> None:
    rng = np.random.default_rng(7)
    half = rng.normal(size=(12, 12)) * 0.35
    covariance = half @ half.T  # correlated, as points solved from the same tapes are
    part = lay_out("mount", config(rail_adjust=7, bar_adjust=5), bench(WORKED, covariance))
    names = list(WORKED)

    def error(a: str, s: str, axis: Array) -> float:
        i, j = 3 * names.index(a), 3 * names.index(s)
        block = (
            covariance[i : i + 3, i : i + 3] + covariance[j : j + 3, j : j + 3]
            - covariance[i : i + 3, j : j + 3] - covariance[j : j + 3, i : i + 3]
        )  # fmt: skip
        return 1.959964 * sqrt(axis @ block @ axis)

    piece = piece_of(part)
    upright = np.array([0, 0, 1.0])
    n = bar_normal(6, LEAN, 1, 1)
    up_the_bar = upright - (upright @ n) * n
    up_the_bar /= np.linalg.norm(up_the_bar)
    slots = {c.name: size(c) for c in piece.blank.cutouts}
    for a in ("A1", "A2"):
        worst = max(error(a, s, np.array([1.0, 0, 0])) for s in ("S1", "S2"))
        assert slots[a] == pytest.approx((12 + 2 * (worst + 7), 13.5), abs=5e-3)
    for s in ("S1", "S2"):
        worst = max(error(a, s, up_the_bar) for a in ("A1", "A2"))
        assert slots[s] == pytest.approx((10 + 2 * (worst + 5), 11.0), abs=5e-3)


def test_slots_run_fore_aft_at_the_rail_and_up_at_the_bar() -> None:
    piece = piece_of(made())
    directions = []
    for name, folds in (("A1", []), ("S1", creases(piece.blank))):
        (cutout,) = [c for c in piece.blank.cutouts if c.name == name]
        line = next(c for c in cutout.loop if not isinstance(c, Arc))
        ends = folded_back([[*line.start, 0.0], [*line.end, 0.0]], folds, T)
        run = in_vehicle(piece, ends)
        directions.append((run[1] - run[0]) / np.linalg.norm(run[1] - run[0]))
    assert abs(directions[0][0]) == pytest.approx(1.0, abs=1e-9)
    assert abs(directions[1][2]) == pytest.approx(np.cos(radians(LEAN)), abs=1e-4)
    assert abs(directions[0] @ directions[1]) < 0.06  # right angles, but for the bar's own lean


def test_none_makes_round_holes_of_iso_273() -> None:
    piece = piece_of(made(rail_slots="none", bar_slots="none"))
    found = {c.name: c.round_hole for c in piece.blank.cutouts}
    assert all(found.values())
    assert {n: 2 * hole.radius for n, hole in found.items() if hole} == pytest.approx(
        {"A1": 13.5, "A2": 13.5, "S1": 11.0, "S2": 11.0}
    )


@pytest.mark.parametrize("mass", [8, 40, 90])
def test_root_is_wide_enough_for_the_load_and_straight_across(mass: float) -> None:
    piece = piece_of(made(bar_mass=mass, load_g=4))
    rail, bar = rail_normal(0, 0, 1), bar_normal(6, LEAN, 1, 1)
    studs = np.array([WORKED["S1"], WORKED["S2"]])
    hand = single_fold((WORKED["A1"], rail), (WORKED["S1"], bar),
                       [WORKED["A1"], WORKED["A2"]], studs, T, R)  # fmt: skip
    off = studs - hand.apex
    arm = np.linalg.norm(off - np.outer(off @ hand.line, hand.line), axis=1).max()
    least = 6 * (mass * 9.80665 * 4) * arm / (T**2 * 235)  # S235: 235 MPa, EN 10025-2
    b = piece.blank.bends[0]
    start, end = np.array(b.start), np.array(b.end)
    d = (end - start) / np.linalg.norm(end - start)
    edge = faceted(piece.blank.outline)
    for u in np.linspace(0, b.allowance, 4):
        across = LineString([start - 300 * d + u * np.array(b.across),
                             end + 300 * d + u * np.array(b.across)])  # fmt: skip
        width = across.intersection(edge).length
        assert width >= least
        assert width == pytest.approx(figure(piece, "fold: width at the bend"), abs=1e-6)
    assert least > 30 or mass == 8


def test_flat_is_outside_legs_less_the_deduction() -> None:
    for piece in (piece_of(made()), piece_of(made(return_flange=22))):
        legs = [figure(piece, f"{leg}: outside length to the apex") for leg in
                ("rail leg", "bar leg")]  # fmt: skip
        flat = sum(legs) - figure(piece, "fold: bend deduction")
        assert figure(piece, "developed length") == pytest.approx(flat, abs=1e-9)
        turn = radians(figure(piece, "fold: turn angle"))
        allowance = figure(piece, "fold: bend allowance")
        # DIN 6935: K = 0.65 + 0.5 log10(R/t) of half the thickness, 0.325 t at R = t
        assert allowance == pytest.approx(turn * (5 + 0.325 * 5), abs=1e-6)
        deduction = 2 * (R + T) * tan(turn / 2) - allowance
        assert figure(piece, "fold: bend deduction") == pytest.approx(deduction, abs=1e-9)
        b = piece.blank.bends[0]
        ahead = [np.array(b.across) @ (np.array(p) - np.array(b.start))
                 for p in faceted(piece.blank.outline).exterior.coords]  # fmt: skip
        setback = (R + T) * tan(turn / 2)
        assert legs[0] == pytest.approx(setback - min(ahead), abs=2e-3)
        assert legs[1] == pytest.approx(max(ahead) - allowance + setback, abs=2e-3)


def test_blank_box_and_mass_are_those_of_the_outline() -> None:
    piece = piece_of(made())
    edge = faceted(piece.blank.outline)
    low_x, low_y, high_x, high_y = edge.bounds
    b = piece.blank.bends[0]
    assert abs(b.along[0]) == pytest.approx(1.0, abs=1e-9)  # the fold runs along the blank's x
    assert figure(piece, "blank, along the fold") == pytest.approx(high_x - low_x, abs=2e-3)
    assert figure(piece, "blank, across the fold") == pytest.approx(high_y - low_y, abs=2e-3)
    flat = edge.area - sum(faceted(c.loop).area for c in piece.blank.cutouts)
    # the bend's strip holds its own angle and width: w x turn x t (R + t/2), not w x allowance x t
    width, turn = figure(piece, "fold: width at the bend"), b.turn_rad
    volume = flat * T + width * T * (turn * (R + T / 2) - b.allowance)
    assert figure(piece, "mass") == pytest.approx(volume * 7850e-9, rel=1e-4)
    assert piece.volume == pytest.approx(volume, rel=1e-4)


def test_a_piece_keeps_the_stock_as_it_stands_on_the_rack() -> None:
    assert piece_of(made()).rack == bench().racks["plate"]
    assert piece_of(made()).rack.inside_radius == R
