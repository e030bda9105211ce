"""The parts at their places on the vehicle, in a 3D viewer that is already open."""

from __future__ import annotations

import os
import socket
import time
from collections.abc import Sequence
from typing import Any

from parts import solid
from parts.part import Part

USUAL_PORT = 3939
PATIENCE_S = 10.0
STEEL = {"left": "#8fa3ad", "right": "#b7a58a", "": "#9aa0a3"}


class NoViewer(RuntimeError):
    """Nothing to show the parts in; the message says what is missing and how to get it."""


def show(parts: Sequence[Part], port: int | None = None) -> str:
    """Send every piece to the viewer on this machine; returns a sentence for the user.

    The port is `port`, else the environment's OCP_PORT, else 3939. Raises NoViewer where the
    client is not installed, nothing listens, or no page is open.
    """
    client = _client()
    number = port or int(os.environ.get("OCP_PORT", USUAL_PORT))
    if not _answers(number):
        raise NoViewer(
            f"no viewer answers on 127.0.0.1:{number}; open the viewer of your editor, or run "
            f"'python -m ocp_viewer --port {number}' and open http://127.0.0.1:{number}/viewer, "
            "then show again"
        )
    pieces = [(part, piece) for part in parts for piece in part.pieces]
    if not pieces:
        raise NoViewer("there is nothing to show: no part could be laid out")
    shapes = [solid.cadquery_solid(piece.folded, piece.place) for _, piece in pieces]
    names = [f"{part.name} {piece.hand} {piece.name}" for part, piece in pieces]
    colors = [STEEL[piece.hand] for _, piece in pieces]
    client.set_port(number)
    deadline = time.monotonic() + PATIENCE_S
    while True:  # the viewer forgets what it is sent before a page is open
        client.show(
            *shapes, names=names, colors=colors, progress="", reset_camera=client.Camera.ISO
        )
        time.sleep(0.7)
        if client.status():
            return f"{len(shapes)} pieces shown on port {number}"
        if time.monotonic() > deadline:
            raise NoViewer(
                f"a viewer runs on port {number} but no page is open: open "
                f"http://127.0.0.1:{number}/viewer, then show again"
            )


def _client() -> Any:
    try:
        import ocp_vscode
    except ImportError as error:
        raise NoViewer(
            "the viewer is not installed; run: pip install 'tinwright[view]'"
        ) from error
    return ocp_vscode


def _answers(port: int) -> bool:
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=0.5):
            return True
    except OSError:
        return False

