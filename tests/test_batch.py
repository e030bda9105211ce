"""Many parts at once, and only those that changed: what is there is left, in any order of work."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from parts import batch, building, outcome
from parts.content import digest
from parts.make import Job, load
from parts.matching import mismatches
from parts.outcome import Done
from parts.part import Part

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "configs" / "tin_wren.toml"
ONLY = ("dxf", "figures")


def job_text(count: int, bar_mass: dict[int, float] | None = None) -> str:
    """The demo's right mount, `count` times under different names; some with another bar."""
    head, _, part = DEMO.read_text(encoding="utf-8").partition("[parts.rear_mount]")
    part = part[: part.index("[parts.rear_mount.left]")].replace('hand = "pair"', 'hand = "right"')
    texts = []
    for i in range(count):
        text = ("[parts.rear_mount]" + part).replace("rear_mount", f"mount_{i}")
        if bar_mass and i in bar_mass:
            lines = text.splitlines()
            lines = [f"bar_mass = {bar_mass[i]}" if "bar_mass" in line else line for line in lines]
            text = "\n".join(lines) + "\n"
        texts.append(text)
    return head + "".join(texts)


@pytest.fixture
def job(tmp_path: Path) -> Job:
    return job_of(tmp_path, job_text(3))


def job_of(folder: Path, text: str) -> Job:
    path = folder / "job.toml"
    path.write_text(text, encoding="utf-8")
    return load(path)


def tree(folder: Path) -> dict[str, bytes]:
    return {
        p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()
    }


def build(job: Job, out: Path, workers: int = 1, only: tuple[str, ...] = ONLY) -> list[Done]:
    return list(batch.build_all(job, job.names, out, only, workers))


def times(folder: Path) -> dict[str, int]:
    return {p.relative_to(folder).as_posix(): p.stat().st_mtime_ns for p in folder.rglob("*.dxf")}


def test_two_processes_leave_the_same_bytes_as_one_in_the_same_order(
    job: Job, tmp_path: Path
) -> None:
    one, two = build(job, tmp_path / "one", 1), build(job, tmp_path / "two", 2)
    assert [done.name for done in one] == [done.name for done in two] == list(job.names)
    assert {done.status for done in (*one, *two)} == {"built"}
    assert tree(tmp_path / "one") == tree(tmp_path / "two")
    assert not list(tmp_path.rglob(".*.new-*"))


def test_what_has_not_changed_is_not_built_again(job: Job, tmp_path: Path) -> None:
    build(job, tmp_path / "out")
    before = times(tmp_path / "out")
    again = build(job, tmp_path / "out")
    assert all(done.built and done.built.unchanged for done in again)
    assert times(tmp_path / "out") == before


def test_only_the_part_that_changed_is_built(job: Job, tmp_path: Path) -> None:
    out = tmp_path / "out"
    build(job, out)
    before = times(out)
    changed = job_of(tmp_path, job_text(3, {1: 9.5}))
    done = build(changed, out)
    assert [one.built is not None and one.built.unchanged for one in done] == [True, False, True]
    renewed = {name for name, when in times(out).items() if before[name] != when}
    assert renewed and all("/mount_1/" in name for name in renewed)


def test_a_comment_in_the_job_file_changes_nothing(job: Job, tmp_path: Path) -> None:
    build(job, tmp_path / "out")
    commented = job_of(tmp_path, "# measured twice\n" + job_text(3))
    assert all(one.built and one.built.unchanged for one in build(commented, tmp_path / "out"))


def test_a_file_that_was_touched_is_made_again(job: Job, tmp_path: Path) -> None:
    out = tmp_path / "out"
    build(job, out)
    whole = tree(out)
    file = next(out.rglob("*.dxf"))
    file.write_bytes(file.read_bytes() + b"\n")
    done = build(job, out)
    assert [one.built is not None and one.built.unchanged for one in done] == [False, True, True]
    assert tree(out) == whole


def test_other_writers_are_not_thought_to_have_run(job: Job, tmp_path: Path) -> None:
    build(job, tmp_path / "out", only=("figures",))
    done = build(job, tmp_path / "out", only=("dxf",))
    assert not any(one.built and one.built.unchanged for one in done)
    both = build(job, tmp_path / "out", only=("figures", "dxf"))
    assert all(one.built and one.built.unchanged for one in both)


