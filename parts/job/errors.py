"""What is wrong with a job file, where in it, and what would be right.

A `Problem` renders as `file:line:column: field: what is wrong; what would be right`, then the line
itself with carets under the culprit. A `JobError` carries all the problems of a file at once.
"""

import re
import tomllib
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from parts.job.toml_places import Places, Span, toml_places
from parts.kinds.fields import Loc
from parts.trade.lengths import LengthError, parse_angle, parse_measured

_TAB = 4  # columns


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
        field = f"{self.field}: " if self.field else ""
        sentence = _printable(f"{where}: {field}{self.message}; {self.remedy}")
        if not self.line:
            return sentence
        indent = _width(self.source_line[: self.column - 1])
        carets = _width(self.source_line[: self.end_column - 1]) - indent
        shown = _printable(self.source_line)
        return f"{sentence}\n  {shown}\n  {' ' * indent}{'^' * max(carets, 1)}"


class JobError(Exception):
    """The job file cannot be used; `problems` holds everything that is wrong, by position."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(set(problems)))
        super().__init__("\n\n".join(map(str, self.problems)))


@dataclass(frozen=True, slots=True)
class Source:
    """The text of a job file and the places of its keys and values."""

    file: str
    text: str
    places: Places

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
        line = self.text.count("\n", 0, span.start) + 1
        start = self.text.rfind("\n", 0, span.start) + 1
        source_line = self.text[start:].split("\n", 1)[0].rstrip("\r")
        end = min(span.end - start, len(source_line)) + 1
        column = span.start - start + 1
        return Problem(self.file, line, column, end, field, message, remedy, source_line)


def read_source(path: Path) -> tuple[Source, dict[str, object]]:
    """The file's text with its places, and the data in it; raises `JobError`."""
    text = _text(path)
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise JobError([_syntax_problem(str(path), text, str(error))]) from None
    return Source(str(path), text, toml_places(text)), data


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


def _text(path: Path) -> str:
    """The file's text, without a byte order mark; line ends stay as they are."""
    file = str(path)
    try:
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise _unreadable(file, "there is no such file", "check the name and the folder") from None
    except IsADirectoryError:
        raise _unreadable(file, "is a folder", "name the job file in it") from None
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        raise _unreadable(
            file, f"is not UTF-8 text at line {line}", "save it as UTF-8 in your editor"
        ) from None
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        raise _unreadable(file, f"cannot be read: {reason}", "check the file") from None


def _unreadable(file: str, message: str, remedy: str) -> JobError:
    return JobError([Problem(file, 0, 0, 0, "", message, remedy)])


# Syntax errors

_AT = re.compile(r" \(at line (\d+), column (\d+)\)$")
_PLAIN = (  # beginning of tomllib's message: what is wrong, what would be right
    ("Cannot declare", "the section is given twice", "keep one, with all its keys"),
    ("Cannot mutate", "the section was closed before", "keep all its keys in one place"),
    ("Expected '=' after a key", "there is no = after the key", "write key = value"),
    ("Expected ']", "the section's bracket is not closed", "write [section] or [[section]]"),
    ("Unclosed array", "the list is not closed", "write ] after its last item"),
    ("Unclosed inline table", "the braces are not closed", "write } after the last value"),
    ("Unterminated string", "the text is not closed", "end it with the quote it began with"),
    ("Illegal character '\\n'", "the text is not closed", "end it with the quote it began with"),
    ("Illegal character '\\r'", "the text is not closed", "end it with the quote it began with"),
    ("Unescaped '\\'", "a \\ in double quotes has a meaning of its own", "use single quotes"),
    ("Invalid statement", "no key begins here", "write key = value or [section]"),
    ("Invalid initial character for a key", "a key is expected here", "write key = value"),
    ("Invalid value", "this is no value", "write a number, a quoted text, true or false"),
    ("Expected newline", "something follows the value", "begin a new line, or quote the text"),
)


