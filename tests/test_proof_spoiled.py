"""Spoiled files, one writer after another: the proof names file and fault."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from blanks import l_bracket, turned_over, z_with_gusset
from hand_parts import named, part_of, with_hole_moved, written

from parts import solid
from parts.part import Part
from parts.place import Place
from parts.proof import ProofFailed, prove
from parts.sheet.blank import Blank
from parts.sheet.fold import fold
from parts.sheet.loop import circle

STEM = "trial-l_bracket-l_bracket-left-mild_steel-2mm-1off"


def objection(part: Part, folder: Path, paths: list[Path]) -> str:
    """What the proof says against the files; fails where it says nothing."""
    with pytest.raises(ProofFailed) as failure:
        prove(part, folder, paths)
    return str(failure.value)


# --- spoiled files: each writer in turn -------------------------------------------------------


def spoiled_step(blank: Blank, monkeypatch: pytest.MonkeyPatch) -> None:
    """From now on the STEP writer draws this blank, whatever it is given."""
    wrong = solid.of(fold(blank))
    monkeypatch.setattr(solid, "of", lambda folded: wrong)


def with_bend(blank: Blank, number: int, **changes: Any) -> Blank:
    bends = [*blank.bends]
    bends[number] = replace(bends[number], **changes)
    return replace(blank, bends=tuple(bends))


def with_hole_of(blank: Blank, number: int, diameter: float) -> Blank:
    cutouts = [*blank.cutouts]
    hole = cutouts[number].round_hole
    assert hole is not None
    cutouts[number] = replace(cutouts[number], loop=circle(hole.center, diameter))
    return replace(blank, cutouts=tuple(cutouts))


STEP_FAULTS = [
    (
        "a hole moved 0.01 mm",
        l_bracket(),
        with_hole_moved(l_bracket(), "c", 0.01),
        r"axis of hole c: expected 0 mm off, found 0\.0\d+ mm off",
    ),
    (
        "a hole 0.02 mm too large",
        l_bracket(),
        with_hole_of(l_bracket(), 3, 9.02),
        r"diameter of hole d: expected 9 mm, found 9\.02 mm",
    ),
    (
        "a slot moved 0.01 mm",
        z_with_gusset(),
        with_hole_moved(z_with_gusset(), "slot", 0.01),
        r"axis of round cut slot: expected 0 mm off, found 0\.01",
    ),
    (
        "bent down and not up",  # the axis jumps from 3 + 4 above the back face to 4 below it
        z_with_gusset(),
        with_bend(z_with_gusset(), 0, turn_deg=-90),
        r"axis of bend up: expected 0 mm off, found 11",
    ),
    (
        "turned by 91 degrees",
        l_bracket(),
        with_bend(l_bracket(), 0, turn_deg=91.0),
        r"turn of bend tab: expected 90 degrees, found 91(\.0+\d*)? degrees",
    ),
    (
        "an inside radius of 3.1 mm",
        l_bracket(),
        with_bend(l_bracket(), 0, radius=3.1),
        r"inside radius of bend tab: expected 3 mm, found 3\.1 mm",
    ),
    (
        "the other hand",
        z_with_gusset(),
        turned_over(z_with_gusset()),
        r"end of bend up, outside: expected 0 mm off, found",
    ),
    (
        "sheet of 2.05 mm",
        l_bracket(),
        replace(l_bracket(), thickness=2.05),
        r"thickness, flat of .*: expected 2 mm, found 2\.05 mm",
    ),
    (
        "a bend too many",
        replace(l_bracket(), bends=()),
        l_bracket(),
        r"bend of inside radius 3 .*: expected none there, found one that turns 90",
    ),
    (
        "a bend too few",
        l_bracket(),
        replace(l_bracket(), bends=()),
        r"bend tab: expected two cylinders about its axis, found none",
    ),
]


@pytest.mark.parametrize(("good", "bad", "words"), [row[1:] for row in STEP_FAULTS],
                         ids=[row[0] for row in STEP_FAULTS])  # fmt: skip
@pytest.mark.parametrize("names", [("step",), ("dxf", "step")], ids=["alone", "with the DXF"])
def test_a_wrong_step_file_is_named(
    good: Blank, bad: Blank, words: str, names: tuple[str, ...], tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    part = part_of(good, "l_bracket")
    wrong = solid.of(fold(bad))
    monkeypatch.setattr(solid, "of", lambda folded: wrong)
    said = objection(part, tmp_path, written(part, tmp_path, names))
    assert re.search(words, said), said
    step = f"{part.stem(part.pieces[0])}.step"
    assert all(line.startswith(step) for line in said.splitlines())


def test_a_step_file_in_inches_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from OCP.Interface import Interface_Static

    from parts.solid import step

    set_up = step._set_up

    def in_inches(writer: Any) -> None:
        set_up(writer)
        Interface_Static.SetCVal_s("write.step.unit", "INCH")

    monkeypatch.setattr(step, "_set_up", in_inches)
    part = named("l_bracket")
    said = objection(part, tmp_path, written(part, tmp_path, ("step",)))
    assert re.search(rf"{STEM}\.step: length unit: expected mm, found .*INCH", said)


def test_a_step_file_of_two_solids_or_of_none_is_named(tmp_path: Path) -> None:
    from OCP.BRep import BRep_Builder
    from OCP.TopoDS import TopoDS_Compound

    from parts.solid import step

    part = named("l_bracket")
    shape = solid.of(part.pieces[0].folded)
    path = tmp_path / f"{STEM}.step"
    for copies in (0, 2):
        both = TopoDS_Compound()
        builder = BRep_Builder()
        builder.MakeCompound(both)
        for _ in range(copies):
            builder.Add(both, shape)
        step.write(path, step.Body(both, STEM, ("mild steel", "sheet"), 7850, (0.5, 0.5, 0.5)))
        assert f"{STEM}.step: " in objection(part, tmp_path, [path])
    assert f"number of solids: expected 1, found {copies}" in objection(part, tmp_path, [path])


def shifted(place: Place) -> Place:
    return replace(place, origin=place.origin + np.array([0, 0.001, 0]))


def turned(place: Place) -> Place:
    a = 1e-6  # radians: 0.001 mm at a metre
    about_x = np.array([[1, 0, 0], [0, np.cos(a), -np.sin(a)], [0, np.sin(a), np.cos(a)]])
    return replace(place, turn=place.turn @ about_x)


@pytest.mark.parametrize(
    ("wrong", "words"), [(shifted, "origin of trial-"), (turned, "turn of trial-")]
)
def test_a_set_with_a_piece_out_of_place_is_named(
    wrong: Callable[[Place], Place], words: str, tmp_path: Path
) -> None:
    part = named("l_bracket")
    piece = part.pieces[0]
    off = replace(part, pieces=(replace(piece, place=wrong(piece.place)),))
    assert words in objection(part, tmp_path, written(off, tmp_path, ["on_vehicle"]))


def test_a_set_that_lacks_a_piece_is_named(tmp_path: Path) -> None:
    part = named("l_bracket")
    two = replace(part, pieces=(*part.pieces, replace(part.pieces[0], hand="right")))
    paths = written(part, tmp_path, ["on_vehicle"])
    assert "on_vehicle.step: members: expected" in objection(two, tmp_path, paths)


@pytest.mark.parametrize("ending", [".step", ".dxf", "-marked.dxf", ".py"])
@pytest.mark.parametrize("share", [0.0, 0.5, 0.98])
def test_a_cut_off_file_is_named(ending: str, share: float, tmp_path: Path) -> None:
    part = named("l_bracket")
    paths = written(part, tmp_path, ("step", "dxf", "script"))
    (path,) = [path for path in paths if path.name == STEM + ending]
    data = path.read_bytes()
    path.write_bytes(data[: int(share * len(data))])
    said = objection(part, tmp_path, paths if ending == ".step" else [path])
    assert said.startswith(path.name)


# --- spoiled scripts and figures --------------------------------------------------------------


SCRIPTS = [
    ("THICKNESS = 2.0", "THICKNESS = 2.01", r"AssertionError: volume"),
    ("TAB_TURN = 90.0", "TAB_TURN = -90.0", r"centre of mass: expected 0 mm off, found"),
    ("TAB_TURN = 90.0", "TAB_TURN = 90.01", r"AssertionError|centre of mass"),
    ("moveTo(12.0, -28.0)", "moveTo(12.1, -28.0)", r"centre of mass: expected 0 mm off, found"),
    ("part = solids[0]", "part = solids[1]", r"IndexError"),
    ('if __name__ == "__main__":', "if False:", r"the end: expected there, found missing"),
    ("import sys", "import sistem", r"No module named 'sistem'"),
    ("on_base = ", "on_base = = ", r"SyntaxError"),
]


@pytest.mark.parametrize(("old", "new", "words"), SCRIPTS, ids=[new for _, new, _ in SCRIPTS])
def test_a_wrong_script_is_named(old: str, new: str, words: str, tmp_path: Path) -> None:
    part = named("l_bracket")
    (path,) = written(part, tmp_path, ("script",))
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")
    said = objection(part, tmp_path, [path])
    assert re.search(words, said), said
    assert said.startswith(path.name)


def set_mass(row: dict[str, Any]) -> None:
    row["mass_kg"] += 1e-4


def set_hole(row: dict[str, Any]) -> None:
    row["openings"][0]["x_mm"] += 0.01


def set_size(row: dict[str, Any]) -> None:
    row["openings"][0]["diameter_mm"] = 6.6


def set_way(row: dict[str, Any]) -> None:
    row["bends"][0]["direction"] = "down"


def set_turn(row: dict[str, Any]) -> None:
    bend = row["bends"][0]
    bend["turn_deg"], bend["included_deg"] = 80, 100


def set_center(row: dict[str, Any]) -> None:
    row["center_of_mass_on_vehicle_mm"][1] += 0.02


def set_hand(row: dict[str, Any]) -> None:
    row["hand"] = "right"


def set_sheet(row: dict[str, Any]) -> None:
    row["thickness_mm"] = 2.5


def set_over(row: dict[str, Any]) -> None:
    row["bends"][0]["bend_over_source"] = "hearsay"


def lose_bends(row: dict[str, Any]) -> None:
    del row["bends"]


FIGURES = [
    (set_mass, r"mass of l_bracket: expected 0\.0879"),
    (set_hole, r"place of a: expected 0 mm off, found 0\.01 mm off"),
    (set_size, r"size of a: expected 6\.5 mm, found 6\.6 mm"),
    (set_way, r"direction of bend tab: expected up, found down"),
    (set_turn, r"turn_deg of bend tab: expected 90 degrees, found 80 degrees"),
    (set_center, r"center_of_mass_on_vehicle_mm .*: expected 0 mm off, found 0\.0(19|20)"),
    (set_hand, r"name and hand: .*left.*right"),
    (set_sheet, r"thickness of l_bracket: expected 2 mm, found 2\.5 mm"),
    (set_over, r"source of bend tab: expected None, found hearsay"),
    (lose_bends, r"KeyError: 'bends'"),
]


@pytest.mark.parametrize(("change", "words"), FIGURES, ids=[c.__name__ for c, _ in FIGURES])
@pytest.mark.parametrize("names", [("figures",), ("dxf", "figures")], ids=["alone", "with the DXF"])
def test_a_wrong_figure_is_named(
    change: Callable[[dict[str, Any]], None], words: str, names: tuple[str, ...], tmp_path: Path
) -> None:
    part = named("l_bracket")
    paths = written(part, tmp_path, names)
    said = json.loads(paths[-1].read_text(encoding="utf-8"))
    change(said["pieces"][0])
    paths[-1].write_text(json.dumps(said), encoding="utf-8")
    told = objection(part, tmp_path, paths)
    assert re.search(words, told), told
    assert all(line.startswith("figures.json") for line in told.splitlines())
