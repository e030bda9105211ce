"""The arm: a flat plate in the hinge plane, or one with a return flange behind its ring."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from parts.kinds.hinge_bracket.metal.flat import looks, loop_seen, lying, seen
from parts.kinds.hinge_bracket.metal.given import Angle, ArmShape, Cut, Hinge, Slab
from parts.kinds.hinge_bracket.metal.pad import lid_face
from parts.kinds.hinge_bracket.metal.rules import OUTER_ROUND
from parts.kinds.hinge_bracket.metal.sheets import NoPiece, Sheet
from parts.kinds.hinge_bracket.metal.slabs import strips
from parts.sheet.allowance import outside_setback
from parts.sheet.blank import Bend, Blank, Cutout
from parts.sheet.corner import fillet_all
from parts.sheet.curve import SAME_POINT, Curve, Line, Point, curve_distance, distance
from parts.sheet.loop import Loop, anticlockwise, circle, contains, joined, polygon
from parts.sheet.shop import limits

NAME = "arm"
FLANGE = "return"
AT_PAD = 1e-4  # mm; a curve that ends no further from the pad's end meets it


def arm(
    hinge: Hinge, shape: ArmShape, sheet: Sheet, pad: Angle | None = None, flange: float = 0.0
) -> Cut:
    """The arm, its middle in the hinge plane, drawn from the side of the lid pad.

    The bush's hole is cut to the bush's outside diameter, to be reamed to its fit; a bolted pad's
    holes are cut through both. `flange` is the outside height of a return along the straight
    edge from the ring to the lid, turned toward the pad. It stands outside the outline, so that
    both ends of its fold are free; `side_view` says how far. Raises NoPiece.
    """
    way, t = hinge.pad_way, sheet.thickness
    if abs(t - shape.thickness) > SAME_POINT:
        raise NoPiece(
            NAME, f"stock of {t:g} mm", f"the {shape.thickness:g} mm it was laid out with",
            "use one stock for both",
        )  # fmt: skip
    hub = min(distance(curve.nearest(hinge.pivot), hinge.pivot) for curve in shape.outline)
    if not 0 < shape.bush / 2 < hub:
        raise NoPiece(
            NAME, f"a bush {shape.bush:g} mm across in a hub of {2 * hub:g}",
            "metal round the bush", "a larger hub or a smaller bush",
        )  # fmt: skip
    holes = [Cutout("bush", circle(seen(hinge.pivot, way), shape.bush))]
    for number, (at, size) in enumerate(pad.joint if pad else (), 1):
        holes.append(Cutout(f"pad bolt {number}", circle(seen(at, way), size)))
    outline: Loop = shape.outline
    views: tuple[Loop, ...] = (shape.outline,)
    slabs: list[Slab] = [Slab(-t / 2, t / 2, shape.outline)]
    bends: tuple[Bend, ...] = ()
    if flange > 0:
        hung = _hung(shape, sheet, flange, pad)
        outline, views = hung.outline, (shape.outline, hung.side_view)
        slabs.append(Slab(-t / 2, t / 2, hung.side_view))
        for low, high, seen_so in hung.strips:
            ends = way * (low - t / 2), way * (high - t / 2)
            slabs.append(Slab(min(ends), max(ends), seen_so))
        line = [seen(p, way) for p in hung.fold]
        start, end = line if way < 0 else reversed(line)  # what swings lies on its left
        bends = (replace(hung.bend, start=start, end=end),)
    blank = Blank(t, loop_seen(outline, way), tuple(holes), bends, seen(_metal(hinge, shape), way))
    faces = f"toward the lid pad, {looks(hinge, way)}"
    place = lying(hinge, way, -way * t / 2)
    return Cut(NAME, blank, place, faces, sheet, True, views, tuple(slabs))


def _metal(hinge: Hinge, shape: ArmShape) -> Point:
    """A point of the hub beside the bush, on the way to the middle of the pad."""
    (u, v), (a, b) = hinge.pivot, shape.pad
    away = distance((u, v), ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))
    hub = min(distance(curve.nearest((u, v)), (u, v)) for curve in shape.outline)
    out = (hub + shape.bush / 2) / 2 / away
    return (u + out * ((a[0] + b[0]) / 2 - u), v + out * ((a[1] + b[1]) / 2 - v))


@dataclass(frozen=True, eq=False)
class _Hung:
    """An outline with a return hung on it, in the section: the fold's start line with what swings
    on its left, the bend as yet without place, what the section sees of the folded return, and
    what it sees of it from so far to so far from the plate's outer face."""

    outline: Loop
    fold: tuple[Point, Point]
    bend: Bend
    side_view: Loop
    strips: tuple[tuple[float, float, Loop], ...]


