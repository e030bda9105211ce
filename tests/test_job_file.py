"""The job file: places, refusals in plain words at the right line, the schema, the starter."""

import json
import re
import subprocess
import sys
import time
import tomllib
from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, ClassVar, Literal, Self

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import Field, ValidationError, model_validator

from parts import kinds
from parts.job import JobError, JobFile, Problem, read_job
from parts.job.axle import AxleConfig
from parts.job.errors import Source
from parts.job.schema import job_schema
from parts.job.starter import starter
from parts.job.toml_places import Places, toml_places
from parts.job.toml_write import toml_value
from parts.job.validation import problems_of
from parts.kinds.fields import (
    BoltName,
    Config,
    Count,
    FieldProblem,
    FieldProblems,
    KindConfig,
    LevelAngle,
    PointName,
    PositiveLength,
    PropertyClass,
    did_you_mean,
)
from parts.kinds.names import names_used
from parts.trade.lengths import Measured


class Slot(Config):
    """A slot of the test kind."""

    width: PositiveLength = Field(description="Across the slot.", examples=[11])
    length: PositiveLength = Field(description="Along the slot.", examples=['1 1/8"'])


class Bracket(KindConfig):
    """A small kind, as simple as one can be."""

    starter_points: ClassVar[Mapping[str, Mapping[str, object]]] = {
        "A1": {"at": [0, 580, 300]},
        "A2": {"tape": {"A1": "159.5 ± 0.5"}, "side": "above"},
    }

    kind: Literal["bracket"] = "bracket"
    width: PositiveLength = Field(lt=2000, description="Across the flange. By tape.", examples=[60])
    depth: PositiveLength = Field(description="From the fold to the edge.", examples=["2 3/8 in"])
    lean: LevelAngle = Field(description="Lean of the face.", examples=[2.9])
    bolt: BoltName = Field(description="The bolt.", examples=["M10"])
    strength: PropertyClass = Field(description="Its strength class.", examples=[8.8])
    point: PointName = Field(description="Where it sits.", examples=["A1"])
    gap: PositiveLength | Literal["auto"] = Field(default="auto", description="To the body.")
    tabs: Count = Field(default=1, description="How many tabs.")
    fit: Literal["fine", "medium", "coarse"] = Field(default="medium", description="The holes.")
    mirror: bool = Field(default=False, description="The other side too.")
    holes: tuple[PointName, ...] = Field(
        default=(), description="Further points.", examples=[["A1"]]
    )
    slots: list[Slot] = Field(min_length=1, description="Slots of the flange.")

    stop: Slot | None = Field(default=None, description="A slot at the end.")

    @model_validator(mode="after")
    def _slots_lie_in_the_flange(self) -> Self:
        wide = [i for i, slot in enumerate(self.slots) if slot.width > self.width]
        if wide:
            raise FieldProblems(
                *(FieldProblem(("slots", i, "width"), "sticks out", "narrow it") for i in wide)
            )
        return self


@pytest.fixture(autouse=True)
def _one_kind(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kinds, "KINDS", {"bracket": f"{__name__}:Bracket"})


GOOD = """\
[job]
name = "wren"
[stock.plate]
material = "S235"
thickness = 5
[points.A1]
at = [0, "22 13/16 in", "300 ± 1"]
[points.A2]
tape = { A1 = 159.5 }
[parts.B]
kind = "bracket"
stock = "plate"
width = 60
depth = "60 mm"
lean = 2.9
bolt = "M10"
strength = 8.8
point = "A1"
slots = [{ width = 11, length = 20 }]
"""


def read(folder: Path, text: str, encoding: str = "utf-8") -> JobFile:
    path = folder / "job.toml"
    path.write_bytes(text.encode(encoding))
    return read_job(path)


def refusals(folder: Path, text: str) -> list[str]:
    """Each problem's text, without the folder."""
    with pytest.raises(JobError) as caught:
        read(folder, text)
    return [str(problem).replace(f"{folder}/", "") for problem in caught.value.problems]


def refusal(folder: Path, old: str, new: str) -> str:
    """The one problem of the good job with `old` replaced by `new`, its first line only."""
    assert GOOD.count(old) == 1
    (only,) = refusals(folder, GOOD.replace(old, new))
    return only.splitlines()[0]


# Places

FORMS = [
    'a = 1\nb="x" # = 3\n c.d . "e f" = [1, 2,3 ]\n',
    "[a.b]\nc = {x = 1, y.z = 'q', w = {}}\nd = []\n[a.'b c']\ne = true\n[\"ü.x\"]\nf = -1.5e3",
    "[[p]]\nx = 1\n[p.q]\ny = 2\n[[p.r]]\nz = 1\n[[p.r]]\nz = 2\n[[p]]\nx = 3\n[[p.r]]\nz = 4\n",
    "a = [ # one\n  [1, 2], # ] not here\n  [\"x]\", '},'],\n  { k = [ { l = 1 } ] },\n]\nb = 2\n",
    'a = """one\n"two" \\""" three"""\nb = \'\'\'\nfour = \'5\' \'\'\'\nc = """"quoted""""\n'
    "d = \"\"\ne = ''\nf = 6\n",
    "d = 2026-05-04\nt = 2026-05-04 07:32:00Z # end\nu = 07:32:00\nv = [1979-05-27 00:32:00, 1]\n",
    "a = 1\r\n[b]\r\nc = [\r\n 1,\r\n]\r\nd = 0x1F\r\n",
    "[a]\n[a.b.c]\nx = 1\n[a.d]\ny.z = 2\ny.w = 3\n",
    'a = "\\" # \\\\"\nb = \'\\\'\nc = "ok"\n[ d . e ]\nf = inf\n[[ g ]]\nh = +1\n',
]


