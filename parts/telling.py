"""A part in words, for the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from textwrap import wrap

from parts.part import Measurement, Part, Piece, Spot
from parts.report import Figure, Table, digits
from parts.trade.screening import Screen

WIDTH = 96
UNCHECKED = 0.005  # share of a reading that the others check, below which it is shown as none
COMPUTED = "computed from"  # figures that are plain geometry need no source beside them


def told(part: Part) -> Iterator[str]:
    """Lines for a person: points, measured values, pieces, findings, cautions."""
    yield f"{part.job} / {part.name} ({part.kind})" + (f": {part.note}" if part.note else "")
    yield from told_spots(part.spots)
    yield from told_measurements(part.measurements)
    if part.figures:
        yield ""
        yield "  figures"
        yield from (_figure(figure) for figure in part.figures)
    for table in part.tables:
        yield from _table(table)
    for piece in part.pieces:
        yield from _piece(piece)
    yield from _findings(part)
    yield from _cautions(part)


def told_built(
    part: Part, files: Iterable[Path], kept: Iterable[Path] = (), removed: Iterable[str] = ()
) -> Iterator[str]:
    """Lines for a person about a part that was built: findings, cautions, and then the files."""
    yield f"{part.job} / {part.name}: built and proved"
    yield from _findings(part)
    yield from _cautions(part)
    yield ""
    yield "  files"
    yield from (f"    {path.as_posix()}" for path in files)
    for title, names in (
        ("files of an earlier build from the same measurements, which still hold",
         [path.as_posix() for path in kept]),
        ("files of an earlier build that were removed, because the job has changed since",
         list(removed)),
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


def _piece(piece: Piece) -> Iterator[str]:
    stock = piece.stock
    yield ""
    yield (
        f"  {piece.hand} {piece.name}".rstrip()
        + f": {stock.material.name}, {stock.thickness:g} mm, {piece.quantity} off; drawn face "
        f"{piece.faces}"
    )
    for figure in piece.figures:
        yield _figure(figure)
    if piece.screens:
        yield "    screening, not a proof: against an assumed load"
        for screen in piece.screens:
            note = f"   {screen.note}" if screen.note else ""
            yield (
                f"      {screen.name:<40}{screen.found:9.1f} {_limit(screen)} {screen.limit:8.1f} "
                f"{screen.unit:<4} reserve {min(screen.reserve, 99.99):5.2f}{note}"
            )


def _limit(screen: Screen) -> str:
    """What the limit of a screen is: the reserve is over 1 on its good side."""
    if abs(screen.found - screen.limit) < 1e-6 * abs(screen.limit):
        return "limit   "
    return "at most " if (screen.found < screen.limit) == screen.holds else "at least"


def _table(table: Table) -> Iterator[str]:
    """A table with its columns as wide as their heads need."""
    yield ""
    source = f"   [{table.source}]" if table.source else ""
    yield f"  {table.title} ({table.unit}){source}"
    first = max(len(name) for name, _ in table.rows) + 4
    wide = [max(len(head), 8) + 3 for head in table.columns]
    heads = (f"{head:>{width}}" for head, width in zip(table.columns, wide, strict=True))
    yield " " * first + "".join(heads)
    for name, values in table.rows:
        cells = (
            f"{'' if value is None else digits(value, table.unit):>{width}}"
            for value, width in zip(values, wide, strict=True)
        )
        yield f"    {name:<{first - 4}}{''.join(cells)}"


def _figure(figure: Figure) -> str:
    spread = "" if figure.plus_minus is None else f" ± {digits(figure.plus_minus, figure.unit)}"
    source = "" if figure.source.startswith(COMPUTED) else f"   [{figure.source}]"
    value = digits(figure.value, figure.unit)
    return f"    {figure.name:<42}{value:>10}{spread} {figure.unit}{source}"


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
