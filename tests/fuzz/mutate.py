"""Job files made wrong: by lines, keys, values, names and bytes."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator, Sequence

from parts import kinds
from parts.job.starter import starter

NUMBERS = (
    "0", "-0.0", "1", "-1", "1e308", "-1e308", "1e-308", "5e-324", "1e400", "nan", "inf", "-inf",
    "0.1", "1e9", "1e6", "99999", "1e-9", "1e-6", "180", "179.99", "90", "89.999999", "360",
    "-90", "45", "2147483648", "9223372036854775808", "1" + "0" * 400, "0x" + "f" * 300,
    "0o17", "0b1", "1_000", "5", "12", "0.001", "700", "2.5", "3000", "30", "-700",
)  # fmt: skip
TEXTS = (
    '""', '" "', '"auto"', '"12 mm"', '"1 3/8 in"', '"412 ± 1"', '"412 ± 0"', '"412 ± 99999"',
    '"1 ± 1e5"', '"1/0 in"', '"2 ft 6 in"', '"16ga"', '"999ga"', '"y = 580"', '"y = 1/0"', '"-3"',
    '"e\\u0301"', '"é"', '"\\u202Eabc"', '"\\u200B"', '"\\u0000"', '"😀"', '"a\\nb"', '"\\t"',
    '"../x"', '"/etc/passwd"', '"CON"', '"NUL"', '"aux.txt"', '"a."', '"a "', '"A"', '"nan"',
    '"' + "x" * 300 + '"', "'''a\nb'''", '"left"', '"right"', '"both"', '"M10"', '"M9"', '"S235"',
    '"12,5"', '"1,000"', '"٣"', '"Ⅷ"', '"10²"', '"½ in"', '"½½ in"', '"6°30\'"', '"90°"',
    '"179°59\'59.9\\""', '"0.0000001 in"', '"99999999999999999999 mm"', '"' + "9" * 58 + ' m"',
)  # fmt: skip
OTHERS = (
    "true", "false", "[]", "{}", "[[]]", "[1]", "[1, 2]", "[0, 0, 0]", "[1, 2, 3, 4]", "[[1, 2]]",
    '["A1"]', '["A1", "A1"]', "{ a = 1 }", "{ A1 = 0 }", "2026-05-04", "07:32:00",
    "2026-05-04T07:32:00Z", "0001-01-01", "9999-12-31", "[" * 30 + "]" * 30,
    "{a=" * 30 + "1" + "}" * 30, "[true, nan, {}]", "[[0, 0], [0, 0]]", "[[0, 10], [10, 0]]",
)  # fmt: skip
NAMES = (
    "A1", "a", "A", "CON", '"../x"', '"/x"', '"aux.txt"', '"a."', '"a "', '""', '" "', '"é"',
    '"e\\u0301"', '"\\u202E"', '"😀"', '"a\\u0000"', '"a-b"', '"A1-A2"', '"A1 x"', '"a.b"', "a.b",
    "x" * 70, "x" * 300, "at", "tape", "kind", "NAME", "1", "1.5", '"\\u200B"', '"%s"', '"{}"',
)  # fmt: skip
LINES = (
    "\ufeff", "\r", "[[points]]", "[parts]", "[job]", "points = 1", "[[bend_book]]",
    "bend_book = 1",
    'x = """', "]", "}", "# \u0000", "# é", "=", "[a", "a.b.c.d.e = 1", "[axle.a.tyre]",
)  # fmt: skip
_KEY = re.compile(r"^(?P<lead>\s*#?)(?P<key>[\w\".-]+)\s*=\s*(?P<value>.*)$")
_VALUE = re.compile(r"-?[0-9]+(?:\.[0-9]+)?|\"[^\"\n]*\"|'[^'\n]*'|\btrue\b|\bfalse\b")


def starters() -> dict[str, str]:
    """A starter of each kind, without its comments."""
    return {kind: _bare(starter(kind)) for kind in kinds.KINDS}


def _bare(text: str) -> str:
    return "\n".join(line for line in text.splitlines() if not line.startswith("#")) + "\n"


def optional_lines() -> tuple[str, ...]:
    """The lines that starters show behind a #, ready for use."""
    lines = (line for kind in kinds.KINDS for line in starter(kind).splitlines())
    return tuple(dict.fromkeys(line[1:] for line in lines if re.match(r"#[\w\[]", line)))


