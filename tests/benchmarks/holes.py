"""Growth from one hole to a hundred in one strip, warm, in one run:
python tests/benchmarks/holes.py
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from hand_parts import part_of, written  # noqa: E402
from measuring import Row, warm  # noqa: E402
from strips import FILES, stairs  # noqa: E402

from parts import proof  # noqa: E402
from parts.part import Part  # noqa: E402
from parts.sheet.blank import Cutout  # noqa: E402
from parts.sheet.loop import circle, polygon  # noqa: E402

COUNTS = (1, 10, 100)
FAIR = 1.2


def rows() -> Iterator[Row]:
    """A hole more, among many, against a hole more among few."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        costs = [warm(lambda count=count: made(count, folder), runs=3) for count in COUNTS]
        few = (costs[1] - costs[0]) / (COUNTS[1] - COUNTS[0])
        many = (costs[2] - costs[1]) / (COUNTS[2] - COUNTS[1])
        yield Row("STEP and DXFs, proved: a hole more, to 100", many, "to 10", few, target=FAIR)
        yield Row("STEP and DXFs, proved: 100 holes", costs[2], "1 hole", costs[0])


def made(count: int, folder: Path) -> None:
    part = plate(count)
    proof.prove(part, folder, written(part, folder, FILES))


def plate(count: int) -> Part:
    """A bent strip with so many holes in a grid of 20 over its flats."""
    blank = stairs(1).pieces[0].blank
    wide, high = 20.0 * 10 + 60, 20.0 * 10
    outline = polygon([(0, 0), (wide + 47, 0), (wide + 47, high), (0, high)])
    bend = replace(blank.bends[0], start=(wide, high), end=(wide, 0.0))
    at = [(20.0 + 20 * (n % 10), 10.0 + 20 * (n // 10)) for n in range(count)]
    cutouts = tuple(Cutout(f"h{n}", circle(spot, 8.0)) for n, spot in enumerate(at))
    return part_of(replace(blank, outline=outline, cutouts=cutouts, bends=(bend,)))


def main() -> None:
    for row in rows():
        print(row, flush=True)


if __name__ == "__main__":
    main()
