"""Papers against the kernel's own start, in one process: python tests/benchmarks/papers.py

A part of twelve holes and five bends, and the large band of the demo's tub. Libraries that a paper
needs are loaded within its time; of several such processes the median counts.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from hand_parts import named  # noqa: E402
from measuring import DEMO, ROOT, Row  # noqa: E402

from parts import load, proof, writers  # noqa: E402
from parts.part import Part  # noqa: E402

PAPERS = ("drawing", "fold_sheet", "templates", "cut_list", "job_sheet", "figures")
KERNEL = "the kernel's start, the solid, its STEP file"
RUNS = 3
MOST = 2.0  # times the kernel's start that papers or their proof may take


def rows() -> Iterator[Row]:
    """Each paper, all of them, and their proof; then the band's template and its proof."""
    found = [
        json.loads(subprocess.run(
            [sys.executable, __file__, "once"], cwd=ROOT, check=True, capture_output=True
        ).stdout)
        for _ in range(RUNS)
    ]  # fmt: skip
    cost = {name: statistics.median(run[name] for run in found) for name in found[0]}
    kernel = cost.pop("kernel")
    for name in PAPERS:
        yield Row(f"{name} of 12 holes and 5 bends", cost[name], KERNEL, kernel)
    yield Row("all of these papers", sum(cost[name] for name in PAPERS), KERNEL, kernel,
              target=MOST)  # fmt: skip
    yield Row("their proof", cost["proof"], KERNEL, kernel, target=MOST)
    yield Row("template of the large band", cost["band"], KERNEL, kernel, target=MOST)
    yield Row("its proof", cost["band's proof"], KERNEL, kernel, target=MOST)


def once() -> dict[str, float]:
    """What each takes in this process, s of the processor; the kernel first."""
    box, cost = named("box"), {}
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        cost["kernel"] = seconds(lambda: write(box, home, "step"))
        for name in PAPERS:
            cost[name] = seconds(lambda name=name: write(box, home, name))
        papers = [path for path in home.iterdir() if path.suffix != ".step"]
        cost["proof"] = seconds(lambda: proof.prove(box, home, papers))
    tub = load(DEMO).part("rear_tub")
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        cost["band"] = seconds(lambda: write(tub, home, "templates"))
        bands = [path for path in home.iterdir() if "-band-" in path.name]
        cost["band's proof"] = seconds(lambda: proof.prove(tub, home, bands))
    share = len(bands) / len(tub.pieces)  # all of the tub's templates were written
    return cost | {"band": cost["band"] * share}


def write(part: Part, folder: Path, name: str) -> None:
    writers.load(name).write(part, folder)


def seconds(act: Callable[[], object]) -> float:
    start = time.process_time()
    act()
    return time.process_time() - start


if __name__ == "__main__":
    if sys.argv[1:] == ["once"]:
        print(json.dumps(once()))
    else:
        for one in rows():
            print(one, flush=True)
