"""Files looked at again and again, until what is in them has changed."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Iterable
from pathlib import Path

SETTLED_S = 0.15  # seconds without a change after which a file is taken as saved


class Watched:
    """Files as they were when last looked at.

    Times are looked at first and contents only where a time has changed: a file saved as it was
    is no change. One that is not there counts as empty.
    """

    def __init__(self, files: Iterable[Path]) -> None:
        self.files = tuple(files)
        self._times, self._content = self._stamps(), self._digest()

    def changed(self) -> bool:
        """Whether what is in them is not what it was at the last call; waits until they settle."""
        if self._stamps() == self._times:
            return False
        while True:
            times = self._stamps()
            time.sleep(SETTLED_S)
            if times == self._stamps():
                break
        content = self._digest()
        before, self._times, self._content = self._content, times, content
        return content != before

    def _stamps(self) -> tuple[tuple[int, int], ...]:
        return tuple(_stamp(path) for path in self.files)

    def _digest(self) -> str:
        found = hashlib.sha256()
        for path in self.files:
            try:
                found.update(hashlib.sha256(path.read_bytes()).digest())
            except OSError:
                found.update(b"not there")
        return found.hexdigest()


def _stamp(path: Path) -> tuple[int, int]:
    try:
        found = path.stat()
    except OSError:
        return (0, -1)
    return (found.st_mtime_ns, found.st_size)
