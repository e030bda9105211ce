"""Disc, band and skin of a tub together: tabs, formed rims, gaps, mirrored, by the kernel."""

from __future__ import annotations

import itertools
from math import pi, radians, sqrt, tan
from typing import Any

import cadquery as cq
import numpy as np
import pytest
import tubs
from kernel import common_volume, one_closed_solid, region_solid, valid
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.gp import gp_Pnt
from tub_solids import SURROUNDS, cut, in_space, kernel_gap, placed
from tubs import SIDE, T, leaning, tapered, tub

from parts.kinds.wheel_tub.blanks import Cut
from parts.kinds.wheel_tub.disc import spun_blank
from parts.sheet.fold import Folded, fold
from parts.sheet.loop import length
from parts.solid import cadquery_solid


@pytest.mark.parametrize("style", ["corner", "tabs", "formed"])
@pytest.mark.parametrize("surround", ["upright", "leaning and toed"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_disc_band_and_skin_share_no_metal(hand: str, surround: str, style: str) -> None:
    side = {**SIDE, **SURROUNDS[surround]}
    of = tub(hand=hand, style=style, **{hand: side})
    solids = {c.name: placed(c) for c in of.cuts}
    assert all(valid(s) and one_closed_solid(s) for s in solids.values())
    for (a, one), (b, other) in itertools.combinations(solids.items(), 2):
        assert common_volume(one, other) < 1e-3, (a, b)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_tabs_fold_up_along_the_bands_outside(hand: str) -> None:
    of = tub(hand=hand, style="tabs", tab=18, **{hand: {**SIDE, "rail": []}})
    disc, band = cut(of, "disc"), cut(of, "band")
    one, other = placed(disc), placed(band)
    assert valid(one)
    assert one_closed_solid(one)
    assert len(disc.blank.bends) >= 3
    assert 0.01 < kernel_gap(one, other) <= 0.2
    out = 1.0 if hand == "right" else -1.0
    folded = fold(disc.blank)
    for bend in disc.blank.bends:
        middle = np.add(bend.start, bend.end) / 2
        away = middle / np.linalg.norm(middle)  # (0, 0) of the blank is the band's centre
        tip = middle + (bend.allowance + 2) * away
        at = in_space(disc, folded, np.array([[*tip, 0.0], [*tip, T]]))
        # both skins outboard of the disc's face, the inner one on the band's outer skin
        assert (at[:, 1] * out > 568).all()
        reach = np.sort(np.hypot(at[:, 0] + 3, at[:, 2] - 426))
        assert reach[0] == pytest.approx(392 + T + 0.2, abs=1e-6)
        assert reach[1] == pytest.approx(392 + 2 * T + 0.2, abs=1e-6)
    # a tab is 18 long over its outside, from the disc's back face
    tips = [placed_tip(disc, folded, bend) * out for bend in disc.blank.bends]
    assert tips == pytest.approx([568 - T + 18] * len(tips), abs=0.02)


def placed_tip(disc: Cut, folded: Folded, bend: Any) -> float:
    middle = np.add(bend.start, bend.end) / 2
    away = middle / np.linalg.norm(middle)
    region = folded.region_at(tuple(middle + (bend.allowance + 2) * away))
    ends = [curve.at(f) for loop in region.curves for curve in loop for f in (0.0, 0.5)]
    return max((float(disc.place.apply(folded.space(region, p, 0.0))[1]) for p in ends), key=abs)


# reference rows: bottom corner at mid-thickness, by Pappus
# D^2 = d^2 + 4dh - (8 - 2 pi) r d + (12 - 4 pi) r^2, d the cup's mid diameter, h its height
@pytest.mark.parametrize(
    ("d", "h", "r", "blank"), [(100, 60, 8, 180.5278), (250, 120, 20, 416.7606)]
)
def test_a_formed_rim_has_the_blank_that_pappus_gives(
    d: float, h: float, r: float, blank: float
) -> None:
    t = 1.0
    spun = spun_blank(d / 2 - r, r - t / 2, t, h - r)
    assert 2 * spun.by_area == pytest.approx(blank, abs=1e-3)
    # by length: flat, a quarter round, straight
    assert spun.by_length == pytest.approx(d / 2 - r + pi / 2 * r + h - r)


def test_a_formed_disc_is_named_approximate_in_every_file() -> None:
    part = tubs.made(style="formed", tab=18, edge_radius=12)
    discs = [p for p in part.pieces if p.name.startswith("disc")]
    assert discs
    assert all("approximate" in part.stem(p) for p in discs)
    assert any("approximate" in f.found and f.where == "right: disc" for f in part.findings)
    assert not any("approximate" in part.stem(p) for p in part.pieces if p not in discs)


def test_a_mirrored_surround_gives_mirrored_metal() -> None:
    side = {**SIDE, "body_side": leaning(4, 2), "rail": tapered(4, 3)}
    right, left = tub(hand="right", right=side), tub(hand="left", left=side)
    for one, other in zip(right.cuts, left.cuts, strict=True):
        assert one.name == other.name
        a, b = cadquery_solid(fold(one.blank), one.place), cadquery_solid(
            fold(other.blank), other.place
        )
        # arcs are laid through leaning edges from the other end, within 0.01 mm of them
        bound = 0.01 * length(one.blank.outline) * T
        assert a.Volume() == pytest.approx(b.Volume(), abs=bound)
        ca, cb = a.Center(), b.Center()
        assert (ca.x, ca.y, ca.z) == pytest.approx((cb.x, -cb.y, cb.z), abs=0.05)


def test_the_skins_opening_goes_round_the_band_with_its_gap() -> None:
    of = tub({"body_side": leaning(5, 2), "rail": []}, arch_gap=0.4)
    skin, band = placed(cut(of, "skin")), cut(of, "band")
    folded = fold(band.blank)
    (roll,) = [r for r in folded.regions if r.bend == 1]
    place = cadquery_solid(fold(band.blank), band.place).location()
    rolled = cq.Shape(region_solid(folded, roll))
    assert kernel_gap(skin, rolled.moved(place).wrapped) == pytest.approx(0.4, abs=0.03)


def test_the_skin_stands_off_the_body_by_its_gap() -> None:
    of = tub({"body_side": leaning(5, 2)}, skin_gap=6)
    skin = placed(cut(of, "skin"))
    lean, toe = tan(radians(5)), tan(radians(2))
    # the body's plane, y = 944 - lean (z - 426) + toe x, against every corner of the skin
    folded = fold(cut(of, "skin").blank)
    found = []
    for curve in cut(of, "skin").blank.outline:
        for w in (0.0, T):
            x, y, z = in_space(cut(of, "skin"), folded, np.array([[*inside(curve), w]]))[0]
            found.append((944 - lean * (z - 426) + toe * x - y) / sqrt(1 + lean**2 + toe**2))
    assert min(found) == pytest.approx(6, abs=1e-6)
    assert max(found) == pytest.approx(6 + T, abs=1e-6)
    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(0, 944, 426)).Vertex()
    assert kernel_gap(skin, vertex) > 6


def inside(curve: Any) -> tuple[float, float]:
    """A hair inside the metal beside the middle of a side."""
    (x, y), (dx, dy) = curve.at(0.5), curve.tangent(0.5)
    return (x - 1e-6 * dy, y + 1e-6 * dx)
