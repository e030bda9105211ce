"""The text of a job file, read; what is no TOML is answered with the right spelling."""

import re
import stat
import tomllib
from collections.abc import Iterator, Mapping
from datetime import date
from math import inf
from pathlib import Path

from parts.job.errors import JobError, Problem, Source
from parts.job.toml_places import Places, Span, toml_places
from parts.kinds.fields import Loc
from parts.trade.lengths import LengthError, parse_angle, parse_measured

MOST_BYTES = 1_000_000  # some twenty thousand lines; the readings of a whole car take two hundred
MOST_NAMES = 50  # in one dotted key; no key of a job file has more than seven
MOST_ITEMS = 500  # of a list: an outline traced by card has twenty
LARGEST = 1e9  # number of any unit
_DIGITS = 4300  # a whole number of more is not read


def read_source(path: Path) -> tuple[Source, dict[str, object]]:
    """The file's text with its places, and the data in it; raises `JobError`."""
    text = _text(path)
    plain = Source(str(path), text, Places())
    if chain := _CHAIN.search(text):
        raise JobError(
            [
                plain.problem_at(
                    Span(*chain.span()),
                    "",
                    f"a key has more than {MOST_NAMES} names with points between",
                    "begin a new section, and put texts in quotes",
                )
            ]
        )
    try:
        data: dict[str, object] = tomllib.loads(text)
        source = Source(str(path), text, toml_places(text))
        if too_large := list(_too_large((), data, source)):
            raise JobError(too_large)
        return source, data
    except tomllib.TOMLDecodeError as error:
        raise JobError([_syntax_problem(str(path), text, str(error))]) from None
    except RecursionError:
        raise _unreadable(
            str(path), "has brackets inside brackets without end", "close each list after its items"
        ) from None
    except ValueError:  # of a whole number
        found = re.search(rf"[0-9][0-9_]{{{_DIGITS},}}", text)
        span = Span(*found.span()) if found else Span(0, 0)
        raise JobError([plain.problem_at(span, "", *_LARGE)]) from None


_LARGE = ("nothing on a vehicle comes to so much", "write it in the field's unit: lengths in mm")
_NAME = r"""(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+"""
_CHAIN = re.compile(rf"(?<![\w.-])(?:{_NAME}\.[ \t]*+){{{MOST_NAMES},}}+")


def _too_large(at: Loc, value: object, source: Source) -> Iterator[Problem]:
    """Numbers that are no measure of anything, and lists without end, wherever they stand."""
    if isinstance(value, Mapping):
        for name, inner in value.items():
            yield from _too_large((*at, name), inner, source)
    elif isinstance(value, list) and len(value) > MOST_ITEMS:
        remedy = f"write at most {MOST_ITEMS}: the ones that matter"
        yield source.problem(at, f"has {len(value)} items", remedy)
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from _too_large((*at, number), inner, source)
    elif isinstance(value, int | float) and LARGEST < abs(value) != inf:
        yield source.problem(at, *_LARGE)


def _text(path: Path) -> str:
    """The file's text, without a byte order mark; line ends stay as they are."""
    file = str(path)
    try:
        mode = path.stat().st_mode
        if not stat.S_ISREG(mode) and not stat.S_ISDIR(mode):
            raise _unreadable(
                file, "is a device or a pipe", "save the job in a file, and name that"
            )
        with path.open("rb") as opened:
            data = opened.read(MOST_BYTES + 1)
        if len(data) > MOST_BYTES:
            most = f"a job file has at most {MOST_BYTES // 1000} kB"
            raise _unreadable(file, "is too large", f"{most}: check that this is one")
        return data.decode("utf-8-sig")
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
_ITEM = re.compile(r"(?:^|[\[,])[ \t]*(?P<value>[^,\[\]{}#=\"\n]+)")
_DATE = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})|(\d{1,4})[./-](\d{1,2})[./-](\d{1,4})")
_NUMBERS = (  # a number or word as it is written elsewhere: what is wrong, what would be right
    (r"([+-]?)(\.\d+)", "a number needs a digit before its point", r"write \g<1>0\2"),
    (r"([+-]?\d+)\.", "a number needs a digit after its point", r"write \1.0"),
    (r"([+-]?\d+),(\d+)", "a number has a point, not a comma", r"write \1.\2"),
    (r"[+-]?0+(\d+(?:\.\d+)?)", "a number does not begin with 0", r"write \1"),
    (r"(\d+(?:[ -]\d+)?/\d+)", "a fraction needs its unit, and quotes", r'write "\1 in"'),
    (r"(?i:true|yes|on)", "this is no value", "write true"),
    (r"(?i:false|no|off)", "this is no value", "write false"),
)


def _spelling(text: str, at: int) -> tuple[Span, str, str] | None:
    """Where the value at `at` is spelt wrongly, with what is wrong and how it should be spelt.

    Looks at `key = value` on the line that holds `at`, such as a length without its quotes.
    """
    start = text.rfind("\n", 0, at) + 1
    stop = text.find("\n", at)
    stop = stop if stop >= 0 else len(text)
    for found in _VALUE.finditer(text, start, stop):
        value = found["value"].strip()
        span = Span(found.start("value"), found.start("value") + len(value))
        if value and span.start <= at <= span.end + 1:
            return _respelt(span, value)
    for found in _ITEM.finditer(text, start, stop):  # of a list
        value = found["value"].strip()
        span = Span(found.start("value"), found.start("value") + len(value))
        if span.start <= at <= span.end and (_is_quantity(value) or _DATE.fullmatch(value)):
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
    if found := _DATE.fullmatch(value):
        return span, *_date(*found.groups())
    for pattern, message, remedy in _NUMBERS:
        if found := re.fullmatch(pattern, value):
            return span, message, found.expand(remedy)
    if _is_quantity(value):
        quote = "'" if '"' in value else '"'
        return span, "a value with a unit needs quotes", f"write {quote}{value}{quote}"
    if re.fullmatch(r"[A-Za-z_][\w .-]*", value):
        return span, "a text needs quotes", f'write "{value}"'
    return None


def _date(*numbers: str | None) -> tuple[str, str]:
    """What is wrong with a date, and how it is written, for the numbers that `_DATE` found."""
    year, month, day = numbers[:3]
    if year is None or month is None or day is None:
        return "a date is written year-month-day", "write it such as 2026-05-04"
    try:
        date(int(year), int(month), int(day))
    except ValueError:
        return "there is no such date", "write year-month-day, such as 2026-05-04"
    return "a date has two digits for month and day", f"write {year}-{month:0>2}-{day:0>2}"


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
