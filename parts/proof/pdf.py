"""What a PDF page says, read from its own drawing commands by another library than wrote it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from parts.proof.ledger import Ledger

MM = 72 / 25.4
PIECES = 64  # chords to a Bezier curve: within 0.002 mm at 22.5 degrees of a radius of 500

Matrix = NDArray[np.float64]  # (3, 3), acting on columns (x, y, 1)
Points = NDArray[np.float64]  # (n, 2)


@dataclass(frozen=True, eq=False)
class Drawn:
    """One stroked or filled path: its points as the command has them, and on the page in mm."""

    own: Points
    on_page: Points


@dataclass(frozen=True, eq=False)
class Pane:
    """A clipped part of a page: its rectangle in mm, what maps its own mm to the page's, and
    what is drawn in it."""

    low: Points
    high: Points
    move: Matrix
    drawn: list[Drawn]


@dataclass(frozen=True, eq=False)
class Sheet:
    """One page: size in mm, its words, what is drawn outside its panes, and the panes."""

    size: tuple[float, float]
    text: str
    drawn: list[Drawn]
    panes: list[Pane]


@dataclass(slots=True)
class _State:
    move: Matrix
    pane: Pane | None = None


@dataclass(slots=True)
class _Path:
    runs: list[list[Points]] = field(default_factory=list)

    def points(self) -> Points:
        return np.vstack([np.vstack(run) for run in self.runs]) if self.runs else np.empty((0, 2))


def sheets_of(path: Path, ledger: Ledger) -> list[Sheet]:
    """The pages of a file; none, and a word in the ledger, where it has none to be read."""
    try:
        sheets = read_pdf(path)
    except (ValueError, OSError) as reason:
        ledger.wrong("the file", "a PDF of sheets", str(reason))
        return []
    ledger.same("sheets", "some", "some" if sheets else "none")
    return sheets


def read_pdf(path: Path) -> list[Sheet]:
    """The pages of a file. Raises ValueError where it is no PDF that can be read."""
    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    try:
        reader = PdfReader(path)
        return [_sheet(page) for page in reader.pages]
    except (PyPdfError, KeyError, IndexError) as reason:
        raise ValueError(f"cannot be read as PDF: {reason}") from None


def _sheet(page: Any) -> Sheet:
    """One page: its commands are followed while the library puts its words together."""
    follower = _Follower()
    text = page.extract_text(visitor_operand_before=follower.follow) or ""
    box = page.mediabox
    size = (float(box.width) / MM, float(box.height) / MM)
    return Sheet(size, text, follower.drawn, follower.panes)


class _Follower:
    """Collects what a page's commands draw, outside its panes and in them."""

    def __init__(self) -> None:
        self.drawn: list[Drawn] = []
        self.panes: list[Pane] = []
        self.stack: list[_State] = []
        self.state, self.path, self.clip = _State(np.eye(3)), _Path(), False

    def follow(self, name: bytes, values: Any, *_: object) -> None:
        """The next command and what it is given."""
        if name == b"q":
            self.stack.append(_State(self.state.move.copy(), self.state.pane))
        elif name == b"Q":
            self.state = self.stack.pop()
        elif name == b"cm":
            a, b, c, d, e, f = map(float, values)
            self.state.move = self.state.move @ np.array([[a, c, e], [b, d, f], [0, 0, 1]])
            pane = self.state.pane
            if pane is not None and not pane.drawn:  # how the pane is set up
                pane.move[:] = self.state.move
        elif name in (b"W", b"W*"):
            self.clip = True
        elif name in (b"m", b"l", b"c", b"re", b"h"):
            _extend(self.path, name, list(map(float, values)))
        elif name in (b"n", b"S", b"s", b"f", b"f*", b"B", b"B*", b"b", b"b*"):
            self._end(name == b"n")

    def _end(self, unseen: bool) -> None:
        """A path is drawn, or makes the border of a pane, or neither."""
        own, state = self.path.points(), self.state
        if self.clip and len(own):
            on_page = _moved(state.move, own)
            state.pane = Pane(on_page.min(axis=0), on_page.max(axis=0), state.move.copy(), [])
            self.panes.append(state.pane)
        elif not unseen and len(own):
            into = self.drawn if state.pane is None else state.pane.drawn
            into.append(Drawn(own, _moved(state.move, own)))
        self.path, self.clip = _Path(), False


def _moved(move: Matrix, points: Points) -> Points:
    return (points @ move[:2, :2].T + move[:2, 2]) / MM


def _extend(path: _Path, name: bytes, values: list[float]) -> None:
    if name == b"m":
        path.runs.append([np.array([values])])
    elif name == b"re":
        x, y, w, h = values
        corners = [[x, y], [x + w, y], [x + w, y + h], [x, y + h], [x, y]]
        path.runs.append([np.array(corners)])
    elif name == b"l":
        path.runs[-1].append(np.array([values]))
    elif name == b"h":
        path.runs[-1].append(path.runs[-1][0][:1])
    else:
        ends = np.array(values).reshape(3, 2)
        path.runs[-1].append(_bezier(path.runs[-1][-1][-1], *ends))


def _bezier(a: Points, b: Points, c: Points, d: Points) -> Points:
    t = np.linspace(0, 1, PIECES + 1)[1:, None]
    s = 1 - t
    return np.asarray(s**3 * a + 3 * s**2 * t * b + 3 * s * t**2 * c + t**3 * d)


def runs_between(drawn: list[Drawn], on_page: bool = False) -> Iterator[tuple[Points, Points]]:
    """The straight pieces of what is drawn, in its own mm or the page's: starts (n, 2) and ends
    (n, 2)."""
    for one in drawn:
        points = one.on_page if on_page else one.own
        if len(points) > 1:
            yield points[:-1], points[1:]
