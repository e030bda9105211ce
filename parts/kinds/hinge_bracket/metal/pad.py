"""The lid pad: a folded angle between arm and lid."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from parts.kinds.hinge_bracket.metal.angle import Corner, Foot, fold_depths, folded_angle
from parts.kinds.hinge_bracket.metal.flat import looks
from parts.kinds.hinge_bracket.metal.given import Angle, ArmShape, Cut, Face, Hinge, PadSizes, Weld
from parts.kinds.hinge_bracket.metal.rules import boss, clear_of_fold, neck, row_of, rule
from parts.kinds.hinge_bracket.metal.sheets import NoPiece, Sheet
from parts.sheet.blank import Cutout
from parts.sheet.curve import Curve, Line, Point, distance
from parts.sheet.fold import stretches
from parts.sheet.loop import circle, contains

Run: TypeAlias = tuple[float, float]

NAME = "lid pad"
LEAST_WIDTH = 12.0  # mm of arm behind the lower end of the leg
EDGE_STEP = 1e-4  # mm
LOOKS = 64  # places along a weld that are held against the arm


def lid_face(shape: ArmShape, turn_deg: float = 90.0) -> Face:
    """The lid's inner face: the line of the arm's edge that meets it, our metal on the arm's side.

    >>> from parts.sheet.loop import polygon
    >>> bar = ArmShape(polygon([(0, -50), (30, -50), (30, 0), (0, 0)]), ((0, 0), (30, 0)), 5, 16)
    >>> lid_face(bar).normal
    (0.0, -1.0)
    """
    front, back = shape.pad
    du, dv = front[0] - back[0], front[1] - back[1]  # anticlockwise: the arm lies on the left
    return Face(front, (-du, -dv), (-dv, du), turn_deg)


def lid_pad(hinge: Hinge, shape: ArmShape, sheet: Sheet, sizes: PadSizes) -> Angle:
    """The angle that joins the arm to the lid: one leg on the arm's side, the other, with slots
    along u, against the lid's inner face.

    The fold is as long as the arm's edge. Below it the leg narrows to what the arm is wide, less
    the weld's own leg. Raises NoPiece where leg or bolts do not fit.
    """
    face = lid_face(shape, sizes.turn_deg)
    length = distance(*shape.pad)
    corner = Corner(
        hinge, face, length / 2, hinge.pad_way * shape.thickness / 2, hinge.pad_way
    )
    deep, half = fold_depths(sheet, sizes.turn_deg)[1], length / 2
    least = deep + neck(sheet)
    if sizes.leg < least:
        raise NoPiece(
            NAME, f"a leg of {sizes.leg:.1f} mm down the arm", f"{least:.1f} mm beside its fold",
            "make it longer, or take thinner stock",
        )  # fmt: skip
    side = 0.0
    if isinstance(sizes.arm, Weld):
        if not sizes.arm.throat > 0:
            raise NoPiece(NAME, "a weld of no throat", "the weld's throat", "give it, in mm")
        side = sizes.arm.throat * 2**0.5 + rule("weld margin")
    left, right = (-half, -deep), (half, -deep)
    low, high = _room(shape, corner, half, sizes.leg, side)
    ends = ((low, -sizes.leg), (high, -sizes.leg))
    leg = (Line(left, ends[0]), Line(*ends), Line(ends[1], right))
    seam: tuple[tuple[Point, Point], ...] = ()
    holes: tuple[Cutout, ...] = ()
    joint: tuple[tuple[Point, float], ...] = ()
    if isinstance(sizes.arm, Weld):
        seam = _seam(shape, corner, leg)
    else:
        down = clear_of_fold(sizes.arm, sheet, sizes.turn_deg)
        thick = max(sheet.thickness, shape.thickness)
        _refuse_short(sizes, down, boss(sizes.arm, thick))
        edge = boss(sizes.arm, thick)
        low, high = _room(shape, corner, half, down, 0.0)
        lines = [Line(corner.section(a.start), corner.section(a.end)) for a in leg]
        low, high = _metal_round((*shape.outline, *lines), corner, down, (low, high), edge)
        row = row_of(sizes.arm, thick, high - low + 2 * edge, 0.0, f"{NAME}: leg")
        spots: list[Point] = [((low + high) / 2 + x, -down) for x in row]
        holes = tuple(
            Cutout(f"{NAME} arm bolt {number}", circle(spot, sizes.arm.hole))
            for number, spot in enumerate(spots, 1)
        )
        joint = tuple((corner.section(spot), sizes.arm.hole) for spot in spots)
    flat = folded_angle(corner, sheet, Foot(length, sizes.lid, "along"), leg, holes, NAME)
    cut = Cut(
        NAME, flat.blank, corner.place, f"away from the arm, {looks(hinge, hinge.pad_way)}", sheet,
        True, flat.side_view, flat.slabs,
    )  # fmt: skip
    return Angle(
        cut, sizes.lid, length, sizes.leg, 0.0, flat.row, flat.pitch,
        boss(sizes.lid, sheet.thickness), deep, joint, seam,
    )


def _room(shape: ArmShape, corner: Corner, half: float, depth: float, side: float) -> Run:
    """From where to where along the lid the leg may reach, so deep below it."""
    (ox, oy), (ax, ay) = corner.section((0.0, -depth)), corner.section((1.0, -depth))
    runs = [
        (max(low + side, -half), min(high - side, half))
        for low, high in stretches(shape.outline, (ox, oy), (ax - ox, ay - oy))
    ]
    low, high = max(runs, key=lambda run: run[1] - run[0], default=(0.0, 0.0))
    if high - low < LEAST_WIDTH:
        raise NoPiece(
            NAME, f"the arm leaves {max(high - low, 0):.1f} mm for its leg {depth:.0f} mm below "
            "the lid", f"{LEAST_WIDTH:g} mm of arm behind it",
            "a shorter leg, or a longer edge of the arm at the lid",
        )  # fmt: skip
    return low, high


def _metal_round(
    cuts: Sequence[Curve], corner: Corner, depth: float, run: Run, edge: float
) -> Run:
    """The part of a run along the lid from which every cut lies `edge` away; empty where none."""

    def walked(x: float, way: float) -> float:
        while run[0] <= x <= run[1]:
            spot = corner.section((x, -depth))
            near = min(distance(cut.nearest(spot), spot) for cut in cuts)
            if near >= edge:
                break
            x += way * max(edge - near, EDGE_STEP)  # no distance grows faster than the way walked
        return x

    low, high = walked(run[0], 1.0), walked(run[1], -1.0)
    return (low, high) if low <= high else (low, low)


def _seam(
    shape: ArmShape, corner: Corner, leg: tuple[Line, Line, Line]
) -> tuple[tuple[Point, Point], ...]:
    """The weld in the section: the leg's lower edge, and its sides as far up as they lie on the
    arm; beside its fold it may stand over."""
    lines = [Line(corner.section(a.start), corner.section(a.end)) for a in leg]
    front, lower, back = lines[0].reversed(), lines[1], lines[2]
    if _on_arm(shape, lower) < 1:
        raise NoPiece(
            NAME, "its lower edge does not lie on the arm", "arm behind it",
            "a shorter leg, or a longer edge of the arm at the lid",
        )  # fmt: skip
    shares = [(line, _on_arm(shape, line)) for line in (front, lower, back)]
    return tuple((line.start, line.at(share)) for line, share in shares if share > 0)


def _on_arm(shape: ArmShape, line: Line) -> float:
    """The share of a line, from its start on, that lies on the arm."""
    on_arm = 0.0
    for k in range(LOOKS + 1):
        if not contains([shape.outline], line.at(k / LOOKS)):
            break
        on_arm = k / LOOKS
    return on_arm


def _refuse_short(sizes: PadSizes, down: float, edge: float) -> None:
    """Raise NoPiece for a leg too short for bolts that come clear of its fold."""
    if sizes.leg < down + edge:
        raise NoPiece(
            f"{NAME}: leg", f"{sizes.leg:.1f} mm down the arm",
            f"{down + edge:.1f} mm: bolts {down:.1f} below the lid, clear of the fold and with "
            f"room for a socket, and {edge:.1f} of metal below them",
            "make the leg longer",
        )  # fmt: skip
