"""A part in words, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING

from parts.part import Measurement, Part, Piece, Spot, thickness_words
from parts.report import Figure, Table, digits
from parts.trade.screening import Screen

if TYPE_CHECKING:
    from parts.building import Built

WIDTH = 96
COLUMNS = 100  # that figures and tables may reach to
HEAD = 9  # letters of a table's head before it goes on in the line below
MOST_NOTE = 40  # letters of a note beside its row; longer ones stand below it
LEAST_ROOM = 24  # letters of a figure's source on one line, however long its name
FEW = 4  # figures of a piece that are told in one line
UNCHECKED = 0.005  # share of a reading that the others check, below which it is shown as none
COMPUTED = "computed from"  # figures that are plain geometry need no source beside them
HANDS = ("right", "left")
Column = tuple[list[str], list[str]]  # lines of its head, and its cells


def told(part: Part) -> Iterator[str]:
    """Lines for a person: what limits, points, measured values, then what belongs to no hand and
    to each hand, findings, cautions."""
    yield f"{part.job} / {part.name} ({part.kind})" + (f": {part.note}" if part.note else "")
    yield from _summary(part)
    yield from told_spots(part.spots)
    yield from told_measurements(part.measurements)
    for hand in ("", *HANDS):
        yield from _of_hand(part, hand)
    yield from _findings(part)
    yield from _cautions(part)


def _summary(part: Part) -> Iterator[str]:
    if part.summary:
        yield ""
        for sentence in part.summary:
            yield from _folded(sentence, "  ")


def _of_hand(part: Part, hand: str) -> Iterator[str]:
    """Figures, tables and pieces of one hand, or of none."""
    figures = [(rest, f) for f in part.figures for of, rest in [_hand_of(f.name)] if of == hand]
    tables = [(rest, t) for t in part.tables for of, rest in [_hand_of(t.title)] if of == hand]
    if figures or (tables and hand):
        yield ""
        yield f"  {hand or 'figures'}"
    yield from _figures(figures)
    for title, table in tables:
        yield from _table(title, table)
    few = False  # whether the piece before was told in short, so that no line parts it from this
    for piece in part.pieces:
        if piece.hand == hand:
            short = len(piece.figures) <= FEW and not piece.screens
            if not (short and few):
                yield ""
            yield from _piece(piece, short)
            few = short


def _hand_of(name: str) -> tuple[str, str]:
    """The hand that a name begins with, or "", and the rest of it.

    >>> _hand_of("left: band inside radius"), _hand_of("tyre: width")
    (('left', 'band inside radius'), ('', 'tyre: width'))
    """
    hand, _, rest = name.partition(": ")
    return (hand, rest) if hand in HANDS else ("", name)


def told_built(part: Part, built: Built) -> Iterator[str]:
    """Lines for a person about a part that was built: what limits, findings, cautions, files."""
    yield f"{part.job} / {part.name}: built and proved"
    yield from _summary(part)
    yield from _findings(part)
    yield from _cautions(part)
    yield from _files(built)


def told_unchanged(part: Part, kept: Sequence[Path]) -> Iterator[str]:
    """Lines for a person about a part whose files were there already."""
    yield (
        f"{part.job} / {part.name}: nothing has changed; its {len(kept)} files in "
        f"{kept[0].parent.as_posix()} still hold"
    )
    yield from _summary(part)
    yield from _findings(part)
    yield from _cautions(part)


def told_whole(job: str, built: Built) -> Iterator[str]:
    """Lines for a person about the papers of a whole job."""
    yield ""
    if built.unchanged:
        yield f"{job}: nothing has changed in the papers of the whole job"
    else:
        yield f"{job}: papers of the whole job, proved"
    yield from _files(built)


def _files(built: Built) -> Iterator[str]:
    for title, names in (
        ("files", [path.as_posix() for path in built.files]),
        ("files of an earlier build from the same measurements, which still hold",
         [path.as_posix() for path in built.kept]),
        ("files of an earlier build that were removed, because the job has changed since",
         list(built.removed)),
        ("left as it was, for no build made it: do not cut from it unchecked",
         [path.as_posix() for path in built.own]),
    ):  # fmt: skip
        if names:
            yield ""
            yield f"  {title}"
            yield from (f"    {name}" for name in names)


def told_left(folder: Path) -> str:
    """Said where nothing was written, of what lies there."""
    return f"the files of an earlier build are still in {folder.as_posix()}: do not cut from them"


def told_spots(spots: tuple[Spot, ...]) -> Iterator[str]:
    """The solved points, with their 95 % half widths."""
    if not spots:
        return
    yield ""
    yield "  points solved (mm, ± at 95 %)       X rearward         Y right              Z up"
    for spot in spots:
        row = "".join(
            f"{value:11.1f} ± {spread:<5.2f}"
            for value, spread in zip(spot.at, spot.plus_minus, strict=True)
        )
        yield f"    {spot.name:<22}{row}"


def told_measurements(measurements: tuple[Measurement, ...]) -> Iterator[str]:
    """What was measured, and how far the others would have it from that."""
    if not measurements:
        return
    yield ""
    yield "  measured (mm)              reading      ±   the others would add   checked by them"
    shown = [one for one in measurements if one.plus_minus >= 0.001]  # less is the datum itself
    for one in shown:
        reading = f"    {one.name:<22}{one.measured:9.1f}{one.plus_minus:7.2f}"
        if _unchecked(one):
            yield f"{reading}{'-':>17}{'-':>12}"
        else:
            checked = "" if one.redundancy is None else f"{100 * one.redundancy:10.0f} %"
            aside = "" if one.used else "   set aside"
            yield f"{reading}{one.residual + 0.0:+17.2f}{checked}{aside}"
    if unchecked := sum(map(_unchecked, shown)):
        which = "these readings" if unchecked == len(shown) else "a reading marked -"
        yield f"    nothing checks {which}: a misread would not show; add a distance"


def _unchecked(one: Measurement) -> bool:
    """Whether the other readings say nothing about this one: its residual is 0 whatever it is."""
    return one.used and one.redundancy is not None and one.redundancy < UNCHECKED


def _piece(piece: Piece, short: bool) -> Iterator[str]:
    """A piece; in `short` its few figures are told in one line, without their sources."""
    stock = piece.stock
    yield (
        f"  {piece.hand} {piece.name}".rstrip()
        + f": {stock.material.name}, {thickness_words(stock.thickness)} mm, {piece.quantity} off; "
        f"drawn face {piece.faces}"
    )
    if short:
        yield from _folded("; ".join(map(_in_short, piece.figures)), "    ")
    else:
        yield from _figures([(figure.name, figure) for figure in piece.figures])
    yield from _screens(piece.screens)


def _screens(screens: Sequence[Screen]) -> Iterator[str]:
    """Screening row by row, the assumed loads first and once each, the least reserve named."""
    if not screens:
        return
    yield "    screening, not a proof: against an assumed load"
    notes = [_parted(screen.note) for screen in screens]
    different = dict.fromkeys(load for _, load in notes if load)
    loads = {load: chr(ord("a") + number) for number, load in enumerate(different)}
    for load, letter in loads.items():
        yield from _folded(load, f"      ({letter}) ")
    wide = max(len(screen.name) for screen in screens)
    least = min(screens, key=lambda screen: screen.reserve)
    for screen, (words, load) in zip(screens, notes, strict=True):
        mark = f" ({loads[load]})" if load else ""
        row = (
            f"      {screen.name:<{wide}} {screen.found:7.1f} {screen.limit_words:<8} "
            f"{screen.limit:7.1f} {screen.unit:<4} reserve {min(screen.reserve, 99.99):5.2f}{mark}"
        )
        yield row + (" least" if screen is least and len(screens) > 1 else "")
        if words:
            yield from _folded(words, "          ")


def _parted(note: str) -> tuple[str, str]:
    """What a screen's note says of itself, and the load it assumes."""
    words, _, load = note.rpartition("assumed: ") if "assumed: " in note else (note, "", "")
    return words.strip().removesuffix(";"), load


