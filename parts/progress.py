"""One line that says what goes on, on a terminal, once it takes over a second."""

from __future__ import annotations

import sys
from threading import Lock, Timer
from types import TracebackType

PATIENCE_S = 1.0


class Progress:
    """Shows the current stage on stderr after a second of silence; wiped at the end.

    Nothing is shown where stderr is no terminal.
    """

    def __init__(self) -> None:
        self._stage = ""
        self._shown = False
        self._closed = False
        self._lock = Lock()
        self._timer = Timer(PATIENCE_S, self._begin)
        self._timer.daemon = True

    def __enter__(self) -> Progress:
        if sys.stderr.isatty():
            self._timer.start()
        return self

    def tell(self, stage: str) -> None:
        """The stage that begins now."""
        with self._lock:
            self._stage = stage
            if self._shown:
                self._write()

    def clear(self) -> None:
        """Wipe the line, so that something else may be written; the next stage shows again."""
        with self._lock:
            if self._shown:
                sys.stderr.write("\r\x1b[K")
                sys.stderr.flush()

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._timer.cancel()
        self.clear()
        with self._lock:
            self._shown, self._closed = False, True

    def _begin(self) -> None:
        with self._lock:
            if not self._closed:  # the timer may fire just as the work ends
                self._shown = True
                self._write()

    def _write(self) -> None:
        sys.stderr.write(f"\r\x1b[K{self._stage} ...")
        sys.stderr.flush()
