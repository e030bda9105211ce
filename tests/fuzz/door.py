"""Job files made wrong without end, led by what they reach in the code:
python tests/fuzz/door.py --minutes 10 --keep FOLDER

Wants atheris, which the tests do not: pip install atheris. FOLDER keeps seeds/ (files that
reached something new), finds/ (a file and what it did, one of each sort) and tally.json.
`--replay FILE` runs one file by itself, within 1 GB and 10 s.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import random
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(Path(__file__).parent), str(ROOT)]

GIGABYTE = 1 << 30
SLOW_S = 10
LONGEST = 40_000  # bytes of a file
TURN_MIN = 3  # of one worker: what follows the code grows


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--minutes", type=float, default=10)
    options.add_argument("--keep", type=Path, default=Path("output/fuzz"))
    options.add_argument("--replay", type=Path)
    options.add_argument("--work", action="store_true", help=argparse.SUPPRESS)
    given = options.parse_args()
    if given.replay:
        sys.exit(replay(given.replay))
    keep = given.keep.resolve()
    for name in ("seeds", "finds"):
        (keep / name).mkdir(parents=True, exist_ok=True)
    if given.work:
        work(keep, given.minutes)
    else:
        drive(keep, given.minutes)


def replay(file: Path) -> int:
    """Check one file in a process of its own with little memory and time."""

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (GIGABYTE, GIGABYTE))
        resource.setrlimit(resource.RLIMIT_CPU, (SLOW_S, SLOW_S + 1))

    words = [sys.executable, "-m", "parts", "check", str(file.resolve())]
    environment = os.environ | {"TINWRIGHT_DEBUG": "1", "OPENBLAS_NUM_THREADS": "1"}
    return subprocess.run(
        words, cwd=ROOT, preexec_fn=limit, env=environment, check=False
    ).returncode


def drive(keep: Path, minutes: float) -> None:
    """Begin a worker again whenever one was ended, until the time is up."""
    sow(keep / "seeds")
    until = time.monotonic() + 60 * minutes
    memory = Path("/dev/shm")
    while (left := min(until - time.monotonic(), 60 * TURN_MIN)) > 5:
        words = [sys.executable, __file__, "--work", "--keep", str(keep)]
        log = (keep / "log.txt").open("ab")
        environment = os.environ | {"OPENBLAS_NUM_THREADS": "1"}
        begun = time.monotonic()
        with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder:
            done = subprocess.run(
                [*words, "--minutes", str(left / 60)],
                stderr=log,
                stdout=log,
                env=environment | {"TMPDIR": folder},
                check=False,
            )
        if done.returncode and time.monotonic() - begun < 5:
            sys.exit(f"the worker does not begin: see {keep / 'log.txt'}")
    print(tally(keep))


def good_jobs() -> list[str]:
    """The starters, and the demo with one of its parts at a time: all that take no seconds."""
    from mutate import starters

    demo = (ROOT / "configs" / "tin_wren.toml").read_text("utf-8")
    return [*starters().values(), *single_parts(demo)]


def sow(seeds: Path) -> None:
    for text in good_jobs():
        name = hashlib.sha256(text.encode()).hexdigest()[:16]
        (seeds / name).write_text(text, encoding="utf-8")


def single_parts(text: str) -> list[str]:
    """The job with one of its parts at a time."""
    head, *parts = text.split("[parts.")
    names = [part.split("]")[0].split(".")[0] for part in parts]
    return [
        head + "".join(f"[parts.{p}" for p, n in zip(parts, names, strict=True) if n == name)
        for name in dict.fromkeys(names)
    ]


def tally(keep: Path) -> str:
    counts: Counter[str] = Counter()
    for file in keep.glob("tally-*.json"):
        counts.update(json.loads(file.read_text()))
    finds = sorted({file.name.split(".")[0] for file in (keep / "finds").iterdir()})
    (keep / "tally.json").write_text(json.dumps(counts, indent=1))
    return f"{dict(counts)}\n{len(finds)} sorts of finds in {keep / 'finds'}"


def work(keep: Path, minutes: float) -> None:
    try:
        import atheris
    except ImportError:
        sys.exit("wants atheris: pip install atheris")
    os.cpu_count = lambda: 1  # type: ignore[assignment]  # parts are built one after the other
    with atheris.instrument_imports(include=["parts", "tomllib"]):
        load_all()
    from mutate import Mutator

    mutate = Mutator(good_jobs())
    one = Round(keep)

    def change(data: bytes, most: int, seed: int) -> bytes:
        if random.Random(seed).random() < 0.1:
            return bytes(atheris.Mutate(data, len(data) + 20))[:most]
        return mutate(data.decode("utf-8", "replace"), seed).encode("utf-8", "replace")[:most]

    flags = [
        f"-max_total_time={int(60 * minutes)}", f"-timeout={6 * SLOW_S}", "-rss_limit_mb=3000",
        f"-max_len={LONGEST}", f"-artifact_prefix={keep / 'finds'}/ended-", "-len_control=0",
        "-print_final_stats=1", "-reload=0",
    ]  # fmt: skip
    atheris.Setup([sys.argv[0], *flags, str(keep / "seeds")], one, custom_mutator=change)
    atheris.Fuzz()


def load_all() -> None:
    """Import all that a check or a build of figures and DXF imports, so that it is followed."""
    import oracle  # noqa: F401

    from parts import kinds

    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "all.toml"
        from mutate import starters
        from oracle import answer

        assert kinds.KINDS
        for text in starters().values():
            file.write_text(text, encoding="utf-8")
            answer("check", str(file))
            answer("build", str(file), "--out", folder, "--only", "figures,dxf")


class Round:
    """One file after the other through the door, counted; finds are kept, one of each sort."""

    def __init__(self, keep: Path) -> None:
        self.keep = keep
        self.counts: Counter[str] = Counter()
        self.told = time.monotonic()
        self.tally = keep / f"tally-{os.getpid()}-{int(time.time())}.json"
        self.chance = random.Random(os.getpid())
        self.folder = Path(tempfile.mkdtemp())  # in a folder that the driver sweeps up
        self.file = self.folder / "in" / "job.toml"
        self.file.parent.mkdir()

    def __call__(self, data: bytes) -> None:
        from oracle import answer, complaints, strangers

        self.file.write_bytes(data)
        text = data.decode("utf-8", "replace")
        begun = time.process_time()
        json_too = ("--json",) if self.chance.random() < 0.5 else ()
        found = answer("check", str(self.file), *json_too)
        wrong = list(complaints(found, text))
        took = time.process_time() - begun
        if took > SLOW_S:
            wrong.append(f"took long, {len(text) // 1000} kB")
        self.counts[f"status {found.status}"] += 1
        if found.status == 0 and self.chance.random() < 0.1:
            out = self.folder / "out"
            found = answer(
                "build", str(self.file), "--out", str(out), "--only", "figures,dxf", *json_too
            )
            self.counts[f"built {found.status}"] += 1
            wrong += complaints(found, text)
            odd = [f for f in strangers(self.folder, out) if f != self.file]
            wrong += [f"a file outside: {file}" for file in odd]
            shutil.rmtree(out, ignore_errors=True)
        for what in wrong:
            self.keep_find(what, data, found.fault or found.err or found.out[-3000:])
        self.counts["run"] += 1
        self.counts["finds"] += bool(wrong)
        if time.monotonic() - self.told > 3:
            self.tally.write_text(json.dumps(self.counts))
            self.told = time.monotonic()

    def keep_find(self, what: str, data: bytes, said: str) -> None:
        name = hashlib.sha256(what.encode()).hexdigest()[:10]
        stem = self.keep / "finds" / name
        smaller = not (old := stem.with_suffix(".toml")).exists() or len(data) < old.stat().st_size
        if smaller:
            stem.with_suffix(".toml").write_bytes(data)
            stem.with_suffix(".txt").write_text(
                f"{what}\n\n{said}", encoding="utf-8", errors="replace"
            )


if __name__ == "__main__":
    main()
