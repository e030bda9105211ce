"""The files themselves: what each holds, said by others than those who wrote it."""

import hashlib
import json
import re
import subprocess
import sys
from dataclasses import replace
from datetime import date
from math import pi
from pathlib import Path

import numpy as np
import pytest
from hand_parts import named, part_of, written

from parts import solid, writers
from parts.part import Part
from parts.place import Place
from parts.sheet.fold import fold
from parts.tables import UnknownName

TESTS = Path(__file__).parent

# l_bracket by hand: 2 mm sheet, base 60 x 40 less a corner of radius 8 and two holes of 6.5,
# flange 60 x 50 less holes of 6.5 and 9, and a quarter ring of inside radius 3, 60 long
QUARTER = pi / 4
BASE = 60 * 40 - (1 - QUARTER) * 8**2 - 2 * QUARTER * 6.5**2
FLANGE = 60 * 50 - QUARTER * 6.5**2 - QUARTER * 9**2
RING = QUARTER * (5**2 - 3**2) * 60
VOLUME = 2 * (BASE + FLANGE) + RING
ALLOWANCE = pi / 2 * (3 + 0.42 * 2)


def run(code: str, **environment: str) -> str:
    """What a fresh Python process prints, run among the tests."""
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        cwd=TESTS,
        env={"PATH": "/usr/bin:/bin", "PYTHONPATH": str(TESTS.parent), **environment},
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


# --- the room ---------------------------------------------------------------------------------


def test_no_writer_wakes_a_library_before_it_writes() -> None:
    code = (
        "import sys, parts.writers as w, parts.solid, parts.proof\n"
        "[w.load(name) for name in w.WRITERS]\n"
        "print([m for m in ('OCP', 'cadquery', 'ezdxf') if m in sys.modules])"
    )
    assert run(code) == "[]\n"


def test_a_writer_that_does_not_exist_is_answered_with_the_nearest() -> None:
    with pytest.raises(UnknownName, match="did you mean step"):
        writers.load("stp")


def test_each_writer_names_its_files_by_the_piece(tmp_path: Path) -> None:
    stem = "trial-l_bracket-l_bracket-left-mild_steel-2mm-1off"
    paths = written(named("l_bracket"), tmp_path)
    papers = ["-drawing.pdf", "-folding.pdf", "-template.pdf"]
    endings = [".step", ".dxf", "-marked.dxf", ".py", *papers]
    own = [stem + ending for ending in endings]
    together = "trial-l_bracket-on_vehicle.step"
    of_part = ["trial-l_bracket-cut_list.csv", "trial-l_bracket-job_sheet.html"]
    names = [own[0], together, *own[1:], *of_part, "figures.json"]
    assert [path.name for path in paths] == names
    assert sorted(paths) == sorted(tmp_path.iterdir())


HASHES = """
import hashlib, pathlib, tempfile
from hand_parts import named, written
folder = pathlib.Path(tempfile.mkdtemp())
part = named("box")
for turn in range(2):
    for path in written(part, folder):
        print(path.name, hashlib.sha256(path.read_bytes()).hexdigest())
"""


def test_the_same_part_gives_the_same_bytes_in_one_process_and_in_two(tmp_path: Path) -> None:
    lines = run(HASHES, PYTHONHASHSEED="1", TZ="UTC").splitlines()
    assert len(lines) == 22  # nothing else on stdout: the kernel keeps quiet
    assert lines[:11] == lines[11:]
    again = run(HASHES, PYTHONHASHSEED="4", TZ="Asia/Tokyo").splitlines()
    assert again == lines
    here = [
        hashlib.sha256(path.read_bytes()).hexdigest() for path in written(named("box"), tmp_path)
    ]
    assert here == [line.split()[1] for line in lines[:11]]


# --- STEP -------------------------------------------------------------------------------------


def step_file(part: Part, folder: Path) -> Path:
    return written(part, folder, ["step"])[0]


def test_step_holds_one_valid_solid_of_the_volume_worked_out_by_hand(tmp_path: Path) -> None:
    from parts.solid.read import read_step

    facts = read_step(step_file(named("l_bracket"), tmp_path))
    assert (facts.shape.solids, facts.shape.valid) == (1, True)
    assert facts.shape.volume == pytest.approx(VOLUME, rel=1e-12)
    assert facts.shape.low == pytest.approx([0, -40, 0], abs=2e-7)
    assert facts.shape.high == pytest.approx([60, 5, 55], abs=2e-7)  # 50 + radius 3 + sheet 2


def test_step_says_what_it_is_made_of(tmp_path: Path) -> None:
    from parts.solid.read import read_step

    facts = read_step(step_file(named("l_bracket"), tmp_path))
    assert facts.name == "trial-l_bracket-l_bracket-left-mild_steel-2mm-1off"
    assert (facts.material, facts.density_kg_m3) == ("mild steel", pytest.approx(7850))
    assert (facts.schema, facts.unit) == ("AUTOMOTIVE_DESIGN", "mm")
    assert facts.colour is not None
    assert all(0.3 < share < 0.95 for share in facts.colour)  # a grey, neither black nor white


