"""Handing a picture to a viewer, and knowing that a page has it."""

from __future__ import annotations

import io
import time
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout
from dataclasses import dataclass, field
from importlib import import_module
from itertools import count
from typing import Any

from parts.view.scene import CLEAR, Picture

CLIENTS = ("ocp_vscode", "ocp_viewer")
HAD_S = 2.5  # seconds that a page is given to draw what it was handed
LOOK_S = 0.1  # seconds from one look at its answer to the next
MARK = 1e-6  # what tells one showing from another, as a share of the zoom
INSTALL = "pip install 'tinwright[view]'"


class NoViewer(RuntimeError):
    """Nothing to show the parts in; the message says what is missing and how to get it."""


@dataclass(eq=False)
class Client:
    """The viewer on one port of this machine."""

    library: Any
    port: int
    marks: Iterator[int] = field(default_factory=lambda: count(1))

    def hand_over(self, picture: Picture, fresh: bool) -> bool:
        """Hand the picture over; whether a page has drawn it.

        `fresh` looks at it from the corner and hides what is put aside; else the page keeps its
        camera and what was hidden in it. A viewer keeps nothing for a page that is opened later,
        and tells nobody that there is none: so each showing is given a zoom of its own, by a
        millionth, and the page reports the zoom that it drew with.
        """
        with _quiet():
            library = self.library
            zoom = None if fresh else self._zoom()
            fresh = zoom is None
            mark = (zoom or 1.0) * (1.0 + next(self.marks) * MARK)
            aside = picture.aside
            hidden = [None, *(library.Render.NONE for _ in aside)] if fresh else None
            library.show(
                picture.main,
                *(one.shapes for one in aside),
                names=[picture.main.name, *(one.name for one in aside)],
                colors=[None, *(one.color for one in aside)],
                alphas=[None, *(CLEAR for _ in aside)],
                modes=hidden,
                progress="",
                collapse=library.Collapse.LEAVES,
                reset_camera=library.Camera.ISO if fresh else library.Camera.KEEP,
                zoom=mark,
                port=self.port,
            )
            deadline = time.monotonic() + HAD_S
            while True:
                found = self._zoom()
                if found is not None and abs(found / mark - 1.0) < MARK / 10:
                    return True
                if time.monotonic() > deadline:
                    return False
                time.sleep(LOOK_S)

    def _zoom(self) -> float | None:
        """The zoom that the page drew with last; None where no page ever drew anything."""
        found = (self.library.status() or {}).get("zoom")
        return float(found) if found else None


def client_on(port: int) -> Client:
    """The client for a port, so that it never asks which viewer. Raises NoViewer."""
    library = loaded_client()
    library.set_port(port)
    return Client(library, port)


def loaded_client() -> Any:
    """The viewer's client library. Raises NoViewer where none is installed."""
    for name in CLIENTS:
        try:
            with _quiet():
                return import_module(name)
        except ImportError as error:
            if error.name is not None and error.name.partition(".")[0] != name:
                raise NoViewer(
                    f"the viewer's library {name} cannot be loaded ({error}); run: {INSTALL}"
                ) from error
    raise NoViewer(f"the viewer is not installed; run: {INSTALL}")


@contextmanager
def _quiet() -> Iterator[None]:
    """Keeps what the library prints and warns of off the terminal: it is told in our words."""
    with redirect_stdout(io.StringIO()), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield
