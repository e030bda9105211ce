"""The bracket that holds the pivot, and those that hold a strut's ball studs."""

from __future__ import annotations

from parts.kinds.hinge_bracket.metal.angle import (
    Corner,
    Foot,
    fold_depths,
    folded_angle,
    leg_round,
    narrows_at_once,
)
from parts.kinds.hinge_bracket.metal.flat import looks
from parts.kinds.hinge_bracket.metal.given import (
    Angle,
    BodySizes,
    Cut,
    Face,
    Fixing,
    Hinge,
    Mount,
    StudSizes,
    Way,
)
from parts.kinds.hinge_bracket.metal.rules import boss, round_hole
from parts.kinds.hinge_bracket.metal.sheets import NoPiece, Sheet
from parts.sheet.blank import Cutout
from parts.sheet.curve import Point
from parts.sheet.loop import circle


def body_bracket(
    hinge: Hinge, face: Face, arm_thickness: float, sheet: Sheet, sizes: BodySizes
) -> Angle:
    """The bracket that the arm turns on, bolted to a face of the body.

    Its leg lies beside the arm on the side away from the lid pad, the thrust washer between
    them, and its foot points on that way: all of it stays clear of all that swings, at every
    angle, by the washer's thickness. Raises NoPiece for a pivot too near to the face.
    """
    if not sizes.gap > 0:
        raise NoPiece(
            "body bracket", f"a gap of {sizes.gap:g} mm beside the arm", "a thrust washer",
            "give the washer's thickness",
        )  # fmt: skip
    way = _other(hinge.pad_way)
    leg_w = way * (arm_thickness / 2 + sizes.gap)
    return _bracket(
        hinge, "body bracket", hinge.pivot, leg_w, way, face, sheet, sizes.hole, sizes.boss,
        sizes.length, sizes.shift, sizes.fixing, "pivot", False,
    )  # fmt: skip


def strut_bracket(
    hinge: Hinge, name: str, mount: Mount, face: Face, sheet: Sheet, sizes: StudSizes,
    swings: bool,
) -> Angle:  # fmt: skip
    """A bracket that holds a ball stud, its axis along w, on a face of lid (`swings`) or body.

    The leg stands `reach` beside the ball's centre and the foot points away from it, so that the
    end fitting of the strut has all of its own side free.
    """
    if not sizes.reach > 0:
        raise NoPiece(
            name, f"a ball {sizes.reach:g} mm off its leg", "the stud's own length",
            "measure from the seat of the stud to the ball's centre",
        )  # fmt: skip
    leg_w = mount.w + mount.bracket_way * sizes.reach
    return _bracket(
        hinge, name, mount.at, leg_w, mount.bracket_way, face, sheet, sizes.hole, sizes.boss,
        sizes.length, sizes.shift, sizes.fixing, "ball stud", swings,
    )  # fmt: skip


def _other(way: Way) -> Way:
    return -1 if way > 0 else 1


def _bracket(
    hinge: Hinge, name: str, at: Point, leg_w: float, way: Way, face: Face, sheet: Sheet,
    hole: float, wish: float, length: float, shift: float, fixing: Fixing, held: str, swings: bool,
) -> Angle:  # fmt: skip
    if not hole > 0:
        raise NoPiece(name, "a hole of no size", "the hole's diameter", "give the bolt")
    metal = round_hole(hole, sheet.thickness, wish)
    rise, depths = face.height(at), fold_depths(sheet, face.turn_deg)
    corner = Corner(hinge, face, face.beside(at) + shift, leg_w, way)
    centre, half = corner.flat(at), length / 2
    for deep in depths:
        if rise < metal + deep:
            raise NoPiece(
                name,
                f"the {held} stands {rise:.1f} mm off the face that the foot lies on",
                f"{metal + deep:.1f} mm: {metal:.1f} of metal round its hole and {deep:.1f} for "
                "the fold",
                "a face further off, a smaller boss, or thinner stock with a sharper bend",
            )
        try:
            leg = leg_round([(centre, metal)], (-half, -deep), (half, -deep))
        except ValueError as no:
            raise NoPiece(name, str(no), "a foot abreast of it", "make the shift less") from no
        if not narrows_at_once(leg, half, depths[1]):
            break
    flat = folded_angle(
        corner, sheet, Foot(length, fixing, "across"), leg, (Cutout(held, circle(centre, hole)),),
        name,
    )  # fmt: skip
    cut = Cut(
        name, flat.blank, corner.place, f"away from the {_partner(held)}, {looks(hinge, way)}",
        sheet, swings, flat.side_view, flat.slabs,
    )  # fmt: skip
    edge = boss(fixing, sheet.thickness)
    return Angle(cut, fixing, length, rise, metal, flat.row, flat.pitch, edge, -leg[0].start[1])


def _partner(held: str) -> str:
    return "arm" if held == "pivot" else "ball"
