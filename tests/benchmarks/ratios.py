"""Whole processes held against each other, in one run: python tests/benchmarks/ratios.py

Medians of several; growth is taken over jobs of ten to a thousand brackets.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from measuring import DEMO, Row, process, warm  # noqa: E402

from parts import load  # noqa: E402

BUILD = [sys.executable, "-m", "parts", "build"]
ONLY = ["--only", "step,dxf"]
MANY = 200  # parts for two workers
FAIR = 1.2  # growth may be this much off the line


def rows() -> Iterator[Row]:
    """Start-up, one bracket against its script, growth, workers, memory."""
    with tempfile.TemporaryDirectory() as folder:
        yield from start_up(Path(folder))
        yield from growth(Path(folder))
        yield from workers(Path(folder))
        yield from memory(Path(folder))


def start_up(folder: Path) -> Iterator[Row]:
    one, out = job_file(folder, 1), folder / "one"
    process([*BUILD, one, "--out", out], runs=1)
    script = next((out / "bench" / "mount_0").glob("*.py")).rename(folder / "alone.py")
    empty = process([sys.executable, "-c", "import numpy, pydantic"])
    check = process([sys.executable, "-m", "parts", "check", one])
    alone = process([sys.executable, script])
    files = fresh([*BUILD, one, *ONLY, "--out"], out)
    yield Row("check of one bracket", check.wall, "an empty process with numpy, pydantic",
              empty.wall, target=2)  # fmt: skip
    yield Row("build --only step,dxf of one, proved", files, "its standalone CadQuery script",
              alone.wall, target=0.8)  # fmt: skip


def growth(folder: Path) -> Iterator[Row]:
    """Parts, warm and in whole processes; a job of which one part has changed."""
    few, many = (load(job_file(folder, count)) for count in (10, 1000))
    ten, thousand = warm(lambda: list(few.parts())), warm(lambda: list(many.parts()), runs=1)
    yield Row("check of 1000 brackets, a part, warm", thousand / 1000, "of 10", ten / 10,
              target=FAIR)  # fmt: skip
    for low, high in ((10, 100), (100, 1000)):
        costs = [
            fresh([*BUILD, job_file(folder, count), *ONLY, "--workers", "1", "--out"],
                  folder / "out", runs=1)
            for count in (1, low, high)
        ]  # fmt: skip
        each = [(cost - costs[0]) / (count - 1) for cost, count in
                zip(costs[1:], (low, high), strict=True)]  # fmt: skip
        yield Row(f"build of {high} brackets, a part", each[1], f"of {low}", each[0], target=FAIR)
    job, out = job_file(folder, 100), folder / "out"
    process([*BUILD, job, "--out", out], runs=1)
    text = job.read_text(encoding="utf-8")
    head, _, last = text.rpartition("bar_mass = ")
    job.write_text(f"{head}bar_mass = 9.1{last[last.index(chr(10)):]}", encoding="utf-8")
    again = process([*BUILD, job, "--out", out], runs=1)
    one = fresh([*BUILD, job_file(folder, 1), "--out"], folder / "alone", runs=3)
    yield Row("build of 100, one of them changed", again.wall, "build of one", one)
    nothing = process([*BUILD, job, "--out", out], runs=1)
    yield Row("build of 100, nothing changed", nothing.wall, "build of one", one)


def workers(folder: Path) -> Iterator[Row]:
    """One process against two."""
    job = job_file(folder, MANY)
    one, two = (
        fresh([*BUILD, job, *ONLY, "--workers", count, "--out"], folder / "out", runs=1)
        for count in (1, 2)
    )
    yield Row(f"build of {MANY}, one worker", one, "two workers", two, target=1.7, at_least=True)


def memory(folder: Path) -> Iterator[Row]:
    """Peak memory of the demo's commands."""
    empty = process([sys.executable, "-c", "import numpy, pydantic"], runs=1)
    check = process([sys.executable, "-m", "parts", "check", DEMO], runs=1)
    build = process([*BUILD, DEMO, "--workers", 1, "--out", folder / "demo"], runs=1)
    yield Row("peak memory of check, demo", check.peak, "an empty process", empty.peak, "MB")
    yield Row("peak memory of build, demo", build.peak, "600 MB", 600.0, "MB", target=1)


def fresh(command: list[object], out: Path, runs: int = 5) -> float:
    """Median wall time of a build into an empty folder, s."""
    times = []
    for _ in range(runs):
        shutil.rmtree(out, ignore_errors=True)
        times.append(process([*command, out], runs=1).wall)
    return sorted(times)[len(times) // 2]


def job_file(folder: Path, count: int) -> Path:
    """A job of so many brackets: the demo's right mount under different names."""
    text = DEMO.read_text(encoding="utf-8").replace('name = "tin_wren"', 'name = "bench"')
    head, _, part = text.partition("[parts.rear_mount]")
    part = part[: part.index("[parts.rear_mount.left]")].replace('hand = "pair"', 'hand = "right"')
    parts = ("[parts.rear_mount]" + part).replace("rear_mount", "mount_{}")
    path = folder / f"of_{count}.toml"
    path.write_text(head + "".join(parts.replace("{}", str(i)) for i in range(count)), "utf-8")
    return path


def main() -> None:
    for row in rows():
        print(row, flush=True)


if __name__ == "__main__":
    main()
