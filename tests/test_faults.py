"""Builds that are interrupted, raced, or refused room: whole old or whole new, and told plainly."""

import errno
import os
import pty
import subprocess
import sys
import threading
import time
from dataclasses import replace
from pathlib import Path

import pytest
from test_batch import DEMO, ROOT, build, job_of, job_text, tree

from parts import batch, outcome, stage
from parts.matching import mismatches
from parts.outcome import Done
from parts.part import Part
from parts.stage import alone, staged

BUILD = (sys.executable, "-m", "parts", "build")
posix = pytest.mark.skipif(os.name != "posix", reason="signals and locks of POSIX")


def put(folder: Path, **files: str) -> None:
    with staged(folder) as new:
        for name, text in files.items():
            (new / name).write_text(text)


def texts(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text() for path in folder.iterdir()}


# leftovers and other runs


@posix
def test_a_leftover_named_after_a_process_of_somebody_else_is_removed(tmp_path: Path) -> None:
    left = tmp_path / f".part.new-{os.getppid()}"  # that process runs, and never built anything
    left.mkdir()
    (left / "half").write_text("half")
    put(tmp_path / "part", a="a")
    assert [path.name for path in tmp_path.iterdir()] == ["part"]


@posix
def test_what_another_run_is_writing_is_left_to_it(tmp_path: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from parts.stage import staged\n"
        "with staged(Path(sys.argv[1])) as new:\n"
        "    (new / 'a').write_text('theirs'); print('in', flush=True); input()\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code, str(tmp_path / "part")],
        cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as run:  # fmt: skip
        assert run.stdout is not None
        run.stdout.readline()
        put(tmp_path / "part", a="ours")
        assert texts(tmp_path / "part") == {"a": "ours"}
        run.communicate("\n")
    assert run.returncode == 0
    assert texts(tmp_path / "part") == {"a": "theirs"}
    assert [path.name for path in tmp_path.iterdir()] == ["part"]


@pytest.mark.parametrize("can_exchange", [True, False])
def test_a_folder_that_appears_at_the_last_moment_is_replaced_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, can_exchange: bool
) -> None:
    if not can_exchange:
        monkeypatch.setattr(stage, "_exchanged", lambda a, b: False)
    folder = tmp_path / "part"
    exists = Path.exists
    asked = []

    def too_late(path: Path) -> bool:
        if path == folder:
            asked.append(path)
            if len(asked) == 1:  # not there yet, and now it is
                folder.mkdir()
                (folder / "b").write_text("theirs")
                return False
        return exists(path)

    with staged(folder) as new:
        (new / "a").write_text("ours")
        monkeypatch.setattr(Path, "exists", too_late)
    assert len(asked) > 1, "the other run was never seen"
    assert texts(folder) == {"a": "ours"}
    assert [path.name for path in tmp_path.iterdir()] == ["part"]


def test_files_that_another_version_of_the_job_built_meanwhile_are_not_the_users_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job, out = job_of(tmp_path, job_text(1)), tmp_path / "out"
    part = job.part("mount_0")
    from parts import building, proof

    prove = proof.prove

    def other_first(what: Part, folder: Path, files: list[Path]) -> object:
        theirs = out / part.job / part.name
        theirs.mkdir()
        (theirs / "other-6mm.dxf").write_text("of the other version")
        row = '{"name": "other-6mm.dxf", "sha256": "0"}'
        (theirs / "proof.json").write_text(f'{{"files": [{row}]}}')
        return prove(what, folder, files)

    monkeypatch.setattr(proof, "prove", other_first)
    built = building.build(part, out, ("dxf",))
    assert built.own == ()
    assert not (out / part.job / part.name / "other-6mm.dxf").exists()


@posix
def test_one_run_waits_for_another_but_not_for_ever(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stage, "PATIENCE_S", 0.2)
    order = []

    def second() -> None:
        with alone(tmp_path):
            order.append("second")

    with alone(tmp_path):
        run = threading.Thread(target=second)
        run.start()
        time.sleep(0.05)
        order.append("first")
        run.join(2)
        assert order == ["first", "second"]


# no room, no right, no clock


def test_a_full_disk_is_told_and_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    build(job_of(tmp_path, job_text(1)), out)
    before = tree(out)

    def full(number: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)  # where a disk that fills up late says so
    done = build(job_of(tmp_path, job_text(1, {0: 9.0})), out)
    assert done[0].status == "unwritten"
    assert "No space left" in done[0].problems[0]
    assert tree(out) == before


@posix
def test_a_file_that_grows_too_large_leaves_the_earlier_build(tmp_path: Path) -> None:
    import resource

    job = tmp_path / "job.toml"
    out = tmp_path / "out"
    build(job_of(tmp_path, job_text(1)), out)
    before = tree(out)
    job.write_text(job_text(1, {0: 9.0}), encoding="utf-8")
    run = subprocess.run(
        [*BUILD, str(job), "--out", str(out), "--only", "dxf,figures"],
        cwd=ROOT, capture_output=True, text=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000)),
    )  # fmt: skip
    assert run.returncode == 2
    assert "cannot be written" in run.stderr and "Traceback" not in run.stderr
    assert tree(out) == before


