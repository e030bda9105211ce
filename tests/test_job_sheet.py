"""The job sheet: parsed as HTML, drawn by a browser, and its solids measured again."""

import base64
import json
import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from functools import cache
from html import escape
from html.parser import HTMLParser
from math import hypot, pi
from pathlib import Path
from signal import SIGTERM
from threading import Timer
from typing import Any
from urllib.parse import unquote

import numpy as np
import pytest
from hand_parts import named, part_of, written
from pypdf import PdfReader

from parts import load
from parts.paper.page import Page, Stroke, Words
from parts.paper.pdf import width as width_of
from parts.part import Measurement, Part, Shape, Sketch, Spot
from parts.report import Chart, ChartLine, Figure, Finding, Severity, Table, digits
from parts.sheet.curve import Line
from parts.sheet.loop import circle, polygon
from parts.solid.mesh import mesh, pack
from parts.trade.bolts import bolt, property_class
from parts.trade.screening import bolt_shear, root_bending
from parts.writers import cut_list, job_sheet
from parts.writers.job_sheet import charting, sketching

ROOT = Path(__file__).parents[1]
BAD = '<script>alert("x")</script> & </svg>'
VOID = {"meta", "br", "hr", "input", "link", "img"}
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


class Reader(HTMLParser):
    """Reads a page and insists that it is well nested."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: Counter[str] = Counter()
        self.links: list[str] = []
        self.ids: list[str] = []
        self.attributes: set[str] = set()
        self.words: list[str] = []
        self.scripts: list[str] = []
        self.feed(page)
        self.close()
        assert self.open == [], f"left open: {self.open}"

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_startendtag(tag, attrs)
        if tag not in VOID:
            self.open.append(tag)
        if tag == "script":
            self.scripts.append("")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags[tag] += 1
        found = dict(attrs)
        self.attributes |= set(found)
        self.links += [found["href"] or ""] if "href" in found else []
        self.ids += [found["id"] or ""] if "id" in found else []

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open[-1] == tag, f"</{tag}> closes {self.open[-3:]}"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] == "script":
            self.scripts[-1] += data
        elif "style" not in self.open:
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


@cache
def demo(name: str) -> Part:
    return load(ROOT / "configs" / "tin_wren.toml").part(name)


@cache
def page_of(name: str) -> str:
    return job_sheet.text(demo(name))


@cache
def hostile() -> Part:
    """A bracket with all that a part may carry, every word of it ill meant."""
    part = named("l_bracket")
    piece = replace(
        part.pieces[0],
        faces=BAD,
        figures=(Figure(f"{BAD} length", 12.3456, "mm", BAD, 0.4321),),
        screens=(
            replace(root_bending(500, 120, 60, 5, 235), name=f"{BAD} root", note="assumed: 5 g"),
            replace(bolt_shear(1e6, bolt("M8"), property_class("8.8")), source=BAD),
        ),
    )
    return replace(
        part,
        pieces=(piece,),
        note=BAD,
        summary=(f"{BAD} limits",),
        figures=(Figure(f"left: {BAD} gap", -7.0, "deg", BAD), Figure("count", 3, "")),
        findings=(Finding(Severity.MENTIONS, f"{BAD} a", f"{BAD} b", "c", f"{BAD} d", BAD),),
        cautions=(f"{BAD} caution",),
        measurements=(
            Measurement(f"{BAD} A-B", 412.0, 1.0, -0.25, 0.5, points=("A", "B")),
            Measurement("B-C", 100.0, 1.0, 9.5, None, used=False),
            Measurement("C z", 55.0, 1.0, 0.0, 0.0),
            Measurement("datum", 0.0, 0.0, 0.0, 0.0),
        ),
        spots=(Spot(f"{BAD} A", (1.26, -2.0, 3.0), (0.1, 0.2, 0.3)),),
        tables=(
            Table(f"right: {BAD} by pose", "mm", (f"{BAD} disc", "band"),
                  ((f"{BAD} ride", (5.0, None)), ("bump", (-1.0, 2.5))), BAD,
                  noted=f"{BAD} tightest", notes=(f"{BAD} disc!", "band")),
        ),
        charts=(
            Chart(f"{BAD} swing", "opening", "deg", f"{BAD} up", "mm",
                  (ChartLine(f"{BAD} lid", ((0, 1), (40, 9))),), BAD),
        ),
        sketches=(
            Sketch(f"{BAD} view", f"{BAD} across", "mm up",
                   (Shape(f"{BAD} arm", "metal", polygon([(0, 0), (50, 0), (50, 20)]), True),),
                   ((f"{BAD} pivot", (5.0, 5.0)),), BAD, full_size=True),
        ),
    )  # fmt: skip


def squeezed(words: str) -> str:
    return " ".join(words.split())


def pages() -> Iterator[tuple[str, Part, str]]:
    yield "hostile", hostile(), job_sheet.text(hostile())
    for name in ("rear_mount", "boot_lid"):
        yield name, demo(name), page_of(name)


# --- the page ---------------------------------------------------------------------------------


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
        for piece in part.pieces:
            said += [piece.faces, part.stem(piece), piece.stock.material.name]
            said += [words for s in piece.screens for words in (s.name, s.note, s.source)]
        missing = [words for words in said if squeezed(words) not in text]
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
        assert fields == ["Grade certificate", "Weld procedure", "Load case", "Name", "Date"]
        assert "approved" not in page.lower() and "stamp" not in page.lower()
    assert "5 g" in re.sub("<[^>]*>", " ", job_sheet.text(hostile()).partition("Load cases")[2])


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


# --- the solids that turn ---------------------------------------------------------------------


def volume_of(points: Any, triangles: Any) -> float:
    """Divergence theorem over the triangles, mm3."""
    a, b, c = (points[triangles[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


def test_a_mesh_holds_the_volume_and_closes() -> None:
    # l_bracket by hand: 2 mm sheet, base 60 x 40 with a corner of radius 8 and two holes of 6.5,
    # flange 60 x 50 with holes of 6.5 and 9, and a quarter ring of inside radius 3, 60 long
    base = 60 * 40 - (1 - pi / 4) * 8**2 - pi / 2 * 6.5**2
    flange = 60 * 50 - pi / 4 * (6.5**2 + 9**2)
    by_hand = 2 * (base + flange) + pi / 4 * (5**2 - 3**2) * 60
    piece = named("l_bracket").pieces[0]
    made = mesh(piece.kernel_solid, piece.place)
    assert volume_of(made.points, made.triangles) == pytest.approx(by_hand, rel=2e-3)
    keys = {tuple(p): k for k, p in enumerate(np.unique(made.points.round(5), axis=0))}
    at = [keys[tuple(p)] for p in made.points.round(5)]
    sides = Counter((at[t[i]], at[t[i - 2]]) for t in made.triangles for i in range(3))
    assert all(sides[b, a] == count == 1 for (a, b), count in sides.items())
    a, b, c = (made.points[made.triangles[:, k]] for k in range(3))
    outward = np.cross(b - a, c - a)
    assert np.all(np.einsum("ij,ij->i", outward, made.normals[made.triangles[:, 0]]) > 0)


def test_corners_are_edges_and_the_starts_of_a_bend_are_seams() -> None:
    piece = named("l_bracket").pieces[0]
    made = mesh(piece.kernel_solid)
    ends = made.points[made.seams]
    lengths = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    # by hand: the bend starts and ends on both faces of the sheet, 60 long
    assert np.sum(np.isclose(lengths, 60)) == 4
    ends = made.points[made.edges]
    lengths = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    # by hand: the outer edge of the flange, 60 long on both faces; the base's far edge less 8
    assert np.sum(np.isclose(lengths, 60)) == 2 and np.sum(np.isclose(lengths, 52)) == 2


def test_meshing_leaves_the_solid_as_it_was(tmp_path: Path) -> None:
    part = named("l_bracket")
    (before,) = written(part, tmp_path, ["step"])
    data = before.read_bytes()
    mesh(part.pieces[0].kernel_solid)
    (after,) = written(part, tmp_path, ["step"])
    assert after.read_bytes() == data


def test_the_page_carries_the_solids_at_their_places() -> None:
    part = demo("rear_mount")
    data = json.loads(Reader(page_of("rear_mount")).scripts[0])
    points = np.frombuffer(base64.b64decode(data["points"]), "<i2").reshape(-1, 3).astype(float)
    triangles = np.frombuffer(base64.b64decode(data["triangles"]), "<u2").reshape(-1, 3)
    # the step is not told: the pair's own spread gives it, X rearward as in the points of the job
    (s0, n0), (s1, n1) = (solid[0] for solid in data["solids"])
    sizes = [volume_of(points, triangles[s : s + n].astype(int)) for s, n in ((s0, n0), (s1, n1))]
    wanted = [piece.volume for piece in part.pieces]
    assert sizes[0] / sizes[1] == pytest.approx(wanted[0] / wanted[1], rel=1e-3)
    sides = [points[np.unique(triangles[s : s + n])][:, 1] for s, n in ((s0, n0), (s1, n1))]
    assert part.pieces[0].hand == "right" and sides[0].min() > sides[1].max()  # Y to the right
    assert [view["solids"] for view in data["views"]] == [[0], [1], [0, 1]]
    for solid in data["solids"]:
        for name, wide, (start, count) in zip(("triangles", "edges", "seams"), (3, 2, 2), solid,
                                              strict=True):  # fmt: skip
            held = len(np.frombuffer(base64.b64decode(data[name]), "<u2")) // wide
            assert start >= 0 and start + count <= held and count > 0


def test_packed_points_lie_within_half_a_step_of_the_solid() -> None:
    piece = named("z_with_gusset").pieces[0]
    made = mesh(piece.kernel_solid, piece.place)
    packed = pack([made, made])
    back = packed.middle + packed.step * packed.points
    off = np.abs(back[: len(made.points)] - made.points).max()
    assert off <= packed.step / 2 * (1 + 1e-6) and packed.step < 0.01
    assert np.array_equal(packed.triangles[len(made.triangles) :] - len(made.points),
                          made.triangles)  # fmt: skip


# --- charts and sketches ----------------------------------------------------------------------


def words_of(page: Page) -> list[Words]:
    return [mark for mark in page.marks if isinstance(mark, Words)]


def boxes(page: Page) -> list[tuple[float, float, float, float]]:
    """Where words stand, tails left out."""
    found = []
    for one in words_of(page):
        wide = width_of(one.text, one.height, one.bold)
        left = one.at[0] - {"left": 0, "middle": wide / 2, "right": wide}[one.anchor]
        found.append((left, one.at[1], left + wide, one.at[1] + one.height))
    return found


def apart(page: Page) -> None:
    found = boxes(page)
    for k, a in enumerate(found):
        assert a[0] >= 0 and a[2] <= page.width and a[1] >= 0 and a[3] <= page.height
        for b in found[k + 1 :]:
            assert a[0] >= b[2] or b[0] >= a[2] or a[1] >= b[3] or b[1] >= a[3], (a, b)


def test_no_words_of_a_chart_touch_others_whatever_the_curves() -> None:
    r = np.random.default_rng(20250517)
    names = ["lid", "struts -10 °C, aged", "wished", "the way of the edge's top, right side", "x"]
    for _ in range(40):
        scale, count = 10.0 ** r.uniform(-3, 4), int(r.integers(1, 12))
        lines = tuple(
            ChartLine(
                str(r.choice(names)),
                tuple((float(x), float(scale * r.normal())) for x in range(int(r.integers(1, 9)))),
            )
            for _ in range(count)
        )
        apart(charting.page_of(Chart("t", "opening", "deg", "clearance", "mm", lines)))


def test_a_curve_lies_where_its_axes_say() -> None:
    line = ChartLine("lid", ((0.0, 0.0), (30.0, 25.0), (80.0, 100.0)))
    page = charting.page_of(Chart("t", "opening", "deg", "force", "N", (line,)))
    numbers = {one.text: one for one in words_of(page)}
    across = [(float(t), numbers[t].at[0]) for t in ("20", "60") if numbers[t].anchor == "middle"]
    up = [(float(one.text), one.at[1] + one.height / 2) for one in words_of(page)
          if one.anchor == "right" and one.text in ("40", "100")]  # fmt: skip
    assert len(across) == len(up) == 2

    def at(value: float, marks: list[tuple[float, float]]) -> float:
        (a, u), (b, v) = marks
        return u + (value - a) * (v - u) / (b - a)

    wanted = [(at(x, across), at(y, up)) for x, y in line.points]
    drawn = [
        [mark.curves[0].start, *(curve.end for curve in mark.curves)]
        for mark in page.marks
        if isinstance(mark, Stroke) and len(mark.curves) == 2
    ]
    assert any(np.allclose(points, wanted, atol=1e-9) for points in drawn)


def test_points_that_are_no_numbers_break_a_curve() -> None:
    line = ChartLine("lid", ((0, 1), (1, 2), (2, float("inf")), (3, 2), (4, 1)))
    page = charting.page_of(Chart("t", "x", "", "y", "", (line,)))
    thick = [m for m in page.marks if isinstance(m, Stroke) and m.pen and m.pen.width > 0.5]
    assert [len(mark.curves) for mark in thick] == [1, 1]


def test_a_chart_of_nothing_and_of_one_level_line_is_drawn() -> None:
    level = ((0, 5), (1, 5)), ((0, 5 + 1e-14), (1, 5)), ((0, 1e-14), (1, 0)), ((0, 0), (0, 0)), ()
    for lines in ((), *((ChartLine("level", points),) for points in level)):
        apart(charting.page_of(Chart("t", "x", "mm", "y", "mm", lines)))


def balloons(page: Page) -> list[Any]:
    return [m.curves[0] for m in page.marks if isinstance(m, Stroke) and m.fill == 1.0]


def test_every_shape_of_a_sketch_has_its_number_and_the_numbers_keep_apart() -> None:
    for sketch in demo("boot_lid").sketches:
        drawn = sketching.drawn(sketch)
        keys = [key for key, _, _ in drawn.key]
        shown = {one.text for page in drawn.pages for one in words_of(page)}
        assert set(keys) <= shown and len(keys) == len(set(keys))
        names = [name for name, _ in sketch.points] + [shape.name for shape in sketch.shapes]
        assert [name for _, name, _ in drawn.key] == names
        for page in drawn.pages:
            rings = balloons(page)
            for k, a in enumerate(rings):
                for b in rings[k + 1 :]:
                    apart_by = hypot(a.center[0] - b.center[0], a.center[1] - b.center[1])
                    assert apart_by > a.radius + b.radius, sketch.title


def test_a_sketch_with_far_ends_is_also_shown_enlarged_round_its_points() -> None:
    far = Shape("way", "path", (Line((0, 0), (2000, 1500)),))
    near = Shape("arm", "metal", circle((20, 20), 30), True)
    points = (("pivot", (10.0, 10.0)), ("stop", (40.0, 30.0)))
    whole, close = sketching.drawn(Sketch("s", "x", "y", (far, near), points)).pages
    assert {one.text for one in words_of(whole)} >= {"1"} and "A" not in str(words_of(whole))
    assert {one.text for one in words_of(close)} >= {"A", "B", "1", "2"}
    (only,) = sketching.drawn(Sketch("s", "x", "y", (near,), points)).pages
    assert {one.text for one in words_of(only)} >= {"A", "B", "1"}


def test_rounding_is_not_drawn_as_a_curve() -> None:
    line = ChartLine("nose", ((0, 1e-14), (1, -2e-14), (2, 1.5e-14)))
    page = charting.page_of(Chart("t", "x", "mm", "turn", "deg", (line,)))
    (curve,) = (m for m in page.marks if isinstance(m, Stroke) and m.pen and m.pen.width > 0.5)
    heights = [one.start[1] for one in curve.curves] + [curve.curves[-1].end[1]]
    assert max(heights) - min(heights) < 1e-9


# --- in a browser -----------------------------------------------------------------------------

PROBE = """<!DOCTYPE html><meta charset="utf-8"><body style="margin:0"><script>
const pages = PAGES, said = {};
const ink = (canvas) => {
  const flat = document.createElement("canvas");
  [flat.width, flat.height] = [canvas.width, canvas.height];
  const pen = flat.getContext("2d");
  pen.drawImage(canvas, 0, 0);
  const rgba = pen.getImageData(0, 0, flat.width, flat.height).data;
  let count = 0, sum = 0;
  for (let k = 0; k < rgba.length; k += 4)
    if (rgba[k] < 250) { count += 1; sum = (sum * 31 + rgba[k] * (k % 1009)) % 1000003; }
  return [count / (rgba.length / 4), sum];
};
const painted = (frame) => new Promise((done) => { // what was asked before is drawn by then
  const next = frame.contentWindow.requestAnimationFrame;
  next(() => next(() => setTimeout(done, 20)));
});
const look = async (name) => {
  document.body.textContent = "";
  const frame = document.createElement("iframe");
  frame.style.cssText = "border:0;width:390px;height:800px";
  frame.srcdoc = pages[name];
  const loaded = new Promise((done) => { frame.onload = done; });
  document.body.append(frame);
  await loaded;
  await painted(frame);
  const page = frame.contentDocument, canvas = page.querySelector("canvas");
  const shown = (one) => one && one.getClientRects().length > 0;
  const found = said[name] = {
    wide: page.documentElement.clientWidth,
    scrolls: page.documentElement.scrollWidth,
    canvas: shown(canvas), svg: shown(page.querySelector("#whole svg")),
  };
  if (!canvas) return;
  found.first = ink(canvas);
  for (let k = 0; k < 4; k += 1)
    canvas.dispatchEvent(new frame.contentWindow.KeyboardEvent("keydown", { key: "ArrowLeft" }));
  await painted(frame);
  found.turned = ink(canvas);
  const choice = page.getElementById("choice");
  choice.value = "1";
  choice.dispatchEvent(new Event("change"));
  await painted(frame);
  found.other = ink(canvas);
};
(async () => {
  for (const name of Object.keys(pages)) await look(name);
  console.log("SAID " + JSON.stringify(said));
})();
</script>"""
NO_WEBGL = "<script>HTMLCanvasElement.prototype.getContext = () => null;</script>"


def browser(folder: Path, *what: str) -> list[str]:
    """The command of a browser without a window, with a profile of its own and no network."""
    if CHROMIUM is None:
        pytest.skip("no chromium on this machine to draw the page with")
    return [
        CHROMIUM, "--headless", "--no-sandbox", "--use-angle=swiftshader",
        "--enable-unsafe-swiftshader", "--enable-logging=stderr", "--hide-scrollbars",
        "--host-resolver-rules=MAP * ~NOTFOUND", "--proxy-server=127.0.0.1:9",
        f"--user-data-dir={folder / 'profile'}", *what,
    ]  # fmt: skip


def console_of(command: list[str], last: str) -> list[str]:
    """What a browser's console says, up to a line that holds `last`, which comes in a minute."""
    lines = []
    with subprocess.Popen(
        command, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True,
        start_new_session=True,
    ) as run:  # fmt: skip
        late = Timer(60, os.killpg, (run.pid, SIGTERM))
        late.start()
        assert run.stderr is not None
        for line in run.stderr:
            lines += [line] if "CONSOLE" in line else []
            if "CONSOLE" in line and last in line:
                break
        late.cancel()
        with suppress(ProcessLookupError):
            os.killpg(run.pid, SIGTERM)
    return lines


