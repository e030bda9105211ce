"""The door: whatever stands in a job file, the answer is a sentence, soon, and nothing else.

What tests/fuzz/door.py found is held here, each case by itself; and a little of its work is done
in every run.
"""

import os
import random
import re
import sys
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from parts.job import JobError, read_job
from parts.job.bench import bench_of
from parts.job.toml_places import toml_places
from parts.stage import staged

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests" / "fuzz"))

from door import good_jobs  # noqa: E402
from mutate import OTHERS, TEXTS, Mutator, points_job, starters  # noqa: E402
from oracle import answer, complaints  # noqa: E402

HEAD = '[job]\nname = "j"\n'


def first_refusal(folder: Path, text: str | bytes) -> str:
    """The first line said of a job file that cannot be used, without the folder."""
    file = folder / "job.toml"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(JobError) as caught:
        bench_of(read_job(file))
    return str(caught.value).splitlines()[0].replace(f"{folder}/", "")


# What was found, in the file


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            HEAD + f"x = {'9' * 5000}",
            "job.toml:3:5: nothing on a vehicle comes to so much; "
            "write it in the field's unit: lengths in mm",
        ),
        (
            HEAD + "[points.A]\nat = [0, 1e308, 0]",
            "job.toml:4:10: points.A.at #2: nothing on a vehicle comes to so much; "
            "write it in the field's unit: lengths in mm",
        ),
        (
            HEAD + '[points.A]\nat = [0, "2000 m", 0]',
            "job.toml:4:10: points.A.at #2: '2000 m' is more than a kilometre; "
            "look at its unit and its point",
        ),
        (
            HEAD + f"[points.A]\ndrop = [{'0, ' * 501}]",
            "job.toml:4:8: points.A.drop: has 501 items; write at most 500: the ones that matter",
        ),
        (
            HEAD + "[" + ".".join(["points"] * 20_000) + "]",
            "job.toml:3:2: a key has more than 50 names with points between; "
            "begin a new section, and put texts in quotes",
        ),
        (
            HEAD + "[points.A]\nat = [{ x = 1 }, 0, 0]",
            "job.toml:4:7: points.A.at #1: a section with keys is no length; write a number or a "
            "text, such as 412, \"412 ± 1\" or '16 1/4 in ± 1/16 in'",
        ),
        (
            HEAD + "[points.A]\nat = [2026-05-04, 0, 0]",
            "job.toml:4:7: points.A.at #1: a date or a time of day is no length; write a number "
            "or a text, such as 412, \"412 ± 1\" or '16 1/4 in ± 1/16 in'",
        ),
        (
            HEAD + "[points.A]\nside = 2026-05-04",
            "job.toml:4:8: points.A.side: 2026-05-04 is not known here; "
            "write one of front, rear, left, right, above, below",
        ),
        (
            HEAD + "[points.A]\non = { y = 1 }",
            "job.toml:4:6: points.A.on: cannot read { y = 1 } as a plane; "
            'write it such as "y = 580" or "y = 580 ± 0.5"',
        ),
        (
            HEAD + '[points."e\u0301"]\nat = [0, 0, 0]\n[points."\u00e9"]\nat = [1, 0, 0]',
            "job.toml:5:9: points.\u00e9: looks the same as another name; name one otherwise",
        ),
    ],
)
def test_what_was_found_is_answered_at_its_place(tmp_path: Path, text: str, said: str) -> None:
    assert first_refusal(tmp_path, text) == said


def test_a_message_keeps_its_remedy_however_many_quotes_are_in_it(tmp_path: Path) -> None:
    said = first_refusal(tmp_path, HEAD + '[shop]\nfolder_length = "999ga"')
    assert said.endswith("or the gauge as a stock's thickness beside its material")
    assert "'999ga' is a gauge, and a gauge differs from metal to metal; write" in said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (HEAD + "#" * 1_000_000, "job.toml: is too large; a job file has at most 1000 kB: check"),
        ("\ufeff" + HEAD + "x = 1", "job.toml:3:1: job.x: is no key of this section; known"),
        (
            HEAD.replace('"j"', '"é"').encode("latin-1"),
            "job.toml: is not UTF-8 text at line 2; save",
        ),
        ("", "job.toml:1:1: job: is missing; begin the file with [job]"),
        (HEAD + "x = " + "[" * 10_000, "job.toml: has brackets inside brackets without end; clo"),
        (HEAD + 'vehicle = "\\ud800"', "job.toml:3:18: is not TOML: escaped character is not"),
        ('[job]\nname = "a\\u0000"', "job.toml:2:8: job.name: 'a\\x00' cannot name a folder"),
        (HEAD + "name = 'k'", "job.toml:3:1: the key is given twice; keep one of the two"),
    ],
)
def test_files_that_are_no_job_files_are_told_so(
    tmp_path: Path, text: str | bytes, said: str
) -> None:
    assert first_refusal(tmp_path, text).startswith(said)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes with names here")
