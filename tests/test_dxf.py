"""The flat drawings, seen by the drawing library, by shapely and by GDAL."""

import os
import re
import shutil
import subprocess
from dataclasses import replace
from math import pi
from pathlib import Path
from typing import Any

import pytest
from blanks import NAMED
from hand_parts import named, part_of, written
from shapely.geometry import LineString, MultiPoint, Point, Polygon

from parts.part import Part

# l_bracket by hand: 2 mm sheet, base 60 x 40 less a corner of radius 8 and two holes of 6.5,
# flange 60 x 50 less holes of 6.5 and 9; the bend takes up pi/2 (3 + 0.42 x 2)
QUARTER = pi / 4
BASE = 60 * 40 - (1 - QUARTER) * 8**2 - 2 * QUARTER * 6.5**2
FLANGE = 60 * 50 - QUARTER * 6.5**2 - QUARTER * 9**2
ALLOWANCE = pi / 2 * (3 + 0.42 * 2)
# mild steel takes 1 t across the grain and 1.5 t along it (common practice): 4 < 4.5, 2 < 2.25
NEEDS_GRAIN = ("z_with_gusset", "box")
CROSS = Point(0, 0)


def dxf_files(part: Part, folder: Path) -> tuple[Path, Path]:
    cut, marked = written(part, folder, ["dxf"])
    return cut, marked


@pytest.mark.parametrize("name", NAMED)
def test_dxf_is_metric_sound_and_holds_each_contour_once_and_closed(
    name: str, tmp_path: Path
) -> None:
    import ezdxf

    part = named(name)
    loops = part.pieces[0].folded.blank.loops
    for path in dxf_files(part, tmp_path):
        drawing = ezdxf.readfile(path)
        assert not drawing.audit().has_issues
        assert drawing.dxfversion == "AC1024"  # R2010
        assert (drawing.header["$INSUNITS"], drawing.header["$MEASUREMENT"]) == (4, 1)
        cuts = drawing.modelspace().query('*[layer=="CUT"]')
        assert len(cuts) == len(loops)
        circles = [e for e in cuts if e.dxftype() == "CIRCLE"]
        assert len(circles) == sum(len(loop) == 1 for loop in loops)
        assert all(e.closed for e in cuts if e.dxftype() == "LWPOLYLINE")
        assert {e.dxftype() for e in cuts} <= {"CIRCLE", "LWPOLYLINE"}


def test_the_dxf_to_cut_from_holds_nothing_but_the_layer_cut(tmp_path: Path) -> None:
    import ezdxf

    cut, marked = dxf_files(named("z_with_gusset"), tmp_path)
    assert {e.dxf.layer for e in ezdxf.readfile(cut).modelspace()} == {"CUT"}
    assert {e.dxf.layer for e in ezdxf.readfile(marked).modelspace()} == {"CUT", "BEND", "MARK"}
    assert {layer.dxf.name for layer in ezdxf.readfile(cut).layers} <= {"0", "Defpoints", "CUT"}


def test_dxf_arcs_are_arcs_and_holes_are_drawn_nominal(tmp_path: Path) -> None:
    import ezdxf

    cut, _ = dxf_files(named("l_bracket"), tmp_path)
    space = ezdxf.readfile(cut).modelspace()
    circles = {
        tuple(round(c, 9) for c in e.dxf.center)[:2]: e.dxf.radius for e in space.query("CIRCLE")
    }
    far = round(ALLOWANCE + 50 - 14, 9)  # 14 from the edge of a 50 mm flange
    assert circles == {(12, -28): 3.25, (46, -26): 3.25, (15, far): 3.25, (45, far): 4.5}
    (outline,) = space.query("LWPOLYLINE")
    bulges = [round(b, 12) for *_, b in outline.get_points() if b]
    assert bulges == [round(2**0.5 - 1, 12)]  # tan(90 / 4) for the rounded corner


def flattened(entity: Any) -> Polygon:
    """A contour with its arcs as chords that stray by less than 1e-6 mm."""
    if entity.dxftype() == "CIRCLE":
        return Polygon([(p.x, p.y) for p in entity.flattening(1e-6)])
    points = []
    for piece in entity.virtual_entities():
        run = piece.flattening(1e-6) if piece.dxftype() == "ARC" else [piece.dxf.start]
        run = [(p.x, p.y) for p in run]
        if points and piece.dxftype() == "ARC" and LineString([points[-1], run[-1]]).length < 1e-6:
            run.reverse()
        points += run
    return Polygon(points)


