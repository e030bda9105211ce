"""A warm part of one to five bends against a boolean CadQuery build of the same solid, in one run:
python tests/benchmarks/strips.py

The part is a strip bent up and down like stairs, two holes in every flat. The other build draws
its section of lines and arcs, extrudes it, cuts each hole with a cylinder and writes the STEP.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from math import cos, exp, log, pi, sin
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

import cadquery as cq  # noqa: E402
from hand_parts import part_of, written  # noqa: E402
from measuring import Row, warm  # noqa: E402

from parts import proof  # noqa: E402
from parts.part import Part  # noqa: E402
from parts.sheet.blank import Bend, Blank, Cutout  # noqa: E402
from parts.sheet.curve import Point  # noqa: E402
from parts.sheet.loop import circle, polygon  # noqa: E402

THICK, RADIUS, FLAT, WIDE, HOLE = 3.0, 3.0, 40.0, 60.0, 9.0
ALLOWANCE = 7.0  # for a quarter turn; any will do
BENDS = range(1, 6)
FILES = ("step", "dxf")
MODEL_TARGET, PROOF_TARGET = 1.0, 2.0  # proof included: as much again


def rows() -> Iterator[Row]:
    """Each number of bends, then the geometric means."""
    models, proved = [], []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for bends in BENDS:
            other = warm(lambda bends=bends: boolean(bends, folder))
            made = warm(lambda bends=bends: written(stairs(bends), folder, FILES))
            both = warm(lambda bends=bends: with_proof(bends, folder))
            same_solid(bends)
            of = f"{bends} bend{'s' if bends > 1 else ''}"
            yield Row(f"model, solid, STEP, both DXFs: {of}", made, "boolean build, STEP", other)
            models.append(made / other)
            proved.append(both / other)
    for what, found, target in (
        ("model, solid, STEP, both DXFs: mean", models, MODEL_TARGET),
        ("the same, proved: mean", proved, PROOF_TARGET),
    ):
        mean = exp(sum(map(log, found)) / len(found))
        yield Row(what, mean, "boolean build, STEP", 1.0, "x", target)


def holes(bends: int) -> Iterator[tuple[int, float]]:
    """Of each hole: which flat it is in, and how far across the strip."""
    for flat in range(bends + 1):
        for across in (15.0, 45.0):
            yield flat, across


def stairs(bends: int) -> Part:
    """The strip as a blank, bent up and down in turn."""
    step = FLAT + ALLOWANCE
    long = bends * step + FLAT
    outline = polygon([(0, 0), (long, 0), (long, WIDE), (0, WIDE)])
    folds = tuple(
        Bend(f"b{i}", (i * step + FLAT, WIDE), (i * step + FLAT, 0), 90 if i % 2 == 0 else -90,
             RADIUS, ALLOWANCE)
        for i in range(bends)
    )  # fmt: skip
    openings = tuple(
        Cutout(f"h{n}", circle((flat * step + FLAT / 2, across), HOLE))
        for n, (flat, across) in enumerate(holes(bends))
    )
    return part_of(Blank(THICK, outline, openings, folds, (1.0, 1.0)))


def with_proof(bends: int, folder: Path) -> None:
    """The part's files, written and proved."""
    part = stairs(bends)
    proof.prove(part, folder, written(part, folder, FILES))


def boolean(bends: int, folder: Path) -> cq.Workplane:
    """What somebody would write who draws the folded part itself: section, extrusion, holes."""
    edges: dict[int, list[tuple[Point, Point | None]]] = {1: [], -1: []}  # ends; middle of an arc
    flats = []
    (x, z), turned = (0.0, 0.0), 0  # along the middle of the sheet; quarter turns so far

    def beside(side: int, quarters: float, about: Point, off: float = THICK / 2) -> Point:
        angle = (quarters + side) * pi / 2
        return about[0] + off * cos(angle), about[1] + off * sin(angle)

    starts = {side: beside(side, 0, (x, z)) for side in (1, -1)}
    for flat in range(bends + 1):
        flats.append(((x, z), turned))
        x, z = x + FLAT * cos(turned * pi / 2), z + FLAT * sin(turned * pi / 2)
        for side in (1, -1):
            edges[side].append((beside(side, turned, (x, z)), None))
        if flat == bends:
            break
        way = 1 if flat % 2 == 0 else -1
        middle = beside(way, turned, (x, z), RADIUS + THICK / 2)
        for side in (1, -1):
            off = RADIUS + (THICK if side != way else 0.0)
            half, end = (beside(-way, turned + way * share, middle, off) for share in (0.5, 1.0))
            edges[side].append((end, half))
        turned += way
        x, z = beside(-way, turned, middle, RADIUS + THICK / 2)
    outline = cq.Workplane("XZ").moveTo(*starts[1])
    for end, half in edges[1]:
        outline = outline.lineTo(*end) if half is None else outline.threePointArc(half, end)
    back = [starts[-1], *(end for end, _ in edges[-1])]
    outline = outline.lineTo(*back[-1])
    for (_, half), end in zip(reversed(edges[-1]), reversed(back[:-1]), strict=True):
        outline = outline.lineTo(*end) if half is None else outline.threePointArc(half, end)
    solid = outline.close().extrude(-WIDE)
    drills = []
    for flat, across in holes(bends):
        (x, z), quarters = flats[flat]
        way = cq.Vector(cos(quarters * pi / 2), 0, sin(quarters * pi / 2))
        up = cq.Vector(-way.z, 0, way.x)
        at = cq.Vector(x, across, z) + way * (FLAT / 2) - up * THICK
        drills.append(cq.Solid.makeCylinder(HOLE / 2, 2 * THICK, at, up))
    solid = solid.newObject([solid.val().cut(*drills)])
    cq.exporters.export(solid, str(folder / "boolean.step"))
    return solid


def same_solid(bends: int) -> None:
    """Raises AssertionError where the two are not the same metal."""
    with tempfile.TemporaryDirectory() as folder:
        theirs = boolean(bends, Path(folder)).val()
    ours = stairs(bends).pieces[0].solid()
    assert theirs.isValid()
    assert abs(theirs.Volume() - ours.Volume()) < 1e-4, (theirs.Volume(), ours.Volume())
    for shape in (theirs, ours):  # ours has a face for each region, theirs one for each side
        drilled = [f for f in shape.Faces() if f.geomType() == "CYLINDER"]
        assert len(drilled) == 2 * bends + len(list(holes(bends))), len(drilled)


def main() -> None:
    for row in rows():
        print(row)


if __name__ == "__main__":
    main()
