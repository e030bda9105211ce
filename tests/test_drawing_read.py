"""Shop drawings as their PDF has them: widths of letters from its own fonts, all lines to scale."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from blanks import random_blank
from hand_parts import named, part_of
from numpy.typing import NDArray
from paper_read import PageRead, outside, read_pages, touching
from shapely import LineString, Polygon

from parts import load
from parts.paper import pdf
from parts.paper.page import Page
from parts.paper.setting import Setting
from parts.part import Part
from parts.sheet.blank import Bend, Blank
from parts.sheet.curve import Curve
from parts.sheet.loop import polygon
from parts.writers import drawing
from parts.writers.drawing import folded

DEMO = Path(__file__).parents[1] / "configs" / "tin_wren.toml"
FRAME = 10.0  # mm from the edge of the paper
LEAST = 2.5  # mm; capitals by ISO 3098-1


def drawn(part: Part, folder: Path, paper: str = "A4") -> list[PageRead]:
    """The sheets of a part's only piece."""
    (path,) = drawing.write(replace(part, paper=Setting(paper=paper)), folder)
    return read_pages(path)


@pytest.fixture(scope="module")
def bracket(tmp_path_factory: pytest.TempPathFactory) -> list[PageRead]:
    """The sheets of the bracket of one bend, on A4."""
    return drawn(named("l_bracket"), tmp_path_factory.mktemp("bracket"))


def texts(pages: list[PageRead]) -> list[str]:
    return [text for page in pages for text in page.texts]


def rows(page: PageRead) -> list[str]:
    """Words at one height above the paper's edge, from left to right."""
    found: dict[float, list[tuple[float, str]]] = {}
    for word in page.words:
        x, y, _, _ = word.box.bounds
        found.setdefault(round(y, 2), []).append((x, word.text))
    return [" ".join(text for _, text in sorted(row)) for row in found.values()]


def scale_of(page: PageRead) -> float:
    """The scale that the title block names."""
    first, second = page.texts[page.texts.index("scale") + 1].split(":")
    return float(first) / float(second)


def points(loop: tuple[Curve, ...]) -> NDArray[np.float64]:
    """Points close together along a loop (n, 2)."""
    return np.array([curve.at(k / 64) for curve in loop for k in range(64)])


def closed(page: PageRead) -> Iterator[NDArray[np.float64]]:
    return (s for s in page.strokes if len(s) > 3 and np.allclose(s[0], s[-1]))


def corner(blank: Blank, page: PageRead) -> NDArray[np.float64]:
    """Where on the paper the blank's own origin lies: its edge is the stroke of its size."""
    scale, edge = scale_of(page), points(blank.outline)
    wanted = scale * np.ptp(edge, axis=0)
    (found,) = [s for s in closed(page) if np.abs(np.ptp(s, axis=0) - wanted).max() < 0.02]
    return np.asarray(found.min(axis=0) - scale * edge.min(axis=0))


def assert_clear(pages: list[PageRead], name: str) -> None:
    """No words on words or on strokes, nothing in the margin, no letters too small or unknown."""
    for number, page in enumerate(pages, 1):
        where = f"{name}, sheet {number}"
        assert page.words and page.strokes, where
        assert touching(page) == [], where
        assert outside(page, FRAME) == [], where
        assert min(word.height for word in page.words) >= LEAST - 0.001, where
        assert "?" not in "".join(page.texts), where


# --- the blank is to scale --------------------------------------------------------------------


def test_holes_stand_where_they_are_to_be_drilled(bracket: list[PageRead]) -> None:
    first = bracket[0]
    assert scale_of(first) == 1.0
    (edge,) = [s for s in first.strokes if np.allclose(np.ptp(s, axis=0), (60, 96.0319), atol=0.01)]
    found = sorted(
        tuple((ring.min(axis=0) + ring.max(axis=0)) / 2 - edge.min(axis=0))
        for ring in first.strokes
        if np.allclose(np.ptp(ring, axis=0), 6.5, atol=0.01)
    )
    # by hand, from the lower left corner: (12, 12), (60 - 14, 14), (15, 96.0319 - 14)
    wanted = sorted([(12.0, 12.0), (46.0, 14.0), (15.0, 82.0319)])
    assert np.abs(np.array(found) - wanted).max() < 0.01


@pytest.mark.parametrize("seed", [3, 17, 21, 30])
def test_every_edge_of_a_random_blank_is_drawn_to_scale(seed: int, tmp_path: Path) -> None:
    part = part_of(random_blank(seed))
    blank, first = part.pieces[0].blank, drawn(part, tmp_path)[0]
    scale, low = scale_of(first), corner(blank, first)
    for loop in blank.loops:
        wanted = Polygon(scale * points(loop) + low).exterior
        assert min(wanted.hausdorff_distance(LineString(s)) for s in closed(first)) < 0.01


# --- what it says -----------------------------------------------------------------------------


