"""Random lids, swung by the kernel alone: solids turned about the pivot's axis, and measured.

Nothing here is reckoned by the code under test but what it tells and where it puts its pieces:
panel, gutter, seal and lid edge are drawn anew from the job's numbers, and every distance is the
kernel's.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import cos, radians, sin, tan
from typing import Any

import cadquery as cq
import kernel
import numpy as np
import pytest
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.GeomAbs import GeomAbs_Plane
from OCP.TopoDS import TopoDS

from parts import load, solid
from parts.part import Part, Piece

JOBS = 16
TOLD = 0.02  # mm that a told clearance may be more than the kernel's
NEAR = 6.0  # mm; what is further apart by its boxes alone is not measured
EDGE, FACE = "lid edge", "body face"
WIDE = 120.0  # mm that the surround reaches to either side of the hinge plane
SAME = 1e-6

TEXT = """\
[job]
name = "lid"

[stock.plate]
material = "S235"
thickness = {plate}

[stock.sheet]
material = "S235"
thickness = 4
die = 32
inside_radius = 5

[stock.thin]
material = "S235"
thickness = 3
die = 20
inside_radius = 3.3

[parts.lid]
kind = "hinge_bracket"
stock = "plate"
hand = "{hand}"
opening = {opening}
pivot = [{pu}, {pv}]
pivot_plus_minus = 0.5
clearance = 0.5
arm_clearance = 1
neck_clearance = {neck}
lid = {{ width = 1180, depth = 760, fold = "{fold} ± 0.2", edge_radius = {radius}, skin = 1, \
slope = {slope}, runs = "{runs}", handle = [750, -20] }}
panel = {{ gap = "{gap} ± 0.2", flat = {flat}, angle = {angle}, rise = 150, skin = 1 }}
gutter = {{ points = [[24, -17], [24, {deep}], [{front}, {deep}]] }}
seal = {{ foot = [24, -17], width = 8, free = 14, squeezed = 12 }}
weight = {{ mass = {mass}, centre = [368, -14] }}
arm = {{ pad = [[{pad}, -12], [{pad_end}, {pad_low}]], hub = 30, \
width = {width}, flange = {flange} }}
pad = {{ stock = "sheet", leg = {leg}, join = "{join}", bolt = "M6", arm_bolt = "M6" }}
body = {{ stock = "sheet", face = [[-125, -5], [-125, -80]] }}
{hand} = {{ y = 430, edge = [260, 880] }}

[parts.lid.struts]
y = 520
aside = {aside}

[parts.lid.struts.fitted]
rod = 8
tube = 18
stroke = 200
extended = 490
force = {force}
on_lid = [60, -30]
on_body = [260, -260]

