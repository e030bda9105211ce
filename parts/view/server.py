"""Run as a program by the standalone viewer: the server, until the one who started it is gone.

The library that serves the page has no way to be told to end but a signal. Here it ends as soon
as its input is closed, which the system does for whoever dies, however he dies.
"""

from __future__ import annotations

import _thread
import os
import runpy
import signal
import sys
import threading
import time

LAST_WAIT_S = 3.0  # seconds to close by itself


def _end_with_starter() -> None:
    sys.stdin.buffer.read()
    _thread.interrupt_main()
    time.sleep(LAST_WAIT_S)
    os._exit(0)


if __name__ == "__main__":
    signal.signal(signal.SIGINT, signal.default_int_handler)
    threading.Thread(target=_end_with_starter, daemon=True).start()
    sys.argv = ["ocp_viewer", "--host", "127.0.0.1", "--port", sys.argv[1]]
    runpy.run_module("ocp_viewer", run_name="__main__", alter_sys=True)
