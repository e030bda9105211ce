"""A chart as a page: axes with round numbers, and the name of every line at its end.

Lines differ by width, dashes and grey, so that a black print reads as well as a screen.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor, isfinite, log10
from textwrap import wrap

from parts.paper.page import FAINT, HAIR, NARROW, Page, Pen, Stroke, polyline
from parts.paper.pdf import width as width_of
from parts.report import Chart, ChartLine
from parts.sheet.curve import Point
from parts.sheet.loop import circle
from parts.writers.job_sheet.wording import unit_words

PAGE_WIDE, PLOT_HIGH = 140.0, 62.0
LETTERS = 2.7  # height of capitals
LINE = 1.75 * LETTERS  # from one line of words to the next
LONG_NAME = 24  # letters of a line's name before it goes on below
TO_NAME = 6.0  # from the border of the plot to the names
MARGIN = 1.0
DOT = 1.2
MOST_PLACES = 5
LEVEL = 1e-9  # share of a value by which others may miss it and still be the same
NOTHING = 1e-6  # of any unit: less than figures are told to
SEEN = 0.5  # a scale starts at nought where its least value is less than this share of the most
PENS = (
    Pen(0.6),
    Pen(0.6, (3.0, 1.2)),
    Pen(0.6, (0.4, 1.1)),
    Pen(0.6, (4.5, 1.1, 0.4, 1.1)),
    Pen(0.6, grey=0.55),
    Pen(0.6, (3.0, 1.2), grey=0.55),
    Pen(0.6, (0.4, 1.1), grey=0.45),
    Pen(1.1, grey=0.72),
)


@dataclass(frozen=True, slots=True)
class Scale:
    """One axis: the round numbers on it, the values at its ends, and where those are on paper."""

    ticks: tuple[float, ...]
    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Where a value lies on paper, mm."""
        share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)


def page_of(chart: Chart) -> Page:
    """The chart as a page; points that are no numbers are left out, and break their line."""
    lines = [(one, list(_runs(one))) for one in chart.lines]
    points = [point for _, runs in lines for run in runs for point in run]
    names = [wrap(one.name, LONG_NAME) or [""] for one in chart.lines]
    room = max((width_of(line, LETTERS) for name in names for line in name), default=0.0)
    heights = [len(name) * LINE for name in names]
    bottom = MARGIN + 2.4 * LINE
    top = bottom + max(PLOT_HIGH, sum(heights))
    numbers = _ends([y for _, y in points], from_nought=True)
    marks = [_number(tick, numbers) for tick in numbers]
    left = MARGIN + max(width_of(mark, LETTERS) for mark in marks) + 2.0
    right = PAGE_WIDE - MARGIN - room - TO_NAME
    up = Scale(numbers, numbers[0], numbers[-1], bottom, top)
    ticks = _ends([x for x, _ in points], from_nought=False)
    across = Scale(ticks, *_extent([x for x, _ in points] or ticks), left, right)
    page = Page(PAGE_WIDE, top + 2.2 * LINE)
    _axes(page, chart, across, up)
    ends = [_draw(page, runs, PENS[k % len(PENS)], across, up) for k, (_, runs) in enumerate(lines)]
    _names(page, names, heights, ends, up, right)
    return page


def ticks(low: float, high: float, most: int = 7) -> tuple[float, ...]:
    """Round numbers, evenly apart, the first not over `low` and the last not under `high`.

    >>> ticks(0, 82)
    (0.0, 20.0, 40.0, 60.0, 80.0, 100.0)
    >>> ticks(-3.2, 4.9)
    (-4.0, -2.0, 0.0, 2.0, 4.0, 6.0)
    """
    low, high = _wide(low, high)
    wanted = (high - low) / (most - 1)
    power = 10.0 ** floor(log10(wanted))
    for factor in (1.0, 2.0, 5.0, 10.0, 20.0):
        step = factor * power
        first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
        if last - first < most:
            break
    places = 2 - floor(log10(step))
    return tuple(round(k * step, places) + 0.0 for k in range(first, last + 1))


def _wide(low: float, high: float) -> tuple[float, float]:
    """Values that are one but for rounding, as a range about them that can be drawn."""
    size = max(abs(low), abs(high))
    if high - low > max(LEVEL * size, NOTHING):
        return low, high
    half = size / 10 if size > NOTHING else 1.0
    return low - half, high + half