[parts.lid.struts.brackets]
stock = "thin"
stud = "M6"
lid_face = [[20, -3], [120, -3]]
lid_shift = 10
body_face = [[200, -300], [340, -300]]
"""


def drawn(number: int) -> dict[str, Any]:
    """The numbers of one random lid."""
    r = random.Random(number)
    pad = round(r.uniform(60, 68), 1)
    bolted = r.random() < 0.4
    return {
        "plate": r.choice((5, 6)), "hand": r.choice(("right", "left")),
        "opening": round(r.uniform(76, 84), 1), "pu": round(-r.uniform(68, 78), 1),
        "pv": round(-r.uniform(17.5, 19), 1), "neck": round(r.uniform(5, 8), 1),
        "fold": round(r.uniform(8, 11), 1), "radius": r.choice((0, 0.5, 2, 3)),
        "slope": round(r.uniform(-15, 15), 1), "runs": r.choice(("rearward", "forward")),
        "gap": round(r.uniform(4.5, 7), 1), "flat": round(r.uniform(95, 120), 1),
        "angle": round(r.uniform(20, 60), 1), "deep": round(-r.uniform(32, 38), 1),
        "front": round(r.uniform(0, 6), 1), "mass": round(r.uniform(13, 15), 1), "pad": pad,
        "pad_end": round(pad + r.uniform(90, 100), 1), "pad_low": r.choice((-12, -14, -10)),
        "width": round(r.uniform(34, 38), 1), "flange": r.choice((0, 0, 36, 42)),
        "leg": round(r.uniform(46, 52) if bolted else r.uniform(32, 36), 1),
        "join": "bolt" if bolted else "weld", "aside": r.choice((0, 0, 6)),
        "force": r.choice((180, 190)),
    }  # fmt: skip


@dataclass(frozen=True, eq=False)
class Lid:
    """A lid with its numbers, its pieces as solids on the vehicle, and what is round them."""

    asked: dict[str, Any]
    part: Part
    pieces: dict[str, Piece]
    solids: dict[str, Any]

    def at(self, back: float, up: float, aside: float = 0.0) -> np.ndarray[Any, Any]:
        """A place of the lid's section on the vehicle; aside is to the vehicle's right."""
        way = 1.0 if self.asked["runs"] == "rearward" else -1.0
        s = radians(self.asked["slope"])
        y = 430 if self.asked["hand"] == "right" else -430
        x = way * (back * cos(s) + up * sin(s))
        return np.array([260 + x, y + aside, 880 - back * sin(s) + up * cos(s)])

    def opened(self, shape: Any, angle_deg: float) -> Any:
        """What swings, at an opening: about the pivot's axis, its back going up."""
        pivot = self.at(self.asked["pu"], self.asked["pv"])
        way = -1.0 if self.asked["runs"] == "rearward" else 1.0
        return shape.rotate(
            cq.Vector(*pivot), cq.Vector(pivot[0], pivot[1] + 1, pivot[2]), way * angle_deg
        )

    def prism(
        self, points: Sequence[tuple[float, float]], closed: bool = True, bow: int | None = None
    ) -> Any:
        """A line of the section drawn out to both sides of the hinge plane; metal if closed. A
        `bow` is the number of a point that an arc passes through from the one before to the next.
        """
        ends = [cq.Vector(*self.at(u, v, -WIDE)) for u, v in points]
        way = cq.Vector(0, 2 * WIDE, 0)
        if closed:
            loop = [*ends, ends[0]]
            edges, i = [], 0
            while i < len(ends):
                if i + 1 == bow:
                    edges.append(cq.Edge.makeThreePointArc(*loop[i : i + 3]))
                    i += 1
                else:
                    edges.append(cq.Edge.makeLine(loop[i], loop[i + 1]))
                i += 1
            return cq.Solid.extrudeLinear(cq.Wire.assembleEdges(edges), [], way)
        sides = [
            cq.Face.makeFromWires(cq.Wire.makePolygon([a, b, b + way, a + way, a]))
            for a, b in pairwise(ends)
        ]
        return cq.Compound.makeCompound(sides)

    @property
    def names(self) -> tuple[list[str], list[str]]:
        """The pieces that swing, and those that stay."""
        stay = [name for name in self.solids if name in ("body bracket", "strut bracket, body")]
        return [name for name in self.solids if name not in stay], stay

    def figure(self, name: str) -> float:
        (found,) = (f.value for f in self.part.figures if f.name == name)
        return found

    def told_at(self, name: str) -> float:
        """The opening at which a figure says that it is."""
        (source,) = (f.source for f in self.part.figures if f.name == name)
        return float(source.split(", at ")[1].split("°")[0])


@cache
def lids() -> tuple[Lid, ...]:
    """The random lids that are accepted."""
    import tempfile
    from pathlib import Path

    found = []
    with tempfile.TemporaryDirectory() as folder:
        for number in range(JOBS):
            asked = drawn(number)
            path = Path(folder) / f"{number}.toml"
            path.write_text(TEXT.format(**asked), encoding="utf-8")
            part = load(path).part("lid")
            if part.refused:
                continue
            pieces = {piece.name: piece for piece in part.pieces}
            solids = {
                name: solid.as_cadquery(piece.kernel_solid, piece.place)
                for name, piece in pieces.items()
            }
            found.append(Lid(asked, part, pieces, solids))
    return tuple(found)


def apart(one: Any, other: Any) -> float:
    return float(BRepExtrema_DistShapeShape(one.wrapped, other.wrapped).Value())


def beyond(one: Any, other: Any) -> float:
    """How far apart two shapes are at least, by the boxes round them."""
    a, b = one.BoundingBox(), other.BoundingBox()
    return float(
        max(
            b.xmin - a.xmax, a.xmin - b.xmax, b.ymin - a.ymax, a.ymin - b.ymax, b.zmin - a.zmax,
            a.zmin - b.zmax,
        )
    )  # fmt: skip


