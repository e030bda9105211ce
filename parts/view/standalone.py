"""A viewer of our own: a page served on this machine alone, for as long as the command runs."""

from __future__ import annotations

import subprocess
import sys
import threading
import time
from collections import deque
from importlib.util import find_spec
from pathlib import Path
from types import TracebackType
from typing import Self

from parts.view import places
from parts.view.client import INSTALL, NoViewer

SERVER = Path(__file__).with_name("server.py")
START_S, END_S = 20.0, 5.0
PAGE_OPENED = "client registered"  # said by the server for each page that is opened


class Standalone:
    """A viewer in a process of its own, out of reach of the terminal's Ctrl-C.

    It ends with this object, or with this process. `pages` counts how often a page was opened.
    """

    def __init__(self, port: int) -> None:
        """Start it; raises NoViewer where it is not installed or does not come up."""
        if find_spec("ocp_viewer") is None:
            raise NoViewer(
                f"no viewer answers on {places.HOST}:{port}, and there is none to start; run: "
                f"{INSTALL}, or open the viewer of your editor"
            )
        self.port = port
        self.pages = 0
        self._said: deque[str] = deque(maxlen=20)
        self._process = subprocess.Popen(
            [sys.executable, "-P", "-u", str(SERVER), str(port)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
            start_new_session=True,
        )  # fmt: skip
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()
        try:
            self._wait_for_it()
        except BaseException:
            self.end()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:  # fmt: skip
        self.end()

    @property
    def alive(self) -> bool:
        return self._process.poll() is None

    @property
    def last_words(self) -> str:
        """What it said last, in one line."""
        return " / ".join(line for line in self._said if line) or "nothing"

    def end(self) -> None:
        """Close it, and wait until it is gone."""
        assert self._process.stdin is not None
        self._process.stdin.close()
        try:
            self._process.wait(END_S)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._reader.join(1.0)
        assert self._process.stdout is not None
        self._process.stdout.close()

    def _wait_for_it(self) -> None:
        deadline = time.monotonic() + START_S
        while not places.answers(self.port):
            if not self.alive or time.monotonic() > deadline:
                raise NoViewer(
                    f"the viewer did not start on {places.HOST}:{self.port}; it said: "
                    f"{self.last_words}"
                )
            time.sleep(0.05)

    def _read(self) -> None:
        assert self._process.stdout is not None
        for raw in self._process.stdout:
            line = raw.decode(errors="replace").strip()
            self._said.append(line)
            self.pages += PAGE_OPENED in line