def _in_short(figure: Figure) -> str:
    return str(figure).replace(": ", " ", 1)



def _table(title: str, table: Table) -> Iterator[str]:
    """A table with its columns as wide as their heads and cells; those that find no room beside
    the others stand below them, with the rows named again."""
    unit = "" if table.units else f" ({table.unit})"
    source = f"   [{table.source}]" if table.source else ""
    yield ""
    yield from _folded(f"{title}{unit}{source}", "  ")
    rows = range(len(table.rows))
    columns = []
    for number, head in enumerate(table.columns):
        above = wrap(head, HEAD, break_long_words=False)
        above += [table.unit_of[number]] if any(table.units) else []
        columns.append((above, [table.cell(row, number) for row in rows]))
    names, notes = [name for name, _ in table.rows], [*table.notes] if any(table.notes) else []
    first, last = max(map(len, names)), max(map(len, [table.noted, *notes]))
    below = last > MOST_NOTE
    groups = _side_by_side(columns, COLUMNS - first - 6 - (0 if below else last))
    for number, group in enumerate(groups):
        if number:
            yield ""
        ending = notes if group is groups[-1] else []
        if ending and not below:
            group = [*group, ([table.noted], notes)]
        high = max(len(above) for above, _ in group)
        stacks = [_stacked([], names, high, "<")]
        stacks += [_stacked(*column, high, "<" if column[1] is notes else ">") for column in group]
        for line, cells in enumerate(zip(*stacks, strict=True), -high):
            yield f"    {'  '.join(cells)}".rstrip()
            if below and ending and line >= 0 and ending[line]:
                yield from _folded(ending[line], " " * 8)