def surround(lid: Lid) -> dict[str, Any]:
    """Panel, gutter, the body's face, and the seal as it stands free, from the job's numbers."""
    a = lid.asked
    turn = radians(a["angle"])
    edge, knee = -a["gap"], -a["gap"] - a["flat"]
    out = (knee - 150 * cos(turn), 150 * sin(turn))
    panel = [
        (edge, 0.0), (knee, 0.0), out, (out[0] - sin(turn), out[1] - cos(turn)),
        (knee - tan(turn / 2), -1.0), (edge, -1.0),
    ]  # fmt: skip
    gutter = [(24, -17), (24, a["deep"]), (a["front"], a["deep"])]
    seal = [(20, -17), (28, -17), (28, -7), (24, -3), (20, -7)]  # 8 wide, 14 high, half round
    return {
        "panel": lid.prism(panel), "gutter": lid.prism(gutter, closed=False),
        "seal": lid.prism(seal, bow=3),
        FACE: lid.prism([(-125, -5), (-125, -80)], closed=False),
    }  # fmt: skip


def edge_of(lid: Lid) -> Any:
    """The lid's folded edge and its skin, as one solid."""
    a = lid.asked
    r, low = a["radius"], -a["fold"]
    rest = [(0.0, low), (1.0, low), (1.0, -1.0), (760, -1.0)]
    if r == 0:
        return lid.prism([(760, 0.0), (0.0, 0.0), *rest])
    off = r - r * sin(radians(45))
    return lid.prism([(760, 0.0), (r, 0.0), (off, -off), (0.0, -r), *rest], bow=2)


@cache
def measured(lid: Lid) -> dict[tuple[str, str, float], float]:
    """What swings to what stays, at every angle looked at: the kernel's distance, or no more than
    it where the two are more than `NEAR` apart.

    Shut, open, evenly between, and where the least clearances are told to be.
    """
    told = [lid.told_at(f"least clearance of the {what}") for what in ("lid", "arm")]
    swing, stay = lid.names
    moving = {EDGE: edge_of(lid), **{name: lid.solids[name] for name in swing}}
    still = {**surround(lid), **{name: lid.solids[name] for name in stay}}
    found = {}
    for angle in dict.fromkeys([*np.linspace(0, lid.asked["opening"], 5).tolist(), *told]):
        for mover, shape in moving.items():
            turned = lid.opened(shape, angle)
            for name, other in still.items():
                if (mover, name) == ("arm", "body bracket"):  # side by side, a washer apart
                    continue
                least = beyond(turned, other)
                gap = least if least > NEAR else apart(turned, other)
                found[mover, name, angle] = gap
    return found


def planes(shape: Any) -> list[tuple[Any, Any]]:
    """A point and the unit normal of every plane face."""
    found = []
    for face in shape.Faces():
        surface = BRepAdaptor_Surface(TopoDS.Face_s(face.wrapped), True)
        if surface.GetType() == GeomAbs_Plane:
            p, d = surface.Plane().Location(), surface.Plane().Axis().Direction()
            found.append((np.array([p.X(), p.Y(), p.Z()]), np.array([d.X(), d.Y(), d.Z()])))
    return found


def lies_in(shape: Any, point: Any, normal: Any) -> bool:
    """Whether a plane face of a solid lies in a plane, and all of the solid on one side."""
    near = [
        p for p, n in planes(shape)
        if abs(abs(n @ normal) - 1) < SAME and abs((p - point) @ normal) < SAME
    ]  # fmt: skip
    sides = [(np.array(v.toTuple()) - point) @ normal for v in shape.Vertices()]
    return bool(near) and (min(sides) > -SAME or max(sides) < SAME)


def hole(lid: Lid, name: str, diameter: float) -> tuple[Any, Any]:
    """A point and the direction of the axis of a round hole of a piece."""
    every = kernel.cylinders(lid.solids[name].wrapped)
    found = [(p, a) for p, a, r in every if abs(2 * r - diameter) < SAME]
    assert found, (name, diameter)
    return found[0]


def off_axis(point: Any, axis: Any, at: Any) -> float:
    return float(np.linalg.norm(np.cross(at - point, axis)))


def test_most_of_the_random_lids_can_be_made_of_both_hands_and_ways() -> None:
    made = lids()
    assert len(made) >= 0.8 * JOBS
    for key, values in (("hand", 2), ("runs", 2), ("join", 2), ("flange", 3)):
        assert len({lid.asked[key] for lid in made}) >= values, key


