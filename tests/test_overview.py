"""The page of a whole job: what is on it, where its links lead, and what its proof finds."""

import re
import shutil
from dataclasses import replace
from html import unescape
from pathlib import Path
from urllib.parse import unquote

import numpy as np
import pytest
from hand_parts import named, part_of
from pages import BAD, Reader

from parts.building import build
from parts.paper.page import Stroke, Words
from parts.part import Part
from parts.place import HERE, Place
from parts.proof.ledger import Ledger
from parts.proof.overviews import check_overview
from parts.report import Finding, Severity
from parts.sheet.blank import Blank
from parts.sheet.loop import polygon
from parts.whole import WholeJob
from parts.writers.whole import overview
from parts.writers.whole.overview import plan


def at(x: float, y: float) -> Place:
    return Place(HERE.turn, np.array([x, y, 300.0]))


def plate(name: str, kind: str, caution: str, y: float) -> Part:
    """A flat plate of 100 along X and 40 across, 2 mm thick; two of it are wanted."""
    outline = polygon([(0, 0), (100, 0), (100, 40), (0, 40)])
    part = part_of(Blank(2.0, outline, (), (), (5, 5)), name)
    piece = replace(part.pieces[0], place=at(200.0, y), quantity=2,
                    hand="right" if y > 0 else "left")  # fmt: skip
    note = Finding(Severity.MENTIONS, f"{name} edge", f"{name} found", "x", f"mend {name}", "y")
    return replace(part, kind=kind, pieces=(piece,), cautions=(caution, "mind your eyes"),
                   findings=(note,))  # fmt: skip


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> WholeJob:
    """A job of two parts with their job sheets and cut files built, the lid named first."""
    home = tmp_path_factory.mktemp("built")
    parts = (plate("lid", "hinge_bracket", "mind the lid", 400.0),
             plate("tabs", "link_tab", "mind the axle", -500.0))  # fmt: skip
    for part in parts:
        build(part, home, ("dxf", "job_sheet"))
    return WholeJob("trial", parts, vehicle=BAD, stance="on its wheels", home=home / "trial")


def page_in(whole: WholeJob) -> Path:
    assert whole.home is not None
    folder = whole.home / "all_parts"
    folder.mkdir(exist_ok=True)
    (path,) = overview.write(whole, folder)
    return path


def wrong_with(whole: WholeJob, path: Path) -> list[str]:
    ledger = Ledger(path.name)
    check_overview(path, whole, ledger)
    return [str(one) for one in ledger.disagreements]


def test_every_link_leads_to_a_file_or_a_place_on_the_page(built: WholeJob) -> None:
    path = page_in(built)
    read = Reader(path.read_text(encoding="utf-8"))
    own = [unquote(link) for link in read.links]
    assert {link[1:] for link in own if link.startswith("#")} <= set(read.ids)
    files = [link for link in own if not link.startswith("#")]
    assert "../lid/trial-lid-job_sheet.html" in files and len(files) == 4
    assert all((path.parent / link).is_file() for link in files)
    assert wrong_with(built, path) == []


def test_masses_and_counts_are_those_worked_out_by_hand(built: WholeJob) -> None:
    text = Reader(page_in(built).read_text(encoding="utf-8")).text
    # 100 x 40 x 2 mm of steel at 7.85 g/cm3 is 62.8 g; two of each of two parts
    assert "0.063 kg" in text and "All together 0.251 kg" in text
    assert "Pieces to cut 4" in text
    assert "4 pieces, 0.02 m²" in text  # 4 x 100 x 40 mm2 of box


def test_a_part_that_others_hang_on_is_made_first(built: WholeJob) -> None:
    order = page_in(built).read_text(encoding="utf-8").partition('id="order"')[2]
    steps = re.findall(r"<li><strong>([^<]*)", order.partition("</section>")[0])
    assert steps == ["tabs", "lid"]  # common practice: suspension before the body round it


def test_a_caution_of_all_parts_is_printed_once_and_others_say_whose_they_are(
    built: WholeJob,
) -> None:
    page = page_in(built).read_text(encoding="utf-8")
    assert page.count("mind your eyes") == 1
    assert re.search(r"mind the lid <span[^>]*>lid<", page)


def test_an_ill_meant_name_is_words_and_nothing_else(built: WholeJob) -> None:
    page = page_in(built).read_text(encoding="utf-8")
    assert "<script" not in page and "http:" not in page and BAD in unescape(page)


