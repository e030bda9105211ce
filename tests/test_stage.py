"""A folder appears whole or not at all, whatever happens meanwhile."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from parts import stage
from parts.stage import staged

WRITER = """
import sys, time
from pathlib import Path
from parts.stage import staged
folder, word = Path(sys.argv[1]), sys.argv[2]
print("ready", flush=True)
while True:
    with staged(folder) as new:
        for i in range(20):
            (new / f"{i}.txt").write_text(word)
            time.sleep(0.0003)
"""


def words(folder: Path) -> set[str]:
    return {path.read_text() for path in folder.iterdir()}


def test_a_new_folder_appears_with_all_its_files(tmp_path: Path) -> None:
    with staged(tmp_path / "out" / "part") as new:
        (new / "a.txt").write_text("a")
        assert not (tmp_path / "out" / "part").exists()
    assert words(tmp_path / "out" / "part") == {"a"}
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["part"]


@pytest.mark.parametrize("can_exchange", [True, False])
def test_a_second_build_replaces_the_first_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, can_exchange: bool
) -> None:
    if not can_exchange:
        monkeypatch.setattr(stage, "_exchanged", lambda a, b: False)
    folder = tmp_path / "part"
    for files in (("a", "b"), ("c",)):
        with staged(folder) as new:
            for name in files:
                (new / name).write_text(name)
    assert words(folder) == {"c"}
    assert [p.name for p in tmp_path.iterdir()] == ["part"]


def test_an_error_inside_leaves_what_was_there(tmp_path: Path) -> None:
    folder = tmp_path / "part"
    with staged(folder) as new:
        (new / "a").write_text("old")

    def fail() -> None:
        with staged(folder) as new:
            (new / "a").write_text("new")
            raise OSError(28, "No space left on device")

    with pytest.raises(OSError, match="No space"):
        fail()
    assert words(folder) == {"old"}
    assert [p.name for p in tmp_path.iterdir()] == ["part"]


def test_a_folder_put_aside_by_a_killed_run_is_put_back(tmp_path: Path) -> None:
    (tmp_path / ".part.old-999999999").mkdir()
    (tmp_path / ".part.old-999999999" / "a").write_text("old")
    (tmp_path / ".part.new-999999999").mkdir()
    folder = tmp_path / "part"

    def fail() -> None:
        with staged(folder):
            raise ValueError("the writer gave up")

    with pytest.raises(ValueError, match="gave up"):
        fail()
    assert words(folder) == {"old"}
    assert [p.name for p in tmp_path.iterdir()] == ["part"]


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs a kill that cannot be caught")
def test_killed_at_any_moment_the_folder_is_whole(tmp_path: Path) -> None:
    folder = tmp_path / "part"
    dice = random.Random(7)
    for round_number in range(12):
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, str(folder), f"word {round_number}"],
            stdout=subprocess.PIPE,
            cwd=Path(__file__).parents[1],
        ) as run:
            assert run.stdout is not None
            run.stdout.readline()
            time.sleep(dice.uniform(0.02, 0.08))
            os.kill(run.pid, signal.SIGKILL)
        assert len(list(folder.iterdir())) == 20
        assert len(words(folder)) == 1, "a mixture of two builds"
    with staged(folder) as new:
        (new / "last").write_text("last")
    assert [p.name for p in tmp_path.iterdir()] == ["part"], "leftovers of killed runs stay"
