"""Charts and sketches of the job sheet: curves where they belong, words apart."""

from math import hypot
from typing import Any

import numpy as np
from pages import demo

from parts.paper.page import Page, Stroke, Words
from parts.paper.pdf import width as width_of
from parts.part import Shape, Sketch
from parts.report import Chart, ChartLine
from parts.sheet.curve import Line
from parts.sheet.loop import circle
from parts.writers.job_sheet import charting, sketching


def words_of(page: Page) -> list[Words]:
    return [mark for mark in page.marks if isinstance(mark, Words)]


def boxes(page: Page) -> list[tuple[float, float, float, float]]:
    """Where words stand, tails left out."""
    found = []
    for one in words_of(page):
        wide = width_of(one.text, one.height, one.bold)
        left = one.at[0] - {"left": 0, "middle": wide / 2, "right": wide}[one.anchor]
        found.append((left, one.at[1], left + wide, one.at[1] + one.height))
    return found


def apart(page: Page) -> None:
    found = boxes(page)
    for k, a in enumerate(found):
        assert a[0] >= 0 and a[2] <= page.width and a[1] >= 0 and a[3] <= page.height
        for b in found[k + 1 :]:
            assert a[0] >= b[2] or b[0] >= a[2] or a[1] >= b[3] or b[1] >= a[3], (a, b)


def test_no_words_of_a_chart_touch_others_whatever_the_curves() -> None:
    r = np.random.default_rng(20250517)
    names = ["lid", "struts -10 °C, aged", "wished", "the way of the edge's top, right side", "x"]
    for _ in range(40):
        scale, count = 10.0 ** r.uniform(-3, 4), int(r.integers(1, 12))
        lines = tuple(
            ChartLine(
                str(r.choice(names)),
                tuple((float(x), float(scale * r.normal())) for x in range(int(r.integers(1, 9)))),
            )
            for _ in range(count)
        )
        apart(charting.page_of(Chart("t", "opening", "deg", "clearance", "mm", lines)))


def test_a_curve_lies_where_its_axes_say() -> None:
    line = ChartLine("lid", ((0.0, 0.0), (30.0, 25.0), (80.0, 100.0)))
    page = charting.page_of(Chart("t", "opening", "deg", "force", "N", (line,)))
    numbers = {one.text: one for one in words_of(page)}
    across = [(float(t), numbers[t].at[0]) for t in ("20", "60") if numbers[t].anchor == "middle"]
    up = [(float(one.text), one.at[1] + one.height / 2) for one in words_of(page)
          if one.anchor == "right" and one.text in ("40", "100")]  # fmt: skip
    assert len(across) == len(up) == 2

    def at(value: float, marks: list[tuple[float, float]]) -> float:
        (a, u), (b, v) = marks
        return u + (value - a) * (v - u) / (b - a)

    wanted = [(at(x, across), at(y, up)) for x, y in line.points]
    drawn = [
        [mark.curves[0].start, *(curve.end for curve in mark.curves)]
        for mark in page.marks
        if isinstance(mark, Stroke) and len(mark.curves) == 2
    ]
    assert any(np.allclose(points, wanted, atol=1e-9) for points in drawn)


def test_points_that_are_no_numbers_break_a_curve() -> None:
    line = ChartLine("lid", ((0, 1), (1, 2), (2, float("inf")), (3, 2), (4, 1)))
    page = charting.page_of(Chart("t", "x", "", "y", "", (line,)))
    thick = [m for m in page.marks if isinstance(m, Stroke) and m.pen and m.pen.width > 0.5]
    assert [len(mark.curves) for mark in thick] == [1, 1]


def test_a_chart_of_nothing_and_of_one_level_line_is_drawn() -> None:
    level = ((0, 5), (1, 5)), ((0, 5 + 1e-14), (1, 5)), ((0, 1e-14), (1, 0)), ((0, 0), (0, 0)), ()
    for lines in ((), *((ChartLine("level", points),) for points in level)):
        apart(charting.page_of(Chart("t", "x", "mm", "y", "mm", lines)))


def balloons(page: Page) -> list[Any]:
    return [m.curves[0] for m in page.marks if isinstance(m, Stroke) and m.fill == 1.0]


def test_every_shape_of_a_sketch_has_its_number_and_the_numbers_keep_apart() -> None:
    for sketch in demo("boot_lid").sketches:
        drawn = sketching.drawn(sketch)
        keys = [key for key, _, _ in drawn.key]
        shown = {one.text for page in drawn.pages for one in words_of(page)}
        assert set(keys) <= shown and len(keys) == len(set(keys))
        names = [name for name, _ in sketch.points] + [shape.name for shape in sketch.shapes]
        assert [name for _, name, _ in drawn.key] == names
        for page in drawn.pages:
            rings = balloons(page)
            for k, a in enumerate(rings):
                for b in rings[k + 1 :]:
                    apart_by = hypot(a.center[0] - b.center[0], a.center[1] - b.center[1])
                    assert apart_by > a.radius + b.radius, sketch.title


def test_a_sketch_with_far_ends_is_also_shown_enlarged_round_its_points() -> None:
    far = Shape("way", "path", (Line((0, 0), (2000, 1500)),))
    near = Shape("arm", "metal", circle((20, 20), 30), True)
    points = (("pivot", (10.0, 10.0)), ("stop", (40.0, 30.0)))
    whole, close = sketching.drawn(Sketch("s", "x", "y", (far, near), points)).pages
    assert {one.text for one in words_of(whole)} >= {"1"} and "A" not in str(words_of(whole))
    assert {one.text for one in words_of(close)} >= {"A", "B", "1", "2"}
    (only,) = sketching.drawn(Sketch("s", "x", "y", (near,), points)).pages
    assert {one.text for one in words_of(only)} >= {"A", "B", "1"}


def test_rounding_is_not_drawn_as_a_curve() -> None:
    line = ChartLine("nose", ((0, 1e-14), (1, -2e-14), (2, 1.5e-14)))
    page = charting.page_of(Chart("t", "x", "mm", "turn", "deg", (line,)))
    (curve,) = (m for m in page.marks if isinstance(m, Stroke) and m.pen and m.pen.width > 0.5)
    heights = [one.start[1] for one in curve.curves] + [curve.curves[-1].end[1]]
    assert max(heights) - min(heights) < 1e-9
