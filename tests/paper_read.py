"""Words and strokes of a PDF page, read from its drawing commands, for tests of papers.

The boxes round the words come from the widths that the PDF's own fonts carry.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray
from pypdf import PdfReader
from pypdf.generic import ContentStream
from shapely import LineString, Polygon, STRtree

MM = 72 / 25.4  # points
PIECES = 48  # chords to a curve: within 0.002 mm at 22.5 degrees of a radius of 200
# DejaVu Sans in its own units of 1/2048 of the type's size: capitals 1493 high, deepest letters
# -483, brackets and accents left out (from memory of the font's tables)
CAPITAL, DEEP = 1493 / 2048, -483 / 2048


Points: TypeAlias = NDArray[np.float64]  # (n, 2), or a matrix (3, 3)


@dataclass(frozen=True, eq=False)
class Word:
    """A run of letters: its height of capitals, mm, and the box round it on the page."""

    text: str
    height: float
    box: Polygon


@dataclass(frozen=True, eq=False)
class PageRead:
    """One page: size in mm, words in the order they are drawn, and strokes as they are drawn."""

    size: tuple[float, float]
    words: tuple[Word, ...]
    strokes: tuple[Points, ...]

    @property
    def texts(self) -> list[str]:
        return [word.text for word in self.words]


def read_pages(path: Path) -> list[PageRead]:
    """The pages of a file."""
    reader = PdfReader(path)
    return [_Read(reader, page).page() for page in reader.pages]


class _Read:
    """One pass through a page's commands."""

    def __init__(self, reader: PdfReader, page: Any) -> None:
        self.commands = ContentStream(page.get_contents(), reader).operations
        self.size = (float(page.mediabox.width) / MM, float(page.mediabox.height) / MM)
        self.fonts = {
            name: _Font(font.get_object())
            for name, font in page["/Resources"]["/Font"].items()
            if "/FirstChar" in font.get_object()  # not the one that every page starts with
        }
        self.words: list[Word] = []
        self.strokes: list[Points] = []

    def page(self) -> PageRead:
        stack: list[Points] = []
        move, text_move, path = np.eye(3), np.eye(3), _Path()
        font, size, run, long = "", 0.0, "", 0.0
        for values, name in self.commands:
            if name == b"q":
                stack.append(move)
            elif name == b"Q":
                move = stack.pop()
            elif name == b"cm":
                move = move @ _matrix(values)
            elif name in b"m l c h".split():
                path.extend(name, [float(value) for value in values])
            elif name in b"S s f f* B B* b b*".split():
                self.strokes.append(_on_page(move, path.points()))
                path = _Path()
            elif name == b"BT":
                text_move, run, long = np.eye(3), "", 0.0
            elif name == b"Tm":
                text_move = _matrix(values)
            elif name == b"Tf":
                font, size = str(values[0]), float(values[1])
            elif name == b"Tj":
                codes = values[0].original_bytes
                run += "".join(self.fonts[font].letters.get(code, "?") for code in codes)
                long += sum(self.fonts[font].widths[code] for code in codes) * size / 1000
            elif name == b"ET" and run.strip():
                self.words.append(_word(move @ text_move, run, long, size))
            assert name not in (b"re", b"Do", b"TJ"), f"{name!r} is not read here"
        return PageRead(self.size, tuple(self.words), tuple(self.strokes))


def _word(move: Points, run: str, long: float, size: float) -> Word:
    low, high = DEEP * size, CAPITAL * size
    box = np.array([(0.0, low), (long, low), (long, high), (0.0, high)])
    across = float(np.hypot(*move[:2, 0])) / MM
    return Word(run, CAPITAL * size * across, Polygon(_on_page(move, box)))


def _on_page(move: Points, points: Points) -> Points:
    return np.asarray((points @ move[:2, :2].T + move[:2, 2]) / MM)


class _Path:
    """A path as points, curves in chords."""

    def __init__(self) -> None:
        self.runs: list[Points] = []
        self.start = np.zeros(2)

    def extend(self, name: bytes, values: list[float]) -> None:
        given = np.array(values).reshape(-1, 2)
        if name == b"m":
            self.start = given[0]
        if name == b"h":
            self.runs.append(self.start[None])
        elif name == b"c":
            a, (b, c, d) = self.runs[-1][-1], given
            t = np.linspace(0, 1, PIECES + 1)[1:, None]
            s = 1 - t
            self.runs.append(s**3 * a + 3 * s**2 * t * b + 3 * s * t**2 * c + t**3 * d)
        else:
            self.runs.append(given)

    def points(self) -> Points:
        return np.vstack(self.runs)


def _matrix(values: Any) -> Points:
    a, b, c, d, e, f = map(float, values)
    return np.array([[a, c, e], [b, d, f], [0, 0, 1]])


class _Font:
    """Widths in 1/1000 of the size, and letters, by code."""

    def __init__(self, font: Any) -> None:
        first = int(font["/FirstChar"])
        self.widths = {first + k: float(wide) for k, wide in enumerate(font["/Widths"])}
        self.letters: dict[int, str] = {}
        table = font["/ToUnicode"].get_object().get_data().decode("latin-1")
        for block in table.split("beginbfrange")[1:]:
            for line in block.split("endbfrange")[0].splitlines():
                self._range(line)
        for block in table.split("beginbfchar")[1:]:
            for line in block.split("endbfchar")[0].splitlines():
                code, _, letter = line.partition("> <")
                if letter:
                    self.letters[int(code.strip("< "), 16)] = chr(int(letter.strip("> "), 16))

    def _range(self, line: str) -> None:
        """Letters of a line `<first> <last> <letter>`, or `<first> <last> [<letter> ...]`."""
        codes = [int(word, 16) for word in re.findall(r"<(\w+)>", line)]
        if "[" in line:
            self.letters.update((codes[0] + k, chr(code)) for k, code in enumerate(codes[2:]))
        elif len(codes) == 3:
            first, last, letter = codes
            self.letters.update((first + k, chr(letter + k)) for k in range(last - first + 1))


def touching(page: PageRead) -> list[str]:
    """What words lie on other words, or on a stroke: one sentence each."""
    boxes = [word.box for word in page.words]
    tree, found = STRtree(boxes), []
    for k, box in enumerate(boxes):
        for j in tree.query(box):
            if j > k and box.intersection(boxes[j]).area > 1e-6:
                found.append(f"{page.words[k].text!r} on {page.words[j].text!r}")
    for ends in page.strokes:
        if len(ends) < 2:
            continue
        line = LineString(ends)
        for j in tree.query(line):
            if line.intersection(boxes[j]).length > 1e-6:
                found.append(f"a stroke from {ends[0].round(1)} on {page.words[j].text!r}")
    return found


def outside(page: PageRead, margin: float) -> list[str]:
    """What reaches into the margin, one sentence each."""
    wide, high = page.size
    found = []
    for word in page.words:
        x0, y0, x1, y1 = word.box.bounds
        if x0 < margin or y0 < margin or x1 > wide - margin or y1 > high - margin:
            found.append(word.text)
    for ends in page.strokes:
        past = ends.max(axis=0) - (wide - margin, high - margin)
        if min(ends.min(axis=0)) < margin - 1e-3 or max(past) > 1e-3:
            found.append(f"a stroke from {ends[0].round(1)}")
    return found