def test_the_hole_table_numbers_names_and_places_each_opening(bracket: list[PageRead]) -> None:
    said = [row for page in bracket for row in rows(page)]
    for row in ("1 a hole Ø6.5 12 12", "2 b hole Ø6.5 46 14", "3 c hole Ø6.5 15 82",
                "4 d hole Ø9 45 82"):  # fmt: skip
        assert any(row in one for one in said), row


def test_past_a_right_angle_the_leg_is_told_to_the_outermost_face(tmp_path: Path) -> None:
    outline = polygon([(0, 0), (80, 0), (80, 120), (0, 120)])
    bend = Bend("lip", (80, 40), (0, 40), 120, 3, 8.0)
    said = texts(drawn(part_of(Blank(2, outline, (), (bend,), (40, 90))), tmp_path))
    # by hand: the bend runs from 40 down to 32; leg 32 + 3 + 2; deduction 2 x 5 tan 60 - 8 = 9.32
    assert {"120°", "60°", "32", "36", "37", "9.32"} <= set(said)
    assert "outside leg to the outermost face." in " ".join(said)


def test_a_down_bend_is_drawn_down_with_turn_and_included_angle(tmp_path: Path) -> None:
    outline = polygon([(0, 0), (80, 0), (80, 120), (0, 120)])
    bend = Bend("lip", (0, 40), (80, 40), -50, 3, 4.0)
    said = texts(drawn(part_of(Blank(2, outline, (), (bend,), (40, 20))), tmp_path))
    assert {"50°", "130°", "↓ down", "B1 ↓ down 50°"} <= set(said)


def test_every_sheet_tells_its_piece_from_all_others(bracket: list[PageRead]) -> None:
    for number, page in enumerate(bracket, 1):
        wanted = {"trial", "l_bracket", "left", "mild steel", "2 mm", "1 off", "2025-05-17"}
        assert wanted | {f"{number} of {len(bracket)}"} <= set(page.texts)
    # by hand: (60 x 96.0319 less a corner of 8 and holes of 6.5, 6.5, 6.5 and 9) x 2, and
    # pi/2 x 4 x (0.5 - 0.42) x 60 = 30.2 mm3 that the bend has more than its flat; 7850 kg/m3
    assert "0.088 kg" in bracket[0].texts


def test_tolerances_the_face_and_the_caution_are_written(bracket: list[PageRead]) -> None:
    said = " ".join(texts(bracket))
    # ISO 2768-1 table 1, class m: 0.1 to 6, 0.2 to 30, 0.3 to 120
    assert "ISO 2768-1 class m: to 6 ±0.1, to 30 ±0.2, to 120 ±0.3" in said
    assert "ISO 9013 class 1 at 2 mm" in said
    assert "drawn face up" in said and "this face: the tyre" in said
    assert "check the first part against the vehicle before cutting the rest" in said
    assert "left hand: where it sits, from above" in said


# --- nothing lies on anything ------------------------------------------------------------------


def test_words_on_words_on_strokes_and_in_the_margin_would_be_found(tmp_path: Path) -> None:
    page = Page(100, 80)
    page.words("across", (20, 40), 2.5)
    page.line((25, 30), (25, 60))
    page.words("under", (40, 40), 2.5, angle_deg=90)
    page.words("over", (39, 43), 2.5)
    page.words("late", (85, 20), 2.5)
    pdf.write(tmp_path / "page.pdf", [page], "trial")
    (read,) = read_pages(tmp_path / "page.pdf")
    assert read.texts == ["across", "under", "over", "late"]
    on_words, on_stroke = touching(read)
    assert on_words == "'under' on 'over'" and on_stroke.endswith("on 'across'")
    assert outside(read, FRAME) == ["late"]


@pytest.mark.parametrize(
    ("name", "paper"), [("box", "A3"), ("skew", "A4"), ("z_with_gusset", "Letter")]
)
def test_no_words_touch_anything_on_the_blanks_drawn_by_hand(
    name: str, paper: str, tmp_path: Path
) -> None:
    assert_clear(drawn(named(name), tmp_path, paper), f"{name} on {paper}")


@pytest.mark.parametrize("name", ["rear_mount", "rear_tub", "boot_lid", "lower_tabs"])
def test_no_words_touch_anything_on_the_demo(name: str, tmp_path: Path) -> None:
    part = load(DEMO).part(name)
    some = tuple(piece for piece in part.pieces if piece.hand != "left")
    for path in drawing.write(replace(part, pieces=some, paper=Setting("A4")), tmp_path):
        assert_clear(read_pages(path), path.name)


@pytest.mark.parametrize("first", range(100, 150, 10))
def test_no_words_touch_anything_on_fifty_random_blanks(
    first: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = folded.views(named("l_bracket").pieces[0])  # the kernel's views of one serve for all
    monkeypatch.setattr(folded, "views", lambda piece: seen)
    for seed in range(first, first + 10):
        paper = random.Random(seed).choice(["A4", "A3", "Letter"])
        assert_clear(drawn(part_of(random_blank(seed)), tmp_path, paper), f"{seed} on {paper}")
