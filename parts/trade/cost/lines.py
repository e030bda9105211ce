"""The lines of a cost, one rate after another, and their totals."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from parts.trade.cost.model import (
    COUNTS,
    CostLine,
    CostPiece,
    CostTable,
    Rates,
    SheetUse,
    exact,
)  # fmt: skip


def cost_of(
    rows: Sequence[CostPiece], rates: Rates, sheets: Mapping[str, SheetUse] | None = None
) -> CostTable:
    """What the pieces cost together, for each of COUNTS; `sheets` are those of a nest, by stock.

    Four bends at 2 and a set-up of 10 for the one piece that is bent:

    >>> from parts.trade.cost import cents
    >>> found = cost_of([CostPiece("tab", "tab", "plate", 1, 1.0, 500, 2, 4)],
    ...                 Rates("EUR", bend_each=2, bend_set_up=10))
    >>> [str(cents(amount)) for amount in found.totals[0].amounts]
    ['18.00', '26.00', '42.00', '90.00']
    """
    book = _Book([], [], {})
    for stock in dict.fromkeys(row.stock for row in rows):
        ours = [row for row in rows if row.stock == stock]
        _sheet(book, stock, ours, rates, (sheets or {}).get(stock))
    _waste(book, rates)
    first = len(book.lines)
    for stock in dict.fromkeys(row.stock for row in rows):
        _cutting(book, stock, [row for row in rows if row.stock == stock], rates)
    _up_to(book, first, "cutting, up to the least charge", rates.cut_minimum)
    _bending(book, rows, rates)
    for part in dict.fromkeys(row.part for row in rows):
        _work(book, part, rates)
    _consumables(book, rows, rates)
    totals = tuple(_totals(book, rates))
    return CostTable(rates.currency, tuple(book.lines), totals, tuple(book.missing()))


@dataclass(slots=True)
class _Book:
    """Lines as they are gathered, sentences on what is not in them, and the rates that are
    missing: of what, by what it is for and the keys that would give it."""

    lines: list[CostLine]
    said: list[str]
    lacking: dict[tuple[str, str], list[str]]

    def add(self, name: str, amount: Callable[[int], Decimal], formula: str) -> None:
        """A line with the amount that the function gives for so many off."""
        self.lines.append(CostLine(name, tuple(amount(count) for count in COUNTS), formula))

    def lacks(self, what: str, keys: str, of: str = "") -> None:
        self.lacking.setdefault((what, keys), []).append(of)

    def missing(self) -> Iterator[str]:
        """What is not in the lines, in sentences."""
        for (what, keys), of in self.lacking.items():
            whose = f" of {', '.join(of)}" if any(of) else ""
            yield f"Not in it: {what}{whose}; give {keys} in [rates]."
        yield from self.said


def _sum(values: Iterable[Decimal]) -> Decimal:
    return sum(values, Decimal(0))


def _sheet(
    book: _Book, stock: str, rows: Sequence[CostPiece], rates: Rates, use: SheetUse | None
) -> None:
    """Sheet by weight or by the sheet, of the boxes at a yield or as a nest takes it."""
    per_kg, each = rates.sheet_per_kg.get(stock), rates.sheet_each.get(stock)
    name = f"sheet, {stock}"
    if per_kg is None and each is None:
        book.lacks("sheet", "sheet_per_kg or sheet_each", stock)
        return
    if each is None and per_kg is not None and rates.sheet_yield is not None:
        kg = _sum(row.quantity * exact(row.box_kg) for row in rows)
        price, share = exact(per_kg), exact(rates.sheet_yield)
        words = f"{_kg(kg)} of boxes ÷ yield {share} × {price} a kg"
        book.add(name, lambda count: count * kg / share * price, words)
        return
    if use is None:
        book.said.append(f"Not in it: sheet of {stock}, for some of its pieces fit no sheet.")
        return
    counts = ", ".join(f"{value:.3g}" for value in use.sheets)
    what = "whole sheets" if rates.whole_sheets else "sheets, the strip left put back"
    at = dict(zip(COUNTS, map(exact, use.sheets), strict=True))
    if each is not None:
        price = exact(each)
        book.add(name, lambda count: at[count] * price, f"{counts} {what}, × {price} each")
        return
    assert per_kg is not None
    one, price = exact(use.kg_of_one), exact(per_kg)
    words = f"{counts} {what}, of {_kg(one)}, × {price} a kg"
    book.add(name, lambda count: at[count] * one * price, words)


def _kg(mass: Decimal) -> str:
    return f"{mass:.3f} kg"


def _waste(book: _Book, rates: Rates) -> None:
    if rates.waste is None or not book.lines:
        return
    share, lines = exact(rates.waste), tuple(book.lines)
    amounts = tuple(share * _sum(line.amounts[k] for line in lines) for k in range(len(COUNTS)))
    book.lines.append(CostLine("waste", amounts, f"{share} of the sheet"))


def _cutting(book: _Book, stock: str, rows: Sequence[CostPiece], rates: Rates) -> None:
    """Metres and pierces of one stock, by their price or by the hour, and the set-up."""
    metres = _sum(row.quantity * exact(row.cut_length) for row in rows) / 1000
    pierces = sum(row.quantity * row.pierces for row in rows)
    per_metre, feed = rates.cut_per_metre.get(stock), rates.cut_feed.get(stock)
    hour = rates.cut_per_hour
    before = len(book.lines)
    if per_metre is not None:
        price = exact(per_metre)
        words = f"{metres:.3f} m × {price} a metre"
        book.add(f"cutting, {stock}", lambda count: count * metres * price, words)
    elif feed is not None and hour is not None:
        speed, price = exact(feed), exact(hour)
        words = f"{metres:.3f} m ÷ {speed} m/min ÷ 60 × {price} an hour"
        book.add(f"cutting, {stock}", lambda count: count * metres * price / speed / 60, words)
    else:
        book.lacks("cutting", "cut_per_metre, or cut_feed and cut_per_hour", stock)
    each, seconds = rates.pierce_each.get(stock), rates.pierce_seconds.get(stock)
    if each is not None:
        price = exact(each)
        words = f"{pierces} pierces × {price}"
        book.add(f"pierces, {stock}", lambda count: count * pierces * price, words)
    elif seconds is not None and hour is not None:
        time, price = exact(seconds), exact(hour)
        words = f"{pierces} pierces × {time} s ÷ 3600 × {price} an hour"
        book.add(f"pierces, {stock}", lambda count: count * pierces * time * price / 3600, words)
    else:
        book.lacks("pierces", "pierce_each, or pierce_seconds and cut_per_hour", stock)
    if rates.cut_set_up is not None and len(book.lines) > before:
        price = exact(rates.cut_set_up)
        book.add(f"cutting set-up, {stock}", lambda count: price, f"{price} once")


def _up_to(book: _Book, first: int, name: str, least: float | None) -> None:
    """What the lines from `first` on lack of a least charge."""
    lines = tuple(book.lines[first:])
    if least is None or not lines:
        return
    floor = exact(least)
    sums = [_sum(line.amounts[k] for line in lines) for k in range(len(COUNTS))]
    amounts = tuple(max(Decimal(0), floor - done) for done in sums)
    if any(amounts):
        book.lines.append(CostLine(name, amounts, f"at least {floor}"))


def _bending(book: _Book, rows: Sequence[CostPiece], rates: Rates) -> None:
    bends = sum(row.quantity * row.bends for row in rows)
    bent = sum(1 for row in rows if row.bends)
    rolls = sum(row.quantity * row.rolls for row in rows)
    if rolls:
        what = "roll" if rolls == 1 else "rolls"
        book.said.append(f"Not in it: {rolls} {what}; count rolling as hours of work.")
    if not bends:
        return
    first = len(book.lines)
    if rates.bend_each is None:
        book.lacks("bends", "bend_each")
    else:
        price = exact(rates.bend_each)
        book.add("bends", lambda count: count * bends * price, f"{bends} bends × {price}")
    if rates.bend_set_up is not None:
        once = exact(rates.bend_set_up)
        words = f"{bent} {'piece' if bent == 1 else 'pieces'} × {once} once"
        book.add("bending set-up", lambda count: bent * once, words)
    _up_to(book, first, "bending, up to the least charge", rates.bend_minimum)


def _work(book: _Book, part: str, rates: Rates) -> None:
    """Hours of one part, by operation."""
    if not rates.per_hour:
        book.lacks("work", "per_hour and hours", part)
        return
    ours = rates.hours.get(part, {})
    for operation, price_of_hour in rates.per_hour.items():
        if operation not in ours:
            book.lacks(operation, "hours", part)
            continue
        hours, price = exact(ours[operation]), exact(price_of_hour)
        words = f"{hours} h × {price} an hour"
        book.add(f"{operation}, {part}", _times(hours * price), words)


def _times(amount: Decimal) -> Callable[[int], Decimal]:
    return lambda count: count * amount


def _consumables(book: _Book, rows: Sequence[CostPiece], rates: Rates) -> None:
    if rates.consumables is None:
        book.lacks("consumables", "consumables")
        return
    parts, price = len({row.part for row in rows}), exact(rates.consumables)
    words = f"{parts} {'part' if parts == 1 else 'parts'} × {price}"
    book.add("consumables", _times(parts * price), words)


def _totals(book: _Book, rates: Rates) -> Iterator[CostLine]:
    columns = range(len(COUNTS))
    total = tuple(_sum(line.amounts[k] for line in book.lines) for k in columns)
    yield CostLine("cost of all", total, "the lines above")
    last = "cost"
    for name, share in (("margin", rates.margin), ("tax", rates.tax)):
        if share is None:
            book.lacks(name, name)
            continue
        part = exact(share)
        added = tuple(part * amount for amount in total)
        total = tuple(a + b for a, b in zip(total, added, strict=True))
        yield CostLine(name, added, f"{part} of the {last}")
        last = "price"
    if last == "price":
        yield CostLine("price of all", total, "all of these")
    each = tuple(amount / count for amount, count in zip(total, COUNTS, strict=True))
    yield CostLine(f"{last} of one", each, "of all ÷ how many")