def _syntax_problem(file: str, text: str, error: str) -> Problem:
    """The problem of a text that is not TOML, from tomllib's message."""
    source = Source(file, text, Places())
    reason = _AT.sub("", error).removesuffix(" (at end of document)")
    if found := _AT.search(error):
        lines = text.replace("\r\n", "\n").split("\n")
        start = sum(len(line) + 1 for line in lines[: int(found[1]) - 1])
        at = start + int(found[2]) - 1
        source = Source(file, text.replace("\r\n", "\n"), Places())
    else:
        at = len(text.rstrip())
    if reason.startswith("Cannot overwrite a value"):
        start = source.text.rfind("\n", 0, at) + 1
        key = source.text[start:at].split("=")[0]
        indent = len(key) - len(key.lstrip(" \t["))
        span = Span(start + indent, start + len(key.rstrip(" \t]")))
        return source.problem_at(span, "", "the key is given twice", "keep one of the two")
    if advice := _spelling(source.text, at):
        return source.problem_at(advice[0], "", *advice[1:])
    for beginning, message, remedy in _PLAIN:
        if reason.startswith(beginning):
            return source.problem_at(Span(at, at + 1), "", message, remedy)
    return source.problem_at(Span(at, at + 1), "", f"is not TOML: {reason.lower()}", "correct it")


_VALUE = re.compile(r"(?P<key>[\w.\"'-]+)[ \t]*[=:][ \t]*(?P<value>(?:[^,\[\]{}#\n]|,(?=\d))*)")
_NUMBERS = (  # a number or word as it is written elsewhere: what is wrong, what would be right
    (r"([+-]?)(\.\d+)", "a number needs a digit before its point", r"write \g<1>0\2"),
    (r"([+-]?\d+)\.", "a number needs a digit after its point", r"write \1.0"),
    (r"([+-]?\d+),(\d+)", "a number has a point, not a comma", r"write \1.\2"),
    (r"[+-]?0+(\d+(?:\.\d+)?)", "a number does not begin with 0", r"write \1"),
    (r"(?i:true|yes|on)", "this is no value", "write true"),
    (r"(?i:false|no|off)", "this is no value", "write false"),
)


def _spelling(text: str, at: int) -> tuple[Span, str, str] | None:
    """Where the value at `at` is spelt wrongly, with what is wrong and how it should be spelt.

    Looks at `key = value` on the line that holds `at`, such as a length without its quotes.
    """
    start = text.rfind("\n", 0, at) + 1
    stop = text.find("\n", at)
    for found in _VALUE.finditer(text, start, stop if stop >= 0 else len(text)):
        value = found["value"].strip()
        span = Span(found.start("value"), found.start("value") + len(value))
        if value and span.start <= at <= span.end + 1:
            return _respelt(span, value)
    return None


def _respelt(span: Span, value: str) -> tuple[Span, str, str] | None:
    inner = value.strip("“”‘’")
    if value[0] == '"' and value.count('"') > 2:
        return span, "an inch sign ends a text in double quotes", f"write '{value[1:-1]}'"
    if value[0] in "“”‘’":
        return span, "these quotes are for letters", f'write "{inner}"'
    if value[0] in "\"'":
        return None
    for pattern, message, remedy in _NUMBERS:
        if found := re.fullmatch(pattern, value):
            return span, message, found.expand(remedy)
    if _is_quantity(value):
        quote = "'" if '"' in value else '"'
        return span, "a value with a unit needs quotes", f"write {quote}{value}{quote}"
    if re.fullmatch(r"[A-Za-z_][\w .-]*", value):
        return span, "a text needs quotes", f'write "{value}"'
    return None


def _is_quantity(value: str) -> bool:
    if re.fullmatch(r"\d+\s*(ga|gauge|gage)\.?", value, re.IGNORECASE):
        return True
    for parse in (parse_measured, parse_angle):
        try:
            parse(value)
        except LengthError:
            continue
        return not re.fullmatch(r"[0-9.]+", value)
    return False