def test_a_browser_draws_the_page_turns_the_part_and_fits_it_to_a_phone(tmp_path: Path) -> None:
    plain = {name: page_of(name) for name in ("rear_mount", "boot_lid")}
    without = page_of("rear_mount").replace("</title>", f"</title>{NO_WEBGL}", 1)
    pages = json.dumps({**plain, "without": without}).replace("</", "<\\/")
    probe = tmp_path / "probe.html"
    probe.write_text(PROBE.replace("PAGES", pages, 1), encoding="utf-8")
    lines = console_of(browser(tmp_path, probe.as_uri()), "SAID")
    assert len(lines) == 1, lines  # no error, no warning: nothing but what was asked for
    (found,) = re.findall(r"SAID (\{.*\})", lines[0])
    said = json.loads(found)
    assert set(said) == {"rear_mount", "boot_lid", "without"}
    for name, one in said.items():
        assert one["wide"] == 390 and one["scrolls"] == 390, (name, one)
    for name in plain:
        one = said[name]
        assert one["canvas"] and not one["svg"]
        assert 0.01 < one["first"][0] < 0.9  # some of it is part, some of it paper
        assert len({tuple(one[k]) for k in ("first", "turned", "other")}) == 3
    assert said["without"]["svg"] and not said["without"]["canvas"]


def test_the_page_prints_on_a4_and_the_engineers_part_starts_a_sheet(tmp_path: Path) -> None:
    page, out = tmp_path / "page.html", tmp_path / "page.pdf"
    page.write_text(page_of("rear_mount"), encoding="utf-8")
    command = browser(tmp_path, "--no-pdf-header-footer", f"--print-to-pdf={out}", page.as_uri())
    subprocess.run(command, capture_output=True, check=True, timeout=60)
    sheets = PdfReader(out).pages
    for sheet in sheets:
        box = sheet.mediabox
        assert (float(box.width), float(box.height)) == pytest.approx((595.3, 841.9), abs=1.5)
    first = [squeezed(sheet.extract_text())[:40] for sheet in sheets]
    assert len([words for words in first if words.startswith("For the engineer")]) == 1
    assert "seen from behind, outside and above" in squeezed(sheets[0].extract_text())