def test_a_pipe_or_a_device_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    for file in (pipe, Path("/dev/zero")):
        with pytest.raises(JobError, match="is a device or a pipe; save the job in a file"):
            read_job(file)


def test_deep_keys_have_the_place_of_what_holds_them() -> None:
    text = ".".join("abcdefghij" * 4) + " = 1\n[k]\nx = 2\n"
    places = toml_places(text)
    assert max(map(len, places.keys)) == 24
    assert text[slice(*places.values["k", "x"])] == "2"


# What was found, in number


def points(count: int, keys: str) -> str:
    return "".join(f"[points.p{i}]\n{keys.format(i=i, before=i - 1)}\n" for i in range(count))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (points(301, "at = [{i}, 0, 0]"), "there are 301 points to solve"),
        ("[points.p]\nat = [0, 9, 0]\n" + "".join(
            f'[points.m{i}]\nmirror_of = "p"\n' for i in range(300)
        ), "there are 301 points to solve"),
        ("[points.a]\nat = [0, 0, 0]\n[points.p0]\nat = [9, 9, 9]\n"
         + points(53, "tape = {{ p{before} = 9 }}").split("\n", 2)[2],
         "there are 53 points to solve by distances"),
        ("".join(
            f"[points.p{i}]\ntape = {{ {', '.join(f'p{j} = 9' for j in range(i))} }}\n"
            for i in range(33)
        ), "there are 528 distances to solve"),
    ],
)  # fmt: skip
def test_more_than_can_be_solved_is_refused_before_it_is_tried(
    tmp_path: Path, text: str, said: str
) -> None:
    start = time.monotonic()
    refused = first_refusal(tmp_path, HEAD + text)
    assert said in refused
    assert "at most" in refused
    assert time.monotonic() - start < 5


def test_the_worst_points_that_are_solved_take_seconds(tmp_path: Path) -> None:
    """50 points in a chain of distances, none of them fixed: each is told, with what it lacks."""
    text = HEAD + points(50, "tape = {{ p{before} = 9 }}").replace("tape = { p-1 = 9 }", "")
    start = time.monotonic()
    assert "is not fixed" in first_refusal(tmp_path, text)
    assert time.monotonic() - start < 10


@pytest.mark.parametrize("seed", [1, 13, 61, 350, 684])
def test_few_points_however_they_were_measured_are_answered_in_seconds(
    tmp_path: Path, seed: int
) -> None:
    """Exact readings beside free points, two points in one place, many misreads at once."""
    text = points_job(random.Random(seed))
    file = tmp_path / "job.toml"
    file.write_text(text, encoding="utf-8")
    start = time.process_time()
    found = answer("check", str(file))
    assert time.process_time() - start < 10
    assert list(complaints(found, text)) == [], found.fault + found.err


def test_a_distance_to_a_mirror_image_is_refused_at_its_key(tmp_path: Path) -> None:
    text = '[points.A]\nat = [0, 9, 0]\n[points.B]\nmirror_of = "A"\n[points.C]\ntape = { B = 9 }'
    assert first_refusal(tmp_path, HEAD + text) == (
        "job.toml:8:10: points.C.tape.B: leads to B, the mirror image of a point; "
        "measure to one that is no image"
    )


@pytest.mark.parametrize("plus_minus", ["", " ± 0", " ± 99999"])
def test_points_in_one_place_with_a_distance_between_come_to_an_end(
    tmp_path: Path, plus_minus: str
) -> None:
    at = f'at = ["0{plus_minus}", "0{plus_minus}", "0{plus_minus}"]'
    file = tmp_path / "job.toml"
    file.write_text(f"{HEAD}[points.A]\n{at}\n[points.B]\n{at}\ntape = {{ A = 1 }}\n")
    start = time.monotonic()
    found = answer("check", str(file))
    assert time.monotonic() - start < 5
    assert found.status == 2
    for sentence in found.err.splitlines():
        asked = re.findall(r"the [xyz] of [AB]", sentence)
        assert len(asked) == len(set(asked)), sentence


