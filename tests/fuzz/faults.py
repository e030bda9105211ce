"""Builds that are ended at random moments, and what they leave:
python tests/fuzz/faults.py --times 200
python tests/fuzz/faults.py --same

Two versions of a job are built by turns into one folder, and each build is ended by a signal at
some moment. After each, every part must be wholly of one version, no process may be left, and
now and then an undisturbed build must end with the same bytes as one into a new folder. `--same`
builds the whole demo under other hash seeds, time zones, locales, umasks, folders and numbers of
workers instead, and compares every file.
"""

from __future__ import annotations

import argparse
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT)]
DEMO = ROOT / "configs" / "tin_wren.toml"
SIGNALS = (signal.SIGKILL, signal.SIGTERM, signal.SIGINT)
MARK = "TINWRIGHT_FAULTS"  # in the environment of a build and of all it starts

Tree = dict[str, bytes]


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--times", type=int, default=200)
    options.add_argument("--minutes", type=float, default=60)
    options.add_argument("--parts", type=int, default=2)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--demo", action="store_true", help="the whole demo, all files")
    options.add_argument("--same", action="store_true")
    given = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder)
        wrong = same(here) if given.same else kills(here, given)
    print("\n".join(wrong) or "nothing wrong")
    sys.exit(bool(wrong))


def kills(here: Path, given: argparse.Namespace) -> list[str]:
    """End builds at random moments; returns what was wrong after them."""
    dice = random.Random(given.seed)
    jobs = demo_jobs(here) if given.demo else small_jobs(here, given.parts)
    only = () if given.demo else ("--only", "dxf,figures,all_cut")
    good: list[Tree] = []
    took = 0.0
    for i, job in enumerate(jobs):
        start = time.monotonic()
        run(job, here / f"good_{i}", *only).wait()
        took = time.monotonic() - start
        good.append(tree(here / f"good_{i}"))
    wrong: list[str] = []
    told: Counter[str] = Counter()
    out = here / "out"
    until = time.monotonic() + given.minutes * 60
    for turn in range(given.times):
        if time.monotonic() > until:
            break
        workers, how = dice.choice(("1", "2")), dice.choice(SIGNALS)
        build = run(jobs[turn % 2], out, *only, "--workers", workers)
        moment = dice.uniform(0.0, took * 1.1)
        try:
            build.wait(moment)
        except subprocess.TimeoutExpired:
            build.send_signal(how)
        began = time.monotonic()
        build.wait(20)
        slow = time.monotonic() - began
        says = f"turn {turn} ({how.name} at {moment:.2f} s, {workers} workers)"
        told[f"{how.name} {build.returncode}"] += 1
        if how == signal.SIGINT and slow > 2:
            wrong.append(f"{says}: took {slow:.1f} s to stop")
        wrong += [f"{says}: process {pid} is left" for pid in left_after(2.0)]
        wrong += [f"{says}: {fault}" for fault in faults(out, good)]
        if turn % 10 == 9:
            run(jobs[turn % 2], out, *only).wait()
            if tree(out) != good[turn % 2]:
                wrong.append(f"{says}: the build after it left other files")
    print(f"{sum(told.values())} builds ended: {dict(told)}")
    return wrong


def small_jobs(here: Path, count: int) -> list[Path]:
    from test_batch import job_text

    texts = (job_text(count), job_text(count, dict.fromkeys(range(count), 9.5)))
    return [_written(here / f"job_{i}.toml", text) for i, text in enumerate(texts)]


def demo_jobs(here: Path) -> list[Path]:
    text = DEMO.read_text(encoding="utf-8")
    lines = [line if "bar_mass" not in line else "bar_mass = 9.5" for line in text.splitlines()]
    return [DEMO, _written(here / "other.toml", "\n".join(lines) + "\n")]


def _written(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def run(job: Path, out: Path, *words: str) -> subprocess.Popen[bytes]:
    """A build that has begun; to be waited for."""
    quiet = subprocess.DEVNULL
    return subprocess.Popen(
        [sys.executable, "-m", "parts", "build", str(job), "--out", str(out), *words],
        cwd=ROOT, env=os.environ | {MARK: str(os.getpid())}, stdout=quiet, stderr=quiet,
    )  # fmt: skip


def tree(folder: Path) -> Tree:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def faults(out: Path, good: list[Tree]) -> list[str]:
    """What a reader would find amiss in the folders that can be seen: a part of no version."""
    found: dict[str, Tree] = {}
    for name, data in tree(out).items():
        folder = "/".join(name.split("/")[:2])
        if not any(word.startswith(".") for word in name.split("/")):
            found.setdefault(folder, {})[name] = data
    versions = [
        {name: data for name, data in one.items() if name.startswith(f"{folder}/")}
        for folder in found
        for one in good
    ]
    return [f"{folder} is of no version" for folder, files in found.items()
            if files not in versions]  # fmt: skip


def left_after(patience_s: float) -> list[int]:
    """Processes of builds that still run after a moment."""
    until = time.monotonic() + patience_s
    while (left := ours()) and time.monotonic() < until:
        time.sleep(0.05)
    return left


def ours() -> list[int]:
    mark = f"{MARK}={os.getpid()}".encode()
    return [int(path.parent.name) for path in Path("/proc").glob("[0-9]*/environ")
            if mark in _read(path).split(b"\0")]  # fmt: skip


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError:
        return b""


def same(here: Path) -> list[str]:
    """Build the whole demo in many surroundings; returns which files differ from the first."""
    ways: list[tuple[dict[str, str], str, str, int]] = [
        ({"PYTHONHASHSEED": "0", "TZ": "UTC", "LC_ALL": "C"}, "1", "here", 0o022),
        (
            {"PYTHONHASHSEED": "1", "TZ": "Pacific/Auckland", "LC_ALL": "C.utf8"},
            "2",
            "there",
            0o077,
        ),
        ({"PYTHONHASHSEED": "random", "TZ": "America/Anchorage"}, "2", "a way/off", 0o022),
    ]
    first: Tree | None = None
    wrong: list[str] = []
    for environment, workers, place, mask in ways:
        at = here / place
        at.mkdir(parents=True)
        words = [
            "--out",
            "out" if place == "here" else str(at / "else where"),
            "--workers",
            workers,
        ]
        done = subprocess.run(
            [sys.executable, "-m", "parts", "build", str(DEMO), *words],
            cwd=at, env=os.environ | environment | {"PYTHONPATH": str(ROOT)},
            umask=mask, capture_output=True, text=True,
        )  # fmt: skip
        if done.returncode:
            wrong.append(f"{environment}: {done.stderr}")
        found = tree(at / Path(words[1]).name)
        first = first or found
        differ = sorted(n for n in {*first, *found} if first.get(n) != found.get(n))
        wrong += [f"{name} differs under {environment}" for name in differ]
        print(f"{len(found)} files under {environment}, {workers} workers")
    return wrong


if __name__ == "__main__":
    main()
