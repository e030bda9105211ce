"""Where a viewer is on this machine: its port, found without asking anybody."""

from __future__ import annotations

import os
import socket
from dataclasses import dataclass
from importlib import import_module
from urllib.error import URLError
from urllib.request import urlopen

from parts.view.client import NoViewer

HOST = "127.0.0.1"
USUAL_PORT = 3939
PORT_VARIABLE = "OCP_PORT"
WAIT_S = 2.0


@dataclass(frozen=True, slots=True)
class Where:
    """The port to show on; `there` is whether a viewer answers on it. `others` answer too."""

    port: int
    there: bool
    others: tuple[int, ...] = ()


def where(asked: int | None) -> Where:
    """The port asked for, else the one the environment names, else that of a viewer that is open.

    Where several are open the usual port is taken if it is among them, else the lowest; where
    none is, the usual port if it is free, else any. Raises NoViewer where something else answers
    on the port that was asked for.
    """
    given = asked if asked is not None else _from_environment()
    if given is not None:
        if not 0 < given < 65536:
            raise NoViewer(f"port {given} is none; write a number from 1024 to 65535")
        if not answers(given):
            return Where(given, False)
        if not is_viewer(given):
            raise NoViewer(
                f"something that is no viewer answers on {HOST}:{given}; choose another port "
                "with --port, or leave it out"
            )
        return Where(given, True)
    open_now = [port for port in _registered() if answers(port) and is_viewer(port)]
    if USUAL_PORT not in open_now and answers(USUAL_PORT) and is_viewer(USUAL_PORT):
        open_now.append(USUAL_PORT)
    if open_now:
        best = USUAL_PORT if USUAL_PORT in open_now else min(open_now)
        return Where(best, True, tuple(sorted(p for p in open_now if p != best)))
    return Where(USUAL_PORT if not answers(USUAL_PORT) else free_port(), False)


def answers(port: int) -> bool:
    """Whether anybody listens on a port of this machine."""
    try:
        with socket.create_connection((HOST, port), timeout=0.5):
            return True
    except OSError:
        return False


def is_viewer(port: int) -> bool:
    """Whether what listens takes messages as a viewer does."""
    from websockets.exceptions import WebSocketException
    from websockets.sync.client import connect

    try:
        with connect(f"ws://{HOST}:{port}", open_timeout=WAIT_S, close_timeout=0.1, proxy=None):
            return True
    except (OSError, TimeoutError, WebSocketException):
        return False


def page_of(port: int) -> str | None:
    """Address of the viewer's page; None where it has none, as within an editor."""
    address = f"http://{HOST}:{port}/viewer"
    try:
        with urlopen(address, timeout=WAIT_S) as answer:
            return address if answer.status == 200 else None
    except (URLError, OSError, ValueError):
        return None


def free_port() -> int:
    """A port of this machine on which nobody listens."""
    with socket.create_server((HOST, 0)) as server:
        return int(server.getsockname()[1])


def _from_environment() -> int | None:
    written = os.environ.get(PORT_VARIABLE, "").strip()
    if not written:
        return None
    if not written.isdigit():
        raise NoViewer(f"{PORT_VARIABLE} in the environment is {written!r}: no port; unset it")
    return int(written)


def _registered() -> list[int]:
    """Ports that viewers wrote down when they were opened; some may be gone since."""
    try:
        ports = import_module("ocp_viewer_core.state").get_ports()
    except (ImportError, OSError, RuntimeError):
        return []
    return [int(port) for port in ports if str(port).isdigit()]
