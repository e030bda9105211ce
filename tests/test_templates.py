"""Paper templates at full size, read back from the drawing commands of the PDF."""

from collections.abc import Iterator
from dataclasses import replace
from math import ceil, hypot
from pathlib import Path

import numpy as np
import pytest
from hand_parts import named, part_of, written
from pypdf import PdfReader

from parts.paper.setting import Setting
from parts.paper.tiles import FOOT, MARGIN, OVERLAP, SIDE, Drawing, plan
from parts.part import Part
from parts.proof import ProofFailed, prove
from parts.proof.pdf import Sheet, read_pdf
from parts.sheet.blank import Blank, Cutout
from parts.sheet.loop import circle, polygon

STRIP = (2400.0, 330.0)


def strip() -> Part:
    """A strip as long as ten sheets, with holes on its seams."""
    outline = polygon([(0, 0), (STRIP[0], 0), STRIP, (0, STRIP[1])])
    holes = tuple(Cutout(f"h{k}", circle((k * 200.0, 165.0), 22)) for k in range(1, 12))
    return part_of(Blank(1.2, outline, holes, (), (1.0, 1.0)), "strip")


def ring() -> Part:
    """A ring of 1500 with an opening of 1440: next to nothing in the middle."""
    opening = Cutout("opening", circle((0, 0), 1440))
    outline = tuple(curve.reversed() for curve in circle((0, 0), 1500))
    return part_of(Blank(1.2, outline, (opening,), (), (0.0, 735.0)), "ring")


def sheets(part: Part, folder: Path, **setting: object) -> list[Sheet]:
    part = replace(part, paper=Setting(**setting))  # type: ignore[arg-type]
    (path,) = written(part, folder, ["templates"])
    return read_pdf(path)


def distances(sheet: Sheet) -> Iterator[float]:
    """Lengths of the straight lines on a page, mm of paper."""
    for pane in sheet.panes:
        for one in pane.drawn:
            ends = one.on_page
            yield from np.hypot(*(ends[1:] - ends[:-1]).T)


def has(lengths: list[float], wanted: float) -> bool:
    return min(abs(found - wanted) for found in lengths) < 0.001


# --- full size --------------------------------------------------------------------------------


def test_a_bracket_is_drawn_at_full_size(tmp_path: Path) -> None:
    (sheet,) = sheets(named("l_bracket"), tmp_path)
    assert sheet.size == pytest.approx((210, 297), abs=0.01)
    found = list(distances(sheet))
    # by hand: the base is 60 wide; the blank 40 + 6.0319 + 50 long, of it a corner of radius 8
    assert has(found, 60.0)
    assert has(found, 96.0319 - 8)


def test_a_printer_that_is_not_true_is_corrected_both_ways(tmp_path: Path) -> None:
    (sheet,) = sheets(named("l_bracket"), tmp_path, bars=(99.6, 100.2))
    found = list(distances(sheet))
    assert has(found, 60.0 * 100 / 99.6)
    assert has(found, (96.0319 - 8) * 100 / 100.2)
    bars = [one.on_page for one in sheet.drawn if len(one.on_page) == 2]
    lengths = [hypot(*(ends[1] - ends[0])) for ends in bars]
    assert has(lengths, 100 * 100 / 99.6) and has(lengths, 100 * 100 / 100.2)
    assert "99.6 across, 100.2 along" in sheet.text


def test_the_viewer_is_asked_not_to_scale(tmp_path: Path) -> None:
    (path,) = written(named("l_bracket"), tmp_path, ["templates"])
    wishes = PdfReader(path).root_object["/ViewerPreferences"]
    assert wishes["/PrintScaling"] == "/None"
    assert wishes["/Duplex"] == "/Simplex"


