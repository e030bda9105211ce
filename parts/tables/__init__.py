"""Numbers from the world: one CSV file per subject, every row naming its source."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from types import MappingProxyType

Row = Mapping[str, str]


class UnknownName(ValueError):
    """A name that a table does not hold; the message offers the nearest ones.

    >>> str(UnknownName("material", "mild stel", "materials.csv", ["mild steel", "S235"]))
    "material 'mild stel' is not in materials.csv; did you mean mild steel?"
    """

    def __init__(self, what: str, wanted: str, where: str, known: Iterable[str]) -> None:
        known = list(dict.fromkeys(known))
        near = _nearest(wanted, known)
        hint = f"did you mean {' or '.join(near)}?" if near else f"it holds {', '.join(known)}"
        super().__init__(f"{what} {wanted!r} is not in {where}; {hint}")


@cache
def rows(name: str) -> tuple[Row, ...]:
    """Every row of `name`.csv, in order, as read-only mappings from column to text.

    A cell may be blank; a row with a cell too many or too few, or without a source, raises
    ValueError with its line. A table that does not exist raises UnknownName.

    >>> rows("dies")[0]["die_v_mm"]
    '4'
    """
    file = files(__name__).joinpath(f"{name}.csv")
    if not file.is_file():
        raise UnknownName("table", name, "the tables", _table_names())
    return _parsed(name, file.read_text(encoding="utf-8"))


def find(
    name: str, wanted: str, column: str = "name", also: str | None = None, what: str | None = None
) -> Row:
    """The first row whose `column` is `wanted`; case, spaces and hyphens do not matter.

    `also` names a column of other spellings, parted by bars; `what` is the word for a row in
    the message of UnknownName, which this raises.

    >>> find("materials", "Mild_Steel")["family"]
    'steel'
    >>> find("materials", "5052", also="also_called")["name"]
    '5052-H32'
    """
    key = folded(wanted)
    for row in rows(name):
        if folded(row[column]) == key:
            return row
    for row in rows(name):
        if also and key in {folded(other) for other in row[also].split("|")}:
            return row
    known = [row[column] for row in rows(name)]
    raise UnknownName(what or column, wanted, f"{name}.csv", known)


def folded(text: str) -> str:
    """A name stripped to what tells it from others.

    >>> folded(" Mild_steel ") == folded("mild steel") == folded("MILD-STEEL")
    True
    """
    return " ".join(text.casefold().replace("_", " ").replace("-", " ").split())


def _nearest(wanted: str, known: list[str]) -> list[str]:
    spelling = {name.casefold(): name for name in known}
    return [spelling[key] for key in get_close_matches(wanted.casefold(), spelling, 3, 0.6)]


def _table_names() -> list[str]:
    return sorted(f.name[:-4] for f in files(__name__).iterdir() if f.name.endswith(".csv"))


def _parsed(name: str, text: str) -> tuple[Row, ...]:
    reader = csv.reader(text.splitlines(), strict=True)
    head = next(reader, [])
    if "source" not in head or len(set(head)) < len(head):
        raise ValueError(f"{name}.csv: the columns must differ and one must be 'source'")
    found: list[Row] = []
    for cells in reader:
        if len(cells) != len(head):
            raise ValueError(
                f"{name}.csv, line {reader.line_num}: {len(cells)} cells; needs {len(head)}"
            )
        row = dict(zip(head, cells, strict=True))
        if not row["source"].strip():
            raise ValueError(f"{name}.csv, line {reader.line_num}: the row names no source")
        found.append(MappingProxyType(row))
    return tuple(found)
