"""Many parts, on all cores: told in the job's order, and what fails in one stops no other."""

from __future__ import annotations

import os
import signal
import threading
from collections import deque
from collections.abc import Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import replace
from multiprocessing import (
    active_children,
    connection,
    get_context,
    parent_process,
    resource_tracker,
)
from pathlib import Path
from typing import TYPE_CHECKING

from parts import outcome
from parts.outcome import Done, Tell

if TYPE_CHECKING:
    from parts.make import Job
    from parts.part import Part


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
    is built in this one. A process that dies takes what all of them work at with it: each of
    those is then built in a process of its own, one after another, and is at fault only if that
    one dies too. Ended early, as by Ctrl-C, it ends the processes. `tell` hears what goes on.
    """
    most = workers or os.cpu_count() or 1
    works = _Works(out, only, most, tell)
    try:
        for name in names:
            try:
                works.take(job.part(name))
            except Exception as error:
                works.put(outcome.faulty(name, error))
            yield from works.ready()
        works.no_more()
        yield from works.rest()
    except BaseException:
        works.stop()
        raise
    works.close()


class _Works:
    """Parts on their way, in order: what is done, what a process works at, what waits for one."""

    def __init__(self, out: Path, only: tuple[str, ...], most: int, tell: Tell) -> None:
        self.out, self.only, self.most, self.tell = out, only, most, tell
        self.line: deque[tuple[Part | None, Done | Future[Done] | None]] = deque()
        self.pool: ProcessPoolExecutor | None = None
        self.others = set(active_children())  # not ours
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
        part, _ = self.line[i]
        assert part is not None
        if self.pool is None:
            self.pool = _pool(self.most)
        try:
            self.line[i] = (part, self._submit(self.pool, part))
        except BrokenProcessPool:  # a part before this one did that
            self.pool.shutdown()
            self.pool = _pool(self.most)
            self.line[i] = (part, self._submit(self.pool, part))

    def _submit(self, pool: ProcessPoolExecutor, part: Part) -> Future[Done]:
        with _ctrl_c_waits():
            return pool.submit(_built, part, self.out, self.only)

    def close(self) -> None:
        """Let the processes go, all work being done."""
        if self.pool is not None:
            self.pool.shutdown()

    def stop(self) -> None:
        """End the processes at once, and remove what they were writing."""
        from parts.building import tidy_up

        ours = set(active_children()) - self.others
        for process in ours:
            process.kill()
        for process in ours:
            process.join()
        if self.pool is not None:
            self.pool.shutdown(cancel_futures=True)
            for part, work in self.line:
                if part is not None and isinstance(work, Future):
                    tidy_up(part, self.out)

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
            assert part is not None
            try:
                return replace(work.result(), part=part)
            except BrokenProcessPool:
                return self._by_itself(part)
            except Exception as error:  # what was to travel back could not
                return replace(outcome.faulty(part.name, error), part=part)
        assert work is not None
        return work

    def _by_itself(self, part: Part) -> Done:
        """Build a part in a process of its own, as the one that had it died."""
        self.tell(f"{part.name}: once more, its process was ended")
        pool = _pool(1)
        try:
            return replace(self._submit(pool, part).result(), part=part)
        except BrokenProcessPool:
            return outcome.ended(part, self.out)
        finally:
            pool.shutdown()

    @staticmethod
    def _is_done(work: Done | Future[Done] | None) -> bool:
        return work.done() if isinstance(work, Future) else work is not None

    def _tell(self, part: Part) -> Tell:
        return lambda stage: self.tell(f"{part.name}: {stage}")


def _pool(most: int) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(most, get_context("spawn"), _begin)


@contextmanager
def _ctrl_c_waits() -> Iterator[None]:
    """Hold Ctrl-C back until a new process has begun, which is deaf to it from its first moment."""
    if os.name != "posix":
        yield
        return
    resource_tracker.ensure_running()  # it would let Ctrl-C in again
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


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
