"""The standalone script: it stands alone, reads well, and comes to the same solid."""

import ast
import re
import runpy
import subprocess
import sys
from math import cos, pi, radians, sin
from pathlib import Path
from typing import Any

import pytest
from blanks import NAMED, random_blank
from hand_parts import named, part_of, written

from parts.part import Part
from parts.sheet.collide import self_collisions
from parts.sheet.fold import Unsound


def script(part: Part, folder: Path) -> Path:
    return written(part, folder, ["script"])[0]


def solid_of(path: Path) -> Any:
    return runpy.run_path(str(path))["part"]


@pytest.mark.parametrize("name", NAMED)
def test_the_script_needs_cadquery_alone(name: str, tmp_path: Path) -> None:
    tree = ast.parse(script(named(name), tmp_path).read_text(encoding="utf-8"))
    rooms = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            rooms |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.module is not None
            rooms.add(node.module.partition(".")[0])
    assert rooms <= {"sys", "math", "cadquery", "OCP"}  # OCP comes with cadquery


@pytest.mark.parametrize("name", ["l_bracket", "z_with_gusset"])
def test_plain_bends_need_no_kernel_calls(name: str, tmp_path: Path) -> None:
    text = script(named(name), tmp_path).read_text(encoding="utf-8")
    assert "OCP" not in text
    assert "revolve" in text
    assert "extrude" in text


def test_the_bend_table_stands_at_the_head(tmp_path: Path) -> None:
    """l_bracket by hand: allowance pi/2 (3 + 0.42 x 2)."""
    text = script(named("l_bracket"), tmp_path).read_text(encoding="utf-8")
    head = text[: text.index("def ")]
    said = dict(re.findall(r"^([A-Z_]+) = ([-\d.e]+)", head, re.MULTILINE))
    assert float(said["THICKNESS"]) == 2
    assert (float(said["TAB_RADIUS"]), float(said["TAB_TURN"])) == (3, 90)
    assert float(said["TAB_ALLOWANCE"]) == pytest.approx(pi / 2 * 3.84, rel=1e-15)
    assert "EXPECTED_VOLUME" in said


def test_holes_have_the_coordinates_of_the_drawing_and_their_names(tmp_path: Path) -> None:
    text = script(named("l_bracket"), tmp_path).read_text(encoding="utf-8")
    assert ".moveTo(12.0, -28.0).circle(3.25)  # a\n" in text
    far = re.search(r"\.moveTo\(45\.0, ([\d.]+)\)\.circle\(4\.5\)  # d\n", text)
    assert far is not None
    assert float(far[1]) == pytest.approx(pi / 2 * 3.84 + 50 - 14, abs=1e-9)


def test_run_as_a_program_it_prints_its_volume_and_writes_only_where_told(tmp_path: Path) -> None:
    """In a fresh process, against the STEP file: volume, box and centre of mass."""
    import cadquery

    part = named("skew")
    (step,) = written(part, tmp_path, ["step"])
    path = script(part, tmp_path)
    out = tmp_path / "again.step"
    done = subprocess.run(
        [sys.executable, str(path), str(out)],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        check=True,
    )
    ours = cadquery.importers.importStep(str(step)).val()
    theirs = cadquery.importers.importStep(str(out)).val()
    assert re.fullmatch(r"[\d.]+ mm3\n", done.stdout)
    assert float(done.stdout.split()[0]) == pytest.approx(ours.Volume(1e-9), rel=1e-6)
    assert theirs.Volume(1e-9) == pytest.approx(ours.Volume(1e-9), rel=1e-6)
    assert theirs.Center().toTuple() == pytest.approx(ours.Center().toTuple(), abs=1e-4)
    a, b = ours.BoundingBox(), theirs.BoundingBox()
    assert (a.xmin, a.ymin, a.zmin) == pytest.approx((b.xmin, b.ymin, b.zmin), abs=1e-4)
    assert (a.xmax, a.ymax, a.zmax) == pytest.approx((b.xmax, b.ymax, b.zmax), abs=1e-4)
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted([step.name, path.name, out.name])


