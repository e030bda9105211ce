"""Many parts, on all cores: told in the job's order, and what fails in one stops no other."""

from __future__ import annotations

import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import ExitStack
from dataclasses import replace
from multiprocessing import connection, get_context, parent_process
from pathlib import Path
from typing import TYPE_CHECKING

from parts import outcome
from parts.outcome import Done

if TYPE_CHECKING:
    from parts.make import Job
    from parts.part import Part

Tell = Callable[[str], None]


def build_all(
    job: Job,
    names: Iterable[str],
    out: Path,
    only: tuple[str, ...] = (),
    workers: int | None = None,
    tell: Tell = lambda stage: None,
) -> Iterator[Done]:
    """Lay out, write and prove the parts of those names; each as soon as those before it are.

    What needs building goes to as many processes as there are cores, or `workers`; a single part
    is built in this one. `tell` hears what goes on.
    """
    most = workers or os.cpu_count() or 1
    with ExitStack() as stack:
        works = _Works(out, only, most, tell, stack)
        for name in names:
            try:
                works.take(job.part(name))
            except Exception as error:
                works.put(outcome.faulty(name, error))
            yield from works.ready()
        works.no_more()
        yield from works.rest()


class _Works:
    """Parts on their way, in order: what is done, what a process works at, what waits for one."""

    def __init__(
        self, out: Path, only: tuple[str, ...], most: int, tell: Tell, stack: ExitStack
    ) -> None:
        self.out, self.only, self.most, self.tell, self.stack = out, only, most, tell, stack
        self.line: deque[tuple[Part | None, Done | Future[Done] | None]] = deque()
        self.pool: ProcessPoolExecutor | None = None
        self.told = 0

    def put(self, done: Done) -> None:
        self.line.append((None, done))

    def take(self, part: Part) -> None:
        """Hand a part on: a second one that needs building opens the pool for both."""
        from parts.building import is_built

        if part.refused or is_built(part, self.out, self.only) or self.most == 1:
            self.line.append((part, outcome.built(part, self.out, self.only, self._tell(part))))
            return
        self.line.append((part, None))
        waiting = [i for i, (_, work) in enumerate(self.line) if work is None]
        if self.pool is not None or len(waiting) > 1:
            for i in waiting:
                self._send(i)

    def _send(self, i: int) -> None:
        if self.pool is None:
            self.pool = ProcessPoolExecutor(self.most, get_context("spawn"), _begin)
            self.stack.callback(self.pool.shutdown, wait=True, cancel_futures=True)
        part, _ = self.line[i]
        assert part is not None
        self.line[i] = (part, self.pool.submit(_built, part, self.out, self.only))

    def no_more(self) -> None:
        """Build here what is left without a pool: at most one part."""
        for i, (part, work) in enumerate(self.line):
            if work is None and part is not None:
                done = outcome.built(part, self.out, self.only, self._tell(part))
                self.line[i] = (part, done)

    def ready(self) -> Iterator[Done]:
        """Those at the head of the line that are done."""
        while self.line and self._is_done(self.line[0][1]):
            yield self._next()

    def rest(self) -> Iterator[Done]:
        """All that are left, waiting for each."""
        while self.line:
            self.tell(f"{self.told} parts done, {len(self.line)} to go")
            yield self._next()

    def _next(self) -> Done:
        part, work = self.line.popleft()
        self.told += 1
        if isinstance(work, Future):
            try:
                return replace(work.result(), part=part)
            except Exception as error:  # the process itself died
                assert part is not None
                return replace(outcome.faulty(part.name, error), part=part)
        assert work is not None
        return work

    @staticmethod
    def _is_done(work: Done | Future[Done] | None) -> bool:
        return work.done() if isinstance(work, Future) else work is not None

    def _tell(self, part: Part) -> Tell:
        return lambda stage: self.tell(f"{part.name}: {stage}")


def _built(part: Part, out: Path, only: tuple[str, ...]) -> Done:
    """In a process of the pool: build a part; the part itself need not travel back."""
    return replace(outcome.built(part, out, only, lambda stage: None), part=None)


def _begin() -> None:
    """In a new process of the pool: leave Ctrl-C to the one that runs it, and end when it does."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        connection.wait([parent.sentinel])
        os._exit(1)