def _stacked(head: Sequence[str], cells: Sequence[str], high: int, way: str) -> list[str]:
    """A column of a table, `high` lines of head and its cells, all of one width."""
    lines = [*[""] * (high - len(head)), *head, *cells]
    wide = max(map(len, lines))
    return [f"{line:{way}{wide}}" for line in lines]


def _side_by_side(columns: Sequence[Column], room: int) -> list[list[Column]]:
    """Columns in groups that are no wider than the room, two spaces before each."""
    groups: list[list[Column]] = [[]]
    used = 0
    for head, cells in columns:
        wide = 2 + max(map(len, [*head, *cells]))
        if groups[-1] and used + wide > room:
            groups.append([])
            used = 0
        groups[-1].append((head, cells))
        used += wide
    return groups


def _figures(figures: Sequence[tuple[str, Figure]]) -> Iterator[str]:
    """Figures under the names to show, in columns, each with its source behind it."""
    values = [digits(figure.value, figure.unit) for _, figure in figures]
    spreads = [
        "" if f.plus_minus is None else f" ± {digits(f.plus_minus, f.unit)}" for _, f in figures
    ]
    wide = max((len(name) for name, _ in figures), default=0)
    apart = max(map(len, spreads), default=0)
    before = ""
    for (name, figure), value, spread in zip(figures, values, spreads, strict=True):
        line = f"    {name:<{wide}}{value:>10}{spread:<{apart}} {figure.unit:<3}"
        source = "" if figure.source.startswith(COMPUTED) else figure.source
        if source:
            yield from _hung(f"{line}  [", f"{source}]", source == before)
        else:
            yield line.rstrip()
        before = source


def _hung(line: str, words: str, again: bool) -> list[str]:
    """A line with words behind it, which go on under themselves where they find no room; said
    `again` they are not told in so many lines."""
    lines = wrap(words, max(COLUMNS, len(line) + LEAST_ROOM), initial_indent=line,
                 subsequent_indent=" " * len(line))  # fmt: skip
    return [f"{line}as above]"] if again and len(lines) > 1 else lines


def _findings(part: Part) -> Iterator[str]:
    if not part.findings:
        return
    yield ""
    yield "  findings"
    for finding in sorted(part.findings, key=lambda found: not found.refuses):
        yield from _folded(str(finding), "    - ")


def _cautions(part: Part) -> Iterator[str]:
    if not part.cautions:
        return
    yield ""
    yield "  cautions"
    for caution in part.cautions:
        yield from _folded(caution, "    - ")


def _folded(text: str, bullet: str) -> list[str]:
    return wrap(text, WIDTH, initial_indent=bullet, subsequent_indent=" " * len(bullet))
