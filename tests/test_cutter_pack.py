"""What is sent to a cutter: its DXF by other readers, the zip read back, profiles, limits."""

from __future__ import annotations

import csv
import hashlib
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from io import BytesIO, StringIO
from math import pi, tau
from pathlib import Path
from typing import Any
from zipfile import ZipFile, ZipInfo

import ezdxf
import numpy as np
import pytest
from blanks import bend, l_bracket
from hand_parts import part_of
from paper_read import read_pages
from pypdf import PdfReader
from shapely import Polygon

from parts import load
from parts.building import build
from parts.job import JobError, read_job
from parts.job.cutter import packaged, read_profile
from parts.job.schema import job_schema
from parts.job.starter import starter_profile
from parts.proof import ProofFailed
from parts.proof.drawing import read_dxf
from parts.proof.whole import prove_whole
from parts.report import Finding
from parts.sheet.allowance import Sourced
from parts.sheet.blank import Blank, Cutout
from parts.sheet.fold import fold
from parts.sheet.loop import circle, polygon, slot
from parts.sheet.stock import Stock, material
from parts.trade.cutter import Cutter, DxfStyle, Layer, Limits
from parts.trade.cutter_limits import beyond
from parts.whole import WholeJob
from parts.writers import dxf
from parts.writers.whole import cutter_pack
from parts.writers.whole.cutter_pack.order import file_stems

# what $ACADVER says of each version: the DXF reference's table of that variable, from memory
ACADVER = {
    "R12": "AC1009", "R2000": "AC1015", "R2004": "AC1018", "R2007": "AC1021", "R2010": "AC1024",
    "R2013": "AC1027", "R2018": "AC1032",
}  # fmt: skip
DRAWN = {
    "cuts alone": (False, False), "bends": (True, False), "marks": (False, True),
    "both": (True, True),
}  # fmt: skip
# l_bracket by hand: base 60 x 40 less a corner of radius 8, flange 60 x 50, and between them what
# the bend takes up, pi/2 (3 + 0.42 x 2); holes of 6.5, 6.5, 6.5 and 9
OUTLINE = 60 * 40 - (1 - pi / 4) * 8**2 + 60 * 50 + 60 * pi / 2 * (3 + 0.42 * 2)
HOLES = (6.5, 6.5, 6.5, 9.0)
GREEN, RED, CYAN = Layer("GO", 3), Layer("FOLD", 1), Layer("ETCH", 4)


def style(version: str, drawn: str) -> DxfStyle:
    bends, marks = DRAWN[drawn]
    return DxfStyle(version, bends, marks, GREEN, RED, CYAN)


# The DXF


@pytest.mark.parametrize("drawn", DRAWN)
@pytest.mark.parametrize("version", ACADVER)
def test_each_version_and_layer_is_as_asked_for_by_another_reader(
    version: str, drawn: str, tmp_path: Path
) -> None:
    part, path = part_of(l_bracket(), "ell"), tmp_path / "one.dxf"
    path.write_bytes(dxf.data(part, part.pieces[0], style(version, drawn)))
    drawing = ezdxf.readfile(path)
    assert drawing.dxfversion == ACADVER[version]
    assert not drawing.audit().has_issues
    wanted = {"GO": 3}
    wanted |= {"FOLD": 1} if DRAWN[drawn][0] else {}
    wanted |= {"ETCH": 4} if DRAWN[drawn][1] else {}
    layers = {layer.dxf.name: layer.color for layer in drawing.layers}
    assert {k: v for k, v in layers.items() if k not in ("0", "Defpoints")} == wanted
    space = drawing.modelspace()
    assert {entity.dxf.layer for entity in space} == set(wanted)
    if version != "R12":
        assert (drawing.header["$INSUNITS"], drawing.header["$MEASUREMENT"]) == (4, 1)
    kind = "POLYLINE" if version == "R12" else "LWPOLYLINE"
    cuts = list(space.query('*[layer=="GO"]'))
    assert sorted(entity.dxftype() for entity in cuts) == ["CIRCLE"] * 4 + [kind]
    (outline,) = [entity for entity in cuts if entity.dxftype() == kind]
    assert outline.is_closed
    assert area_by_bulges(corners_of(outline)) == pytest.approx(OUTLINE, abs=1e-6)
    sizes = sorted(2 * one.dxf.radius for one in cuts if one.dxftype() == "CIRCLE")
    assert sizes == pytest.approx(HOLES, abs=1e-9)


@pytest.mark.parametrize("version", ACADVER)
def test_our_own_reader_finds_the_same_in_each_version(version: str, tmp_path: Path) -> None:
    part, path = part_of(l_bracket(), "ell"), tmp_path / "one.dxf"
    path.write_bytes(dxf.data(part, part.pieces[0], style(version, "both")))
    found = read_dxf(path)
    assert found.header["$ACADVER"] == ACADVER[version]
    (outline,) = [one for one in found.contours if not one.whole_circle]
    assert outline.closed and outline.layer == "GO"
    assert outline.area == pytest.approx(OUTLINE, abs=1e-6)
    assert outline.kind == ("POLYLINE" if version == "R12" else "LWPOLYLINE")
    assert found.others == ()
    ezdxf_words = {
        (one.dxf.layer, one.plain_text()) for one in ezdxf.readfile(path).modelspace().query("TEXT")
    }
    assert {(one.layer, one.text) for one in found.words} == ezdxf_words
    assert ("FOLD", "tab: up 90° R3") in ezdxf_words