@pytest.mark.parametrize("name", NAMED)
def test_words_on_the_blank_lie_in_the_metal_and_bend_lines_end_at_its_edge(
    name: str, tmp_path: Path
) -> None:
    """Shapely and the drawing library's own fonts stand for eye and ruler."""
    import ezdxf
    from ezdxf.addons import text2path

    part = named(name)
    _, marked = dxf_files(part, tmp_path)
    space = ezdxf.readfile(marked).modelspace()
    shapes = [flattened(e) for e in space.query('*[layer=="CUT"]')]
    whole = max(shapes, key=lambda shape: shape.area)
    metal = whole
    for shape in shapes:
        metal = metal.difference(shape) if shape is not whole else metal
    texts = list(space.query("TEXT"))
    assert len(texts) == len(part.pieces[0].folded.blank.bends) + 3 + (name in NEEDS_GRAIN)
    boxes = []
    for text in texts:
        glyphs = [
            p for path in text2path.make_paths_from_entity(text) for p in path.control_vertices()
        ]
        boxes.append(MultiPoint([(p.x, p.y) for p in glyphs]).minimum_rotated_rectangle)
        assert metal.contains(boxes[-1]), text.dxf.text
    lines = list(space.query('LINE[layer=="BEND"]'))
    for i, box in enumerate(boxes):
        assert not any(box.intersects(other) for other in boxes[:i])
    for mark in space.query('LINE[layer=="MARK"]'):
        drawn = LineString([mark.dxf.start.vec2, mark.dxf.end.vec2])
        if drawn.centroid.distance(CROSS) > 1e-9:  # the cross may lie anywhere, the arrow not
            assert metal.contains(drawn)
            assert all(not drawn.intersects(box) for box in boxes)
            assert all(not drawn.intersects(LineString([line.dxf.start.vec2, line.dxf.end.vec2]))
                       for line in lines)  # fmt: skip
    for line in lines:
        drawn = LineString([line.dxf.start.vec2, line.dxf.end.vec2])
        assert drawn.intersection(metal).length == pytest.approx(drawn.length, abs=1e-3)
        assert drawn.boundary.distance(metal.boundary) < 1e-3
        assert all(not drawn.intersects(box) for box in boxes)


def test_a_bend_says_direction_turn_and_inside_radius_beside_its_middle(tmp_path: Path) -> None:
    import ezdxf

    _, marked = dxf_files(named("z_with_gusset"), tmp_path)
    drawing = ezdxf.readfile(marked)
    space = drawing.modelspace()
    words = {e.dxf.text for e in space.query('TEXT[layer=="BEND"]')}
    assert words == {"up: up 90%%d R4", "down: down 90%%d R4", "gusset: up 90%%d R4"}
    half = pi / 2 * (4 + 0.42 * 3) / 2  # half the allowance lies on either side of the middle
    heights = sorted(
        round(e.dxf.start.y, 9)
        for e in space.query('LINE[layer=="BEND"]')
        if abs(e.dxf.start.y - e.dxf.end.y) < 1e-9
    )
    assert heights == [round(-half, 9), round(70 + half, 9)]
    assert drawing.layers.get("BEND").dxf.linetype == "LONG_DASH_TWO_DOTS"
    repeat = drawing.linetypes.get("LONG_DASH_TWO_DOTS").pattern_tags.tags
    assert sum(abs(tag.value) for tag in repeat if tag.code == 49) == pytest.approx(8.5)


def test_the_grain_runs_square_to_the_greater_length_of_sharp_bends(tmp_path: Path) -> None:
    """z_with_gusset: two bends of 90 mm along x, one of 34 along y: the grain runs along y."""
    import ezdxf

    _, marked = dxf_files(named("z_with_gusset"), tmp_path)
    space = ezdxf.readfile(marked).modelspace()
    (word,) = [e for e in space.query("TEXT") if e.dxf.text == "grain"]
    x, y, _ = word.dxf.align_point
    lines = [(e.dxf.start, e.dxf.end) for e in space.query('LINE[layer=="MARK"]')]
    upright = [(p, q) for p, q in lines if abs(p.x - x) + abs(q.x - x) < 1e-9]
    assert len(upright) == 2  # a shaft above the word and one below
    assert sorted(p.y > y for p, _ in upright) == [False, True]
    tips = [q for p, q in lines if (p, q) not in upright and abs(q.x - x) < 1e-9 and p.x != q.x]
    assert len(tips) == 4  # two strokes of a head at either end
    assert {round(abs(q.y - y), 6) for q in tips} == {
        round(max(abs(q.y - y) for _, q in upright), 6)
    }


