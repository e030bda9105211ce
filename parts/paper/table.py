"""Tables and paragraphs as blocks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from parts.paper import pdf
from parts.paper.layout import DROP, RISE, Block
from parts.paper.page import Anchor, Mark, Stroke, Words
from parts.paper.pens import RULE
from parts.sheet.curve import Line

HEIGHT = 2.5
LINE = (RISE + DROP) * HEIGHT + 0.4  # from one line of words to the next
CELL = 1.0  # mm free on either side of a cell's words
TITLE = 3.5


@dataclass(frozen=True, slots=True)
class Column:
    """A column's head, a word a line, and on which side its cells stand."""

    head: tuple[str, ...]
    anchor: Anchor = "right"


def table(title: str, columns: Sequence[Column], rows: Sequence[Sequence[str]]) -> Block:
    """A ruled table under its title."""
    wide = [
        max(pdf.width(words, HEIGHT, bold) for words, bold in _cells(columns[k], rows, k))
        + 2 * CELL
        for k in range(len(columns))
    ]
    deep = max(len(column.head) for column in columns)
    across = max(sum(wide), pdf.width(title, TITLE, bold=True))
    wide[wide.index(max(wide))] += across - sum(wide)
    head_high, row_high = deep * LINE + 1.0, LINE + 1.0
    high = head_high + len(rows) * row_high
    marks: list[Mark] = [
        Words(title, (0.0, high + 1.2 + DROP * TITLE), TITLE, bold=True),
    ]
    for k in range(len(rows) + 1):
        y = k * row_high
        marks.append(Stroke((Line((0.0, y), (across, y)),), RULE))
    marks.append(Stroke((Line((0.0, high), (across, high)),), RULE))
    x = 0.0
    for k, column in enumerate(columns):
        marks.append(Stroke((Line((x, 0.0), (x, high)),), RULE))
        for line, words in enumerate(column.head):
            y = high - 0.5 - line * LINE - RISE * HEIGHT
            marks.append(Words(words, (x + CELL, y), HEIGHT, bold=True))
        for number, row in enumerate(rows):
            y = high - head_high - (number + 1) * row_high + 0.7 + DROP * HEIGHT
            at = x + CELL if column.anchor == "left" else x + wide[k] - CELL
            marks.append(Words(row[k], (at, y), HEIGHT, column.anchor))
        x += wide[k]
    marks.append(Stroke((Line((x, 0.0), (x, high)),), RULE))
    return Block(across, high + 1.2 + (RISE + DROP) * TITLE, tuple(marks))


def _cells(column: Column, rows: Sequence[Sequence[str]], k: int) -> Iterator[tuple[str, bool]]:
    yield from ((words, True) for words in column.head)
    yield from ((row[k], False) for row in rows)


def most_rows(high: float, columns: Sequence[Column]) -> int:
    """How many rows a table of that height holds; never less than one."""
    deep = max(len(column.head) for column in columns)
    left = high - 1.2 - (RISE + DROP) * TITLE - deep * LINE - 1.0
    return max(1, int(left / (LINE + 1.0)))


def paragraph(title: str, sentences: Iterable[str], wide: float, height: float = HEIGHT) -> Block:
    """Sentences under a title, each begun on a new line and broken at the width."""
    lines: list[tuple[str, float, bool]] = []
    if title:
        lines += [(line, TITLE, True) for line in wrapped(title, wide, TITLE, bold=True)]
    for sentence in sentences:
        lines += [(line, height, False) for line in wrapped(sentence, wide, height)]
    return stacked(lines, wide)


def stacked(lines: Iterable[tuple[str, float, bool]], wide: float) -> Block:
    """Lines of words (text, height, bold) from the top down, in a block of that width."""
    y, marks = 0.0, []
    for text, height, bold in lines:
        y -= RISE * height
        marks.append(Words(text, (0.0, y), height, bold=bold))
        y -= DROP * height + 0.4
    high = -y - 0.4 if marks else 0.0
    lifted = tuple(Words(m.text, (0.0, m.at[1] + high), m.height, bold=m.bold) for m in marks)
    return Block(wide, high, lifted)


def wrapped(text: str, wide: float, height: float, bold: bool = False) -> list[str]:
    """Lines of whole words that keep to the width; a word longer than it is broken.

    >>> wrapped("cut on the line", 20, 2.5)
    ['cut on the', 'line']
    """
    lines: list[str] = []
    line = ""
    for word in text.split():
        joined = f"{line} {word}" if line else word
        if pdf.width(joined, height, bold) <= wide:
            line = joined
            continue
        if line:
            lines.append(line)
        while pdf.width(word, height, bold) > wide and len(word) > 1:
            cut = next(k for k in range(len(word) - 1, 0, -1)
                       if k == 1 or pdf.width(word[:k], height, bold) <= wide)  # fmt: skip
            lines.append(word[:cut])
            word = word[cut:]
        line = word
    return [*lines, line] if line else lines
