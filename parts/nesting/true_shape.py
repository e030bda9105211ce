"""Blanks laid by true shape, in a process of its own, and believed only once it is verified.

The library lays blanks on a strip of unlimited length: what lies left of the end of the sheet
stays, the rest goes on the next one. It is given outlines that are a little too large, never too
small. It may fail in ways that end a process, so it has one to itself, with a time limit.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable, Sequence
from math import atan2, ceil, cos, sin
from typing import Any

from parts.nesting.boxes import boxes_of
from parts.nesting.check import faults
from parts.nesting.given import Size
from parts.nesting.model import Nest, Placed, Rules, Sheet, Wanted
from parts.nesting.rectangles import Copy
from parts.nesting.strip import MISSING
from parts.sheet.curve import Arc, Point
from parts.sheet.loop import Loop, box

TOLERANCE = 0.2  # mm that an outline given to the library may be too large
SEED = 1
SLOW = 20.0  # seconds beyond those given in which the process must end
COMMAND = (sys.executable, "-m", "parts.nesting.strip")
GET = "pip install tinwright[nest]"

Task = dict[str, Any]  # height, gap, seconds, seed; items: id, outline, count, turns
Answer = list[dict[str, Any]]  # id, turn_deg, x, y
Solve = Callable[[Task], Answer]


class NotLaid(Exception):
    """Why nothing was laid by true shape, in words."""


def relaid(nest: Nest, seconds: int, solve: Solve | None = None) -> tuple[Sheet, ...] | str:
    """The sheets of a nest laid anew by true shape, or a sentence why they are not.

    `solve` answers one strip; left out, it is the library's process.
    """
    solve = solve or in_own_process
    sizes = {sheet.size for sheet in nest.sheets}
    if len(sizes) > 1:
        return "Laid by boxes: true shape takes sheets of one size only."
    try:
        sheets = _sheets(nest, sizes.pop(), seconds, solve)
        wrong = faults(nest, sheets)
    except NotLaid as reason:
        return f"Laid by boxes: {reason}"
    if wrong:
        return f"Laid by boxes: the nest by true shape was wrong ({wrong[0]})."
    return sheets


def _sheets(nest: Nest, size: Size, seconds: int, solve: Solve) -> tuple[Sheet, ...]:
    rules, gap = nest.rules, nest.rules.gap.value
    room = (size[0] - 2 * rules.margin.value, size[1] - 2 * rules.margin.value)
    copies = sorted((p.number, p.copy) for sheet in nest.sheets for p in sheet.placed)
    sheets: list[Sheet] = []
    while copies:
        task = _task(nest.wanted, copies, room, gap, seconds)
        lain = _lain(nest, copies, solve(task), rules)
        here = [one for one in lain if _end(nest.wanted, one) <= size[0] - rules.margin.value]
        if not here:
            raise NotLaid("true shape filled no sheet.")
        sheets.append(Sheet(size, tuple(here)))
        done = {(one.number, one.copy) for one in here}
        copies = [copy for copy in copies if copy not in done]
        if len(sheets) > len(nest.sheets):
            raise NotLaid("true shape took more sheets than boxes do.")
    return tuple(sheets)


def _task(
    wanted: Sequence[Wanted], copies: Sequence[Copy], room: Size, gap: float, seconds: int
) -> Task:
    numbers = sorted({number for number, _ in copies})
    return {
        "height": room[1],
        "gap": gap,
        "seconds": seconds,
        "seed": SEED,
        "items": [
            {
                "id": str(number),
                "outline": outward(wanted[number].outline, TOLERANCE),
                "count": sum(1 for other, _ in copies if other == number),
                "turns": turns_of(wanted[number], room),
            }
            for number in numbers
        ],
    }


def turns_of(wanted: Wanted, room: Size) -> list[float]:
    """The ways a blank may lie on a sheet, half turns included: with the grain where it is to be
    kept, else with any straight side along the sheet or across it."""
    ways = [one.turn_deg for one in boxes_of(wanted)
            if one.along <= room[0] + 1e-6 and one.across <= room[1] + 1e-6]  # fmt: skip
    return sorted({round((way + half) % 360, 9) for way in ways for half in (0.0, 180.0)})


def _lain(nest: Nest, copies: Sequence[Copy], answer: Answer, rules: Rules) -> list[Placed]:
    """The copies as the library laid them, those nearest the corner first."""
    left = {number: [c for n, c in copies if n == number] for number, _ in copies}
    margin = rules.margin.value
    placed: list[Placed] = []
    for one in sorted(answer, key=lambda row: (row["x"], row["y"], row["id"])):
        number = int(one["id"])
        if not left.get(number):
            raise NotLaid("true shape laid a blank that was not asked for.")
        shift = (round(one["x"] + margin, 6), round(one["y"] + margin, 6))
        placed.append(Placed(number, left[number].pop(0), round(one["turn_deg"], 9), shift))
    if any(left.values()):
        raise NotLaid("true shape left a blank out.")
    return placed


def _end(wanted: Sequence[Wanted], one: Placed) -> float:
    return box(one.loop(wanted[one.number].outline))[2]


def outward(outline: Loop, tolerance: float) -> list[Point]:
    """Corners of a polygon that holds the outline and is nowhere farther off it than that.

    The outline runs anticlockwise. An arc that bulges out is taken by its tangents, one that
    bulges in by its chords.

    >>> from parts.sheet.loop import circle, reversed_loop
    >>> disc = reversed_loop(circle((0, 0), 200))
    >>> far = [(x * x + y * y) ** 0.5 for x, y in outward(disc, 0.2)]
    >>> 100 < max(far) <= 100.2
    True
    """
    corners: list[Point] = []
    for curve in outline:
        corners.append(curve.start)
        if not isinstance(curve, Arc):
            continue
        radius, sweep = curve.radius, curve.sweep
        # half a step whose tangents meet `tolerance` outside: r / cos(half) - r
        half = (2 * tolerance / (radius + tolerance)) ** 0.5
        count = max(2 if not curve.full else 6, ceil(abs(sweep) / (2 * min(half, 0.5))))
        step = sweep / count
        first = atan2(curve.start[1] - curve.center[1], curve.start[0] - curve.center[0])
        out = radius / cos(step / 2) if sweep > 0 else radius
        begin = 0.5 if sweep > 0 else 1.0
        for k in range(count if sweep > 0 else count - 1):
            angle = first + (begin + k) * step
            corners.append((curve.center[0] + out * cos(angle), curve.center[1] + out * sin(angle)))
    return corners


def in_own_process(task: Task) -> Answer:
    """One strip, laid by the library in another process; raises NotLaid with the reason."""
    limit = task["seconds"] + SLOW
    try:
        run = subprocess.run(
            COMMAND, input=json.dumps(task), capture_output=True, text=True, timeout=limit,
            check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        raise NotLaid(f"true shape was not done after {limit:g} s.") from None
    if run.returncode == MISSING:
        raise NotLaid(f"true shape needs a library that is not here: {GET}.")
    if run.returncode != 0:
        raise NotLaid("true shape failed on these blanks.")
    answer: Answer = json.loads(run.stdout)
    return answer