def test_of_many_mistakes_the_first_forty_are_told_and_the_others_counted(tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    file.write_text(HEAD + points(20_000, "xx = 1"))
    start = time.monotonic()
    with pytest.raises(JobError) as caught:
        read_job(file)
    assert time.monotonic() - start < 5
    *told, last = str(caught.value).split("\n\n")
    assert len(told) == 40
    assert last == f"and {len(caught.value.problems) - 40} more; correct these first"


def test_misspelt_names_among_thousands_are_told_in_time(tmp_path: Path) -> None:
    start = time.monotonic()
    text = HEAD + points(8000, "at = [0, 0, 0]\ntape = {{ point{i} = 9 }}")
    assert "there is no point 'point0'" in first_refusal(tmp_path, text)
    assert time.monotonic() - start < 5


def test_more_parts_or_axles_than_anyone_makes_are_refused_at_once(tmp_path: Path) -> None:
    many = "".join(f"[axle.a{i}]\n" for i in range(21))
    said = "job.toml:3:2: axle: there are 21 [axle.NAME]; a job has at most 20: make two jobs of it"
    assert said in first_refusal(tmp_path, HEAD + many)


# Names of files


@pytest.mark.parametrize(
    "name",
    [
        "../x", "/x", "C:x", "a/b", "a\\b", ".", "..", "", " ", "a ", "a.", ".a", "aux.txt", "CON",
        "nul", "Com1", "LPT9", "x" * 61, "é", "\u202ea", "a\u200bb", "😀", "a\tb", "-a", "a\n", "٣",
    ],
)  # fmt: skip
def test_a_name_that_some_machine_cannot_make_a_folder_of_is_refused(
    tmp_path: Path, name: str
) -> None:
    quoted = "".join(f"\\U{ord(character):08x}" for character in name)
    for text in (f'[job]\nname = "{quoted}"\n', f'{HEAD}[parts."{quoted}"]\nkind = "link_tab"\n'):
        file = tmp_path / "job.toml"
        file.write_text(text)
        with pytest.raises(JobError) as caught:
            read_job(file)
        assert any("cannot name a folder on every" in p.message for p in caught.value.problems)


def test_parts_whose_folders_would_be_one_are_refused(tmp_path: Path) -> None:
    text = f'{HEAD}[parts.a]\nkind = "link_tab"\n[parts.A]\nkind = "link_tab"\n'
    file = tmp_path / "job.toml"
    file.write_text(text)
    with pytest.raises(JobError, match="'a' only in capitals; their folders would be one"):
        read_job(file)


@pytest.mark.parametrize("stands", ["file", "link"])
def test_what_stands_in_a_parts_place_and_is_no_folder_stays(tmp_path: Path, stands: str) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "mine").write_text("mine")
    place = tmp_path / "out" / "part"
    place.parent.mkdir()
    if stands == "file":
        place.write_text("mine")
    else:
        place.symlink_to(elsewhere)
    with pytest.raises(FileExistsError, match=f"a {stands} is in its place"), staged(place) as new:
        (new / "part.step").write_text("ours")
    assert [file.name for file in place.parent.iterdir()] == ["part"]
    assert [file.name for file in elsewhere.iterdir()] == ["mine"]
    assert place.read_text() == "mine" if stands == "file" else place.is_symlink()


# What was found, further in


def test_struts_that_no_force_makes_hold_are_told_without_a_number(tmp_path: Path) -> None:
    text = starters()["hinge_bracket"].replace("on_body = [260, -260]", "on_body = [-1398, -260]")
    file = tmp_path / "job.toml"
    file.write_text(text, encoding="utf-8")
    found = answer("check", str(file))
    assert found.status == 1
    assert "no force there holds it" in found.out
    assert list(complaints(found, text)) == []


# A little of the fuzzing


@pytest.fixture(scope="module")
def mutator() -> Mutator:
    quick = [job for job in good_jobs() if "hinge_bracket" not in job and "wheel_tub" not in job]
    return Mutator(quick)


def test_whatever_is_changed_in_a_good_job_the_answer_is_words(
    tmp_path: Path, mutator: Mutator
) -> None:
    file = tmp_path / "job.toml"
    statuses = set()
    for seed in range(40):
        text = mutator(mutator.pool[seed % len(mutator.pool)], seed)
        file.write_text(text, encoding="utf-8", errors="replace")
        found = answer("check", str(file), *(["--json"] if seed % 2 else []))
        assert list(complaints(found, text)) == [], f"seed {seed}\n{found.fault}{found.err}"
        statuses.add(found.status)
    assert {0, 2} <= statuses


KEYS = st.sampled_from(["at", "tape", "on", "side", "drop", "mirror_of", "tool", "x", "A"])
VALUES = st.sampled_from((*TEXTS, *OTHERS, "1e308", "nan", "-0.0", '"A"', '"B"', '["B"]'))


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.dictionaries(st.sampled_from("ABC"), st.dictionaries(KEYS, VALUES), min_size=1))
def test_points_of_any_shape_are_answered_in_words(
    tmp_path: Path, named: dict[str, dict[str, str]]
) -> None:
    text = HEAD + "".join(
        f"[points.{name}]\n" + "".join(f"{key} = {value}\n" for key, value in keys.items())
        for name, keys in named.items()
    )
    file = tmp_path / "job.toml"
    file.write_text(text, encoding="utf-8")
    found = answer("check", str(file))
    assert found.status == 2
    assert list(complaints(found, text)) == [], found.fault + found.err


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.one_of(st.binary(max_size=60), st.text(max_size=60).map(str.encode)))
def test_any_bytes_are_answered_in_words(tmp_path: Path, data: bytes) -> None:
    file = tmp_path / "job.toml"
    file.write_bytes(data)
    found = answer("check", str(file))
    assert found.status == 2
    assert list(complaints(found, data.decode("utf-8", "replace"))) == [], found.fault + found.err