def _hung(shape: ArmShape, sheet: Sheet, height: float, pad: Angle | None) -> _Hung:
    t, bending = sheet.thickness, sheet.folds(NAME)
    back = outside_setback(bending.radius, t, 90.0)
    if height <= back:
        raise NoPiece(
            f"{NAME}: return flange", f"{height:.1f} mm high, no more than its own fold",
            f"more than {back:.1f} mm", "make it higher, or leave it out",
        )  # fmt: skip
    number, edge = _edge_behind(shape)

    def at(along: float, out: float) -> Point:
        return (edge.start[0] + along * dx + out * dy, edge.start[1] + along * dy - out * dx)

    (dx, dy), low = edge.tangent(0.0), max(2 * t, OUTER_ROUND)
    stand = max(limit.least for limit in limits("relief depth", t)) + OUTER_ROUND
    outer, high = stand + back, edge.length - _to_lid(shape, edge, _pad_depth(shape, sheet, pad))
    while pad and high - low >= 4 * t:
        if _clear(Line(at(high, stand), at(high, outer)), pad, t):
            break
        high -= 1.0
    if high - low < 4 * t:
        raise NoPiece(
            f"{NAME}: return flange",
            f"the straight edge behind the ring leaves it {max(high - low, 0):.1f} mm",
            f"{4 * t:.1f} mm", "leave it out, or move the pad further back",
        )  # fmt: skip
    allowance = bending.allowance(90.0)
    tip = stand + allowance + height - back
    corners = [at(low, 0), at(low, tip), at(high, tip), at(high, 0)]
    detour: list[Curve] = [Line(edge.start, corners[0])]
    detour += [Line(a, b) for a, b in pairwise(corners)]
    detour.append(Line(corners[-1], edge.end))
    loop = joined((*shape.outline[:number], *detour, *shape.outline[number + 1 :]), NAME)
    own = [c.end for c in shape.outline]
    outline = fillet_all(loop, OUTER_ROUND, "both", skip=own, shrink=True)
    fold = (at(high, stand), at(low, stand))
    bend = Bend(FLANGE, *fold, 90.0, bending.radius, allowance)
    r = OUTER_ROUND  # of the corners at its foot
    ends = [(low - r, 0.0), (low, r), (low, outer), (high, outer), (high, r), (high + r, 0.0)]
    seen_so = tuple(
        (near, far, anticlockwise(polygon([at(low, a), at(low, b), at(high, b), at(high, a)])))
        for near, far, a, b in (
            (z0, z1, outer + y0, outer + y1)
            for z0, z1, y0, y1 in strips(outer, height, bending.radius, t, 90.0)
        )
    )
    return _Hung(outline, fold, bend, anticlockwise(polygon([at(*end) for end in ends])), seen_so)


def _clear(end: Line, pad: Angle, by: float) -> bool:
    """Whether the end of a return keeps so far from the pad, as the section sees both."""
    return all(
        curve_distance(end, curve)[0] >= by for view in pad.cut.side_view for curve in view
    ) and not any(contains([view], end.at(0.5)) for view in pad.cut.side_view)


def _edge_behind(shape: ArmShape) -> tuple[int, Line]:
    """The straight edge that comes up to the pad's back end, and its number in the outline."""
    for number, curve in enumerate(shape.outline):
        if distance(curve.end, shape.pad[1]) < AT_PAD and isinstance(curve, Line):
            return number, curve
    raise NoPiece(
        f"{NAME}: return flange", "no straight edge comes up to the pad's back end",
        "a straight edge to fold it on", "leave it out",
    )  # fmt: skip


def _pad_depth(shape: ArmShape, sheet: Sheet, pad: Angle | None) -> float:
    """How far below the lid a return begins: clear of the pad's fold and of the holes for it."""
    t = sheet.thickness
    if pad is None:
        return 3 * t
    clear = max(limit.least for limit in limits("hole to bend", t, sheet.folds(NAME).radius))
    face = lid_face(shape)
    return max(
        [pad.fold_depth + t, *(face.height(at) + size / 2 + clear for at, size in pad.joint)]
    )


def _to_lid(shape: ArmShape, edge: Line, depth: float) -> float:
    """How far along the edge from the pad it lies `depth` below the lid."""
    (ax, ay), (bx, by) = shape.pad
    (dx, dy), size = edge.tangent(1.0), distance(*shape.pad)
    steep = abs(dx * (by - ay) - dy * (bx - ax)) / size
    return depth / max(steep, 0.05)
