"""What a proof writes down: every check with its worst deviation, every disagreement in words."""

from __future__ import annotations

from dataclasses import dataclass, field

SMALL = 1e-6  # mm: a thousandth of a micrometre; nothing in a shop can tell that apart


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Two accounts of one thing that differ.

    >>> print(Disagreement("a.dxf", "units", "4 (mm)", "1 (inch)"))
    a.dxf: units: expected 4 (mm), found 1 (inch)
    """

    file: str
    what: str
    expected: str
    found: str

    def __str__(self) -> str:
        return f"{self.file}: {self.what}: expected {self.expected}, found {self.found}"


@dataclass(slots=True)
class Tally:
    """How often one thing was checked in one file, and the worst it was off."""

    count: int = 0
    worst: float | None = None
    allowed: float | None = None
    unit: str = ""


@dataclass(slots=True)
class Ledger:
    """The checks of one file, in the order they were first made."""

    file: str
    tallies: dict[str, Tally] = field(default_factory=dict)
    disagreements: list[Disagreement] = field(default_factory=list)

    def near(
        self,
        kind: str,
        expected: float,
        found: float,
        allowed: float = SMALL,
        unit: str = "mm",
        what: str = "",
    ) -> bool:
        """Hold two numbers against each other; `what` says more precisely which."""
        off = abs(found - expected)
        tally = self.tallies.setdefault(kind, Tally(allowed=allowed, unit=unit))
        tally.count += 1
        tally.worst = max(tally.worst or 0.0, off)
        agrees = off <= allowed  # false for a number that is none
        if not agrees:
            self.wrong(what or kind, _number(expected, unit), _number(found, unit))
        return agrees

    def same(self, kind: str, expected: object, found: object, what: str = "") -> bool:
        """Hold two words or whole numbers against each other."""
        self.tallies.setdefault(kind, Tally()).count += 1
        if expected != found:
            self.wrong(what or kind, str(expected), str(found) if found != "" else "nothing")
        return expected == found

    def wrong(self, what: str, expected: str, found: str) -> None:
        """Write a disagreement down."""
        self.disagreements.append(Disagreement(self.file, what, expected, found))


def _number(value: float, unit: str) -> str:
    return f"{value:.9g} {unit}".rstrip()