@pytest.mark.parametrize("version", ACADVER)
def test_letters_beyond_ascii_are_spelt_so_that_each_version_reads_them(
    version: str, tmp_path: Path
) -> None:
    part, path = part_of(l_bracket(), "café Ø"), tmp_path / "one.dxf"
    part = replace(part, name="café Ø")
    data = dxf.data(part, part.pieces[0], style(version, "marks"))
    path.write_bytes(data)
    assert data.isascii() or version not in ("R12", "R2000", "R2004")
    words = ezdxf.readfile(path).modelspace().query("TEXT")
    assert "café Ø" in {ezdxf.decode_dxf_unicode(one.plain_text()) for one in words}
    assert "café Ø" in {one.text for one in read_dxf(path).words}


def test_everything_may_lie_on_layer_0(tmp_path: Path) -> None:
    part, path = part_of(l_bracket()), tmp_path / "one.dxf"
    path.write_bytes(dxf.data(part, part.pieces[0], DxfStyle("R12", cut=Layer("0", 1))))
    drawing = ezdxf.readfile(path)
    assert {entity.dxf.layer for entity in drawing.modelspace()} == {"0"}
    assert drawing.layers.get("0").color == 1


@pytest.mark.parametrize("version", ["R12", "R2010"])
def test_one_layer_may_hold_all_told_apart_by_colours(version: str, tmp_path: Path) -> None:
    asked = DxfStyle(version, True, True, Layer("0", 7), Layer("0", 1), Layer("0", 4))
    cutter = Cutter("colours", dxf=asked, step=False, drawing=False)
    whole = WholeJob("trial", (part_of(l_bracket(), "ell"),), cutters=(cutter,))
    (path,) = cutter_pack.write(whole, tmp_path)
    prove_whole(whole, tmp_path, [path])
    files = content(path)
    assert "0 in colour 1 shows bends" in " ".join(files["README.txt"].decode().split())
    (name,) = [one for one in files if one.endswith(".dxf")]
    (tmp_path / name).write_bytes(files[name])
    space = ezdxf.readfile(tmp_path / name).modelspace()
    colours = {(one.dxf.layer, one.dxf.color, one.dxftype()) for one in space}
    kind = "POLYLINE" if version == "R12" else "LWPOLYLINE"
    assert colours == {
        ("0", 7, kind), ("0", 7, "CIRCLE"), ("0", 1, "LINE"), ("0", 1, "TEXT"), ("0", 4, "LINE"),
        ("0", 4, "TEXT"),
    }  # fmt: skip
    files[name] = files[name].replace(b" 62\n1\n", b" 62\n7\n")  # bends in the colour of cuts
    with pytest.raises(ProofFailed, match="nothing but contours on CUT"):
        prove_whole(whole, tmp_path, [rewritten(path, files, (1980, 1, 1))])


def corners_of(outline: Any) -> list[tuple[float, float, float]]:
    if outline.dxftype() == "LWPOLYLINE":
        return [tuple(corner) for corner in outline.get_points("xyb")]
    return [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in outline.vertices]


def area_by_bulges(corners: list[tuple[float, float, float]]) -> float:
    """Shoelace of the corners, and a segment of a circle for every bulge (tan of a quarter)."""
    flat = Polygon([corner[:2] for corner in corners]).exterior
    total = Polygon(flat).area * (1 if flat.is_ccw else -1)
    for (x, y, bulge), (u, v, _) in zip(corners, [*corners[1:], corners[0]], strict=True):
        if bulge:
            sweep = 4 * np.arctan(bulge)
            radius = np.hypot(u - x, v - y) / 2 / np.sin(sweep / 2)
            total += radius**2 / 2 * (sweep - np.sin(sweep))
    return float(abs(total))


# The zip


def plate(long: float = 90.0) -> Blank:
    outline = polygon([(0, 0), (long, 0), (long, 40), (0, 40)])
    return Blank(2.0, outline, (Cutout("slot", slot((45, 20), 30, 8, 0)),), (), (5, 5))


def job_of(*cutters: Cutter) -> WholeJob:
    """A bent piece in two hands of one part, and a flat one, three off, of another."""
    ell = part_of(l_bracket(), "ell")
    (left,) = ell.pieces
    both = replace(ell, pieces=(left, replace(left, hand="right")), note="ask the old man")
    flat = part_of(plate(), "cover")
    flat = replace(flat, pieces=(replace(flat.pieces[0], hand="", quantity=3),))
    parts = (replace(both, cautions=("Not a towing point.",)), flat)
    return WholeJob(
        "trial", parts, "two-door coupe", "on stands", date(2026, 5, 4), cutters=cutters
    )


