"""The job sheet, parsed as HTML: all that was said of a part is there, and no more."""

import os
import re
import subprocess
import sys
from dataclasses import replace
from html import escape, unescape
from pathlib import Path
from urllib.parse import unquote

from hand_parts import named, part_of, written
from pages import BAD, ROOT, Reader, demo, hostile, page_of, pages, squeezed

from parts.proof.job_sheets import check_job_sheet
from parts.proof.ledger import Ledger
from parts.report import digits
from parts.trade.cost import Rates
from parts.writers import cut_list, job_sheet


def test_the_page_is_well_nested_and_reaches_for_nothing_outside() -> None:
    for name, _, page in pages():
        read = Reader(page)
        assert read.tags["script"] == 2 and read.tags["link"] == read.tags["img"] == 0, name
        assert "src" not in read.attributes
        assert not re.search(r"https?:|@import|url\(|fetch\(|XMLHttp", page), name
        assert len(read.ids) == len(set(read.ids))


def test_every_link_leads_to_a_file_of_the_part_or_a_place_on_the_page(tmp_path: Path) -> None:
    part = demo("rear_mount")
    made = {path.name for path in [*written(part, tmp_path), *cut_list.write(part, tmp_path)]}
    read = Reader(page_of("rear_mount"))
    inside = {link[1:] for link in read.links if link.startswith("#")}
    files = {unquote(link) for link in read.links if not link.startswith("#")}
    assert inside <= set(read.ids)
    assert files - made == {"proof.json"}  # which the build itself writes
    assert made - files <= {f"{part.stem_of('job_sheet')}.html"}  # none but the page is forgotten


def test_sketches_at_full_size_are_linked() -> None:
    part = demo("boot_lid")
    names = {unquote(link) for link in Reader(page_of("boot_lid")).links}
    wanted = [part.stem_of(sketch.title) for sketch in part.sketches if sketch.full_size]
    assert wanted and {f"{stem}-template.pdf" for stem in wanted} <= names


def test_the_file_is_named_after_job_and_part(tmp_path: Path) -> None:
    (path,) = job_sheet.write(named("skew"), tmp_path)
    assert path.name == "trial-skew-job_sheet.html"
    assert path.read_bytes().startswith(b"<!DOCTYPE html>")


def test_everything_that_is_said_of_a_part_is_on_its_page() -> None:
    for _, part, page in pages():
        text = Reader(page).text
        said = [*part.cautions, *part.summary, part.note]
        said += [words for f in part.findings for words in (f.where, f.found, f.needed, f.remedy)]
        said += [f.source for f in part.findings]
        for figure in [*part.figures, *(f for p in part.pieces for f in p.figures)]:
            said += [re.sub("^(left|right): ", "", figure.name), figure.source]
            said.append(digits(figure.value, figure.unit))
            if figure.plus_minus is not None:
                said.append(f"± {digits(figure.plus_minus, figure.unit)}")
        for table in part.tables:
            said += [re.sub("^(left|right): ", "", table.title), *table.columns, *table.notes]
            for row, (name, values) in enumerate(table.rows):
                said += [name, *(table.cell(row, column) for column in range(len(values)))]
        for line in (line for chart in part.charts for line in chart.lines):
            assert "".join(line.name.split()) in "".join(text.split())  # long ones go on below
        said += [words for chart in part.charts for words in (chart.title, chart.source)]
        for sketch in part.sketches:
            said += [sketch.title, sketch.note, sketch.across, sketch.up]
            said += [shape.name for shape in sketch.shapes] + [name for name, _ in sketch.points]
        said += [f"{one.measured:.1f}" for one in part.measurements if one.plus_minus]
        said += [one.name for one in (*part.measurements, *part.spots)]
        said += [part.vehicle, part.stance, *(words for row in part.as_given for words in row)]
        for case in part.load_cases:
            said += [case.name, case.stands_for, case.source, f"{case.factor:g}"]
            said += [words for load in case.loads for words in (load.of, load.direction)]
        for piece in part.pieces:
            said += [piece.faces, part.stem(piece), piece.stock.material.name]
            said += [words for s in piece.screens for words in (s.name, s.source)]
            said += [s.note.partition("assumed: ")[0].rstrip("; ") for s in piece.screens]
        missing = [words for words in said if squeezed(words) not in text]
        lower = text.lower()  # a sentence begins with a capital
        missing += [words for words in part.assumptions if squeezed(words).lower() not in lower]
        assert missing == []


def test_ill_meant_names_are_words_and_nothing_else() -> None:
    page = job_sheet.text(hostile())
    read = Reader(page)
    assert 'alert("x")' not in "".join(read.scripts)
    assert page.count("<script") == 2
    assert escape(BAD) not in "".join(read.scripts)