@pytest.mark.parametrize("name", NAMED)
def test_the_script_comes_to_the_solid_of_the_step_file(name: str, tmp_path: Path) -> None:
    import cadquery

    part = named(name)
    (step,) = written(part, tmp_path, ["step"])
    ours = cadquery.importers.importStep(str(step)).val()
    theirs = solid_of(script(part, tmp_path))
    assert theirs.Volume(1e-9) == pytest.approx(ours.Volume(1e-9), rel=1e-6)
    assert theirs.Center().toTuple() == pytest.approx(ours.Center().toTuple(), abs=1e-4)


def test_random_parts_run_too(tmp_path: Path) -> None:
    """Each script holds itself to one valid solid of the exact volume, or raises."""
    ran = 0
    for seed in range(24):
        try:
            part = part_of(random_blank(seed))
        except Unsound:
            continue
        if self_collisions(part.pieces[0].folded):
            continue
        ran += 1
        assert solid_of(script(part, tmp_path)).isValid()
    assert ran >= 15


def edited(path: Path, changes: dict[str, str]) -> Path:
    text = path.read_text(encoding="utf-8")
    for name, value in changes.items():
        text, count = re.subn(rf"^{name} = .*$", f"{name} = {value}", text, flags=re.MULTILINE)
        assert count == 1
    path.write_text(text, encoding="utf-8")
    return path


def test_a_part_changed_at_the_head_without_its_volume_is_refused(tmp_path: Path) -> None:
    path = edited(script(named("l_bracket"), tmp_path), {"THICKNESS": "2.5"})
    with pytest.raises(AssertionError, match=r"expected 11200\.180"):
        solid_of(path)


@pytest.mark.parametrize("turn_deg", [60.0, -60.0])
def test_flanges_go_where_the_bend_table_at_the_head_puts_them(
    turn_deg: float, tmp_path: Path
) -> None:
    """l_bracket bent by 60 degrees instead of 90; where its flange ends is plain trigonometry.

    Past the bend of inside radius 3 in 2 mm sheet the outer face has gone 5 sin 60 out and
    5 - 5 cos 60 up; the flange goes on 50 mm at 60 degrees.
    """
    plate = 60 * 40 - (1 - pi / 4) * 64 - pi / 2 * 6.5**2
    flange = 60 * 50 - pi / 4 * (6.5**2 + 9**2)
    volume = 2 * (plate + flange) + radians(60) * (5**2 - 3**2) / 2 * 60
    changes = {"TAB_TURN": str(turn_deg), "EXPECTED_VOLUME": repr(volume)}
    box = solid_of(edited(script(named("l_bracket"), tmp_path), changes)).BoundingBox()
    out, up = cos(radians(60)), sin(radians(60))
    assert box.ymax == pytest.approx(5 * up + 50 * out, abs=1e-5)
    rise = 5 - 5 * out + 50 * up + 2 * out  # the inner face ends highest
    if turn_deg > 0:
        assert (box.zmin, box.zmax) == pytest.approx((0, rise), abs=1e-5)
    else:
        assert (box.zmin, box.zmax) == pytest.approx((2 - rise, 2), abs=1e-5)


def test_a_flat_plate_has_no_bend_helpers(tmp_path: Path) -> None:
    from parts.sheet.blank import Blank, Cutout
    from parts.sheet.loop import circle, polygon

    outline = polygon([(0, 0), (40, 0), (40, 30), (0, 30)])
    plate = Blank(3.0, outline, (Cutout("eye", circle((20, 15), 10)),), (), (5, 5))
    path = script(part_of(plate), tmp_path)
    assert "def " not in path.read_text(encoding="utf-8")
    assert solid_of(path).Volume() == pytest.approx((40 * 30 - pi * 25) * 3, rel=1e-9)


def test_odd_names_make_a_sound_script(tmp_path: Path) -> None:
    """Names come from a job file and may hold anything."""
    from dataclasses import replace

    blank = NAMED["box"]()
    odd = ['7 "front"', "rear\\", "right\nhand", "right hand", "base"]
    bends = tuple(replace(b, name=name) for b, name in zip(blank.bends, odd, strict=True))
    cutouts = tuple(replace(c, name=f'"""\n{c.name}') for c in blank.cutouts)
    path = script(part_of(replace(blank, bends=bends, cutouts=cutouts), 'a"""b\\'), tmp_path)
    assert solid_of(path).isValid()
