"""The sheet pieces of every hinge, from its swing to blanks at their places on the vehicle."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from parts.kinds.bench import Bench, NoTooling
from parts.kinds.hinge_bracket.bracket_config import StrutBracketConfig
from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.layout import Hung
from parts.kinds.hinge_bracket.metal import (
    Angle,
    ArmShape,
    BodySizes,
    Cut,
    Face,
    Fixing,
    Hinge,
    Mount,
    NoPiece,
    PadSizes,
    Sheet,
    StudSizes,
    Way,
    Weld,
    arm,
    body_bracket,
    flat_sheet,
    folding_sheet,
    lid_pad,
    strut_bracket,
)
from parts.kinds.hinge_bracket.struts import strut_y
from parts.kinds.hinge_bracket.swings import Swung
from parts.report import Finding, Severity
from parts.sheet.curve import Point, at_words
from parts.trade.bolts import bolt, clearance_hole

ON_FACE = 0.5  # mm
LID_BRACKET, BODY_BRACKET = "strut bracket, lid", "strut bracket, body"


@dataclass(frozen=True, eq=False)
class Metal:
    """What is cut for one hinge, as far as it could be laid out, and why the rest could not."""

    swung: Swung
    hinge: Hinge
    shape: ArmShape | None = None
    arm: Cut | None = None
    pad: Angle | None = None
    body: Angle | None = None
    struts: tuple[Angle, ...] = ()
    doubler: Cut | None = None
    refused: tuple[Finding, ...] = ()

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """All blanks, the arm first."""
        angles = (self.pad, self.body, *self.struts)
        plates = (one for one in (self.arm, self.doubler) if one is not None)
        return (*plates, *(one.cut for one in angles if one is not None))


Step = Callable[[Metal, Bench], Metal]


def metal_of(config: HingeBracket, hung: Hung, one: Swung, bench: Bench) -> Metal:
    """The pieces of one hinge."""
    found = Metal(one, Hinge(one.place, one.pivot, config.opening, _pad_way(config, one)))
    steps: list[Step] = [*_arm_steps(config, one), partial(_with_body, config)]
    for name, mount, face, shift, swings in _strut_mounts(config, hung, one):
        steps.append(partial(_with_strut, config, name, mount, face, shift, swings))
    for step in steps:
        try:
            found = step(found, bench)
        except (NoPiece, NoTooling) as no:
            finding = Finding(
                Severity.REFUSES, no.where, no.found, no.needed, no.remedy,
                "computed from the measured section",
            )  # fmt: skip
            if finding not in found.refused:
                found = replace(found, refused=(*found.refused, finding))
    return found


def _arm_steps(config: HingeBracket, one: Swung) -> list[Step]:
    """The arm needs its pad first: a bolted pad's holes go through both."""
    if one.arm is None:
        return []
    steps = (_with_shape, _with_pad, _with_arm)
    return [partial(step, config) for step in steps]


def _with_shape(config: HingeBracket, found: Metal, bench: Bench) -> Metal:
    assert found.swung.arm is not None
    thickness = bench.racks[config.stock].stock.thickness
    curves = found.swung.arm.outline.curves
    return replace(found, shape=ArmShape(curves, config.arm.pad, thickness, config.arm.bush))


def _pad_way(config: HingeBracket, one: Swung) -> Way:
    """The pad lies on the arm's inboard side, as told along the axis."""
    inboard = -1 if one.hand == "right" else 1
    return 1 if (inboard > 0) == (config.lid.runs == "rearward") else -1


def outboard_of(config: HingeBracket, one: Swung) -> Way:
    """Which way along the axis is away from the vehicle's centre plane."""
    return 1 if _pad_way(config, one) < 0 else -1


def _arm_sheet(config: HingeBracket, bench: Bench) -> Sheet:
    if config.arm.flange > 0:
        return folding_sheet(bench, config.stock)
    return flat_sheet(bench, config.stock)


def _with_pad(config: HingeBracket, found: Metal, bench: Bench) -> Metal:
    assert found.shape is not None
    sheet = folding_sheet(bench, config.pad.stock or config.stock)
    return replace(found, pad=lid_pad(found.hinge, found.shape, sheet, pad_sizes(config)))


def pad_sizes(config: HingeBracket) -> PadSizes:
    """The lid pad as asked for."""
    pad = config.pad
    join: Weld | Fixing = Weld(pad.throat)
    if pad.join == "bolt":
        join = Fixing(pad.arm_bolt)
    to_lid = Fixing(pad.bolt, count=pad.bolts, pitch=pad.pitch, adjust=pad.adjust)
    return PadSizes(pad.leg, to_lid, join, pad.turn)


