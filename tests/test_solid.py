"""The folded metal as a solid: one, valid, closed, with exactly the volume of its blank.

The volume expected is worked out by hand (`by_hand.py`) from the drawn loops alone. Random parts
are in test_random_parts.py.
"""

from __future__ import annotations

import random
from dataclasses import replace
from math import atan2, degrees, pi, tau

import kernel
import numpy as np
import pytest
from blanks import NAMED, allowance, bend, random_blank, spoilt_blank
from by_hand import half_plane_area, holes_landed, volume_by_hand

from parts.sheet.blank import Bend, Blank, Cutout
from parts.sheet.body import Body, Straight, body
from parts.sheet.closed import unclosed
from parts.sheet.curve import Arc, Line, arc
from parts.sheet.fold import Folded, fold
from parts.sheet.loop import Loop, circle, clockwise, contains, loop_distance, polygon, slot
from parts.sheet.soundness import fold_or_findings
from parts.solid.build import solid


def assert_sound_solid(blank: Blank, folded: Folded | None = None) -> None:
    shape = body(folded or fold(blank))
    assert unclosed(shape, len(blank.cutouts)) is None
    made = solid(shape)
    assert kernel.valid(made)
    assert kernel.one_closed_solid(made)
    assert kernel.volume(made) == pytest.approx(volume_by_hand(blank), rel=1e-8)


def test_the_volume_worked_out_here_agrees_with_school_geometry():
    # 60 x 40 plate with a 12 mm hole, 2 mm thick: 2 (2400 - 36 pi)
    plate = polygon([(0, 0), (60, 0), (60, 40), (0, 40)])
    blank = Blank(2, plate, (Cutout("eye", circle((30, 20), 12)),), (), (5, 5))
    assert volume_by_hand(blank) == pytest.approx(2 * (2400 - 36 * pi), rel=1e-12)
    # half the hole lies beyond the middle line y = 20
    beyond = half_plane_area([*blank.loops], bend("mid", (60, 20), (0, 20), 90, 3, 2), 0)
    assert beyond == pytest.approx(1200 - 18 * pi, rel=1e-12)


@pytest.mark.parametrize("name", NAMED)
def test_a_named_part_is_one_valid_solid_of_exact_volume(name: str):
    assert_sound_solid(NAMED[name]())


@pytest.mark.parametrize("first", range(0, 100, 25))
def test_a_spoilt_blank_is_refused_or_still_a_valid_solid(first: int):
    for seed in range(first, first + 25):
        blank = spoilt_blank(seed)
        folded, findings = fold_or_findings(blank)
        if folded is None:
            assert findings, seed
            continue
        shape = body(folded)
        assert unclosed(shape, len(blank.cutouts)) is None, seed
        made = solid(shape)
        assert kernel.valid(made), seed
        assert kernel.one_closed_solid(made), seed


# holes folded by another chain of moves


@pytest.mark.parametrize(("name", "holes"), [("l_bracket", 4), ("z_with_gusset", 6), ("box", 7)])
def test_every_flat_hole_of_a_named_part_lands_where_rotations_put_it(name: str, holes: int):
    blank = NAMED[name]()
    assert holes_landed(blank, kernel.cylinders(solid(body(fold(blank))))) == holes


# contacts where exactly equal coordinates meet

T, R = 2.0, 3.0
BA = allowance(90, R, T)
SQUARE = [(0.0, -40.0), (60.0, -40.0), (60.0, BA + 40), (0.0, BA + 40)]
NEAR = [0.0, 1e-9, -1e-9, 1e-8, -1e-8, 3e-8, 1e-7, -1e-7, 1e-6, -1e-6, 1e-5, 1e-4, 1e-3, 1e-2]


def tab(*cutouts: Loop, outline: Loop | None = None) -> Blank:
    named = tuple(Cutout(f"opening {i}", loop) for i, loop in enumerate(cutouts))
    line = bend("tab", (60, 0), (0, 0), 90, R, T)
    turned = Bend("tab", (0, 0), (60, 0), 90, R, BA)
    assert line.allowance == turned.allowance
    return Blank(T, outline or polygon(SQUARE), named, (turned,), (3, -37))


@pytest.mark.parametrize("over", NEAR)
@pytest.mark.parametrize("side", [-1, 1])
@pytest.mark.parametrize("line", [0.0, BA])
def test_a_hole_that_touches_or_barely_crosses_a_tangent_line(line: float, side: int, over: float):
    assert_sound_solid(tab(circle((30, line + side * (4 - over)), 8)))


@pytest.mark.parametrize("over", NEAR)
def test_a_hole_as_wide_as_the_bend(over: float):
    assert_sound_solid(tab(circle((30, BA / 2), BA + 2 * over)))