def test_step_heading_carries_the_jobs_date_and_nobodys_name(tmp_path: Path) -> None:
    text = step_file(named("l_bracket"), tmp_path).read_text()
    head = re.sub(r"\s+", "", text[: text.index("DATA;")])
    assert "'2025-05-17T00:00:00',(''),('')" in head  # date, author, organisation
    assert "PCURVE" in text


def test_step_without_a_date_says_so_by_the_first_day_of_1970(tmp_path: Path) -> None:
    from parts.solid import step

    part = named("l_bracket")
    path = tmp_path / "a.step"
    shape = solid.of(part.pieces[0].folded)
    body = step.Body(shape, "Träger", ("S235", "sheet"), 7850, (0.5, 0.5, 0.5))
    step.write(path, body)
    text = path.read_text("ascii")
    assert "'1970-01-01T00:00:00'" in text
    assert "'Trager'" in text
    step.write(path, body, date(2024, 2, 29))
    assert "'2024-02-29T00:00:00'" in path.read_text("ascii")


def test_writing_step_prints_nothing(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    from parts.solid.read import read_step

    read_step(step_file(named("l_bracket"), tmp_path))
    assert capfd.readouterr() == ("", "")


def test_a_cut_off_step_file_is_not_read(tmp_path: Path) -> None:
    from parts.solid.read import read_step

    path = step_file(named("l_bracket"), tmp_path)
    path.write_text(path.read_text()[:-100])
    with pytest.raises(ValueError, match="no whole STEP file"):
        read_step(path)


def test_the_set_holds_every_piece_where_it_sits_on_the_vehicle(tmp_path: Path) -> None:
    import cadquery

    part = named("l_bracket")
    piece = part.pieces[0]
    away = Place(np.eye(3), np.array([-300.0, 40.0, 7.0]))
    two = replace(part, pieces=(piece, replace(piece, hand="right", place=away)))
    (path,) = written(two, tmp_path, ["on_vehicle"])
    read = cadquery.importers.importStep(str(path)).solids().vals()
    boxes = sorted((s.BoundingBox() for s in read), key=lambda box: box.xmin)
    assert len(read) == 2
    assert [s.Volume() for s in read] == pytest.approx([VOLUME, VOLUME], rel=1e-9)
    # turned a quarter about z, as in the test below
    low = [(box.xmin, box.ymin, box.zmin) for box in boxes]
    high = [(box.xmax, box.ymax, box.zmax) for box in boxes]
    assert high[1] == pytest.approx((1000 + 40, -140, 355), abs=1e-5)
    assert low[1] == pytest.approx((1000 - 5, -200, 300), abs=1e-5)
    # unturned, the quarter about z is undone: its own y is the vehicle's less 1000, reversed
    assert high[0] == pytest.approx((-300 + 60, 40 + 5, 7 + 55), abs=1e-5)
    assert low[0] == pytest.approx((-300, 40 - 40, 7), abs=1e-5)


def test_a_cadquery_solid_can_be_had_at_its_place_on_the_vehicle() -> None:
    piece = named("l_bracket").pieces[0]
    placed = solid.cadquery_solid(piece.folded, piece.place)
    assert placed.Volume() == pytest.approx(VOLUME, rel=1e-9)
    box = placed.BoundingBox()
    # turned a quarter about z: x of the part becomes y, y becomes -x
    assert (box.xmin, box.xmax) == pytest.approx((1000 - 5, 1000 + 40), abs=1e-5)
    assert (box.ymin, box.ymax) == pytest.approx((-200, -140), abs=1e-5)
    assert (box.zmin, box.zmax) == pytest.approx((300, 355), abs=1e-5)
    two = solid.cadquery_compound([(piece.folded, piece.place)] * 2)
    assert two.Volume() == pytest.approx(2 * VOLUME, rel=1e-9)


# --- figures ----------------------------------------------------------------------------------


def figures_of(part: Part, folder: Path) -> dict[str, object]:
    (path,) = written(part, folder, ["figures"])
    text = path.read_text(encoding="utf-8")
    assert text.endswith("}\n")
    return json.loads(text)  # type: ignore[no-any-return]


def test_figures_are_those_worked_out_by_hand(tmp_path: Path) -> None:
    said = figures_of(named("l_bracket"), tmp_path)
    piece = said["pieces"][0]  # type: ignore[index]
    assert piece["hand"] == "left"
    assert piece["thickness_mm"] == 2
    assert piece["blank_mm"] == [60, round(40 + ALLOWANCE + 50, 4)]
    assert piece["volume_mm3"] == pytest.approx(VOLUME, abs=5e-4)
    assert piece["mass_kg"] == pytest.approx(VOLUME * 7.85e-6, abs=5e-7)
    (bend,) = piece["bends"]
    assert (bend["name"], bend["direction"]) == ("tab", "up")
    assert (bend["turn_deg"], bend["included_deg"]) == (90, 90)
    assert bend["inside_radius_mm"] == 3
    assert bend["allowance_mm"] == 6.0319  # pi/2 (3 + 0.42 x 2)
    assert bend["outside_setback_mm"] == 5  # radius + sheet at a right angle
    assert bend["deduction_mm"] == 3.9681  # 10 - 6.0319
    assert bend["start_line"] == [[0, 0], [60, 0]]
    assert bend["end_line"] == [[0, 6.0319], [60, 6.0319]]
    holes = {row["name"]: row for row in piece["openings"]}
    assert holes["a"]["shape"] == "round"
    assert (holes["a"]["x_mm"], holes["a"]["y_mm"], holes["a"]["diameter_mm"]) == (12, -28, 6.5)
    assert (holes["a"]["in"], holes["d"]["in"]) == (["base"], ["flange tab"])


def test_figures_put_the_centre_of_mass_on_the_vehicle(tmp_path: Path) -> None:
    """Against the kernel's own integral; place turned a quarter, so (x, y) becomes (-y, x)."""
    part = named("l_bracket")
    piece = figures_of(part, tmp_path)["pieces"][0]  # type: ignore[index]
    center = solid.cadquery_solid(part.pieces[0].folded).Center()
    assert piece["center_of_mass_mm"] == pytest.approx(center.toTuple(), abs=6e-5)
    on_vehicle = (1000 - center.y, -200 + center.x, 300 + center.z)
    assert piece["center_of_mass_on_vehicle_mm"] == pytest.approx(on_vehicle, abs=6e-5)


def test_figures_tell_slots_and_the_bends_they_cross(tmp_path: Path) -> None:
    openings = figures_of(named("box"), tmp_path)["pieces"][0]["openings"]  # type: ignore[index]
    rows = {row["name"]: row for row in openings}
    upright = rows["upright slot"]
    assert (upright["shape"], upright["x_mm"], upright["y_mm"]) == ("slot", 92, 40)
    size = (upright["length_mm"], upright["width_mm"], upright["angle_deg"])
    assert size == (26.5, 6.5, 90)
    assert set(rows["over the front bend"]["in"]) == {"base", "bend front", "flange front"}
    assert rows["in the left bend"]["in"] == ["bend left"]


def test_figures_tell_what_to_bend_over_to_and_by_whose_word(tmp_path: Path) -> None:
    """A sheet that opens 1.5 degrees from 90 opens 2 from 120: bend over to 122."""
    from parts.sheet.allowance import BendBook, BookRow
    from parts.sheet.stock import material

    part = named("l_bracket")
    (silent,) = figures_of(part, tmp_path)["pieces"][0]["bends"]  # type: ignore[index]
    assert (silent["bend_over_to_deg"], silent["bend_over_source"]) == (None, None)
    book = BendBook((BookRow("mild steel", 2, 3, k=0.42, springback_deg=1.5),))
    piece = part.pieces[0]
    for turn_deg, over_to in ((90, 91.5), (120, 122)):
        blank = replace(piece.blank, bends=(replace(piece.blank.bends[0], turn_deg=turn_deg),))
        allowance = book.allowance(material("mild steel"), 2, 3, turn_deg)
        bent = replace(piece, folded=fold(blank), allowances=(allowance,))
        said = figures_of(replace(part, pieces=(bent,)), tmp_path)
        (row,) = said["pieces"][0]["bends"]  # type: ignore[index]
        assert row["bend_over_to_deg"] == over_to
        assert row["bend_over_source"] == "bend book row 1"


def test_figures_tell_the_grain_and_the_bends_along_it(tmp_path: Path) -> None:
    """z_with_gusset: two bends of 90 along x want the grain along y, the gusset's does not."""
    piece = figures_of(named("z_with_gusset"), tmp_path)["pieces"][0]  # type: ignore[index]
    assert piece["grain"] == {"assumed_angle_deg": 90, "bends_along_it": ["gusset"]}
    piece = figures_of(named("l_bracket"), tmp_path)["pieces"][0]  # type: ignore[index]
    assert piece["grain"] is None


def test_a_bend_past_165_degrees_has_no_setback_to_an_apex(tmp_path: Path) -> None:
    from blanks import bend

    from parts.sheet.blank import Blank
    from parts.sheet.loop import polygon

    hem = bend("hem", (60, 0), (0, 0), 170, 3, 2.0)
    outline = polygon([(0, -hem.allowance - 15), (60, -hem.allowance - 15), (60, 40), (0, 40)])
    part = part_of(Blank(2.0, outline, (), (hem,), (30, 20)))
    (row,) = figures_of(part, tmp_path)["pieces"][0]["bends"]  # type: ignore[index]
    assert (row["outside_setback_mm"], row["deduction_mm"]) == (None, None)
    assert row["included_deg"] == 10


def test_figures_are_the_same_as_the_dict_the_command_line_prints(tmp_path: Path) -> None:
    from parts.writers.figures import as_dict

    part = named("skew")
    assert figures_of(part, tmp_path) == json.loads(json.dumps(as_dict(part)))