def test_numbers_are_those_of_the_part_and_checked_by_hand() -> None:
    text = Reader(job_sheet.text(hostile())).text
    assert "12.35 ± 0.43 mm" in text
    assert "-7.00 °" in text
    # the reading the others would change by -0.25 of its 1 mm, half of it checked by them
    assert "412.0 1.00 -0.25 50 %" in text
    assert "B-C 100.0 1.00 +9.50 set aside" in text
    assert "C z 55.0 1.00 by none" in text
    assert "Taken as exact, for they are the datum, mm: datum 0." in text
    assert "1.3 ± 0.10 -2.0 ± 0.20 3.0 ± 0.30" in text
    # root bending by hand: 6 x 500 x 120 / (60 x 5^2) = 240 MPa of 235, so 0.98 of what it needs
    assert "240.0 at most 235.0 MPa 0.98 short" in text


def test_what_nothing_else_checks_is_to_be_measured_again_first() -> None:
    text = Reader(job_sheet.text(hostile())).text
    assert "Measure again, for no other reading checks it: C z." in text
    assert "Measure again, for it was set aside: B-C." in text


def test_the_engineers_page_leaves_his_fields_empty_and_stamps_nothing() -> None:
    for _, _, page in pages():
        engineer = page.partition('<section id="engineer">')[2].partition("</section>")[0]
        fields = re.findall(r"<dt>([^<]*)</dt><dd></dd>", engineer)
        assert fields == [
            "Grade certificate", "Weld procedure", "Load case agreed", "Remarks", "Name", "Date",
            "Signature",
        ]  # fmt: skip
        assert "approved" not in page.lower() and "stamp" not in page.lower()


def test_load_cases_stand_on_the_engineers_page_with_room_to_agree() -> None:
    engineer = job_sheet.text(hostile()).partition('<section id="engineer">')[2]
    rows = engineer.partition('<table class="cases">')[2].partition("</table>")[0]
    (row,) = re.findall(r"<tr>(.*?)</tr>", rows.partition("<tbody>")[2], re.DOTALL)
    text = " ".join(unescape(re.sub("<[^>]*>", " ", row)).split())
    assert f"{BAD} stud 1234 N" in unescape(row) and "1.75" in text
    assert row.endswith('<td class="blank"></td>')


def test_cost_stands_on_the_page_for_one_two_four_and_ten_off_with_what_is_not_in_it() -> None:
    part = replace(named("l_bracket"), rates=Rates("EUR", bend_each=2.5, bend_set_up=10))
    text = Reader(job_sheet.text(part)).text
    # by hand: one bend at 2.50 each; one piece is bent, set up once
    assert "bends 2.50 5.00 10.00 25.00 1 bends × 2.5" in text
    assert "cost of all 12.50 15.00 20.00 35.00" in text
    assert "cost of one 12.50 7.50 5.00 3.50" in text
    assert "Not in it: consumables; give consumables in [rates]." in text


def test_a_cost_that_does_not_add_up_is_found_out(tmp_path: Path) -> None:
    part = replace(named("l_bracket"), rates=Rates("EUR", bend_each=2.5, bend_set_up=10))
    for old, new, wrong in (("", "", 0), (">15.00<", ">51.00<", 1), ("cost of all", "price", 1)):
        path = tmp_path / "page.html"
        path.write_text(job_sheet.text(part).replace(old, new, 1), encoding="utf-8")
        ledger = Ledger("page.html")
        check_job_sheet(path, part, None, ledger)
        assert len(ledger.disagreements) == wrong


def test_without_rates_the_page_names_no_price_and_says_what_to_give() -> None:
    page = job_sheet.text(named("l_bracket"))
    cost = page.partition('<section id="cost">')[2].partition("</section>")[0]
    assert "<table" not in cost and "give your own rates in [rates]" in cost


def test_pieces_screened_alike_share_a_table() -> None:
    part = hostile()
    two = replace(part, pieces=(part.pieces[0], replace(part.pieces[0], hand="right")))
    text = Reader(job_sheet.text(two)).text
    assert text.count("240.0 at most 235.0 MPa 0.98 short") == 1
    assert "left l bracket and right l bracket" in text


def test_a_part_of_one_flat_piece_makes_a_page_too() -> None:
    flat = part_of(replace(named("l_bracket").pieces[0].blank, bends=()), "plate")
    read = Reader(job_sheet.text(flat))
    assert "none" in read.text and read.tags["svg"] == 2  # the part, and its blank


def test_the_same_part_gives_the_same_bytes_in_another_process() -> None:
    code = (
        "import sys; sys.path.insert(0, 'tests')\n"
        "from hand_parts import named\n"
        "from parts.writers import job_sheet\n"
        "sys.stdout.buffer.write(job_sheet.text(named('z_with_gusset')).encode())"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=True, cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": "7", "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert run.stdout == job_sheet.text(named("z_with_gusset")).encode()
