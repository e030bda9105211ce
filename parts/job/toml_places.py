"""Where every key and value of a TOML text stands, so that a message can point at it.

The text has already been accepted by `tomllib`, so the scanner needs no error handling: it only
walks over what is known to be well formed.
"""

import re
import tomllib
from dataclasses import dataclass, field
from typing import NamedTuple

Path = tuple[str | int, ...]
DEEPEST = 24  # of a path; no key of a job file lies deeper than 8


class Span(NamedTuple):
    """Offsets in the text: the first character and the one after the last."""

    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Places:
    """Spans of keys and of values by path; items of arrays count from 0 in a path.

    Paths end at `DEEPEST` names; what lies deeper has the place of what holds it.

    The span of a table's value is the header or the inline table that opens it.
    """

    keys: dict[Path, Span] = field(default_factory=dict)
    values: dict[Path, Span] = field(default_factory=dict)


_SPACE = re.compile(r"[ \t]*")
_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(
    r'''"""(?:\\.|[^\\])*?"{3,5}(?!")|\'\'\'.*?'{3,5}(?!')|"(?:\\.|[^"\\\n])*"|'[^'\n]*\'''',
    re.DOTALL,
)
_SCALAR = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2} [0-9]{2}:[^\s,\]}#]+|[^\s,\]}#]+"  # a date-time has a space
)


def toml_places(text: str) -> Places:
    """Places of all keys and values in `text`, which `tomllib` has accepted.

    >>> places = toml_places('[stock.plate]\\nthickness = "16ga"\\n')
    >>> places.values["stock", "plate", "thickness"]
    Span(start=26, end=32)
    """
    scanner = _Scanner(text)
    scanner.document()
    return scanner.places


class _Scanner:
    """A cursor over the text; each method starts at the cursor and leaves it after its item."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.places = Places()
        self.items: dict[Path, int] = {}  # how many [[headers]] each array of tables has had

    def document(self) -> None:
        table: Path = ()
        self._skip(_BLANK)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self._header()
            else:
                self._pair(table)
            self._skip(_BLANK)

    def _header(self) -> Path:
        start = self.at
        is_item = self.text.startswith("[[", start)
        self.at += 2 if is_item else 1
        names = self._key()
        self._skip(_SPACE)
        self.at += 2 if is_item else 1
        path: Path = ()
        for name, span in names[:-1]:
            path = self._newest(*path, name)[:DEEPEST]
            self.places.keys.setdefault(path, span)
            self.places.values.setdefault(path, Span(start, self.at))
        name, span = names[-1]
        path = (*path, name)[:DEEPEST]
        self.places.keys[path] = span
        if is_item:
            self.places.values.setdefault(path, Span(start, self.at))
            self.items[path] = self.items.get(path, 0) + 1
            path = self._newest(*path)
            self.places.keys[path] = span
        self.places.values[path] = Span(start, self.at)
        return path

    def _newest(self, *path: str | int) -> Path:
        """The path, or that of the newest item if it is an array of tables."""
        return (*path, self.items[path] - 1) if path in self.items else path

    def _pair(self, table: Path) -> None:
        """`key = value`, the key possibly dotted."""
        names = self._key()
        path = table
        for name, span in names[:-1]:
            path = (*path, name)[:DEEPEST]
            self.places.keys.setdefault(path, span)
            self.places.values.setdefault(path, span)
        name, span = names[-1]
        path = (*path, name)[:DEEPEST]
        self.places.keys[path] = span
        self._skip(_SPACE)
        self.at += 1  # the =
        self._skip(_SPACE)
        self._value(path)

    def _key(self) -> list[tuple[str, Span]]:
        names = []
        while True:
            self._skip(_SPACE)
            start = self.at
            if self.text[start] in "\"'":
                self._skip(_STRING)
                name = tomllib.loads(f"name = {self.text[start : self.at]}")["name"]
            else:
                self._skip(_BARE_KEY)
                name = self.text[start : self.at]
            names.append((name, Span(start, self.at)))
            self._skip(_SPACE)
            if self.text[self.at] != ".":
                return names
            self.at += 1

    def _value(self, path: Path) -> None:
        start = self.at
        if self.text[start] == "[":
            self._array(path)
        elif self.text[start] == "{":
            self._inline_table(path)
        else:
            self._skip(_STRING if self.text[start] in "\"'" else _SCALAR)
        self.places.values[path] = Span(start, self.at)

    def _array(self, path: Path) -> None:
        index = 0
        while not self._closed("]"):
            self._value((*path, index)[:DEEPEST])
            index += 1

    def _inline_table(self, path: Path) -> None:
        while not self._closed("}"):
            self._pair(path)

    def _closed(self, bracket: str) -> bool:
        """Step over the opening bracket or a comma; True (and past it) at the closing bracket."""
        self._skip(_BLANK)
        if self.text[self.at] in "[{,":
            self.at += 1
            self._skip(_BLANK)
        if self.text[self.at] == bracket:
            self.at += 1
            return True
        return False

    def _skip(self, pattern: re.Pattern[str]) -> None:
        if found := pattern.match(self.text, self.at):
            self.at = found.end()
