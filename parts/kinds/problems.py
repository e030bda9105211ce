"""What a config's validators say is wrong, and the 'did you mean' for a name that is unknown."""

import difflib
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice

from parts.tables import folded

Loc = tuple[str | int, ...]
_COMPARED = 400  # names that one is compared with: it takes time
_LONGEST = 200  # characters of a name that may be a misspelt one


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


def did_you_mean(name: str, names: Iterable[str], most: int | None = 12) -> str:
    """The remedy for an unknown name: the nearest known one, or a list, of `most` at most.

    >>> did_you_mean("mild_stel", ["mild_steel", "aluminium"])
    "did you mean 'mild_steel'?"
    """
    known = list(names)
    if near := nearest(name, known):
        return f"did you mean {near!r}?"
    return known_names(known, most)


def known_names(names: Iterable[str], most: int | None = None) -> str:
    """The remedy that lists the known names.

    >>> known_names(["S235", "S275", "S355"], most=2)
    'known: S235, S275, ...'
    """
    known = list(names)
    if not known:
        return "none is defined"
    listed = ", ".join(known[:most])
    return f"known: {listed}" + (", ..." if len(known) > len(known[:most]) else "")


def nearest(name: str, names: Iterable[str], likeness: float = 0.6) -> str | None:
    """The one of `names` that `name` was most likely meant to be, or None.

    `likeness` is the least ratio of `difflib` that counts. A name that differs in its digits
    alone is another thing, not a slip of the pen, unless two neighbours of a longer number
    changed places or the end of a single possible name is missing.

    >>> nearest("Bolt-Pitch", ["plate", "bolt_pitch"]), nearest("S253", ["S235", "S355"])
    ('bolt_pitch', 'S235')
    >>> nearest("S23", ["S235", "S235JR", "S355"]), nearest("S23", ["S235", "S239"])
    ('S235', None)
    >>> nearest("M11", ["M10", "M12"])
    """
    plain = {folded(known): known for known in islice(names, _COMPARED)}
    if len(name) > _LONGEST:
        return None
    wanted = folded(name)
    for swapped in (wanted, *_digits_swapped(wanted)):
        if swapped in plain:
            return plain[swapped]
    if cut_short := _begun(wanted, plain):
        return plain[cut_short]
    found = difflib.get_close_matches(wanted, plain, 1, likeness)
    if not found or _without_digits(found[0]) == _without_digits(wanted):
        return None
    return plain[found[0]]


def _begun(name: str, names: Iterable[str]) -> str | None:
    """The shortest of the names that begin with three letters or more, if all go on from it."""
    if len(name) < 3:
        return None
    longer = sorted((known for known in names if known.startswith(name)), key=len)
    return longer[0] if longer and all(n.startswith(longer[0]) for n in longer) else None


def _digits_swapped(name: str) -> Iterator[str]:
    """The name with two neighbours swapped in one of its numbers of three digits or more."""
    for number in re.finditer(r"[0-9]{3,}", name):
        for i in range(number.start(), number.end() - 1):
            yield name[:i] + name[i + 1] + name[i] + name[i + 2 :]


def _without_digits(name: str) -> str:
    return "".join(character for character in name if not character.isdigit())
