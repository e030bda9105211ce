"""What a section is made of, by hand and by shapely, and what is refused."""

from __future__ import annotations

from dataclasses import replace
from math import pi, tan

import pytest
import shapely
from swings import GUTTER

from parts.sheet.curve import Line
from parts.sheet.loop import polygon
from parts.trade.swing import (
    Outline,
    Section,
    edge_clearance,
    lid_edge,
    outside_room,
    panel_ahead,
    polyline,
    seal,
    swing,
)


def test_the_seal_is_told_free_to_the_arm_and_squeezed_to_the_fold() -> None:
    free, squeezed = seal((24, -17), 8, 16, 12, arms=("arm",))
    arm = polyline("arm", ((60, -6), (60, -60)))
    section = Section((*lid_edge(10, 0, 1, 760), arm), (free, squeezed), 82)
    told = {(section.moving[i].name, section.fixed[j].name) for i, j in section.pairs()}
    assert told == {("arm", "seal, free"), ("lid fold", "seal, squeezed")}


def test_the_panel_with_a_skin_is_as_thick_everywhere() -> None:
    panel = panel_ahead(5, 40, 30, 100, skin=2)
    corners = [curve.start for curve in panel.curves]
    polygon = shapely.Polygon(corners)
    top = shapely.LineString(corners[:3])  # the underside is the outside of the bend
    for u, v in corners[3:]:
        assert shapely.Point(u, v).distance(top) == pytest.approx(2, abs=0.08)
    assert polygon.is_valid and polygon.area == pytest.approx(2 * 140 + 4 * tan(pi / 12))


def test_the_edge_profile_is_skin_thick_from_top_to_bottom() -> None:
    fold, skin = lid_edge(12, 3, 1, 500)
    # a straight of 9 down, and a quarter ring of radii 3 and 2
    ring = pi / 4 * (9 - 4)
    assert sum(c.swept_area() for c in fold.curves) == pytest.approx(9 * 1 + ring)
    assert abs(sum(c.swept_area() for c in skin.curves)) == pytest.approx(497)


def test_bad_sections_are_refused_with_words() -> None:
    lid, post = polyline("lid", ((0, 0), (9, 0))), polyline("post", ((0, 20), (0, 30)))
    with pytest.raises(ValueError, match="opening angle 0°"):
        Section((lid,), (post,), 0)
    with pytest.raises(ValueError, match="opening angle nan"):
        Section((lid,), (post,), float("nan"))
    with pytest.raises(ValueError, match="two outlines are called lid"):
        Section((lid,), (replace(post, name="lid"),), 80)
    with pytest.raises(ValueError, match="did you mean lid"):
        Section((lid,), (replace(post, against=("lud",)),), 80)
    with pytest.raises(ValueError, match="one outline that moves and one fixed"):
        Section((lid,), (), 80)
    with pytest.raises(ValueError, match="twice the same point"):
        polyline("post", ((0, 0), (0, 0)))
    with pytest.raises(ValueError, match="1 points; give 2"):
        polyline("post", ((0, 0),))
    with pytest.raises(ValueError, match="a gap between"):
        Outline("post", (Line((0, 0), (1, 0)), Line((2, 0), (3, 0))))
    with pytest.raises(ValueError, match="not a place"):
        polyline("post", ((0, 0), (float("nan"), 1)))
    with pytest.raises(ValueError, match="pivot"):
        swing(Section((lid,), (post,), 80), (float("nan"), 0))


@pytest.mark.parametrize(
    ("sizes", "words"),
    [((10, 3, 0, 700), "skin"), ((3, 3, 1, 700), "edge fold"), ((10, -1, 1, 700), "radius"),
     ((10, 3, 1, 2), "lid 2 mm deep")],
)  # fmt: skip
def test_an_edge_that_cannot_be_is_refused(sizes: tuple[float, ...], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        lid_edge(*sizes)


def test_a_gap_wider_than_the_pivot_is_ahead_is_refused() -> None:
    with pytest.raises(ValueError, match="the pivot ahead of it"):
        edge_clearance(4, 18, gap=5, fold=10)
    with pytest.raises(ValueError, match="gap 0 mm"):
        panel_ahead(0, 40, 30, 100)


def test_the_gutter_of_the_demo_is_an_open_run() -> None:
    assert not polyline("gutter", GUTTER).closed


ROOM = polygon([(0, 0), (100, 0), (100, 60), (50, 60), (50, 40), (0, 40)])


@pytest.mark.parametrize(
    ("corners", "out"),
    [
        (((5, 5), (95, 5), (95, 35), (5, 35)), None),
        (((0, 0), (95, 0), (95, 35), (0, 35)), None),  # along the wall is within
        (((5, 5), (95, 5), (95, 68), (55, 35)), 8),
        (((5, 5), (95, 5), (95, 35), (5, 41)), 1),
        # over (50, 40) as far from both walls: 0.6 (u - 45) - 1 = 50 - u
        (((45, 5), (55, 5), (55, 45), (45, 39)), 1.25),
    ],
)
def test_what_stands_out_of_its_room_is_told_with_how_far(
    corners: tuple[tuple[float, float], ...], out: float | None
) -> None:
    found = outside_room(polyline("arm", corners, closed=True), ROOM)
    if out is None:
        assert found is None
    else:
        assert found is not None
        room, at = shapely.Polygon([c.start for c in ROOM]), shapely.Point(found[1])
        assert room.exterior.distance(at) == pytest.approx(found[0], abs=1e-6)
        assert found[0] == pytest.approx(out, abs=0.2)


def test_a_room_corner_that_pokes_into_an_arm_is_found_between_its_corners() -> None:
    spike = polygon([(0, 0), (100, 0), (100, 60), (51, 60), (50.5, 20), (50, 60), (0, 60)])
    arm = polyline("arm", ((10, 5), (90, 5), (90, 30), (10, 30)), closed=True)
    assert outside_room(arm, spike) is not None