def _with_arm(config: HingeBracket, found: Metal, bench: Bench) -> Metal:
    assert found.shape is not None
    sheet = _arm_sheet(config, bench)
    return replace(found, arm=arm(found.hinge, found.shape, sheet, found.pad, config.arm.flange))


def _with_body(config: HingeBracket, found: Metal, bench: Bench) -> Metal:
    thickness = bench.racks[config.stock].stock.thickness
    sheet = folding_sheet(bench, config.body.stock or config.stock)
    face = face_toward(config.body.face, found.hinge.pivot, config.body.turn)
    _stands_off("body bracket", face, found.hinge.pivot, "pivot")
    sizes = body_sizes(config, thickness, found.hinge.pivot)
    return replace(found, body=body_bracket(found.hinge, face, thickness, sheet, sizes))


def body_sizes(config: HingeBracket, arm_thickness: float, pivot: Point) -> BodySizes:
    """The body bracket as asked for: it stands off by the washer and what the bush stands out."""
    body = config.body
    stands_out = max(0.0, (config.arm.bush_length - arm_thickness) / 2)
    length, shift = body.foot(face_toward(body.face, pivot).beside(pivot))
    fixing = Fixing(body.bolt, count=body.bolts, pitch=body.pitch, adjust=body.adjust)
    return BodySizes(
        _hole(config.arm.pivot_bolt), config.arm.washer + stands_out, length, fixing,
        shift,
    )  # fmt: skip


def face_toward(line: tuple[Point, Point], side: Point, turn_deg: float = 90.0) -> Face:
    """A face through two points, our metal on the side where a third lies.

    >>> face_toward(((-110, -10), (-110, -90)), (-72, -18)).normal
    (1.0, 0.0)
    """
    (u, v), (p, q) = line
    return Face((u, v), (p - u, q - v), (side[0] - u, side[1] - v), turn_deg)


def _stands_off(name: str, face: Face, point: Point, held: str) -> None:
    """Raises NoPiece where a hole's centre lies on the face that its bracket is bolted to."""
    (x, y), (mx, my) = face.line, face.metal
    if abs(x * my - y * mx) < ON_FACE:
        raise NoPiece(
            name, f"the {held} at {at_words(point, 1)} lies on the face that the foot lies on",
            "room for the bracket between them", "measure both again, or move one",
        )  # fmt: skip


def _hole(name: str) -> float:
    """Closest clearance hole for a thread."""
    fastener = bolt(name)
    fit = "fine" if fastener.series.startswith("metric") else "close"
    return clearance_hole(fastener, fit)[0]


def _strut_mounts(
    config: HingeBracket, hung: Hung, one: Swung
) -> Iterator[tuple[str, Mount, Face, float, bool]]:
    """The strut's brackets of one hinge: name, ball, face, shift, whether it swings."""
    hanging = hung.hanging
    if config.struts is None or config.struts.brackets is None or hanging.hung is None:
        return
    if hanging.hung.count == 1 and one is not hung.hinges[0]:
        return
    asked: StrutBracketConfig = config.struts.brackets
    outboard = outboard_of(config, one)
    y = strut_y(config.struts, one.side.y)
    mounts, aside = hanging.hung.mounts, config.struts.aside
    for name, ball, line, shift, nearer, swings in (
        (LID_BRACKET, mounts.lid, asked.lid_face, asked.lid_shift, aside, True),
        (BODY_BRACKET, mounts.body, asked.body_face, asked.body_shift, 0.0, False),
    ):
        if line is None:
            continue
        at = hanging.in_lid_axes(ball)
        way: Way = 1 if outboard > 0 else -1
        mount = Mount(at, outboard * (y - nearer - one.side.y), way)
        yield name, mount, face_toward(line, at), shift, swings


def _with_strut(
    config: HingeBracket, name: str, mount: Mount, face: Face, shift: float, swings: bool,
    found: Metal, bench: Bench,
) -> Metal:  # fmt: skip
    assert config.struts is not None
    assert config.struts.brackets is not None
    asked = config.struts.brackets
    sizes = StudSizes(
        _hole(asked.stud), asked.reach, asked.length, Fixing(asked.bolt, count=asked.bolts), shift
    )
    _stands_off(name, face, mount.at, "ball")
    sheet = folding_sheet(bench, asked.stock or config.stock)
    bracket = strut_bracket(found.hinge, name, mount, face, sheet, sizes, swings)
    return replace(found, struts=(*found.struts, bracket))
