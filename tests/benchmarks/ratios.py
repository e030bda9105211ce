"""Costs as ratios, all measured in this one run: python tests/benchmarks/ratios.py

Whole processes, the median of several; a line names what is held against what.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "configs" / "tin_wren.toml"
RUNS = 7


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder)
        one, hundred = out / "one.toml", out / "hundred.toml"
        one.write_text(job_of(1), encoding="utf-8")
        hundred.write_text(job_of(100), encoding="utf-8")
        build = [sys.executable, "-m", "parts", "build"]
        subprocess.run([*build, one, "--out", out], check=True, capture_output=True, cwd=ROOT)
        script = next((out / "bench" / "mount_0").glob("*.py")).rename(out / "alone.py")

        empty = seconds([sys.executable, "-c", "import numpy, pydantic"])
        check = seconds([sys.executable, "-m", "parts", "check", one])
        files = seconds([*build, one, "--out", out, "--only", "step,dxf"])
        alone = seconds([sys.executable, script])
        row("check of one bracket", check, "an empty process with numpy and pydantic", empty)
        row("build --only step,dxf, proved", files, "its standalone CadQuery script", alone)

        few = seconds([*build, one, "--out", out, "--only", "step,dxf"], runs=3)
        many = seconds([*build, hundred, "--out", out, "--only", "step,dxf"], runs=1)
        row("build of 100 brackets", many, "build of one", few)
        checked = warm(lambda load: list(load(one).parts()))
        checked_many = warm(lambda load: list(load(hundred).parts()), runs=1)
        row("check of 100 brackets, warm", checked_many, "check of one, warm", checked)


def job_of(count: int) -> str:
    """The demo's right mount, `count` times under different names."""
    text = DEMO.read_text(encoding="utf-8").replace('name = "tin_wren"', 'name = "bench"')
    head, _, part = text.partition("[parts.rear_mount]")
    part = part[: part.index("[parts.rear_mount.left]")].replace('hand = "pair"', 'hand = "right"')
    parts = ("[parts.rear_mount]" + part).replace("rear_mount", "mount_{}")
    return head + "".join(parts.replace("{}", str(i)) for i in range(count))


def seconds(command: list[object], runs: int = RUNS) -> float:
    """Median wall time of a whole process."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        subprocess.run([str(word) for word in command], check=True, capture_output=True, cwd=ROOT)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def warm(act: Callable[[Callable[[Path], object]], object], runs: int = RUNS) -> float:
    """Median time in this process, after one run to warm it."""
    from parts import load

    act(load)
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        act(load)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def row(what: str, cost: float, against: str, other: float) -> None:
    print(f"{what:<34}{cost:8.3f} s  is {cost / other:7.2f} x  {against} ({other:.3f} s)")


if __name__ == "__main__":
    main()