@pytest.mark.parametrize("over", NEAR)
@pytest.mark.parametrize("line", [0.0, BA])
def test_a_slot_side_on_a_tangent_line(line: float, over: float):
    assert_sound_solid(tab(slot((30, line + 3 - over), 30, 6, 0)))
    assert_sound_solid(tab(slot((30, line - 3 + over), 30, 6, 0)))


def test_a_slot_as_wide_as_the_bend():
    assert_sound_solid(tab(slot((30, BA / 2), 30, BA, 0)))


@pytest.mark.parametrize("over", NEAR)
def test_a_notch_bottom_on_a_tangent_line(over: float):
    notch = [(60.0, -2.0), (50.0, -2.0), (50.0, over), (60.0, over)]
    assert_sound_solid(tab(outline=polygon([*SQUARE[:2], *notch, *SQUARE[2:]])))
    notch = [(60.0, -2.0), (50.0, -2.0), (50.0, BA + over), (60.0, BA + over)]
    assert_sound_solid(tab(outline=polygon([*SQUARE[:2], *notch, *SQUARE[2:]])))


@pytest.mark.parametrize("over", NEAR)
def test_an_outline_corner_on_a_tangent_line(over: float):
    inward, outward = [(57.0, over)], [(63.0, BA + over)]
    assert_sound_solid(tab(outline=polygon([*SQUARE[:2], *inward, *SQUARE[2:]])))
    assert_sound_solid(tab(outline=polygon([*SQUARE[:2], *outward, *SQUARE[2:]])))


@pytest.mark.parametrize("over", NEAR)
def test_the_corner_of_a_square_opening_on_a_tangent_line(over: float):
    across = polygon([(30, over), (25, over - 5), (20, over), (25, over + 5)])
    below = polygon([(30, over), (25, -5), (20, -4), (22, -2)])
    assert_sound_solid(tab(clockwise(across)))
    assert_sound_solid(tab(clockwise(below)))


def test_an_arc_of_the_outline_that_touches_a_tangent_line():
    bite = arc((60, -5), 5, -pi / 2, -pi)  # a half round cut in from the edge, its top on y = 0
    outline = (
        Line((0, -40), (60, -40)),
        Line((60, -40), (60, -10)),
        Arc((60, -10), (60, 0), (60, -5), bite.sweep),
        Line((60, 0), (60, BA + 40)),
        Line((60, BA + 40), (0, BA + 40)),
        Line((0, BA + 40), (0, -40)),
    )
    assert_sound_solid(tab(outline=outline))


@pytest.mark.parametrize("over", NEAR)
@pytest.mark.parametrize("line", [0.0, BA])
def test_a_slot_end_that_touches_or_barely_crosses_a_tangent_line(line: float, over: float):
    assert_sound_solid(tab(slot((30, line + 10 - over), 20, 6, 90)))
    assert_sound_solid(tab(slot((30, line - 10 + over), 20, 6, 90)))


@pytest.mark.parametrize("over", NEAR)
def test_a_bite_of_the_outline_that_touches_or_barely_crosses_a_tangent_line(over: float):
    # a round bite whose middle height reaches y = over: centre 5 below, ends on the edge
    reach = 4.0
    middle = (60.0 - 3.0, over - 5.0)
    low, high = (60.0, middle[1] - reach), (60.0, middle[1] + reach)
    sweep = -(tau - 2 * atan2(reach, 3.0))
    outline = (
        Line((0, -40), (60, -40)),
        Line((60, -40), low),
        Arc(low, high, middle, sweep),
        Line(high, (60, BA + 40)),
        Line((60, BA + 40), (0, BA + 40)),
        Line((0, BA + 40), (0, -40)),
    )
    assert_sound_solid(tab(outline=outline))


@pytest.mark.parametrize("first", range(0, 60, 15))
def test_openings_laid_against_the_tangent_lines_of_random_parts(first: int):
    laid = 0
    for seed in range(first, first + 15):
        blank, count = laid_against(seed)
        laid += count
        folded, findings = fold_or_findings(blank)
        assert folded is not None, (seed, findings)
        assert_sound_solid(blank, folded)
    assert laid > 15


def laid_against(seed: int) -> tuple[Blank, int]:
    """A random blank whose openings touch the tangent lines, but for a hair."""
    rng, blank = random.Random(1000 + seed), random_blank(seed)
    openings: list[Loop] = []
    for b in blank.bends:
        for _ in range(6):
            r, along = rng.uniform(1.5, 6), rng.uniform(0.1, 0.9)
            line = rng.choice([0.0, b.allowance])
            ahead = line + rng.choice([-1, 1]) * (r - rng.choice(NEAR))
            center = tuple(
                b.start[i] + along * (b.end[i] - b.start[i]) + ahead * b.across[i] for i in (0, 1)
            )
            heading = degrees(atan2(b.along[1], b.along[0])) + rng.choice([0, 0, 37])
            lying = rng.random() < 0.5
            loop = slot(center, 2 * r + 9, 2 * r, heading) if lying else circle(center, 2 * r)
            apart = all(loop_distance(loop, other, 1.5) is None for other in openings)
            nested = any(contains([other], center) for other in openings)
            clear = loop_distance(loop, blank.outline, 1.0) is None
            if clear and apart and not nested and contains([blank.outline], center):
                openings.append(loop)
    cutouts = tuple(Cutout(f"opening {i}", loop) for i, loop in enumerate(openings))
    return replace(blank, cutouts=cutouts), len(openings)