def test_the_plan_has_the_left_hand_on_the_left_and_the_front_up(built: WholeJob) -> None:
    left_front = replace(built.parts[1], pieces=(
        replace(built.parts[1].pieces[0], place=at(-900.0, -500.0)),))  # fmt: skip
    page = plan.page_of(replace(built, parts=(built.parts[0], left_front)))
    runs = [m for m in page.marks if isinstance(m, Stroke) and m.pen and m.pen.width == 0.25
            and not m.pen.dashes and len(m.curves) == 1 and m.fill is None]  # fmt: skip
    middle = page.width / 2
    ends = [curve.start for run in runs for curve in run.curves if curve.length > 4]
    right = [y for x, y in ends if x > middle]
    left = [y for x, y in ends if x < middle and y > 6.0]
    assert min(left) > max(right)
    names = {m.text: m.at for m in page.marks if isinstance(m, Words)}
    assert names["left"][0] < middle < names["right"][0]
    assert names["2"][0] < middle < names["1"][0]
    # 900 + 200 mm apart along the vehicle, as long on paper as the bar says
    bar = next(float(words.split()[0]) for words in names if words.endswith(" mm"))
    drawn = next(m.curves[0].length for m in page.marks if isinstance(m, Stroke)
                 and m.curves[0].start[1] == m.curves[0].end[1] == 3.5)  # fmt: skip
    assert (min(left) - min(right)) * bar / drawn == pytest.approx(1100, abs=0.5)


def test_numbers_of_many_parts_keep_apart_on_the_page(built: WholeJob) -> None:
    tabs, lid = built.parts
    few = (*(replace(tabs, name=f"tab{k}") for k in range(35)), lid)
    page = plan.page_of(replace(built, parts=few))
    rings = [m.curves[0] for m in page.marks if isinstance(m, Stroke) and m.fill == 1.0]
    assert len(rings) == 36
    for k, a in enumerate(rings):
        assert a.center[1] >= a.radius and a.center[1] + a.radius <= page.height
        for b in rings[k + 1 :]:
            assert abs(a.center[0] - b.center[0]) + abs(a.center[1] - b.center[1]) > 2 * a.radius
    many = tuple(replace(tabs, name=f"tab{k}") for k in range(90))
    page = plan.page_of(replace(built, parts=many))
    assert not [m for m in page.marks if isinstance(m, Stroke) and m.fill == 1.0]
    assert "<svg" in overview.text(replace(built, parts=many), [])


def test_without_built_parts_there_is_a_page_without_links(built: WholeJob, tmp_path: Path) -> None:
    bare = replace(built, home=None)
    (path,) = overview.write(bare, tmp_path)
    links = Reader(path.read_text(encoding="utf-8")).links
    assert all(link.startswith("#") for link in links)
    assert wrong_with(bare, path) == []


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("100.0 × 40.0", "100.0 × 41.0", "size of left tabs"),
        ('<td class="number">0.063 kg', '<td class="number">0.065 kg', "mass of right lid"),
        ('<td class="number">2<', '<td class="number">3<', "quantity of right lid"),
        ("All together 0.251 kg", "All together 0.351 kg", "mass of all"),
        ("mind your eyes", "never mind", "parts and cautions"),
        ("../lid/trial-lid-job_sheet", "../lid/trial-lid-job_shee", "links to no file"),
        ("</ol>", "", "elements that do not close"),
    ],
)
def test_a_page_that_says_something_else_is_found_out(
    built: WholeJob, tmp_path: Path, old: str, new: str, said: str
) -> None:
    good = page_in(built)
    assert built.home is not None
    shutil.copytree(built.home, tmp_path / "trial")
    path = tmp_path / "trial" / "all_parts" / good.name
    page = path.read_text(encoding="utf-8")
    assert old in page
    head, _, tail = page.rpartition(old) if "size of left" in said else page.partition(old)
    path.write_text(head + new + tail, encoding="utf-8")
    assert any(said in one for one in wrong_with(built, path))


def test_the_same_job_gives_the_same_bytes(built: WholeJob) -> None:
    first = page_in(built).read_bytes()
    assert page_in(built).read_bytes() == first


def test_a_job_of_folded_parts_has_its_pictures(built: WholeJob, tmp_path: Path) -> None:
    part = named("l_bracket")
    build(part, tmp_path, ("job_sheet",))
    whole = WholeJob("trial", (part,), home=tmp_path / "trial")
    page = overview.text(whole, [])
    (sheet,) = (tmp_path / "trial" / part.name).glob("*-job_sheet.html")
    picture = sheet.read_text(encoding="utf-8").partition("<figure>\n")[2].partition("</svg>")[0]
    assert picture.startswith("<svg") and picture in page
