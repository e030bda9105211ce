"""What a config's validators say is wrong, and the 'did you mean' for a name that is unknown."""

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

from parts.tables import folded

Loc = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class FieldProblem:
    """One thing wrong with a field; `loc` leads to it from the model or field that found it."""

    loc: Loc
    message: str
    remedy: str


class FieldProblems(ValueError):
    """Raised by a validator: several problems at once, each pointing at its own key."""

    def __init__(self, *problems: FieldProblem) -> None:
        super().__init__("; ".join(f"{p.message}; {p.remedy}" for p in problems))
        self.problems = problems


def did_you_mean(name: str, names: Iterable[str]) -> str:
    """The remedy for an unknown name: the nearest known one, or all of them.

    >>> did_you_mean("mild_stel", ["mild_steel", "aluminium"])
    "did you mean 'mild_steel'?"
    """
    known = list(names)
    if near := nearest(name, known):
        return f"did you mean {near!r}?"
    if not known:
        return "none is defined"
    listed = ", ".join(known[:12])
    return f"known: {listed}" + (", ..." if len(known) > 12 else "")


def nearest(name: str, names: Iterable[str]) -> str | None:
    """The one of `names` that `name` was most likely meant to be, or None.

    A name that differs in its digits alone is another thing, not a slip of the pen.

    >>> nearest("Bolt-Pitch", ["plate", "bolt_pitch"])
    'bolt_pitch'
    >>> nearest("M11", ["M10", "M12"])
    """
    plain = {folded(known): known for known in names}
    found = difflib.get_close_matches(folded(name), plain, 1, 0.6)
    if not found or _without_digits(found[0]) == _without_digits(folded(name)):
        return plain.get(folded(name))
    return plain[found[0]]


def _without_digits(name: str) -> str:
    return "".join(character for character in name if not character.isdigit())