def test_a_code_change_makes_all_of_it_again(
    job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build(job, tmp_path / "out")
    versions = {**building.made_by(), "code": "other"}
    monkeypatch.setattr(building, "made_by", lambda: versions)
    assert not any(one.built and one.built.unchanged for one in build(job, tmp_path / "out"))


def test_the_users_own_files_stay(job: Job, tmp_path: Path) -> None:
    out = tmp_path / "out"
    build(job, out)
    folder = out / job.file.head.name / "mount_0"
    (folder / "photo.txt").write_text("mine")
    (folder / "quotes").mkdir()
    (folder / "quotes" / "offer.txt").write_text("42")
    first = build(job_of(tmp_path, job_text(3, {0: 9.0})), out)[0]
    assert first.built is not None and not first.built.unchanged
    assert [path.name for path in first.built.own] == ["photo.txt", "quotes"]
    assert (folder / "photo.txt").read_text() == "mine"
    assert (folder / "quotes" / "offer.txt").read_text() == "42"


@pytest.mark.parametrize("workers", [1, 2])
def test_a_part_that_fails_stops_no_other(
    job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, workers: int
) -> None:
    lay_out = Job.part

    def broken(self: Job, name: str) -> Part:
        if name == "mount_1":
            raise ZeroDivisionError("a fault of ours")
        return lay_out(self, name)

    monkeypatch.setattr(Job, "part", broken)
    monkeypatch.delenv(outcome.DEBUG, raising=False)
    done = build(job, tmp_path / "out", workers)
    assert [one.status for one in done] == ["built", "fault", "built"]
    assert "a fault of ours" in done[1].problems[0]


def test_a_folder_that_cannot_be_written_is_told_for_each_part(job: Job, tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file where the folder should be")
    done = build(job, tmp_path / "out")
    assert [one.status for one in done] == ["unwritten"] * 3
    assert all("cannot be written" in one.problems[0] for one in done)


def test_the_papers_of_the_whole_job_wait_for_all_parts(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(job_text(2), encoding="utf-8")

    def run(*words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "parts", *words, "job.toml"],
            cwd=tmp_path, capture_output=True, text=True,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )  # fmt: skip

    one = run("build", "--part", "mount_0", "--only", "dxf,all_cut")
    assert one.returncode == 0, one.stderr
    assert "wait until all of its parts are built" in one.stdout
    assert not (tmp_path / "output" / "tin_wren" / "all_parts").exists()
    both = run("build", "--only", "dxf,all_cut")
    assert both.returncode == 0, both.stderr
    rows = (tmp_path / "output" / "tin_wren" / "all_parts" / "tin_wren-cut_list.csv").read_text()
    assert [line.split(",")[0] for line in rows.splitlines()[1:]] == ["mount_0", "mount_1"]
    assert run("match").returncode == 0


# whether a folder still matches


def reasons(job: Job, out: Path, name: str = "mount_0") -> tuple[str, ...]:
    return mismatches(job.part(name), out)


def test_a_folder_matches_until_something_changes(job: Job, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert "holds no build" in reasons(job, out)[0]
    build(job, out)
    assert reasons(job, out) == ()
    other = job_of(tmp_path, job_text(3, {0: 9.0}))
    assert "the job file has changed since" in reasons(other, out)[0]
    assert reasons(other, out, "mount_1") == ()


def test_files_that_are_gone_or_changed_are_named(job: Job, tmp_path: Path) -> None:
    out = tmp_path / "out"
    build(job, out)
    cut, marked = sorted((out / job.file.head.name / "mount_0").glob("*.dxf"))
    cut.unlink()
    marked.write_text("0")
    assert sorted(reasons(job, out)) == sorted(
        [f"{cut.name} is gone", f"{marked.name} was changed since it was proved"]
    )


def test_other_versions_are_named(job: Job, tmp_path: Path) -> None:
    out = tmp_path / "out"
    build(job, out)
    paper = out / job.file.head.name / "mount_0" / "proof.json"
    record = json.loads(paper.read_text())
    record["made_by"]["ezdxf"] = "0.0.1"
    paper.write_text(json.dumps(record))
    assert "ezdxf 0.0.1, now " in reasons(job, out)[0]


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"files": [{"name": "../x"}]}', "[" * 99999])
def test_a_record_that_cannot_be_read_counts_as_none(
    job: Job, tmp_path: Path, text: str
) -> None:
    out = tmp_path / "out"
    folder = out / job.file.head.name / "mount_0"
    folder.mkdir(parents=True)
    (folder / "proof.json").write_text(text)
    assert "holds no build" in reasons(job, out)[0]
    assert build(job, out)[0].status == "built"


# the digest


def variants(part: Part) -> Iterator[Part]:
    from dataclasses import replace

    piece = part.pieces[0]
    yield replace(part, note="another")
    yield replace(part, cautions=(*part.cautions, "one more"))
    yield replace(part, paper=replace(part.paper, bars=(99.5, 100.0)))
    yield replace(part, pieces=(replace(piece, faces="something else"), *part.pieces[1:]))
    yield replace(part, pieces=(replace(piece, quantity=2), *part.pieces[1:]))


def test_anything_that_a_writer_may_read_changes_the_digest(job: Job) -> None:
    part = job.part("mount_0")
    digests = [digest(part), *(digest(other) for other in variants(part))]
    assert len(set(digests)) == len(digests)
    assert digest(load(job.file.path).part("mount_0")) == digests[0]


def test_the_digest_does_not_hang_on_the_hash_seed(job: Job) -> None:
    code = (
        "from parts import load; from parts.content import digest; "
        f"print(digest(load({str(job.file.path)!r}).part('mount_0')))"
    )
    found = {
        subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone},
        ).stdout
        for seed, zone in (("1", "UTC"), ("2", "Pacific/Auckland"))
    }  # fmt: skip
    assert len(found) == 1


def test_a_function_is_no_content() -> None:
    with pytest.raises(TypeError, match="is not data"):
        digest((1.0, print))