def apart(wanted: Sequence[float], sizes: Sequence[float], low: float, high: float) -> list[float]:
    """Middles of labels of those sizes, as near as can be to the places wanted (rising) and clear
    of one another, from `low` to `high`, where there is room for all.

    >>> apart([10, 11, 40], [4, 4, 4], 0, 50)
    [8.5, 12.5, 40.0]
    >>> apart([0, 50], [4, 4], 0, 50)
    [2.0, 48.0]
    """
    groups: list[tuple[float, list[int]]] = []  # where a run of touching labels starts, and which
    for number in range(len(wanted)):
        members = [number]
        start = _start(members, wanted, sizes, low, high)
        while groups and groups[-1][0] + sum(sizes[k] for k in groups[-1][1]) > start:
            members = groups.pop()[1] + members
            start = _start(members, wanted, sizes, low, high)
        groups.append((start, members))
    middles = []
    for start, members in groups:
        for number in members:
            middles.append(start + sizes[number] / 2)
            start += sizes[number]
    return middles


def _start(
    members: Sequence[int], wanted: Sequence[float], sizes: Sequence[float], low: float, high: float
) -> float:
    """Where a run of touching labels starts so that on average they lie where wanted."""
    below, total = 0.0, 0.0
    for number in members:
        total += wanted[number] - below - sizes[number] / 2
        below += sizes[number]
    return max(low, min(total / len(members), high - below))


def _runs(line: ChartLine) -> Iterable[list[Point]]:
    run: list[Point] = []
    for point in line.points:
        if all(map(isfinite, point)):
            run.append(point)
        elif run:
            yield run
            run = []
    if run:
        yield run


def _ends(values: Sequence[float], from_nought: bool) -> tuple[float, ...]:
    low, high = _extent(values or (0.0, 1.0))
    if from_nought and 0 < low < SEEN * high:
        low = 0.0
    if from_nought and SEEN * low < high < 0:
        high = 0.0
    return ticks(low, high)


def _extent(values: Sequence[float]) -> tuple[float, float]:
    return _wide(min(values), max(values))


def _number(tick: float, among: Sequence[float]) -> str:
    """A round number with as many decimals as those beside it need.

    >>> _number(0.5, (0.0, 0.5)), _number(40.0, (0.0, 20.0)), _number(2e-6, (0.0, 2e-6))
    ('0.5', '40', '2e-06')
    """
    places = max(0, -floor(log10(among[1] - among[0]) + 1e-9))
    return f"{tick:.{places}f}" if places <= MOST_PLACES else f"{tick:g}"


def _axes(page: Page, chart: Chart, across: Scale, up: Scale) -> None:
    for tick in up.ticks:
        y = up.at(tick)
        page.line((across.start, y), (across.end, y), NARROW if tick == 0 else FAINT)
        page.words(_number(tick, up.ticks), (across.start - 1.5, y - LETTERS / 2), LETTERS, "right")
    for tick in across.ticks:
        if across.low - 1e-9 <= tick <= across.high + 1e-9:
            x = across.at(tick)
            page.line((x, up.start), (x, up.start - 1.0), NARROW)
            words = _number(tick, across.ticks)
            page.words(words, (x, up.start - 1.5 - LETTERS), LETTERS, "middle")
    page.line((across.start, up.start), (across.end, up.start), NARROW)
    page.line((across.start, up.start), (across.start, up.end), NARROW)
    below = up.start - 1.5 - LETTERS - LINE
    page.words(_titled(chart.across, chart.across_unit), (across.end, below), LETTERS, "right")
    page.words(_titled(chart.up, chart.up_unit), (MARGIN, up.end + 0.8 * LINE), LETTERS)


def _titled(name: str, unit: str) -> str:
    return f"{name}, {unit_words(unit)}" if unit else name


def _draw(
    page: Page, runs: Sequence[Sequence[Point]], pen: Pen, across: Scale, up: Scale
) -> Point | None:
    """Draw a line's runs; returns where its last point lies on paper."""
    placed = [[(across.at(x), up.at(y)) for x, y in run] for run in runs]
    for run in placed:
        if len(run) > 1:
            page.add(Stroke(polyline(run), pen))
        else:
            page.add(Stroke(circle(run[0], DOT), None, closed=True, fill=pen.grey))
    return placed[-1][-1] if placed else None


def _names(
    page: Page,
    names: Sequence[Sequence[str]],
    heights: Sequence[float],
    ends: Sequence[Point | None],
    up: Scale,
    right: float,
) -> None:
    """The names beside the plot, level with the ends of their lines or as near as there is room."""
    wanted = [up.start if end is None else end[1] for end in ends]
    order = sorted(range(len(names)), key=lambda k: (wanted[k], -k))
    middles = apart(
        [wanted[k] for k in order], [heights[k] for k in order], up.start - LINE / 2, up.end + LINE
    )
    for number, middle in zip(order, middles, strict=True):
        x, end = right + TO_NAME, ends[number]
        if end is not None:
            page.line((end[0] + 0.5, end[1]), (x - 1.0, middle), HAIR)
        first = middle + heights[number] / 2 - LINE / 2 - LETTERS / 2
        for k, line in enumerate(names[number]):
            page.words(line, (x, first - k * LINE), LETTERS)