def test_times_of_files_mean_nothing(tmp_path: Path) -> None:
    job, out = job_of(tmp_path, job_text(1)), tmp_path / "out"
    build(job, out)
    before = tree(out)
    for path in out.rglob("*"):
        os.utime(path, (0, 0) if path.suffix == ".dxf" else (4e9, 4e9))
    again = build(job, out)[0]
    assert again.built is not None and again.built.unchanged
    changed = build(job_of(tmp_path, job_text(1, {0: 9.0})), out)[0]
    assert changed.built is not None and not changed.built.unchanged
    build(job_of(tmp_path, job_text(1)), out)
    assert tree(out) == before


def test_match_tells_that_the_papers_of_the_whole_job_are_behind(tmp_path: Path) -> None:
    job, out = job_of(tmp_path, job_text(2)), tmp_path / "out"
    parts = [job.part(name) for name in job.names]
    home = out / parts[0].job
    build(job, out)
    assert "holds no build" in mismatches(job.whole(parts, home), out)[0]
    assert outcome.built_whole(job.whole(parts, home), out, ("all_cut",), print).status == "built"
    assert mismatches(job.whole(parts, home), out) == ()
    other = job_of(tmp_path, job_text(2, {1: 9.5}))
    build(other, out)  # and killed before the papers
    parts = [other.part(name) for name in other.names]
    assert "changed since" in mismatches(other.whole(parts, home), out)[0]


def test_the_papers_of_the_whole_job_follow_the_files_of_its_parts(tmp_path: Path) -> None:
    job, out = job_of(tmp_path, job_text(1)), tmp_path / "out"
    part = job.part("mount_0")
    whole = job.whole([part], out / part.job)
    build(job, out, only=("figures",))
    outcome.built_whole(whole, out, ("overview",), print)
    build(job, out, only=("dxf",))  # the overview tells where these lie
    assert "files of its parts, have changed" in mismatches(whole, out)[0]
    behind = outcome.built_whole(whole, out, ("overview",), print)
    assert behind.built is not None and not behind.built.unchanged
    again = outcome.built_whole(whole, out, ("overview",), print)
    assert again.built is not None and again.built.unchanged
    assert mismatches(whole, out) == ()


# processes that die


def die_on_one(part: Part, out: Path, only: tuple[str, ...]) -> Done:
    """In place of a build in a process: the second part takes its process down, each time."""
    if part.name == "mount_1":
        os._exit(9)
    return replace(outcome.built(part, out, only, lambda stage: None), part=None)


def test_a_process_that_dies_costs_its_own_part_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(batch, "_built", die_on_one)
    done = build(job_of(tmp_path, job_text(3)), tmp_path / "out", 2)
    assert [one.name for one in done] == ["mount_0", "mount_1", "mount_2"]
    assert [one.status for one in done] == ["built", "fault", "built"]
    assert "was ended from outside" in done[1].problems[0]
    assert not list((tmp_path / "out").rglob(".*"))


@posix
@pytest.mark.parametrize("moment", [0.9, 2.5])
def test_ctrl_c_ends_all_processes_within_two_seconds(tmp_path: Path, moment: float) -> None:
    job = tmp_path / "job.toml"
    job.write_text(job_text(4), encoding="utf-8")
    pid, terminal = pty.fork()
    if pid == 0:
        os.chdir(ROOT)
        os.execv(BUILD[0], [*BUILD, str(job), "--out", str(tmp_path / "out"), "--workers", "2"])
    time.sleep(moment)
    os.write(terminal, b"\x03")  # to the whole group, as a terminal does
    start = time.monotonic()
    said = b""
    while True:
        try:
            if not (some := os.read(terminal, 4096)):
                break
        except OSError:
            break
        said += some
    _, status = os.waitpid(pid, 0)
    assert time.monotonic() - start < 2
    assert os.waitstatus_to_exitcode(status) == 130 or moment < 1
    assert b"Traceback" not in said or moment < 1  # Python itself had not begun
    assert b" ..." not in said.rpartition(b"\x1b[K")[2], "what went on is not wiped"
    os.close(terminal)
    assert gone_within(2, pid)


def gone_within(patience_s: float, group: int) -> bool:
    """Whether a group of processes ends in that time."""
    until = time.monotonic() + patience_s
    while time.monotonic() < until:
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.02)
    return False


# the same bytes


def test_surroundings_do_not_change_a_byte(tmp_path: Path) -> None:
    trees = []
    for i, (seed, zone, words) in enumerate((("1", "UTC", "C"), ("2", "Asia/Tokyo", "C.utf8"))):
        at = tmp_path / str(i)
        at.mkdir()
        subprocess.run(
            [*BUILD, str(DEMO), "--part", "rear_mount", "--out", f"to {i}",
             "--only", "dxf,script,cut_list,figures"],
            cwd=at, check=True, capture_output=True, umask=0o022 if i else 0o077,
            env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed, "TZ": zone,
                 "LC_ALL": words},
        )  # fmt: skip
        trees.append(tree(at / f"to {i}"))
    assert len(trees[0]) > 5
    assert trees[0] == trees[1]