def points_job(chance: random.Random) -> str:
    """A job of a few points alone, measured well, badly or not at all, some on one another."""
    places = [-500, 0, 0, 0, 100, 100, 300.0, 1000]
    count = chance.randint(1, 8)
    at = [[chance.choice(places) for _ in range(3)] for _ in range(count)]
    spreads = chance.choice((("",), ("", " ± 0"), ("", " ± 0.5", " ± 5", " ± 0", " ± 3000")))
    lines = ["[job]", 'name = "points"']
    for i, own in enumerate(at):
        lines.append(f"[points.P{i}]")
        if i and chance.random() < 0.1:
            lines.append(f'mirror_of = "P{chance.randrange(count)}"')
            continue
        if chance.random() < 0.5 or i < 2:
            shown = (f'"{value}{chance.choice(spreads)}"' for value in own)
            lines.append(f"at = [{', '.join(shown)}]")
        elif chance.random() < 0.3:
            k = chance.randrange(3)
            lines.append(f'on = "{"xyz"[k]} = {own[k]}{chance.choice(spreads)}"')
        others = [j for j in range(i) if chance.random() < 0.7]
        tapes = []
        for j in others:
            true = sum((a - b) ** 2 for a, b in zip(own, at[j], strict=True)) ** 0.5
            off = chance.choice((0, 0, 0, chance.gauss(0, 1), chance.gauss(0, 50)))
            read = max(abs(true + off), chance.choice((0.000001, 0.01, 1, 50)))
            tapes.append(f'P{j} = "{read:.6f}{chance.choice(spreads)}"')
        if tapes:
            lines.append(f"tape = {{ {', '.join(tapes)} }}")
            if chance.random() < 0.2:
                lines.append(f'drop = ["P{chance.choice(others)}"]')
        if chance.random() < 0.3:
            side = chance.choice(("front", "rear", "left", "right", "above", "below"))
            lines.append(f'side = "{side}"')
    return "\n".join(lines) + "\n"


def optional_by_section() -> Iterator[tuple[str, str]]:
    """Each optional line of the starters with the section that it belongs to."""
    for kind in kinds.KINDS:
        section = ""
        for line in starter(kind).splitlines():
            bare = line.removeprefix("#")
            if bare.startswith("["):
                section = _section(bare)
            elif re.match(r"#\w+ =", line):
                yield section, bare


def _section(header: str) -> str:
    """What a header opens, whatever its name.

    >>> _section("[axle.rear.tyre]"), _section("[parts.link_tab]")
    ('axle tyre', 'parts')
    """
    first, *more = header.strip("[]").split(".")
    return " ".join((first, *more[1:]))


