"""Spoiled drawings, job sheets and cut lists: the proof names file and fault."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hand_parts import named, part_of, with_hole_moved, written

from parts.part import Part
from parts.proof import ProofFailed, prove
from parts.report import Figure, Finding, Severity

SAID = Finding(Severity.MENTIONS, "foot", "edge 9 < 14 mm", "14 mm", "move it <out>", "by hand")


def told() -> Part:
    figures = (Figure("turn & lean", 95.987, "deg", plus_minus=0.4),)
    return replace(named("l_bracket"), figures=figures, findings=(SAID,), cautions=("Mind a > b.",))


def objection(part: Part, folder: Path, path: Path, old: str, new: str) -> str:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8", newline="")
    with pytest.raises(ProofFailed) as failure:
        prove(part, folder, [path])
    return str(failure.value)


@pytest.mark.parametrize("name", ["drawing", "job_sheet", "cut_list"])
def test_true_papers_are_believed(name: str, tmp_path: Path) -> None:
    part = told()
    assert prove(part, tmp_path, written(part, tmp_path, [name])).checks


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("95.99", "95.89", "values of figures: expected 95.99, found missing"),
        ("edge 9 &lt; 14 mm", "edge 9 &lt; 15 mm", "expected edge 9 < 14 mm, found missing"),
        ("Mind a &gt; b.", "Mind.", "findings and cautions: expected Mind a > b."),
        ("</body>", "</div></body>", "elements that do not close"),
        ('href="figures.json"', 'href="numbers.json"', "links to no file"),
        ('href="figures.json"', 'href="https://example.org/"', "links out of the folder"),
    ],
)
def test_a_wrong_job_sheet_is_named(old: str, new: str, words: str, tmp_path: Path) -> None:
    part = told()
    (path,) = written(part, tmp_path, ["job_sheet"])
    assert words in objection(part, tmp_path, path, old, new)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (",left,", ",right,", "hand of left l_bracket: expected left, found right"),
        (",60.0,", ",61.0,", "blank_x_mm of left l_bracket: expected 60"),
        ("mild steel", "S235", "material of left l_bracket"),
        (".dxf", ".dwg", "cut_file of left l_bracket"),
    ],
)
def test_a_wrong_cut_list_is_named(old: str, new: str, words: str, tmp_path: Path) -> None:
    part = told()
    (path,) = written(part, tmp_path, ["cut_list"])
    assert words in objection(part, tmp_path, path, old, new)


def test_a_cut_list_that_lost_its_row_is_named(tmp_path: Path) -> None:
    part = told()
    (path,) = written(part, tmp_path, ["cut_list"])
    path.write_text(path.read_text(encoding="utf-8").splitlines()[0] + "\r\n", encoding="utf-8")
    with pytest.raises(ProofFailed, match="rows: expected 1, found 0"):
        prove(part, tmp_path, [path])


def shortened(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def unreadable(path: Path) -> None:
    path.write_bytes(b"\xff\xfe" + path.read_bytes())


@pytest.mark.parametrize("spoil", [shortened, unreadable])
def test_a_page_cut_off_or_no_text_is_named(
    spoil: Callable[[Path], None], tmp_path: Path
) -> None:
    part = told()
    (path,) = written(part, tmp_path, ["job_sheet"])
    spoil(path)
    with pytest.raises(ProofFailed, match=r"job_sheet\.html: "):
        prove(part, tmp_path, [path])


def test_a_drawing_of_another_blank_is_named(tmp_path: Path) -> None:
    part = told()
    (path,) = written(part, tmp_path, ["drawing"])
    other = with_hole_moved(part.pieces[0].blank, "a", 0.1)
    (wrong,) = written(part_of(other, "l_bracket"), tmp_path / ".", ["drawing"])
    assert wrong == path
    with pytest.raises(ProofFailed, match=r"true to scale: expected 0 mm off, found 0\.(09|1)"):
        prove(part, tmp_path, [path])


def test_a_drawing_of_the_other_hand_is_named(tmp_path: Path) -> None:
    part = told()
    right = replace(part, pieces=(replace(part.pieces[0], hand="right"),))
    (path,) = written(right, tmp_path, ["drawing"])
    own = path.with_name(f"{part.stem(part.pieces[0])}-drawing.pdf")
    path.rename(own)
    with pytest.raises(ProofFailed, match=r"name on sheet 1: expected trial-.*-left"):
        prove(part, tmp_path, [own])
