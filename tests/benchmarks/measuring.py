"""What the benchmarks share: times, memory, and a line of the table."""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "configs" / "tin_wren.toml"
RUNS = 7


@dataclass(frozen=True, slots=True)
class Row:
    """One cost held against another, both measured in this run; `target` is the most it may be,
    or, where `at_least`, the least."""

    what: str
    cost: float
    against: str
    other: float
    unit: str = "s"
    target: float | None = None
    at_least: bool = False

    @property
    def ratio(self) -> float:
        """The first over the second."""
        return self.cost / self.other

    def __str__(self) -> str:
        good = ""
        if self.target is not None:
            met = self.ratio >= self.target if self.at_least else self.ratio <= self.target
            sign = ">=" if self.at_least else "<="
            good = f"  {'meets' if met else 'MISSES'} {sign} {self.target:g}"
        return (
            f"{self.what:<46}{self.cost:9.3f} {self.unit:<2}  is {self.ratio:8.2f} x  "
            f"{self.against} ({self.other:.3f} {self.unit}){good}"
        )


@dataclass(frozen=True, slots=True)
class Run:
    """A whole process: wall time and processor time in s, and its peak memory in MB."""

    wall: float
    cpu: float
    peak: float


def process(command: Sequence[object], runs: int = RUNS) -> Run:
    """Median costs of a whole process; its children count, their peak the largest of them."""
    found = [_once([str(word) for word in command]) for _ in range(runs)]
    return Run(
        statistics.median(run.wall for run in found),
        statistics.median(run.cpu for run in found),
        max(run.peak for run in found),
    )


WATCH = """
import json, resource, subprocess, sys, time
start = time.perf_counter()
code = subprocess.call(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
wall = time.perf_counter() - start
used = resource.getrusage(resource.RUSAGE_CHILDREN)
print(json.dumps([code, wall, used.ru_utime + used.ru_stime, used.ru_maxrss]))
"""


def _once(command: list[str]) -> Run:
    """Started by a small process: a peak counts from the memory of the one that starts it."""
    watch = [sys.executable, "-S", "-c", WATCH, *command]
    said = subprocess.run(watch, cwd=ROOT, capture_output=True, check=True).stdout
    code, wall, cpu, peak = json.loads(said)
    assert code == 0, command
    return Run(wall, cpu, peak / (1e6 if sys.platform == "darwin" else 1e3))  # bytes there, kB here


def warm(act: Callable[[], object], runs: int = RUNS) -> float:
    """Median time of something in this process, after one run to warm it, s."""
    act()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        act()
        times.append(time.perf_counter() - start)
    return statistics.median(times)