SHOWS_ALL = Cutter("shows_all", "deburr, please", DxfStyle("R12", True, True, GREEN, RED, CYAN))


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the proved STEP of the bent part."""
    out = tmp_path_factory.mktemp("out")
    build(job_of().parts[0], out, ("step",))
    return out / "trial"


@pytest.fixture(scope="module")
def whole(home: Path) -> WholeJob:
    return replace(job_of(Cutter("careful"), SHOWS_ALL), home=home)


@pytest.fixture(scope="module")
def packs(whole: WholeJob, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    one, two = cutter_pack.write(whole, tmp_path_factory.mktemp("packs"))
    return one, two


def content(path: Path) -> dict[str, bytes]:
    with ZipFile(path) as pack:
        assert pack.testzip() is None
        return {name: pack.read(name) for name in pack.namelist()}


def rows_of(files: dict[str, bytes]) -> list[dict[str, str]]:
    text = files["trial-order.csv"].decode("utf-8")
    return list(csv.DictReader(StringIO(text, newline="")))


def test_the_zip_holds_what_was_said_and_nothing_else(packs: tuple[Path, Path]) -> None:
    assert [path.name for path in packs] == ["trial-careful.zip", "trial-shows_all.zip"]
    left, right = (f"trial-ell-ell-{hand}-mild_steel-2mm-1off" for hand in ("left", "right"))
    for path in packs:
        assert list(content(path)) == [
            "README.txt", "trial-order.csv", "trial-order.pdf",
            f"{left}.dxf", f"{left}.step", f"{left}.pdf",
            f"{right}.dxf", f"{right}.step", f"{right}.pdf",
            "trial-cover-cover-mild_steel-2mm-3off.dxf", "SHA256.txt",
        ]  # fmt: skip


def test_the_zip_is_the_same_bytes_each_time_with_one_date_and_plain_rights(
    packs: tuple[Path, Path], whole: WholeJob, tmp_path: Path
) -> None:
    assert [one.read_bytes() for one in cutter_pack.write(whole, tmp_path)] == [
        one.read_bytes() for one in packs
    ]
    for entry in ZipFile(packs[0]).infolist():
        assert entry.date_time == (2026, 5, 4, 0, 0, 0)
        assert entry.external_attr >> 16 == 0o100644
    undated = replace(job_of(Cutter("bare", step=False, drawing=False)), made_on=None)
    (bare,) = cutter_pack.write(undated, tmp_path)
    assert {entry.date_time[:3] for entry in ZipFile(bare).infolist()} == {(1980, 1, 1)}


def test_the_order_lists_each_piece_with_its_numbers(packs: tuple[Path, Path]) -> None:
    left, right, flat = rows_of(content(packs[0]))
    assert [left["hand"], right["hand"], flat["hand"]] == ["left", "right", ""]
    assert [row["quantity"] for row in (left, right, flat)] == ["1", "1", "3"]
    assert [row["comes"] for row in (left, right, flat)] == ["bent", "bent", "flat"]
    assert [row["bends"] for row in (left, right, flat)] == ["1", "1", "0"]
    # 90 x 40 less a slot 8 wide and 30 long over all: 22 x 8 + pi 4²; edges 260 and 44 + 8 pi
    assert flat["area_mm2"] == f"{90 * 40 - 22 * 8 - pi * 16:.0f}" == "3374"
    assert flat["cut_length_mm"] == f"{260 + 44 + 8 * pi:.0f}" == "329"
    assert (flat["blank_x_mm"], flat["blank_y_mm"], flat["thickness_mm"]) == ("90.0", "40.0", "2")
    assert (flat["pierces"], flat["holes_by_size"]) == ("2", "1 x slot 8 x 30")


def test_the_step_in_the_zip_is_that_of_the_part(packs: tuple[Path, Path], home: Path) -> None:
    for path in packs:
        for name, data in content(path).items():
            if name.endswith(".step"):
                assert data == (home / "ell" / name).read_bytes()


def test_a_step_that_was_never_built_is_written_for_the_zip(home: Path, tmp_path: Path) -> None:
    whole = job_of(Cutter("careful", drawing=False))
    (path,) = cutter_pack.write(whole, tmp_path)
    steps = {name: data for name, data in content(path).items() if name.endswith(".step")}
    assert len(steps) == 2
    for name, data in steps.items():
        assert data == (home / "ell" / name).read_bytes()
    prove_whole(whole, tmp_path, [path])


def test_each_drawing_and_the_order_say_what_a_bending_shop_asks(packs: tuple[Path, Path]) -> None:
    files = content(packs[1])
    for name, data in files.items():
        if not name.endswith(".pdf"):
            continue
        pages = PdfReader(BytesIO(data)).pages
        words = " ".join(" ".join(page.extract_text() for page in pages).split())
        if name == "trial-order.pdf":
            asked = ["mild steel", "3", "bent, 1 bend", "flat", "90.0 × 40.0", "deburr, please"]
        else:
            assert len(pages) == 1
            hand = "left" if "left" in name else "right"
            asked = ["↑ up", "90°", f"This is the {hand} hand.", "mild steel", "1 off", "2 mm",
                     "ISO 2768-1", "drawn face up", "6.03", "±1°"]  # fmt: skip
        assert [one for one in asked if one not in words] == [], name


def test_nothing_of_the_vehicle_or_the_users_own_goes_into_the_zip(
    packs: tuple[Path, Path],
) -> None:
    for name, data in content(packs[0]).items():
        text = data.decode("latin-1")
        if name.endswith(".pdf"):
            text = " ".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages)
        for private in ("coupe", "on stands", "old man", "towing", "sits"):
            assert private not in text, name


def test_the_readme_tells_a_stranger_what_to_do(packs: tuple[Path, Path]) -> None:
    text = " ".join(content(packs[1])["README.txt"].decode("utf-8").split())
    for told in ("3 different pieces, 5 in all", "in mm", "1:1", "allow for your own kerf",
                 "seen from the face that is up", "Ask before you change", "R12",
                 "layer FOLD shows bends and is not to be cut", "deburr, please",
                 "cannot say its unit"):  # fmt: skip
        assert told in text, told


def test_the_sums_are_those_of_the_files(packs: tuple[Path, Path]) -> None:
    files = content(packs[0])
    lines = files.pop("SHA256.txt").decode("ascii").splitlines()
    assert lines == [f"{hashlib.sha256(data).hexdigest()}  {n}" for n, data in files.items()]


def test_no_words_run_off_the_order_or_into_each_other(
    packs: tuple[Path, Path], tmp_path: Path
) -> None:
    for path in packs:
        for name, data in content(path).items():
            if name.endswith(".pdf"):
                (tmp_path / name).write_bytes(data)
                for page in read_pages(tmp_path / name):
                    boxes = [word.box for word in page.words if word.text.strip()]
                    sheet = Polygon([(0, 0), (page.size[0], 0), page.size, (0, page.size[1])])
                    assert all(sheet.contains(box) for box in boxes)
                    for number, box in enumerate(boxes):
                        inner = box.buffer(-0.2)
                        assert not any(inner.intersects(other) for other in boxes[:number]), name


def test_a_piece_of_many_bends_still_has_one_sheet(tmp_path: Path) -> None:
    # a band with a bend every 30 mm, up and down in turn; each takes up pi/2 (2 + 0.42 x 1)
    turns = [90.0 if number % 2 else -90.0 for number in range(9)]
    takes, x, bends = pi / 2 * (2 + 0.42), 30.0, []
    for number, turn in enumerate(turns):
        bends.append(bend(f"b{number}", (x, 25), (x, 0), turn, 2.0, 1.0))
        x += takes + 30
    band = Blank(1.0, polygon([(0, 0), (x, 0), (x, 25), (0, 25)]), (), tuple(bends), (5, 5))
    whole = WholeJob("trial", (part_of(band, "band"),), cutters=(Cutter("one"),))
    (path,) = cutter_pack.write(whole, tmp_path)
    (sheet,) = [data for name, data in content(path).items() if name.endswith("off.pdf")]
    assert len(PdfReader(BytesIO(sheet)).pages) == 1
    prove_whole(whole, tmp_path, [path])


def test_names_are_short_and_differ_whatever_the_case_of_their_letters() -> None:
    long = "x" * 200
    found = file_stems(["a-b", "A-B", long, long])
    assert found[0] == "a-b"
    assert len({name.casefold() for name in found}) == 4
    assert max(len(f"{name}.step") for name in found) <= 120


def test_the_cutter_says_what_a_name_tells_and_in_which_order(tmp_path: Path) -> None:
    cutter = Cutter("brief", file_names=("quantity", "thickness", "part", "piece", "hand"),
                    step=False, drawing=False)  # fmt: skip
    whole = job_of(cutter)
    (path,) = cutter_pack.write(whole, tmp_path)
    assert [name for name in content(path) if name.endswith(".dxf")] == [
        "1off-2mm-ell-ell-left.dxf", "1off-2mm-ell-ell-right.dxf", "3off-2mm-cover-cover.dxf",
    ]  # fmt: skip
    prove_whole(whole, tmp_path, [path])


def test_a_spreadsheet_reckons_nothing_in_the_order(tmp_path: Path) -> None:
    evil = part_of(plate(), "=1+1")
    whole = WholeJob("trial", (replace(evil, name="-2"),), cutters=(Cutter("one"),))
    (path,) = cutter_pack.write(whole, tmp_path)
    (row,) = rows_of(content(path))
    assert (row["part"], row["piece"]) == ("'-2", "'=1+1")


# The proof


def test_the_zips_are_proved(packs: tuple[Path, Path], whole: WholeJob) -> None:
    proof = prove_whole(whole, packs[0].parent, packs)
    made = {(check.file, check.what): check.count for check in proof.checks}
    for path in packs:
        assert made[path.name, "STEP files"] == 2
        assert made[path.name, "outline and openings"] == 5 + 5 + 2
        assert made[path.name, "sheets of a drawing"] == 2


LEFT = "trial-ell-ell-left-mild_steel-2mm-1off"
FLAT = "trial-cover-cover-mild_steel-2mm-3off"
Files = dict[str, bytes]


def with_text(name: str, old: str, new: str) -> Callable[[Files], None]:
    def spoil(files: Files) -> None:
        assert old.encode() in files[name]
        files[name] = files[name].replace(old.encode(), new.encode(), 1)

    return spoil


def redrawn(change: Callable[[Any], None]) -> Callable[[Files], None]:
    """The left DXF read by the library, changed and written again."""

    def spoil(files: Files) -> None:
        drawing = ezdxf.read(StringIO(files[f"{LEFT}.dxf"].decode("ascii")))
        change(drawing)
        stream = StringIO()
        drawing.write(stream)
        files[f"{LEFT}.dxf"] = stream.getvalue().encode()

    return spoil


def _hole_moved(drawing: Any) -> None:
    hole = drawing.modelspace().query("CIRCLE")[0]
    hole.dxf.center = hole.dxf.center + ezdxf.math.Vec3(0.01, 0, 0)


def _cut_opened(drawing: Any) -> None:
    drawing.modelspace().query("POLYLINE")[0].close(False)


def _cut_twice(drawing: Any) -> None:
    drawing.modelspace().query("CIRCLE")[0].copy_to_layout(drawing.modelspace())


def _another_layer(drawing: Any) -> None:
    drawing.layers.add("EXTRA")


def _another_colour(drawing: Any) -> None:
    drawing.layers.get("GO").color = 6


def _bend_the_other_way(drawing: Any) -> None:
    for one in drawing.modelspace().query("TEXT"):
        one.dxf.text = one.dxf.text.replace(": up", ": down")


def _one_more(files: Files) -> None:
    files["price.txt"] = b"1"


def _step_left_out(files: Files) -> None:
    del files[f"{LEFT}.step"]


def _two_sheets(files: Files) -> None:
    from pypdf import PdfWriter

    writer = PdfWriter(BytesIO(files[f"{LEFT}.pdf"]))
    writer.append(BytesIO(files[f"{LEFT}.pdf"]))
    stream = BytesIO()
    writer.write(stream)
    files[f"{LEFT}.pdf"] = stream.getvalue()


def _hands_exchanged(files: Files) -> None:
    right = LEFT.replace("left", "right")
    files[f"{LEFT}.pdf"], files[f"{right}.pdf"] = files[f"{right}.pdf"], files[f"{LEFT}.pdf"]


def _climbs_out(files: Files) -> None:
    files["../above.txt"] = b"1"


def _row_left_out(files: Files) -> None:
    lines = files["trial-order.csv"].split(b"\r\n")
    files["trial-order.csv"] = b"\r\n".join([*lines[:-2], b""])


def _sum_of_another(files: Files) -> None:
    files["SHA256.txt"] = files["SHA256.txt"].replace(b"  README.txt", b"0 README.txt")


SPOILT: dict[str, tuple[Callable[[Files], None], str]] = {
    "a hole is off": (redrawn(_hole_moved), "a: expected 0 mm off, found 0.01 mm off"),
    "a contour is open": (redrawn(_cut_opened), "open"),
    "a cut is drawn twice": (redrawn(_cut_twice), "a duplicate"),
    "a layer that nobody asked for": (redrawn(_another_layer), "layers with their colours"),
    "a layer of another colour": (redrawn(_another_colour), "layers with their colours"),
    "words of a bend": (redrawn(_bend_the_other_way), "direction"),
    "a version": (with_text(f"{LEFT}.dxf", "AC1009", "AC1024"), "$ACADVER"),
    "half a DXF": (with_text(f"{FLAT}.dxf", "EOF\n", ""), "a whole DXF file"),
    "a STEP": (with_text(f"{LEFT}.step", "ISO-10303-21", "ISO-10303-22"), "STEP files"),
    "a file too many": (_one_more, "price.txt"),
    "a file too few": (_step_left_out, f"{LEFT}.step"),
    "a drawing of two sheets": (_two_sheets, "sheets of a drawing"),
    "drawings of the wrong hands": (_hands_exchanged, "name on sheet 1"),
    "a name that climbs out": (_climbs_out, "../above.txt"),
    "a quantity": (with_text("trial-order.csv", ",3,mild", ",2,mild"), "quantity of cover"),
    "a size": (with_text("trial-order.csv", ",90.0,", ",91.0,"), "blank_x_mm of cover"),
    "flat for bent": (with_text("trial-order.csv", ",bent,", ",flat,"), "comes"),
    "a row": (_row_left_out, "rows of the order"),
    "a README that is silent": (with_text("README.txt", "kerf", "loss"), "kerf"),
    "an order to read of others": (with_text("trial-order.csv", "3off.dxf", "4off.dxf"), "4off"),
}  # fmt: skip


def rewritten(path: Path, files: Files, day: tuple[int, int, int] = (2026, 5, 4)) -> Path:
    """A zip as the writer makes it, of other files; its sums are right."""
    lines = [f"{hashlib.sha256(data).hexdigest()}  {n}\n" for n, data in files.items()
             if n != "SHA256.txt"]  # fmt: skip
    files = {**files, "SHA256.txt": "".join(lines).encode()}
    with ZipFile(path, "w") as pack:
        for name, data in files.items():
            entry = ZipInfo(name, (*day, 0, 0, 0))
            entry.create_system, entry.external_attr = 3, 0o100644 << 16
            pack.writestr(entry, data)
    return path


@pytest.mark.parametrize("what", SPOILT)
def test_a_spoilt_zip_is_found_out(
    what: str, packs: tuple[Path, Path], whole: WholeJob, tmp_path: Path
) -> None:
    spoil, told = SPOILT[what]
    files = content(packs[1])
    spoil(files)
    path = rewritten(tmp_path / packs[1].name, files)
    with pytest.raises(ProofFailed) as failed:
        prove_whole(whole, tmp_path, [path])
    assert told in "\n".join(map(str, failed.value.disagreements))


def test_sums_dates_and_zips_that_are_none_are_found_out(
    packs: tuple[Path, Path], whole: WholeJob, tmp_path: Path
) -> None:
    files, path = content(packs[1]), tmp_path / packs[1].name
    rewritten(path, files)
    prove_whole(whole, tmp_path, [path])  # what was only packed again is good
    for told in sums_dates_and_none(path, files):
        with pytest.raises(ProofFailed) as failed:
            prove_whole(whole, tmp_path, [path])
        assert told in str(failed.value.disagreements[0])


def sums_dates_and_none(path: Path, files: Files) -> Iterator[str]:
    rewritten(path, files, (2026, 5, 5))
    yield "date of README.txt"
    rewritten(path, files)
    with ZipFile(path, "a") as pack:
        entry = ZipInfo("README.TXT", (2026, 5, 4, 0, 0, 0))
        entry.external_attr = 0o100644 << 16
        pack.writestr(entry, b"")
    yield "alike but for capitals"
    data = bytearray(rewritten(path, files).read_bytes())
    at = data.index(b"Every length")
    data[at] += 1
    path.write_bytes(data)
    yield "a whole zip"
    path.write_bytes(b"PK")
    yield "a whole zip"


# Profiles


def test_the_starter_profile_reads_as_it_stands_and_with_each_key_in_use(tmp_path: Path) -> None:
    path, text = tmp_path / "mine.toml", starter_profile()
    path.write_text(text, encoding="utf-8")
    assert read_profile(path) == Cutter("my_cutter", limits=Limits(refuses=True))
    lines = text.splitlines()
    keys = [i for i, line in enumerate(lines) if line.startswith("#") and line[1] != " "]
    assert len(keys) == 21
    used = [line[1:] if i in keys else line for i, line in enumerate(lines)]
    path.write_text("\n".join(used), encoding="utf-8")
    cutter = read_profile(path)
    assert cutter.limits.largest_bent == (1200, 900)
    assert cutter.limits.thicknesses == (("S235", 1, 12), ("DC01", 0.8, 3))


def test_profiles_that_come_along_are_named_as_their_files_and_refuse_nothing() -> None:
    found = {name: read_profile(path) for name, path in packaged().items()}
    assert sorted(found) == ["careful", "marked", "oldest_dxf"]
    for name, cutter in found.items():
        assert cutter.name == name
        assert not cutter.limits.refuses
    assert found["careful"].dxf == DxfStyle("R2010", bend_lines=False, marks=False)
    assert found["oldest_dxf"].dxf.version == "R12"


BROKEN = {
    'dxf_version = "R2011"': "3:15: dxf_version: 'R2011' is not known here; write one of R12",
    'dxf_verson = "R12"': "3:1: dxf_verson: is no key of this section; did you mean 'dxf_version'?",
    'bend_lines = "colour"': "3:14: bend_lines: 'colour' is not known here; write one of none, la",
    'marks = "yes"': "3:9: marks: must be true or false; write true or false, without quotes",
    'cut_layer = ["CUT"]': "3:13: cut_layer: has too few values",
    'cut_layer = ["a/b", 7]': "3:14: cut_layer #1: 'a/b' cannot name a layer; use up to 31",
    'cut_layer = ["defpoints", 7]': "3:14: cut_layer #1: 'defpoints' cannot name a layer",
    'cut_layer = ["CUT", 0]': "3:21: cut_layer #2: must be at least 1; it is 0",
    'cut_layer = ["BEND", 5]': "3:13: cut_layer: has the name and colour of bend_layer",
    'cut_layer = ["Bend", 7]': "3:13: cut_layer: differs from bend_layer only in capitals",
    "cut_layer = 7": "3:13: cut_layer: must be a list",
    'file_names = ["part", "hand"]': "3:14: file_names: leaves out piece: two files could have",
    'file_names = ["part", "piece", "hand", "part"]': "3:40: file_names #4: 'part' is given twice",
    "most_turn = 190": "3:13: most_turn: must be less than 180",
    "largest_flat = [2500]": "3:16: largest_flat: has too few values",
    "largest_flat = [2500, -1]": "3:23: largest_flat #2: must be more than 0",
    "thicknesses = { S235 = [6, 1] }": "3:24: thicknesses.S235: begins with the thicker sheet",
    "thicknesses = { S23 = [1, 6] }": "3:17: thicknesses.S23: ",
    "least_hole = 0": "3:14: least_hole: must be more than 0",
    'beyond_limits = "ignore"': "3:17: beyond_limits: 'ignore' is not known here",
    'name = "twice"': "3:1: the key is given twice",
    "bends = yes": "3:9: this is no value; write true",
}


@pytest.mark.parametrize("line", BROKEN)
def test_a_broken_profile_gives_one_clear_error_with_its_line(line: str, tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(f'# mine\nname = "mine"\n{line}\n', encoding="utf-8")
    with pytest.raises(JobError) as wrong:
        read_profile(path)
    (problem,) = wrong.value.problems
    assert str(problem).startswith(f"{path}:{BROKEN[line]}")


def test_the_command_prints_the_profile_and_editors_know_the_section() -> None:
    from click.testing import CliRunner
    from jsonschema import Draft202012Validator

    from parts.__main__ import main

    printed = CliRunner().invoke(main, ["new", "cutter"], standalone_mode=False)
    assert printed.output == starter_profile()
    editor = Draft202012Validator(job_schema())
    assert editor.is_valid({"job": {"name": "a"}, "cutting": {"cutters": ["near.toml"]}})
    assert not editor.is_valid({"job": {"name": "a"}, "cutting": {"cutter": ["near.toml"]}})


JOB = '[job]\nname = "trial"\n[cutting]\ncutters = {}\n'


def job_file(folder: Path, cutters: str) -> Path:
    path = folder / "job.toml"
    path.write_text(JOB.format(cutters), encoding="utf-8")
    return path


def test_a_job_without_a_word_of_cutters_has_the_careful_one(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text('[job]\nname = "trial"\n', encoding="utf-8")
    assert [cutter.name for cutter in read_job(path).cutters] == ["careful"]
    assert read_job(job_file(tmp_path, "[]")).cutters == ()


def test_a_profile_of_ones_own_is_found_beside_the_job(tmp_path: Path) -> None:
    (tmp_path / "profiles").mkdir()
    (tmp_path / "profiles" / "near.toml").write_text('name = "near"\n', encoding="utf-8")
    job = read_job(job_file(tmp_path, '["careful", "profiles/near.toml"]'))
    assert [cutter.name for cutter in job.cutters] == ["careful", "near"]
    assert load(job.path).whole(()).cutters == job.cutters


@pytest.mark.parametrize(
    ("cutters", "told"),
    {
        '["carefull"]': "4:12: cutting.cutters #1: 'carefull' is no profile that comes with tinwri",
        '["careful", "none.toml"]': "4:23: cutting.cutters #2: there is no file 'none.toml' besid",
        '["careful", "careful"]': "4:23: cutting.cutters #2: is a second cutter called 'careful'",
        '"careful"': '4:11: cutting.cutters: must be a list; write ["careful"]',
    }.items(),
)
def test_a_cutter_that_cannot_be_had_is_told_at_its_line(
    cutters: str, told: str, tmp_path: Path
) -> None:
    path = job_file(tmp_path, cutters)
    with pytest.raises(JobError) as wrong:
        read_job(path)
    (problem,) = wrong.value.problems
    assert str(problem).startswith(f"{path}:{told}")


def test_what_is_wrong_in_a_profile_is_told_with_the_profiles_own_file(tmp_path: Path) -> None:
    (tmp_path / "near.toml").write_text('name = "near"\nmarks = 1\n', encoding="utf-8")
    with pytest.raises(JobError) as wrong:
        read_job(job_file(tmp_path, '["near.toml"]'))
    (problem,) = wrong.value.problems
    assert (Path(problem.file).name, problem.line, problem.field) == ("near.toml", 2, "marks")


# Limits


def found(limits: Limits, blank: Blank, metal: str = "mild steel") -> list[Finding]:
    stock = Stock("sheet", material(metal), blank.thickness)
    return list(beyond(Cutter("near", limits=limits), fold(blank), stock))


def bent_strip(turn_deg: float = 90.0, radius: float = 3.0) -> Blank:
    """90 x 20 of 2 mm sheet and what the bend takes up, k 0.42."""
    takes = turn_deg / 360 * tau * (radius + 0.42 * 2)
    outline = polygon([(0, 0), (90 + takes, 0), (90 + takes, 20), (0, 20)])
    return Blank(2.0, outline, (), (bend("lip", (40, 20), (40, 0), turn_deg, radius, 2.0),), (5, 5))


def test_a_piece_within_all_limits_is_not_mentioned() -> None:
    limits = Limits(True, (90, 40), (100, 20), ((95, 45),), (("mild steel", 1, 2),), 1.0, 2.0)
    assert found(limits, plate()) == []
    assert found(replace(limits, largest_bent=(100, 30), sheets=()), bent_strip()) == []


@pytest.mark.parametrize(
    ("limits", "blank", "told"),
    [
        (Limits(largest_flat=(80, 60)), plate(),
         "blank: 90.0 x 40.0 mm, 10 mm too long; needs 80 x 60 mm, the largest it cuts"),
        (Limits(largest_flat=(38, 89.5)), plate(),
         "blank: 90.0 x 40.0 mm, 0.5 mm too long and 2 mm too wide; needs 89.5 x 38 mm"),
        (Limits(largest_bent=(90, 60)), bent_strip(),
         "blank: 96.0 x 20.0 mm, 6.1 mm too long; needs 90 x 60 mm, the largest it bends"),
        (Limits(sheets=((85, 85),)), plate(), "blank: 90.0 x 40.0 mm lies on none of its sheets"),
        (Limits(thicknesses=(("mild steel", 3, 6),)), plate(),
         "thickness: 2 mm mild steel; needs 3 to 6 mm"),
        (Limits(thicknesses=(("S235", 1, 6),)), plate(),
         "material: mild steel, which it does not keep; needs S235"),
        (Limits(least_hole=5.0), plate(), "slot: opening 8.00 mm wide; needs 10.00 mm"),
        (Limits(least_gap=10.0), plate(), "slot: 16.00 mm from the edge of the blank; needs 20."),
        (Limits(most_turn_deg=90), bent_strip(100), "lip: turned by 100° from flat; needs 90° at"),
        (Limits(), bent_strip(90, 60), "lip: a roll, which it does not make"),
    ],
)  # fmt: skip
def test_a_limit_that_is_passed_is_told_in_numbers(
    limits: Limits, blank: Blank, told: str
) -> None:
    # the strip is 90 + pi/2 (3 + 0.84) = 96.03 long: 6.03 over 90, told up to a tenth; 2 mm sheet:
    # 5 t is 10 and 10 t is 20; the slot, 8 wide, lies 16 from the edges
    (mention,) = found(limits, blank)
    assert str(mention).startswith(f"note: {told}")
    assert mention.source == "profile of cutter near"
    (refusal,) = found(replace(limits, refuses=True), blank)
    assert refusal.refuses == (limits != Limits())  # what comes flat instead is never refused


def test_a_hole_under_the_cutters_limit_is_told_with_what_would_do() -> None:
    small = replace(plate(), cutouts=(Cutout("pin", circle((45, 20), 3)),))
    (mention,) = found(Limits(least_hole=2.0), small)
    assert str(mention) == (
        "note: pin: hole 3.00 mm across; needs 4.00 mm - widen it by 1 mm, or mark its centre and "
        "drill it [profile of cutter near]"
    )


def test_a_piece_that_the_cutter_cannot_bend_is_ordered_flat(tmp_path: Path) -> None:
    cutter = Cutter("flat_only", limits=Limits(bends=False))
    whole = job_of(cutter)
    (path,) = cutter_pack.write(whole, tmp_path)
    files = content(path)
    assert [row["comes"] for row in rows_of(files)] == ["flat, we bend it"] * 2 + ["flat"]
    assert not [name for name in files if name.endswith((".step", "off.pdf"))]
    assert "send it flat" in " ".join(files["README.txt"].decode().split())
    prove_whole(whole, tmp_path, [path])
    assert found(Limits(bends=False, most_turn_deg=10), bent_strip()) == []


@pytest.mark.parametrize("bends", [True, False])
def test_another_brake_is_not_told_to_bend_over_as_ours_does(bends: bool, tmp_path: Path) -> None:
    ell = part_of(l_bracket(), "ell")
    (piece,) = ell.pieces
    over = tuple(replace(one, over=Sourced(1.5, "bend book row 1")) for one in piece.allowances)
    ell = replace(ell, pieces=(replace(piece, allowances=over),))
    cutter = Cutter("other", dxf=DxfStyle(bend_lines=True), limits=Limits(bends=bends))
    whole = WholeJob("trial", (ell,), cutters=(cutter,))
    (path,) = cutter_pack.write(whole, tmp_path)
    prove_whole(whole, tmp_path, [path])
    for name, data in content(path).items():
        text = data.decode("latin-1")
        if name.endswith("off.pdf"):
            text = " ".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages)
        if name.endswith((".dxf", "off.pdf")):
            assert ("over to 91.5" in " ".join(text.split())) == (not bends), name


def test_a_part_beyond_its_cutter_is_refused_by_name_and_hand(tmp_path: Path) -> None:
    profile = tmp_path / "near.toml"
    profile.write_text('name = "near"\nlargest_bent = [100, 100]\n', encoding="utf-8")
    text = Path("configs/tin_wren.toml").read_text(encoding="utf-8")
    path = tmp_path / "job.toml"
    path.write_text(f'{text}\n[cutting]\ncutters = ["near.toml"]\n', encoding="utf-8")
    told = [str(one) for one in load(path).part("rear_mount").findings if one.refuses]
    assert len(told) == 2
    for one, hand in zip(told, ("right", "left"), strict=True):
        assert one.startswith(f"refused: {hand} bracket: blank: 2"), one
        assert " x 115.7 mm, 13" in one and "and 15.8 mm too wide" in one, one