@pytest.mark.parametrize(
    ("paper", "size"),
    [("A4", (210, 297)), ("A3", (297, 420)), ("Letter", (215.9, 279.4))],
)
def test_a_strip_is_cut_up_into_no_more_sheets_than_it_takes(
    paper: str, size: tuple[float, float], tmp_path: Path
) -> None:
    found = sheets(strip(), tmp_path, paper=paper)
    counts = []
    for wide, high in (size, size[::-1]):
        shown = (wide - 2 * MARGIN - SIDE - OVERLAP, high - 2 * MARGIN - FOOT - OVERLAP)
        long, deep = (STRIP[0] + 2 - OVERLAP, STRIP[1] + 2 - OVERLAP)
        counts.append(ceil(long / shown[0]) * ceil(deep / shown[1]))
    assert len(found) == min(counts)
    for sheet in found:
        assert sorted(sheet.size) == pytest.approx(sorted(size), abs=0.01)
        assert "left hand" in sheet.text and "strip" in sheet.text
        lengths = [float(hypot(*np.ptp(one.on_page, axis=0))) for one in sheet.drawn]
        assert sum(abs(length - 100) < 0.001 for length in lengths) >= 2
    marks: dict[tuple[float, float], int] = {}
    for sheet in found:
        for one in sheet.panes[0].drawn:
            if np.allclose(np.ptp(one.own, axis=0), 4, atol=1e-3):  # a ring of 4 across
                at = (one.own.max(axis=0) + one.own.min(axis=0)) / 2
                key = (round(float(at[0]), 3), round(float(at[1]), 3))
                marks[key] = marks.get(key, 0) + 1
    assert marks and set(marks.values()) == {2}  # every mark on two sheets, at the same place


def test_a_roll_takes_the_strip_in_one_piece(tmp_path: Path) -> None:
    (sheet,) = sheets(strip(), tmp_path, paper="roll", roll=610)
    assert sheet.size[1] == pytest.approx(610, abs=0.01)
    assert has(list(distances(sheet)), STRIP[0])


def test_sheets_that_would_be_empty_are_left_out(tmp_path: Path) -> None:
    whole = plan(Drawing("", "", (), (ring().pieces[0].blank.outline,)), Setting())
    found = sheets(ring(), tmp_path)
    assert len(found) < 0.8 * whole.rows * whole.columns


def test_the_same_part_gives_the_same_bytes(tmp_path: Path) -> None:
    first = [path.read_bytes() for path in written(strip(), tmp_path, ["templates"])]
    assert first == [path.read_bytes() for path in written(strip(), tmp_path, ["templates"])]


# --- the proof --------------------------------------------------------------------------------


def objection(part: Part, folder: Path, path: Path) -> str:
    with pytest.raises(ProofFailed) as failure:
        prove(part, folder, [path])
    return str(failure.value)


def test_a_true_template_is_believed(tmp_path: Path) -> None:
    for part in (named("l_bracket"), ring(), strip()):
        paths = written(part, tmp_path, ["templates"])
        assert prove(part, tmp_path, paths).checks


def test_a_template_of_another_blank_is_named(tmp_path: Path) -> None:
    part = named("l_bracket")
    wider = [(x * 1.0005, y) for x, y in ((0, 0), (60, 0), (60, 96), (0, 96))]
    (path,) = written(part, tmp_path, ["templates"])
    (other,) = written(part_of(Blank(2.0, polygon(wider), (), (), (1, 1))), tmp_path, ["templates"])
    path.write_bytes(other.read_bytes())
    assert "edges on sheet 1: expected 0 mm off" in objection(part, tmp_path, path)


def test_a_template_for_another_printer_is_named(tmp_path: Path) -> None:
    part = named("l_bracket")
    (path,) = written(replace(part, paper=Setting(bars=(100.0, 100.1))), tmp_path, ["templates"])
    said = objection(part, tmp_path, path)
    assert "bar along of sheet 1: expected 100 mm" in said
    assert "scale of sheet 1" in said


def test_a_template_that_lost_a_sheet_is_named(tmp_path: Path) -> None:
    from pypdf import PdfWriter

    part = strip()
    (path,) = written(part, tmp_path, ["templates"])
    short = PdfWriter()
    for page in PdfReader(path).pages[:-1]:
        short.add_page(page)
    short.write(path)
    assert "points of the edges on no sheet: expected 0, found" in objection(part, tmp_path, path)


def test_a_cut_off_template_is_named(tmp_path: Path) -> None:
    part = named("l_bracket")
    (path,) = written(part, tmp_path, ["templates"])
    path.write_bytes(path.read_bytes()[:400])
    assert "the file: expected a PDF of sheets" in objection(part, tmp_path, path)


def test_words_of_the_other_hand_are_named(tmp_path: Path) -> None:
    part = named("l_bracket")
    right = replace(part, pieces=(replace(part.pieces[0], hand="right"),))
    (path,) = written(right, tmp_path, ["templates"])
    own = path.with_name(f"{part.stem(part.pieces[0])}-template.pdf")
    path.rename(own)
    assert "words on sheet 1: expected left" in objection(part, tmp_path, own)
