"""What is wrong with a job file, where in it, and what would be right.

A `Problem` renders as `file:line:column: field: what is wrong; what would be right`, then the line
itself with carets under the culprit. A `JobError` carries all the problems of a file at once.
"""

import re
import unicodedata
from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, field

from parts.job.toml_places import Places, Span
from parts.kinds.fields import Loc

_TAB = 4  # columns
_LONGEST_LINE = 100  # characters of a line that are shown
_LONGEST_SENTENCE = 1000  # characters
MOST_TOLD = 40  # problems; more of them are only counted
ENOUGH = 100  # problems of one section, from which on no more are looked for


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing wrong in a job file. Line and column count from 1; 0 is the file as a whole.

    >>> print(Problem("job.toml", 3, 5, 7, "t", "is odd", "write 2", "t = 03 # mm"))
    job.toml:3:5: t: is odd; write 2
      t = 03 # mm
          ^^
    """

    file: str
    line: int
    column: int
    end_column: int
    field: str
    message: str
    remedy: str
    source_line: str = ""

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}:{self.column}" if self.line else self.file
        sentence = _printable(f"{where}: {self.sentence}")
        if not self.line:
            return sentence
        line, start, end = _window(self.source_line, self.column - 1, self.end_column - 1)
        indent = _width(line[:start])
        carets = _width(line[:end]) - indent
        return f"{sentence}\n  {_printable(line)}\n  {' ' * indent}{'^' * max(carets, 1)}"

    def as_dict(self) -> dict[str, str | int]:
        """The problem as plain data: where it is, what is wrong, what would be right."""
        return {
            "file": self.file,
            "line": self.line,
            "column": self.column,
            "field": self.field,
            "message": self.message,
            "remedy": self.remedy,
        }

    @property
    def sentence(self) -> str:
        """Field, what is wrong and what would be right; names that fill lines are shortened."""
        field = f"{self.field}: " if self.field else ""
        return _shortened(f"{field}{self.message}; {self.remedy}")


class JobError(Exception):
    """The job file cannot be used; `problems` holds everything that is wrong, by position.

    Its text tells the first `MOST_TOLD` of them and counts the others.
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(set(problems)))
        told = [str(problem) for problem in self.problems[:MOST_TOLD]]
        if more := len(self.problems) - len(told):
            told.append(f"and {more} more; correct these first")
        super().__init__("\n\n".join(told))


@dataclass(frozen=True, slots=True)
class Source:
    """The text of a job file and the places of its keys and values."""

    file: str
    text: str
    places: Places
    starts: tuple[int, ...] = field(init=False, repr=False, compare=False)  # of the lines

    def __post_init__(self) -> None:
        ends = (found.end() for found in re.finditer("\n", self.text))
        object.__setattr__(self, "starts", (0, *ends))

    def problem(self, loc: Loc, message: str, remedy: str, *, at_key: bool = False) -> Problem:
        """A problem with the field at `loc`, at its value, its key, or the nearest table."""
        for length in range(len(loc), -1, -1):
            path = loc[:length]
            whole = length == len(loc)
            first, second = (self.places.values, self.places.keys)
            if at_key or not whole:
                first, second = second, first
            if span := first.get(path) or second.get(path):
                return self.problem_at(span, field_name(loc), message, remedy)
        return self.problem_at(Span(0, 0), field_name(loc), message, remedy)

    def problem_at(self, span: Span, field: str, message: str, remedy: str) -> Problem:
        """A problem at a span of the text; carets stay on its first line."""
        line = bisect_right(self.starts, span.start)
        start = self.starts[line - 1]
        stop = self.starts[line] - 1 if line < len(self.starts) else len(self.text)
        source_line = self.text[start:stop].rstrip("\r")
        end = min(span.end - start, len(source_line)) + 1
        column = span.start - start + 1
        return Problem(self.file, line, column, end, field, message, remedy, source_line)


def field_name(loc: Loc) -> str:
    """A field as it is shown: rows and items count from 1.

    >>> field_name(("bend_book", 0, "die"))
    'bend_book #1 die'
    """
    name = ""
    for part in loc:
        if isinstance(part, int):
            name += f" #{part + 1}"
            continue
        part = part if part.isprintable() and part else repr(part)
        if "#" in name.rpartition(" ")[2]:
            name += f" {part}"
        else:
            name += f".{part}" if name else part
    return name


def _shortened(text: str) -> str:
    """The text with its very long words, and what is quoted at great length, cut."""
    for long in (r"(?<![^\s([])'[^']{81,}'", r"\S{61,}"):
        text = re.sub(long, lambda found: f"{found[0][:40]}…{found[0][-8:]}", text)
    if len(text) > _LONGEST_SENTENCE:
        half = _LONGEST_SENTENCE // 2
        return f"{text[:half]}…{text[-half:]}"
    return text


def _window(line: str, start: int, end: int) -> tuple[str, int, int]:
    """The part of a long line that holds its columns `start` to `end`, and these in it."""
    if len(line) <= _LONGEST_LINE:
        return line, start, end
    first = max(0, min(start - 20, len(line) - _LONGEST_LINE))
    lead = "…" if first else ""
    shown = line[first : first + _LONGEST_LINE]
    tail = "…" if first + _LONGEST_LINE < len(line) else ""
    start, end = start - first + len(lead), end - first + len(lead)
    return lead + shown + tail, start, min(end, len(lead + shown))


def _width(text: str) -> int:
    """Columns that a text takes on a screen: tabs to the next stop, East Asian wide as two."""
    width = 0
    for character in text:
        if character == "\t":
            width += _TAB - width % _TAB
        elif unicodedata.combining(character):
            continue
        else:
            width += 2 if unicodedata.east_asian_width(character) in "WF" else 1
    return width


def _printable(text: str) -> str:
    """A line with spaces for its tabs and a mark for every character that would not print."""
    shown = ""
    for character in text:
        if character == "\t":
            shown += " " * (_TAB - _width(shown) % _TAB)
        else:
            shown += character if character.isprintable() else "�"
    return shown