def test_nothing_touches_at_any_angle_that_the_kernel_looks_at() -> None:
    for lid in lids():
        swing, stay = lid.names
        assert {"arm", "lid pad", "strut bracket, lid"} <= set(swing)
        assert len(stay) == 2
        for (mover, still, angle), gap in measured(lid).items():
            if (mover, still) != (EDGE, "seal"):  # the lid is meant to lie on its seal
                assert gap > 0.2, (lid.asked, mover, still, angle)
        for name in stay:
            for what, shape in surround(lid).items():
                if what != FACE:
                    assert apart(lid.solids[name], shape) > 0, (lid.asked, name, what)


@pytest.mark.parametrize("what", ["lid", "arm"])
def test_no_told_clearance_is_more_than_the_kernel_finds(what: str) -> None:
    mover, told_to = {
        "lid": (EDGE, ("panel", "gutter", FACE)), "arm": ("arm", ("panel", "gutter", "seal", FACE)),
    }[what]  # fmt: skip
    for lid in lids():
        name = f"least clearance of the {what}"
        told, at = lid.figure(name), lid.told_at(name)
        gaps = {k: gap for k, gap in measured(lid).items() if k[0] == mover and k[1] in told_to}
        assert told <= min(gaps.values()) + TOLD, (lid.asked, told, min(gaps.values()))
        # and it is that near where it is told to be, to the decimal in which the angle is told
        there = min(gap for k, gap in gaps.items() if k[2] == at)
        assert there <= told + 0.1, (lid.asked, told, there)


def test_the_pivot_holes_of_arm_and_body_bracket_have_the_pivots_axis() -> None:
    for lid in lids():
        pivot = lid.at(lid.asked["pu"], lid.asked["pv"])
        for name, diameter in (("arm", 14.0), ("body bracket", 10.5)):  # M10 fine, ISO 273
            point, axis = hole(lid, name, diameter)
            assert abs(axis[1]) == pytest.approx(1)
            assert off_axis(point, axis, pivot) < SAME, (lid.asked, name)


def test_pads_lie_on_the_lids_inner_face_and_feet_on_the_faces_of_the_body() -> None:
    for lid in lids():
        a = lid.asked
        for name, start, end in (
            ("lid pad", lid.at(a["pad"], -12), lid.at(a["pad_end"], a["pad_low"])),
            ("body bracket", lid.at(-125, -5), lid.at(-125, -80)),
            ("strut bracket, lid", lid.at(20, -3), lid.at(120, -3)),
            ("strut bracket, body", lid.at(200, -300), lid.at(340, -300)),
        ):
            along = (end - start) / np.linalg.norm(end - start)
            normal = np.cross(along, [0.0, 1.0, 0.0])
            assert lies_in(lid.solids[name], start, normal), (a, name)


def test_strut_balls_stand_where_they_are_told_with_the_told_lengths_between_them() -> None:
    for lid in lids():
        outboard = 1 if lid.asked["hand"] == "right" else -1
        balls = []
        for side in ("lid", "body"):
            name = f"strut bracket, {side}"
            point, axis = hole(lid, name, 6.4)  # M6 fine, ISO 273
            told = lid.at(
                lid.figure(f"strut on the {side}, back of the lid's edge"),
                lid.figure(f"strut on the {side}, above the lid's top"),
            )
            assert off_axis(point, axis, told) < SAME, (lid.asked, side)
            box = lid.solids[name].BoundingBox(1e-6)
            # the leg's face looks inboard at the ball, 14 beside it
            face = box.ymin if outboard > 0 else box.ymax
            balls.append(np.array([told[0], face - outboard * 14, told[2]]))
        assert abs(balls[1][1]) == pytest.approx(520, abs=1e-4)
        assert abs(balls[0][1]) == pytest.approx(520 - lid.asked["aside"], abs=1e-4)
        for word, angle in (("shut", 0.0), ("open", lid.asked["opening"])):
            end = lid.opened(cq.Vertex.makeVertex(*balls[0]), angle)
            long = float(np.linalg.norm(np.array(end.toTuple()) - balls[1]))
            assert long == pytest.approx(lid.figure(f"strut: length {word}"), abs=1e-3)
