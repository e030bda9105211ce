"""What is printed of a part: lines that fit, columns that line up, hands kept apart."""

from __future__ import annotations

import re
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from parts.building import Built
from parts.part import Part
from parts.report import Figure, Finding, Severity, Table
from parts.telling import told, told_built


def part(**given: Any) -> Part:
    return Part(**{
        "job": "job", "name": "thing", "kind": "kind", "made_on": None, "pieces": (),
        "figures": (), "findings": (), "cautions": (), **given,
    })  # fmt: skip


Rows = dict[str, tuple[float | None, ...]]


def table(columns: tuple[str, ...], rows: Rows, **more: Any) -> Table:
    return Table("gaps", "mm", columns, tuple(rows.items()), **more)


def lines_of(shown: Table) -> list[str]:
    lines = list(told(part(tables=(shown,))))
    return lines[lines.index(next(line for line in lines if "gaps" in line)) + 1 :]


def test_the_numbers_of_a_column_end_below_one_another() -> None:
    shown = table(("disc", "body side"), {"at ride": (5.0, 36.8), "up": (112, None)})
    head, *rows = lines_of(shown)
    assert [line.split() for line in rows] == [["at", "ride", "5.00", "36.80"], ["up", "112.00"]]
    ends = [m.end() for m in re.finditer(r"disc|body side", head)]
    assert [m.end() for m in re.finditer(r"\d+\.\d+", rows[0])] == ends
    assert [m.end() for m in re.finditer(r"\d+\.\d+", rows[1])] == ends[:1]


def test_what_was_not_computed_is_left_empty() -> None:
    _, row = lines_of(table(("disc", "band", "rail"), {"moved": (1.0, None, 2.0)}))
    _, full = lines_of(table(("disc", "band", "rail"), {"moved": (1.0, 1.0, 2.0)}))
    assert row.split() == ["moved", "1.00", "2.00"]
    assert row == full[: full.index("1.00") + 4] + " " * 6 + full[-6:]


def test_changes_carry_their_sign_and_other_columns_do_not() -> None:
    shown = table(("disc", "then least"), {"wider": (4.96, 7.9), "none": (0.001, 2.9)},
                  signed=("disc",), noted="to", notes=("band", "disc"))  # fmt: skip
    *_, wider, none = lines_of(shown)
    assert wider.split() == ["wider", "+4.96", "7.90", "band"]
    assert none.split() == ["none", "0", "2.90", "disc"]


def test_units_of_their_own_stand_under_the_heads() -> None:
    head, units, _ = lines_of(table(("shift", "roll"), {"up": (1.0, 2.0)}, units=("mm", "deg")))
    assert head.split() == ["shift", "roll"]
    assert units.split() == ["mm", "deg"]


@given(
    st.integers(1, 14),
    st.lists(st.text("abc de", min_size=1, max_size=30), min_size=1, max_size=4, unique=True),
    st.floats(-1e4, 1e4),
)
def test_however_many_columns_every_line_fits(wide: int, names: list[str], value: float) -> None:
    columns = tuple(f"box T{i} to T{i + 1}" for i in range(wide))
    shown = table(columns, {name.strip(): (value,) * wide for name in names})
    lines = lines_of(shown)
    assert max(map(len, lines)) <= 100
    numbers = re.findall(r"-?\d+\.\d\d", "\n".join(lines))
    assert numbers == [f"{value:.2f}"] * wide * len(shown.rows)


def test_figures_line_up_and_their_sources_go_on_under_themselves() -> None:
    long = "a rule of the trade that needs many words to be told in full, more than one line has"
    lines = list(told(part(figures=(
        Figure("short", 1.5, "mm", "measured", 0.25), Figure("a rather long name", 12, "deg", long),
        Figure("another", 3, "mm", long),
    ))))  # fmt: skip
    start = lines.index("  figures") + 1
    figures = lines[start:]
    assert max(map(len, lines)) <= 100
    points = [line.index(".") for line in figures if re.match(r"    \w", line)]
    assert len(set(points)) == 1
    assert figures[0].split() == ["short", "1.50", "±", "0.25", "mm", "[measured]"]
    column = figures[1].index("[") + 1
    assert figures[2][:column].strip() == ""
    assert "as above" in figures[-1]
    assert " ".join(line[column:].strip(" []") for line in figures[1:-1]) == long


def test_what_belongs_to_a_hand_is_told_under_it() -> None:
    lines = list(told(part(
        figures=(Figure("width", 1, "mm"), Figure("left: gap", 2, "mm"),
                 Figure("right: gap", 3, "mm")),
        tables=(Table("right: poses", "mm", ("disc",), (("ride", (4.0,)),)),),
    )))  # fmt: skip
    assert [line for line in lines if re.match(r"  \w", line)] == [
        "  figures", "  right", "  poses (mm)", "  left"
    ]  # fmt: skip
    assert lines[lines.index("  right") + 1].split() == ["gap", "3.00", "mm"]
    assert lines[lines.index("  left") + 1].split() == ["gap", "2.00", "mm"]


def test_what_matters_most_is_said_before_anything_else() -> None:
    finding = Finding(Severity.MENTIONS, "here", "this", "that", "do", "me")
    made = part(summary=("the disc limits",), findings=(finding,), figures=(Figure("w", 1, "mm"),))
    for lines in (list(told(made)), list(told_built(made, Built(())))):
        assert lines[2] == "  the disc limits"
