"""Parts put together by hand from the blanks of `blanks.py`: one piece, left hand, mild steel."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
from blanks import NAMED

from parts import writers
from parts.part import Part, Piece
from parts.place import Place, turned_about
from parts.sheet.allowance import Allowance
from parts.sheet.blank import Blank, Cutout
from parts.sheet.fold import fold
from parts.sheet.loop import moved
from parts.sheet.stock import Stock, material

PLACE = Place(turned_about((0, 0, 1), 90), np.array([1000.0, -200.0, 300.0]))


def part_of(blank: Blank, name: str = "bracket") -> Part:
    """A part of one piece of the blank, at a quarter turn on the vehicle."""
    piece = Piece(
        name=name,
        hand="left",
        stock=Stock("tub", material("mild steel"), blank.thickness),
        folded=fold(blank),
        place=PLACE,
        allowances=tuple(
            Allowance(b.allowance, (b.neutral_radius - b.radius) / blank.thickness, "test strip")
            for b in blank.bends
        ),
        faces="the tyre",
        figures=(),
    )
    return Part("trial", name, "by hand", date(2025, 5, 17), (piece,), (), (), ())


def named(name: str) -> Part:
    """A part of one of the named blanks."""
    return part_of(NAMED[name](), name)


def written(part: Part, folder: Path, names: Iterable[str] = writers.WRITERS) -> list[Path]:
    """Write the part's files of those kinds."""
    return [path for name in names for path in writers.load(name).write(part, folder)]


def with_hole_moved(blank: Blank, name: str, by: float) -> Blank:
    """The blank with one cut-out shifted along x."""
    cutouts = tuple(
        Cutout(c.name, moved(c.loop, (by, 0.0))) if c.name == name else c for c in blank.cutouts
    )
    return replace(blank, cutouts=cutouts)