def leaves(data: object, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Paths of all values that are no tables."""
    if isinstance(data, dict):
        return [p for key, value in data.items() for p in leaves(value, (*path, key))]
    tables = isinstance(data, list) and data and all(isinstance(item, dict) for item in data)
    inner = (
        [p for i, value in enumerate(data) for p in leaves(value, (*path, i))]
        if (isinstance(data, list))
        else []
    )
    return inner if tables else [path, *inner]


def at(data: Any, path: tuple[str | int, ...]) -> object:
    for part in path:
        data = data[part]
    return data


@pytest.mark.parametrize("text", FORMS)
def test_the_text_at_a_values_place_is_that_value(text: str) -> None:
    data, places = tomllib.loads(text), toml_places(text)
    paths = leaves(data)
    assert len(paths) >= 3
    for path in paths:
        span = places.values[path]
        assert tomllib.loads(f"x = {text[span.start : span.end]}")["x"] == at(data, path), path


@pytest.mark.parametrize("text", FORMS)
def test_the_text_at_a_keys_place_is_that_key(text: str) -> None:
    places = toml_places(text)
    for path in leaves(tomllib.loads(text)):
        if isinstance(path[-1], str):
            span = places.keys[path]
            assert tomllib.loads(f"{text[span.start : span.end]} = 1") == {path[-1]: 1}, path


def test_a_table_has_the_place_of_its_header() -> None:
    text = "[a.b]\nx = 1\n[[c]]\n[[c]]\ny = 2\n"
    places = toml_places(text)
    assert places.values["a", "b"] == (0, 5)
    assert places.values["c", 1] == (18, 23)
    assert places.keys["c", 1] == (20, 21)


# Good jobs


def test_a_good_job_is_read_with_its_units_and_tools(tmp_path: Path) -> None:
    job = read(tmp_path, GOOD)
    assert job.head.name == "wren"
    assert job.head.allowance_rule == "DIN 6935"
    x, y, z = job.points["A1"].at or ()
    assert x == Measured(0, 1.0, "tape")
    assert y.value == pytest.approx(22.8125 * 25.4)
    assert z == Measured(300, 1, "tape")
    # a tape's usual ± is 1 mm, a level's 0.3 degrees: common practice
    assert job.points["A2"].tape == {"A1": Measured(159.5, 1.0, "tape")}
    part = job.parts["B"]
    assert isinstance(part, Bracket)
    assert part.lean == Measured(2.9, 0.3, "level")
    assert part.strength == "8.8"


def test_the_shops_own_plus_minus_goes_before_the_usual_one(tmp_path: Path) -> None:
    text = GOOD.replace('name = "wren"', 'name = "wren"\ntools = { tape = 0.7, rule = 0.4 }')
    assert read(tmp_path, text).points["A2"].tape["A1"] == Measured(159.5, 0.7, "tape")
    text = text.replace("[points.A2]", '[points.A2]\ntool = "rule"')
    assert read(tmp_path, text).points["A2"].tape["A1"] == Measured(159.5, 0.4, "rule")


def test_a_tools_plus_minus_may_carry_its_unit(tmp_path: Path) -> None:
    text = GOOD.replace(
        'name = "wren"', 'name = "wren"\ntools = { tape = "1/16 in", level = "0°12\'" }'
    )
    job = read(tmp_path, text)
    assert job.points["A2"].tape["A1"] == Measured(159.5, 1.5875, "tape")
    part = job.parts["B"]
    assert isinstance(part, Bracket)
    assert part.lean == Measured(2.9, 0.2, "level")


@pytest.mark.parametrize(
    ("written", "name"),
    [("M12x1.75", "M12"), ("m 10", "M10"), ("1/2 in UNC", "1/2-13 UNC"), ("1/2-20", "1/2-20 UNF"),
     ('3/8" UNC', "3/8-16 UNC")],
)  # fmt: skip
def test_a_bolt_goes_by_every_spelling_of_the_trade(
    tmp_path: Path, written: str, name: str
) -> None:
    # ISO 261: 1.75 is the coarse pitch of M12; ASME B1.1: 1/2 has 13 threads UNC, 20 UNF
    text = GOOD.replace('"M10"', toml_value(written))
    part = read(tmp_path, text).parts["B"]
    assert isinstance(part, Bracket)
    assert part.bolt == name


def test_very_long_names_and_lines_are_shortened(tmp_path: Path) -> None:
    (only,) = refusals(tmp_path, GOOD.replace('"wren"', f'"{"x" * 300}"'))
    first, shown, carets = only.splitlines()
    assert first.startswith("job.toml:2:8: job.name: 'xxxx")
    assert "cannot name a folder on every machine" in first
    assert len(first) < 220
    assert len(shown) < 110
    assert carets.index("^") == shown.index('"')
    late = GOOD.replace("[{ width = 11,", f"[{' ' * 300}{{ width = -11,")
    (only,) = refusals(tmp_path, late)
    _, shown, carets = only.splitlines()
    assert shown[carets.index("^") : carets.rindex("^") + 1] == "-11"


def test_brackets_without_end_are_one_problem(tmp_path: Path) -> None:
    for text in ("a = " + "[" * 5000 + "]" * 5000, "a = " + "{b=" * 5000 + "1" + "}" * 5000):
        (only,) = refusals(tmp_path, text)
        assert only == (
            "job.toml: has brackets inside brackets without end; close each list after its items"
        )


def test_the_points_that_a_config_uses_are_found_wherever_they_stand(tmp_path: Path) -> None:
    part = read(tmp_path, GOOD.replace("lean = 2.9", 'lean = 2.9\nholes = ["A2", "A1"]')).parts["B"]
    assert sorted(names_used(part, "point")) == ["A1", "A1", "A2"]
    axle = AxleConfig.model_validate(
        {
            "tyre": {"size": "275/45R18"}, "rim": {"width": "9.5 in", "offset": 20},
            "left_face": -780, "right_face": 780, "z": 331, "bump": 95, "droop": 85,
            "links": {"lower left": ["LC", "LA"]}, "arms": {"ladder bar": "LP"},
            "kingpins": {"left": ["K1", "K2"], "right": ["K3", "K4"]},
        }
    )  # fmt: skip
    found = set(names_used(axle, "point"))
    assert found == {"LC", "LA", "LP", "K1", "K2", "K3", "K4"}


def test_ten_thousand_points_are_read_in_seconds(tmp_path: Path) -> None:
    rows = [f"[points.Z{i}]\nat = [{i}, 0, 0]\ntape = {{ A1 = 5 }}" for i in range(10_000)]
    start = time.monotonic()
    job = read(tmp_path, GOOD + "\n".join(rows))
    assert len(job.points) == 10_002
    assert time.monotonic() - start < 10


def test_a_gauge_counts_by_the_stocks_material(tmp_path: Path) -> None:
    # Machinery's Handbook 31st ed. p. 1453: 16 gauge is 0.0598 in in steel, 0.0508 in aluminium
    steel = read(tmp_path, GOOD.replace("thickness = 5", 'thickness = "16ga"'))
    assert steel.stock["plate"].as_stock("plate").thickness == pytest.approx(1.51892)
    text = GOOD.replace("thickness = 5", 'thickness = "16ga"').replace("S235", "6061-T6")
    assert read(tmp_path, text).stock["plate"].thickness == pytest.approx(1.29032)


def test_a_material_goes_by_its_other_names_too(tmp_path: Path) -> None:
    assert read(tmp_path, GOOD.replace("S235", "s235jr")).stock["plate"].material == "S235"


def test_a_bend_book_answers_with_what_was_measured(tmp_path: Path) -> None:
    text = GOOD + (
        '[[bend_book]]\nmaterial = "S235"\nthickness = 2\ninside_radius = 3\n'
        "test_strip = { cut = 100, leg_a = 52, leg_b = 52 }\n"
    )
    job = read(tmp_path, text)
    # ((100 - 104 + 2 x 5) / (pi / 2) - 3) / 2, by hand
    assert job.book().rows[0].tested_k().k == pytest.approx(0.40986, abs=1e-5)


def test_a_point_may_lie_on_planes(tmp_path: Path) -> None:
    job = read(tmp_path, GOOD.replace("[parts.B]", 'on = ["y = 580 ± 0.5", "z=-1 in"]\n[parts.B]'))
    first, second = job.points["A2"].on
    assert (first.axis, first.at) == ("y", Measured(580, 0.5))
    assert (second.axis, second.at) == ("z", Measured(-25.4, None))


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm(tmp_path: Path) -> None:
    text = GOOD.replace("\n", "\r\n")
    assert read(tmp_path, text, "utf-8-sig").head.name == "wren"
    (only,) = refusals(tmp_path, text.replace("width = 60", "width = -60"))
    assert only.splitlines() == [
        "job.toml:13:9: parts.B.width: must be more than 0 mm; it is -60 mm",
        "  width = -60",
        "          ^^^",
    ]


def test_a_later_stage_can_point_at_a_reading(tmp_path: Path) -> None:
    job = read(tmp_path, GOOD)
    problem = job.problem(("points", "A2", "tape", "A1"), "looks misread", "tape it again")
    assert str(problem).replace(f"{tmp_path}/", "").splitlines() == [
        "job.toml:9:15: points.A2.tape.A1: looks misread; tape it again",
        "  tape = { A1 = 159.5 }",
        "                ^^^^^",
    ]


def test_a_kind_is_built_from_code_without_a_job() -> None:
    part = Bracket(
        stock="any", width=60, depth=60, lean=Measured(3, 0.1, "level"), bolt="M10",
        strength="8.8", point="any", slots=[Slot(width=11, length=20)],
    )  # fmt: skip
    assert part.lean.plus_minus == 0.1


# Refusals


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("width = 60\n", "width = 0\n", "13:9: parts.B.width: must be more than 0 mm; it is 0 mm"),
        ("width = 60\n", 'width = "7 ft"\n', "13:9: parts.B.width: must be less than 2000 mm; "
         "it is 2133.6 mm"),
        ("width = 60\n", "", "10:8: parts.B.width: is missing; add width = 60 (Across the flange)"),
        ("depth =", "dept =", "14:1: parts.B.dept: is no key of this section, and depth is "
         "missing; did you mean 'depth'?"),
        ("lean = 2.9", "lean = 2.9\nnots = 1", "16:1: parts.B.nots: is no key of this section; "
         "did you mean 'note'?"),
        ("M10", "M11", "16:8: parts.B.bolt: there is no bolt 'M11'; the "
         "nearest are M10 and M12"),
        ("strength = 8.8", "strength = 8.7", "17:12: parts.B.strength: there is no property class "
         "'8.7'; known: 4.6, 8.8, 10.9, 12.9"),
        ('stock = "plate"', 'stock = "plat"', "12:9: parts.B.stock: there is no stock 'plat'; "
         "did you mean 'plate'?"),
        ('point = "A1"', 'point = "B1"', "18:9: parts.B.point: there is no point 'B1'; "
         "known: A1, A2"),
        ('"bracket"', '"brackt"', "11:8: parts.B.kind: there is no kind of part 'brackt'; "
         "did you mean 'bracket'?"),
        ('kind = "bracket"\n', "", "10:8: parts.B.kind: is missing; say what the part is: "
         'kind = "...", one of bracket'),
        ("width = 11", "width = 70", "19:20: parts.B.slots #1 width: sticks out; narrow it"),
        ("[{ width = 11, length = 20 }]", "[]", "19:9: parts.B.slots: has 0 items; it needs at "
         "least 1"),
        ("lean = 2.9", "lean = 2.9\ntabs = 1.5", "16:8: parts.B.tabs: must be a whole number; "
         "write it such as 2, without quotes"),
        ("lean = 2.9", "lean = 2.9\ntabs = true", "16:8: parts.B.tabs: must be a whole number; "
         "write it such as 2, without quotes"),
        ("lean = 2.9", 'lean = 2.9\ngap = "aut"', "16:7: parts.B.gap: cannot read 'aut' as a "
         "length at 'aut', or 'aut' is not known here; "),
        ("[stock.plate]", "[stock]\nplat = 3\n[stock.plate]", "4:8: stock.plat: must be a "
         "section; write [stock.plat] with keys under it"),
        ("S235", "mild stel", "4:12: stock.plate.material: there is no material 'mild stel'; "
         "did you mean 'mild steel'?"),
        ("thickness = 5", 'thickness = "90ga"', "5:13: stock.plate.thickness: steel has no 90 "
         "gauge in gauges.csv; it has "),
        ('"wren"', '"../wren"', "2:8: job.name: '../wren' cannot name a folder on every machine; "),
        ('"wren"', '"con"', "2:8: job.name: 'con' cannot name a folder on every machine; "),
        ('"wren"', '"wren\\n"', "2:8: job.name: 'wren\\n' cannot name a folder on every machine; "),
        ('"wren"', '"wren"\ndate = "soon"', "3:8: job.date: must be a date; write it such as "
         "2026-05-04, without quotes"),
        ('"wren"', '"wren"\nallowance_rule = "DIN 6936"', "3:18: job.allowance_rule: "
         "'DIN 6936' is not known here; write one of DIN 6935, FAA, Machinery's Handbook"),
        ('"wren"', '"wren"\ntools = { tap = 1 }', "3:11: job.tools.tap: there is no measuring "
         "tool 'tap'; did you mean 'tape'?"),
        ('[job]\nname = "wren"\n', "", "1:1: job: is missing; begin the file with [job] and a "
         "name for the job"),
        ("[parts.B]", "[part.C]\n[parts.B]", "10:2: part: is no section of a job file; "
         "did you mean 'parts'?"),
        ("{ A1 = 159.5 }", "{ A1 = 159.5, A3 = 2 }", "9:22: points.A2.tape.A3: there is no point "
         "'A3'; known: A1, A2"),
        ("{ A1 = 159.5 }", "{ A1 = 159.5, A2 = 2 }", "9:22: points.A2.tape.A2: is the point "
         "itself; name another point"),
        ("[points.A2]", "tape = { A2 = 159 }\n[points.A2]", "10:10: points.A2.tape.A1: is given "
         "at A1 already; write each distance once"),
        ("{ A1 = 159.5 }", "{ A1 = 0 }", "9:15: points.A2.tape.A1: a distance of 0 makes two "
         "points one; write the distance"),
        ("{ A1 = 159.5 }", '{ A1 = 1 }\ntool = "caliper"\ndrop = ["B7"]', "11:9: points.A2.drop "
         "#1: "),
        ("{ A1 = 159.5 }", '{ A1 = 1 }\non = ["y = 1", "w = 2"]', "10:16: points.A2.on #2: cannot "
         "read 'w = 2' as a plane; "),
        ("{ A1 = 159.5 }", '{ A1 = 1 }\nmirror_of = "A1"', "9:8: points.A2.tape: is given beside "
         "mirror_of; leave it out, or leave out mirror_of"),
        ("tape = { A1 = 159.5 }", 'mirror_of = "A2"', "9:13: points.A2.mirror_of: is the point "
         "itself; name the point on the other side"),
        ("{ A1 = 159.5 }", '{ A1 = 500 }\ntool = "caliper"', "9:15: points.A2.tape.A1: a caliper "
         "does not reach 500 mm; "),
        ("{ A1 = 159.5 }", "{ A1 = -5 }", "9:15: points.A2.tape.A1: a distance of -5 mm is less "
         "than nothing; write the distance without a sign"),
        ("[stock.plate]", '[stock."a\\nb"]\nthickness = 3\nmaterial = "S235"\n[stock.plate]',
         "3:8: stock.'a\\nb': is no name; "),
        ('"wren"', '"wren"\nvehicle = "a\\nb"', "3:11: job.vehicle: has more than one line; "),
        ('"M10"', '"1/2-14 UNC"', "16:8: parts.B.bolt: there is no bolt '1/2-14 UNC'; did you "
         "mean 1/2-13 UNC or 1/2-20 UNF?"),
        ("S235", "S253", "4:12: stock.plate.material: there is no material 'S253'; did you mean "
         "'S235'?"),
        ("S235", "unobtainium", "4:12: stock.plate.material: there is no material 'unobtainium'; "
         "known: mild steel, S235, S275, S355, A36, DC01, 1008, DX51D, 304, "),
        ("lean = 2.9", 'lean = "6 mm"', "15:8: parts.B.lean: 'mm' is no unit of angle; "),
        ("width = 60\n", 'width = "60 deg"\n', "13:9: parts.B.width: cannot read '60 deg' as a "
         "length: 'deg' is no unit of length; "),
        ("lean = 2.9", 'lean = 2.9\nfit = "close"', "16:7: parts.B.fit: 'close' is not known here; "
         "write one of fine, medium, coarse"),
        ("lean = 2.9", 'lean = 2.9\nfit = "coarce"', "16:7: parts.B.fit: 'coarce' is not known "
         "here; did you mean 'coarse'?"),
        ("lean = 2.9", 'lean = 2.9\nmirror = "yes"', "16:10: parts.B.mirror: must be true or "
         "false; write true or false, without quotes"),
        ("lean = 2.9", "lean = 2.9\nmirror = 1", "16:10: parts.B.mirror: must be true or false; "),
        ("lean = 2.9", 'lean = 2.9\nmirror = "perhaps"', "16:10: parts.B.mirror: must be true or "
         "false; "),
        ("[{ width = 11, length = 20 }]", "{ width = 11, length = 20 }", "19:9: parts.B.slots: is "
         "one section, not a list of them; write [[parts.B.slots]], in double brackets, for each"),
        ("lean = 2.9", "lean = 2.9\nstop = [{ width = 1, length = 2 }]", "16:8: parts.B.stop: must "
         "be a section; write [parts.B.stop], in single brackets"),
        ("lean = 2.9", 'lean = 2.9\nholes = "A1, A2"', "16:9: parts.B.holes: must be a list; "
         'write ["A1", "A2"]'),
        ("lean = 2.9", "lean = 2.9\nholes = 3", "16:9: parts.B.holes: must be a list; write it "
         'such as ["A1"]'),
        ("[points.A2]\ntape = { A1 = 159.5 }", "[points]\nA2 = [1, 2, 3]", "9:6: points.A2: must "
         "be a section; write A2 = { at = [1, 2, 3] }"),
        ("[stock.plate]", "[[stock.plate]]", "3:1: stock.plate: must be a section; write "
         "[stock.plate], in single brackets"),
        ('"wren"', '"wren"\ndate = "2026-13-04"', "3:8: job.date: there is no such date; write "
         "year-month-day, such as 2026-05-04"),
        ('"wren"', '"wren"\ntools = { level = "1 mm" }', "3:19: job.tools.level: 'mm' is no unit "
         "of angle; "),
        ('"wren"', '"wren"\ntools = { tape = 0 }', "3:18: job.tools.tape: must be more than 0"),
        ("[0, ", "[", "7:6: points.A1.at: has too few values; write all of them: "
         "Measured coordinates [x, y, z] "),
    ],
)  # fmt: skip
def test_a_mistake_is_named_at_its_place(tmp_path: Path, old: str, new: str, sentence: str) -> None:
    said = refusal(tmp_path, old, new)
    assert said.startswith(f"job.toml:{sentence}")
    assert "pydantic" not in said.lower()
    assert "Input should" not in said


def test_all_mistakes_of_all_sections_come_at_once_in_their_order(tmp_path: Path) -> None:
    text = (
        GOOD.replace('"wren"', "3")
        .replace("S235", "S999")
        .replace("{ A1 = 159.5 }", '{ A1 = "x" }')
        .replace("width = 60", "width = true")
        .replace("[{ width = 11, length = 20 }]", "[{ width = 0, length = -1 }, 7]")
        + "[[bend_book]]\nmaterial = 'S235'\nthickness = 2\ninside_radius = 2\n[parts.b]\n"
    )
    said = [problem.splitlines()[0].split(": ")[:3] for problem in refusals(tmp_path, text)]
    assert said == [
        ["job.toml:2:8", "job.name", "must be a text; write it in quotes"],
        ["job.toml:4:12", "stock.plate.material",
         "there is no material 'S999'; known"],
        ["job.toml:9:15", "points.A2.tape.A1", "cannot read 'x' as a length at 'x'; write it such "
         "as 12, \"12 mm\", \"26.5in\", '1 3/8\"' or \"2 ft 6 in\""],
        ["job.toml:13:9", "parts.B.width", "true is no length; write a number or a text, such as "
         "12, \"12 mm\", \"26.5in\", '1 3/8\"' or \"2 ft 6 in\""],
        ["job.toml:19:20", "parts.B.slots #1 width", "must be more than 0 mm; it is 0 mm"],
        ["job.toml:19:32", "parts.B.slots #1 length", "must be more than 0 mm; it is -1 mm"],
        ["job.toml:19:38", "parts.B.slots #2", "must be a section; write it with keys of its own"],
        ["job.toml:20:1", "bend_book #1", "does not say how the sheet bends; give one of k, "
         "allowance_90 and test_strip"],
        ["job.toml:24:8", "parts.b", "differs from 'B' only in capitals; their folders would be "
         "one"],
        ["job.toml:24:8", "parts.b.kind", "is missing; say what the part is"],
    ]  # fmt: skip


def test_a_bend_book_row_with_two_answers_is_refused_at_the_second(tmp_path: Path) -> None:
    row = '[[bend_book]]\nmaterial = "S235"\nthickness = 2\ninside_radius = 2\nk = 0.4\n'
    (only,) = refusals(tmp_path, GOOD + row + "allowance_90 = 3\n")
    assert only.startswith("job.toml:25:16: bend_book #1 allowance_90: is given beside k; ")


def test_a_misread_test_strip_is_refused_with_the_k_it_would_give(tmp_path: Path) -> None:
    # ((100 - 112 + 8) / (pi / 2) - 2) / 2 = -2.27, by hand
    text = GOOD + (
        '[[bend_book]]\nmaterial = "S235"\nthickness = 2\ninside_radius = 2\n'
        "test_strip = { cut = 100, leg_a = 60, leg_b = 52 }\n"
    )
    (only,) = refusals(tmp_path, text)
    assert "gives k -2.27; a neutral fibre inside the sheet lies between 0 and 1" in only


def test_carets_stand_under_wide_letters_and_tabs(tmp_path: Path) -> None:
    text = GOOD.replace(
        "slots = [{ width = 11, length = 20 }]",
        'slots = [{ width = 11, length = 20 }]\n\tnote = "鉄板"\n\t"ｗidth" = "鉄"\t# é',
    )
    (only,) = refusals(tmp_path, text)
    # the key stands after a tab (4 columns); its quotes, wide w and four letters take 2 + 2 + 4;
    # the value ends at column 19, so the next tab is worth one
    assert only.splitlines()[1:] == [
        '      "ｗidth" = "鉄" # é',
        "      ^^^^^^^^",
    ]


@pytest.mark.parametrize(
    ("line", "sentence", "carets"),
    [
        ("width = 26.5in", '1:9: a value with a unit needs quotes; write "26.5in"', 6),
        ('width = 1/2"', "1:9: a value with a unit needs quotes; write '1/2\"'", 4),
        ('width = 1 3/8"  # by rule', "1:9: a value with a unit needs quotes; write '1 3/8\"'", 6),
        ("width = 2' 6 in", '1:9: a value with a unit needs quotes; write "2\' 6 in"', 7),
        ("thickness = 16ga", '1:13: a value with a unit needs quotes; write "16ga"', 4),
        ("lean = 6°30'", '1:8: a value with a unit needs quotes; write "6°30\'"', 5),
        ("pitch = 412 ± 1", '1:9: a value with a unit needs quotes; write "412 ± 1"', 7),
        (
            "tape = { A1 = 26.5in, A2 = 3 }",
            '1:15: a value with a unit needs quotes; write "26.5in"',
            6,
        ),
        ('width = "1 3/8""', "1:9: an inch sign ends a text in double quotes; write '1 3/8\"'", 8),
        ("width = “5 mm”", '1:9: these quotes are for letters; write "5 mm"', 6),
        ("material = S235", '1:12: a text needs quotes; write "S235"', 4),
        ("width: 26", "1:6: there is no = after the key; write key = value", 1),
        ("width = ", "1:8: this is no value; write a number, a quoted text, true or false", 1),
        ('width = "5 mm', "1:14: the text is not closed; end it with the quote it began with", 1),
        ("at = [1, 2", "1:11: the list is not closed; write ] after its last item", 1),
        ("[job", "1:5: the section's bracket is not closed; write [section] or [[section]]", 1),
        ("width = .5", "1:9: a number needs a digit before its point; write 0.5", 2),
        ("x = -5.", "1:5: a number needs a digit after its point; write -5.0", 3),
        ("width = 1,5", "1:9: a number has a point, not a comma; write 1.5", 3),
        ("{width = 3}", "1:1: no key begins here; write key = value or [section]", 1),
        ("at = {x = 3, y = 5mm}", '1:18: a value with a unit needs quotes; write "5mm"', 3),
        ("end = True", "1:7: this is no value; write true", 4),
        ("at = [947 ± 1, 580]", '1:7: a value with a unit needs quotes; write "947 ± 1"', 7),
        ("at = [1, 26.5in]", '1:10: a value with a unit needs quotes; write "26.5in"', 6),
        ("p = { at = [1, 2 mm] }", '1:16: a value with a unit needs quotes; write "2 mm"', 4),
        ("width = 3/16", '1:9: a fraction needs its unit, and quotes; write "3/16 in"', 4),
        (
            "date = 2026-13-04",
            "1:8: there is no such date; write year-month-day, such as 2026-05-04",
            10,
        ),
        (
            "date = 2026-02-30",
            "1:8: there is no such date; write year-month-day, such as 2026-05-04",
            10,
        ),
        (
            "date = 2026-5-4",
            "1:8: a date has two digits for month and day; write 2026-05-04",
            8,
        ),
        (
            "date = 4.5.2026",
            "1:8: a date is written year-month-day; write it such as 2026-05-04",
            8,
        ),
        ("number = 012", "1:10: a number does not begin with 0; write 12", 3),
    ],
)
def test_a_slip_of_the_pen_is_answered_with_the_right_spelling(
    tmp_path: Path, line: str, sentence: str, carets: int
) -> None:
    (only,) = refusals(tmp_path, line)
    first, shown, under = only.splitlines()
    assert first == f"job.toml:{sentence}"
    assert shown == f"  {line}"
    assert under.count("^") == carets


@given(
    st.integers(0, len(GOOD)),
    st.integers(0, 12),
    st.text(max_size=3)
    | st.sampled_from(
        ["{", "}", "[", "]", '"', "'", "=", "\n[", "\n[[", ".", "#", "0", "-", "true", "[]", "{}"]
    ),
)
@settings(max_examples=300, deadline=None)
def test_whatever_is_mistyped_is_answered_in_lines_not_in_a_traceback(
    start: int, length: int, typed: str
) -> None:
    text = (GOOD[:start] + typed + GOOD[start + length :]).encode("utf-8", "replace")
    with TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr(kinds, "KINDS", {"bracket": f"{__name__}:Bracket"})
        path = Path(folder) / "job.toml"
        path.write_bytes(text)
        problems: tuple[Problem, ...] | None = None
        try:
            read_job(path)
        except JobError as error:
            problems = error.problems
    assert problems is None or problems
    for problem in problems or ():
        assert 1 <= problem.line <= text.count(b"\n") + 1
        assert len(str(problem).splitlines()) == 3
        assert problem.message
        assert problem.remedy
        assert "Input should" not in problem.message


def test_a_key_given_twice_is_shown_at_the_second(tmp_path: Path) -> None:
    (only,) = refusals(tmp_path, '[job]\nname = "a"\nname = "b"\n')
    assert only.splitlines() == [
        "job.toml:3:1: the key is given twice; keep one of the two",
        '  name = "b"',
        "  ^^^^",
    ]


def test_a_file_that_cannot_be_read_says_why(tmp_path: Path) -> None:
    for path, said in (
        (tmp_path / "none.toml", "there is no such file; check the name and the folder"),
        (tmp_path, "is a folder; name the job file in it"),
    ):
        with pytest.raises(JobError) as caught:
            read_job(path)
        assert str(caught.value) == f"{path}: {said}"
    with pytest.raises(JobError, match="is not UTF-8 text at line 2; save it as UTF-8"):
        read(tmp_path, '[job]\nname = "ü"\n', "latin-1")


def test_an_empty_file_lacks_its_first_section(tmp_path: Path) -> None:
    (only,) = refusals(tmp_path, "")
    assert only.startswith("job.toml:1:1: job: is missing; ")


def test_digits_alone_are_never_guessed() -> None:
    assert did_you_mean("M11", ["M10", "M12"]) == "known: M10, M12"
    assert did_you_mean("Mild_Stel", ["mild steel", "S235"]) == "did you mean 'mild steel'?"
    assert did_you_mean("x", []) == "none is defined"


def test_neighbours_that_changed_places_in_a_number_are_guessed() -> None:
    assert did_you_mean("S253", ["S235", "S275"]) == "did you mean 'S235'?"
    assert did_you_mean("6016-T6", ["6061-T6", "5052-H32"]) == "did you mean '6061-T6'?"
    assert did_you_mean("M21", ["M12", "M20"]) == "known: M12, M20"


# Schema


def schema_accepts(data: object) -> bool:
    return jsonschema.Draft202012Validator(job_schema()).is_valid(data)


def test_the_schema_is_one_and_always_the_same() -> None:
    schema = job_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    assert json.dumps(schema) == json.dumps(job_schema())


def test_the_schema_accepts_what_the_reader_accepts() -> None:
    assert schema_accepts(tomllib.loads(GOOD))
    assert schema_accepts(tomllib.loads(starter("bracket")))


@pytest.mark.parametrize(
    "text", ["26.5in", '1 3/8"', "1-3/8 in", "1½ in", "⅜″", "2 ft 6 in", "12mm", "60 thou",
             "1,5 mm", ".5in", " 7 mm"],
)  # fmt: skip
def test_the_schema_accepts_every_form_of_a_length(text: str) -> None:
    assert schema_accepts(tomllib.loads(GOOD.replace("width = 60", f"width = {toml_value(text)}")))


def test_the_schema_tells_what_is_wrong_inside_a_part() -> None:
    validator = jsonschema.Draft202012Validator(job_schema())
    for old, new, said in (
        ("width = 60", "width = -1", "-1 is less than or equal to the minimum of 0"),
        ("width = 60", "wide = 60", "('wide' was unexpected)"),
        ("width = 11", 'width = "wide"', "'wide' does not match "),
        ('"bracket"', '"brackt"', "'brackt' is not one of ['bracket']"),
    ):
        errors = [e.message for e in validator.iter_errors(tomllib.loads(GOOD.replace(old, new)))]
        assert any(said in message for message in errors), errors
        assert not any("under any of the given schemas" in message for message in errors)


def test_the_schema_has_no_null_for_toml_has_none() -> None:
    assert '"null"' not in json.dumps(job_schema())


def test_the_schema_knows_axles() -> None:
    axle = 'tyre = { size = "275/45R18" }\nrim = { width = "9.5 in", offset = 20 }\n'
    axle += "left_face = -780\nright_face = 780\nz = 331\nbump = 95\ndroop = 85\n"
    assert schema_accepts(tomllib.loads(f"{GOOD}[axle.rear]\n{axle}"))
    assert not schema_accepts(tomllib.loads(f"{GOOD}[axle.rear]\n{axle}bmp = 2\n"))


@pytest.mark.parametrize("text", ["M12x1.75", "1/2 in UNC", '1/2"-13', "M12"])
def test_the_schema_accepts_the_spellings_of_a_bolt(text: str) -> None:
    assert schema_accepts(tomllib.loads(GOOD.replace('"M10"', toml_value(text))))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("width = 60", 'width = "wide"'), ("width = 60", "width = -1"), ("width = 60", "w = 60"),
        ("M10", "M11"), ('kind = "bracket"\n', ""), ('"bracket"', '"brackt"'),
        ("[parts.B]", "[part.B]"), ("S235", "S999"), ("{ A1 = 159.5 }", "{ A1 = -1 }"),
    ],
)  # fmt: skip
def test_the_schema_refuses_what_the_reader_refuses(old: str, new: str) -> None:
    assert old in GOOD
    assert not schema_accepts(tomllib.loads(GOOD.replace(old, new)))


def test_every_field_says_what_to_measure_or_choose() -> None:
    schema = job_schema()
    models = {name: d for name, d in schema["$defs"].items() if "properties" in d}
    assert {"JobHead", "StockConfig", "BendBookRow", "ShopConfig", "PointConfig"} <= set(models)
    for name, model in models.items():
        for key, field in model["properties"].items():
            if (name, key) != ("Bracket", "kind"):
                assert len(field.get("description", "")) >= 9, f"{name}.{key}"


# Starter


def test_the_starter_job_is_accepted_as_it_stands(tmp_path: Path) -> None:
    job = read(tmp_path, starter("bracket"))
    part = job.parts["bracket"]
    assert isinstance(part, Bracket)
    assert part.depth == 60.325
    assert part.slots[0].length == 28.575
    assert job.points["A2"].side == "above"


def test_the_starter_job_explains_every_key_in_lines_that_fit(tmp_path: Path) -> None:
    lines = starter("bracket").splitlines()
    assert "# Across the flange. By tape." in lines
    assert '#gap = "auto"' in lines
    assert max(map(len, lines)) <= 100


def test_optional_keys_of_the_starter_job_may_be_used_as_they_stand(tmp_path: Path) -> None:
    text = starter("bracket")
    # one of three answers of a bend book row, and what only some points have, stay left out
    strip = text[text.index("# A strip cut, bent once") : text.index("#[shop]")]
    others = ("#allowance_90", "#mirror_of", "#drop", "#tape", "#on", "#side")
    used = re.sub(
        r"^#(?=[^ ])",
        lambda found: "#" if found.string[found.start() :].startswith(others) else "",
        text.replace(strip, ""),
        flags=re.MULTILINE,
    )
    job = read(tmp_path, used)
    assert job.shop.press_force_kn == 600
    assert job.bend_book[0].k == 0.41
    assert job.head.date is not None


def test_keys_that_a_kind_wants_in_its_starter_job_are_in_use(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Bracket, "starter_keys", {"gap": "1/2 in", "stop": {"width": 3}})
    part = read(tmp_path, starter("bracket")).parts["bracket"]
    assert isinstance(part, Bracket)
    assert part.gap == 12.7
    assert part.stop == Slot(width=3, length=28.575)


def test_a_kind_without_an_example_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kinds, "KINDS", {"bare": f"{__name__}:Bare"})
    with pytest.raises(ValueError, match=r"Bare\.size has no example"):
        starter("bare")


class Bare(KindConfig):
    """A kind whose author forgot the example."""

    kind: Literal["bare"] = "bare"
    size: PositiveLength = Field(description="Size.")


def test_reading_a_job_wakes_no_kernel() -> None:
    code = (
        "import sys, parts.job, parts.job.schema, parts.job.starter;"
        "print([m for m in ('OCP', 'cadquery', 'ezdxf', 'scipy', 'numpy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_misspelt_common_keys_are_told_along_with_an_unknown_kind(tmp_path: Path) -> None:
    text = GOOD.replace('kind = "bracket"', 'kind = "braket"').replace(
        'stock = "plate"', 'stok = "plate"\nquantity = 0'
    )
    said = [problem.splitlines()[0] for problem in refusals(tmp_path, text)]
    assert said == [
        "job.toml:11:8: parts.B.kind: there is no kind of part 'braket'; did you mean 'bracket'?",
        "job.toml:12:1: parts.B.stok: is no key of this section, and stock is missing; "
        "did you mean 'stock'?",
        "job.toml:13:12: parts.B.quantity: must be more than 0; it is 0",
    ]


def test_a_name_cut_short_is_answered_with_the_only_one_that_goes_on_from_it(
    tmp_path: Path,
) -> None:
    assert refusal(tmp_path, '"S235"', '"S23"').endswith("did you mean 'S235'?")


class Pair(Config):
    """A section that needs two of a thing."""

    holes: list[str] = Field(min_length=2, description="Two holes.", examples=[["A1", "A2"]])


def test_one_item_is_counted_as_one(tmp_path: Path) -> None:
    keys = {"holes": ["A1"]}
    with pytest.raises(ValidationError) as caught:
        Pair.model_validate(keys)
    (problem,) = problems_of(caught.value, Pair, ("pair",), keys, Source("job.toml", "", Places()))
    assert (problem.message, problem.remedy) == ("has 1 item", "it needs at least 2")


def test_limits_of_the_brake_reach_the_checks(tmp_path: Path) -> None:
    keys = 'most_turn = "150 deg"\npunch_room = 1.2\npunch_thickness = "16 mm"\n'
    shop = read(tmp_path, f"[shop]\n{keys}{GOOD}").shop.as_shop()
    assert (shop.most_turn_deg, shop.punch_room, shop.punch_thickness) == (150, 1.2, 16)
