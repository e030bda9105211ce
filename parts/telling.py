"""A part in words, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from parts.part import Measurement, Part, Piece, Spot
from parts.report import Figure, digits

WIDTH = 96
COMPUTED = "computed from"  # figures that are plain geometry need no source beside them


def told(part: Part) -> Iterator[str]:
    """Lines for a person: points, measured values, pieces, findings, cautions."""
    yield f"{part.job} / {part.name} ({part.kind})" + (f": {part.note}" if part.note else "")
    yield from told_spots(part.spots)
    yield from told_measurements(part.measurements)
    for piece in part.pieces:
        yield from _piece(piece)
    yield from _findings(part)
    if part.cautions:
        yield ""
        yield "  cautions"
        for caution in part.cautions:
            yield from _folded(caution, "    - ")


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
    for one in measurements:
        if one.plus_minus < 0.001:
            continue  # the datum itself
        checked = "" if one.redundancy is None else f"{100 * one.redundancy:10.0f} %"
        aside = "" if one.used else "   set aside"
        yield (
            f"    {one.name:<22}{one.measured:9.1f}{one.plus_minus:7.2f}{one.residual + 0.0:+17.2f}"
            f"{checked}{aside}"
        )


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
                f"      {screen.name:<40}{screen.found:9.1f} against {screen.limit:8.1f} "
                f"{screen.unit:<4} reserve {min(screen.reserve, 99.99):5.2f}{note}"
            )


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


def _folded(text: str, bullet: str) -> list[str]:
    return wrap(text, WIDTH, initial_indent=bullet, subsequent_indent=" " * len(bullet))