class Mutator:
    """Changes job files: the one given, or one of the `pool` of good ones."""

    def __init__(self, pool: Sequence[str]) -> None:
        self.optional = optional_lines()
        self.pool = tuple(pool)
        self.by_section: dict[str, tuple[str, ...]] = {}
        for header, line in optional_by_section():
            self.by_section[header] = (*self.by_section.get(header, ()), line)
        self.ways: tuple[Callable[[random.Random, list[str]], None], ...] = (
            self._value, self._value, self._value, self._value, self._number, self._number,
            self._number, self._option, self._option, self._drop, self._twice, self._swap,
            self._header, self._key, self._line, self._cross, self._names,
        )  # fmt: skip

    def __call__(self, text: str, seed: int) -> str:
        """The text with one to four changes."""
        chance = random.Random(seed)
        if chance.random() < 0.2:
            return points_job(chance)
        good = chance.random() < 0.6  # else go on from what came of earlier changes
        lines = (chance.choice(self.pool) if good else text).split("\n")
        mild = chance.random() < 0.5
        for _ in range(chance.choice((1, 1, 1, 2, 2, 3, 4))):
            way = chance.choice((self._number, self._option)) if mild else chance.choice(self.ways)
            way(chance, lines)
        return "\n".join(lines)

    @staticmethod
    def _any(chance: random.Random) -> str:
        pool = chance.choice((NUMBERS, NUMBERS, TEXTS, TEXTS, OTHERS))
        return chance.choice(pool)

    def _with_value(self, chance: random.Random, lines: list[str]) -> int | None:
        rows = [i for i, line in enumerate(lines) if _VALUE.search(line)]
        return chance.choice(rows) if rows else None

    def _value(self, chance: random.Random, lines: list[str]) -> None:
        """Another value for a key, or for one of the values on its line."""
        if (row := self._with_value(chance, lines)) is None:
            return
        if chance.random() < 0.4 and (found := _KEY.match(lines[row])):
            lines[row] = f"{found['key']} = {self._any(chance)}"
            return
        spot = chance.choice(list(_VALUE.finditer(lines[row])))
        lines[row] = lines[row][: spot.start()] + self._any(chance) + lines[row][spot.end() :]

    def _number(self, chance: random.Random, lines: list[str]) -> None:
        """A number that is near, or many times more or less."""
        if (row := self._with_value(chance, lines)) is None:
            return
        spots = list(re.finditer(r"-?[0-9]+(?:\.[0-9]+)?", lines[row]))
        if not spots:
            return
        spot, factor = (
            chance.choice(spots),
            chance.choice((0.01, 0.1, 0.5, 0.9, 1.1, 2, 10, 100, -1)),
        )
        value = float(spot[0]) * factor if chance.random() < 0.8 else chance.uniform(-2000, 2000)
        shown = f"{value:.6g}"
        lines[row] = lines[row][: spot.start()] + shown + lines[row][spot.end() :]

    def _option(self, chance: random.Random, lines: list[str]) -> None:
        """A line more: mostly a key in a section that has it, as the starters show it."""
        keys = {found["key"] for line in lines if (found := _KEY.match(line))}
        sections = [i for i, line in enumerate(lines) if line.startswith("[")]
        if not sections or chance.random() < 0.3:
            lines.insert(chance.randint(0, len(lines)), chance.choice(self.optional))
            return
        row = chance.choice(sections)
        fitting = self.by_section.get(_section(lines[row]), self.optional)
        lines.insert(
            row + 1, chance.choice([o for o in fitting if o.split(" ")[0] not in keys] or fitting)
        )

    @staticmethod
    def _drop(chance: random.Random, lines: list[str]) -> None:
        if len(lines) > 1:
            del lines[chance.randrange(len(lines))]

    @staticmethod
    def _twice(chance: random.Random, lines: list[str]) -> None:
        lines.insert(chance.randint(0, len(lines)), chance.choice(lines))

    @staticmethod
    def _swap(chance: random.Random, lines: list[str]) -> None:
        one, two = chance.randrange(len(lines)), chance.randrange(len(lines))
        lines[one], lines[two] = lines[two], lines[one]

    @staticmethod
    def _header(chance: random.Random, lines: list[str]) -> None:
        """Another name in a section's header."""
        rows = [i for i, line in enumerate(lines) if line.startswith("[") and "." in line]
        if rows:
            row = chance.choice(rows)
            section = lines[row].strip("[]").split(".")[0]
            lines[row] = f"[{section}.{chance.choice(NAMES)}]"

    @staticmethod
    def _key(chance: random.Random, lines: list[str]) -> None:
        rows = [i for i, line in enumerate(lines) if _KEY.match(line)]
        if rows:
            row = chance.choice(rows)
            lines[row] = f"{chance.choice(NAMES)} = {lines[row].split('=', 1)[1].strip()}"

    @staticmethod
    def _line(chance: random.Random, lines: list[str]) -> None:
        lines.insert(chance.randint(0, len(lines)), chance.choice(LINES))

    @staticmethod
    def _names(chance: random.Random, lines: list[str]) -> None:
        """One quoted text put in the place of another, such as a point for a point."""
        texts = re.findall(r"\"[^\"\n]*\"", "\n".join(lines))
        rows = [i for i, line in enumerate(lines) if '"' in line and re.search(r"\"[^\"]*\"", line)]
        if texts and rows:
            row = chance.choice(rows)
            spot = chance.choice(list(re.finditer(r"\"[^\"]*\"", lines[row])))
            lines[row] = (
                lines[row][: spot.start()] + chance.choice(texts) + lines[row][spot.end() :]
            )

    def _cross(self, chance: random.Random, lines: list[str]) -> None:
        other = chance.choice(self.pool).split("\n")
        start = chance.randrange(len(other))
        lines[chance.randint(0, len(lines)) :] = other[start:]