def test_a_blank_whose_bends_run_either_way_shows_no_grain(tmp_path: Path) -> None:
    import ezdxf

    _, marked = dxf_files(named("l_bracket"), tmp_path)  # R 3 is 1.5 t
    assert not [e for e in ezdxf.readfile(marked).query("TEXT") if e.dxf.text == "grain"]


def test_a_bend_says_what_to_bend_over_to_and_by_whose_word(tmp_path: Path) -> None:
    """A sheet that opens 1.5 from 90 opens 1 from 60: bend over to 61."""
    import ezdxf
    from blanks import bend

    from parts.sheet.allowance import BendBook, BookRow
    from parts.sheet.blank import Blank
    from parts.sheet.loop import polygon
    from parts.sheet.stock import material

    sheet = polygon([(0, 0), (80, 0), (80, 90), (0, 90)])
    part = part_of(Blank(2.0, sheet, (), (bend("foot", (80, 40), (0, 40), 60, 3, 2.0),), (40, 5)))
    row = BookRow("mild steel", 2, 3, k=0.42, springback_deg=1.5)
    allowance = BendBook((row,)).allowance(material("mild steel"), 2, 3, 60)
    piece = replace(part.pieces[0], allowances=(allowance,))
    _, marked = dxf_files(replace(part, pieces=(piece,)), tmp_path)
    words = {e.dxf.text for e in ezdxf.readfile(marked).query('TEXT[layer=="BEND"]')}
    assert words == {"foot: up 60%%d R3", "foot: over to 61%%d by bend book row 1"}


def test_words_that_find_no_room_go_below_the_blank(tmp_path: Path) -> None:
    import ezdxf
    from blanks import bend

    from parts.sheet.blank import Blank
    from parts.sheet.loop import polygon

    strip = polygon([(0, 0), (8, 0), (8, 60), (0, 60)])  # too narrow for any word
    blank = Blank(2.0, strip, (), (bend("foot", (8, 30), (0, 30), 90, 3, 2.0),), (4, 50))
    _, marked = dxf_files(part_of(blank), tmp_path)
    places = [e.dxf.align_point for e in ezdxf.readfile(marked).modelspace().query("TEXT")]
    assert len(places) == 4
    below = [p for p in places if p.y < 0]
    assert below
    assert len({round(p.y, 3) for p in below}) == len(below)


@pytest.mark.skipif(
    shutil.which("ogrinfo") is None and not os.environ.get("CI"),
    reason="GDAL (ogrinfo) is not installed",
)
@pytest.mark.parametrize("name", ["l_bracket", "box", "skew"])
def test_another_reader_sees_the_same_contours(name: str, tmp_path: Path) -> None:
    """GDAL turns arcs to chords of a quarter degree, so areas agree to 1e-5."""
    blank = NAMED[name]()
    cut, marked = dxf_files(part_of(blank), tmp_path)
    for path, layers in ((cut, {"CUT"}), (marked, {"CUT", "BEND", "MARK"})):
        done = subprocess.run(
            ["ogrinfo", "-ro", "-al", "--config", "OGR_ARC_STEPSIZE", "0.25", str(path)],
            capture_output=True,
            text=True,
            check=True,
        )
        found = re.split(r"OGRFeature\(entities\):\d+", done.stdout)[1:]
        layer = [re.search(r"Layer \(String\) = (\S+)", feature) for feature in found]
        assert {match[1] for match in layer if match} == layers
        cuts = [f for f, match in zip(found, layer, strict=True) if match and match[1] == "CUT"]
        assert len(cuts) == 1 + len(blank.cutouts)
        shapes = []
        for feature in cuts:
            ring = re.search(r"(?:LINESTRING|POLYGON)(?: Z)? \(+([^)]*)\)", feature)
            assert ring is not None
            shapes.append(Polygon([[float(v) for v in p.split()[:2]] for p in ring[1].split(",")]))
        shapes.sort(key=lambda shape: -shape.area)
        if path == cut:
            extent = re.search(r"Extent: \((\S+), (\S+)\) - \((\S+), (\S+)\)", done.stdout)
            assert extent is not None
            xs, ys = zip(*(c.start for c in blank.outline), strict=True)
            corners = (min(xs), min(ys), max(xs), max(ys))
            assert [float(v) for v in extent.groups()] == pytest.approx(corners, abs=1e-5)
        if name == "l_bracket":
            flat = BASE + FLANGE + 60 * ALLOWANCE
            assert shapes[0].area - sum(s.area for s in shapes[1:]) == pytest.approx(flat, rel=1e-5)