def test_two_bends_that_share_a_vertex_on_the_edge_of_a_relief():
    relief = 8.0
    outline = polygon(
        [
            (0, 0),
            (60, 0),
            (60, 60 - relief),
            (100, 60 - relief),
            (100, 60),
            (60, 60),
            (60, 100),
            (0, 100),
        ]
    )
    side = Bend("side", (60, 60), (60, 60 - relief), 90, R, BA)
    top = Bend("top", (0, 60), (60, 60), 90, R, BA)
    assert_sound_solid(Blank(T, outline, (), (side, top), (30, 30)))


# the skin's own check


def diamond(x: float, y: float) -> Loop:
    return clockwise(polygon([(x + 5, y), (x, y + 5), (x - 5, y), (x, y - 5)]))


def test_openings_that_touch_at_a_corner_are_no_closed_skin():
    touching = tab(diamond(20, -20), diamond(30, -20))
    assert "used 4 times" in (unclosed(body(fold(touching)), 2) or "")
    assert fold_or_findings(touching)[0] is None


def test_an_opening_whose_corner_touches_a_corner_of_the_edge_is_no_closed_skin():
    bent_in = polygon([*SQUARE[:1], (20, -40), (25, -30), (30, -40), *SQUARE[1:]])
    touching = tab(diamond(25, -25), outline=bent_in)
    assert "used 4 times" in (unclosed(body(fold(touching)), 1) or "")
    assert fold_or_findings(touching)[0] is None


def test_a_skin_with_a_fault_is_told_apart():
    whole = body(fold(NAMED["box"]()))
    assert unclosed(whole, 12) is None
    assert unclosed(whole, 11) == "the skin goes through 12 openings, not 11"
    first = whole.faces[0]
    cases: dict[str, Body] = {
        "not by two faces": replace_faces(whole, whole.faces[1:]),
        "opposite senses": replace_faces(
            whole, (replace(first, flipped=not first.flipped), *whole.faces[1:])
        ),
        "breaks between": replace_faces(
            whole, (replace(first, loops=(first.loops[0][1:], *first.loops[1:])), *whole.faces[1:])
        ),
        "misses vertex": Body(
            (whole.vertices[0] + [0, 0, 1e-4], *whole.vertices[1:]), whole.edges, whole.faces
        ),
    }
    for said, shape in cases.items():
        assert said in (unclosed(shape, 12) or ""), said
    assert "separate pieces" in (unclosed(twice(whole), 23) or "")


def replace_faces(shape: Body, faces: tuple) -> Body:
    return Body(shape.vertices, shape.edges, faces)


def twice(shape: Body) -> Body:
    """Two copies in one; nothing joins them."""
    v, e = len(shape.vertices), len(shape.edges)
    edges = [replace(edge, start=edge.start + v, end=edge.end + v) for edge in shape.edges]
    faces = [
        replace(face, loops=tuple(tuple((n + e, s) for n, s in loop) for loop in face.loops))
        for face in shape.faces
    ]
    return Body((*shape.vertices, *shape.vertices), (*shape.edges, *edges), (*shape.faces, *faces))


def test_two_corners_made_one_are_told():
    plate = body(fold(Blank(T, polygon(SQUARE), (), (), (3, -37))))
    merged = [
        replace(edge, start=edge.start * (edge.start != 2), end=edge.end * (edge.end != 2))
        for edge in plate.edges
    ]
    assert unclosed(plate, 0) is None
    assert "pinched at vertex 0" in (unclosed(replace(plate, edges=tuple(merged)), 0) or "")


def test_an_edge_off_its_face_is_told():
    plate = body(fold(Blank(T, polygon(SQUARE), (), (), (3, -37))))
    up = np.array([0, 0, 1e-3])
    first = plate.edges[0]
    ends = (first.start, first.end)
    vertices = tuple(v + up if i in ends else v for i, v in enumerate(plate.vertices))
    curves = [replace(e.curve, point=vertices[e.start]) for e in plate.edges]
    longer = [
        replace(
            e, curve=c, low=0.0, high=float((vertices[e.end] - vertices[e.start]) @ c.direction)
        )
        for e, c in zip(plate.edges, curves, strict=True)
    ]
    tilted = [
        replace(e, curve=Straight(e.curve.point, (vertices[e.end] - vertices[e.start]) / e.high))
        for e in longer
    ]
    assert "off it" in (unclosed(Body(vertices, tuple(tilted), plate.faces), 0) or "")
