"""A doubler over the throat of an arm, where screening asks for more metal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, degrees, radians, sin, tau

from parts.kinds.hinge_bracket.metal.flat import looks, loop_seen, lying, seen
from parts.kinds.hinge_bracket.metal.given import Angle, ArmShape, Cut, Hinge, Slab
from parts.kinds.hinge_bracket.metal.pad import lid_face
from parts.kinds.hinge_bracket.metal.rules import OUTER_ROUND, rule
from parts.kinds.hinge_bracket.metal.sheets import NoPiece, Sheet
from parts.sheet.blank import Blank, Cutout
from parts.sheet.combine import subtract
from parts.sheet.curve import Arc, Point, distance
from parts.sheet.loop import Loop, anticlockwise, circle, contains, polygon
from parts.sheet.outline import offset
from parts.sheet.tidy import tidied

NAME = "doubler"
ON_PIVOT = 1e-4  # mm; an arc about the pivot has its centre no further from it
FAR = 1000.0  # mm
TIP = 0.6  # of the thickness that its corners are rounded by at least, so that no tip is thin


@dataclass(frozen=True, slots=True)
class Ring:
    """The part of an arm that runs round the pivot: its inside radius, its width, and between
    which directions from the pivot both its edges do, degrees anticlockwise from straight back."""

    inside: float
    width: float
    from_deg: float
    to_deg: float


def ring(pivot: Point, shape: ArmShape) -> Ring:
    """The ring of an arm; raises NoPiece for an arm that has none.

    A quarter of a ring of 100 inside and 30 wide:

    >>> from math import pi
    >>> from parts.sheet.curve import Line, arc
    >>> inner, outer = arc((0, 0), 100, 0.0, -pi / 2), arc((0, 0), 130, -pi / 2, pi / 2)
    >>> ends = Line(inner.end, outer.start), Line(outer.end, inner.start)
    >>> quarter = ArmShape((inner, ends[0], outer, ends[1]), ((100, 0), (130, 0)), 5, 16)
    >>> found = ring((0, 0), quarter)
    >>> found.inside, found.width, round(found.from_deg, 6), round(found.to_deg, 6)
    (100.0, 30.0, -90.0, 0.0)
    """
    about = [
        c for c in shape.outline if isinstance(c, Arc) and distance(c.center, pivot) < ON_PIVOT
    ]
    inner = [c for c in about if c.sweep < 0]
    if inner:
        throat = min(inner, key=lambda c: c.radius)
        outer = max((c for c in about if c.sweep > 0), key=lambda c: c.radius, default=throat)
        if outer.radius > throat.radius:
            low, high = _span(throat), _span(outer)
            turn = round((low[0] - high[0]) / tau) * tau  # both told as the same turn
            first, last = max(low[0], high[0] + turn), min(low[1], high[1] + turn)
            if last > first:
                return Ring(
                    throat.radius, outer.radius - throat.radius, degrees(first), degrees(last)
                )
    raise NoPiece("arm", "no part of it runs round the pivot", "a ring", "screen it as a bar")


def _span(bow: Arc) -> tuple[float, float]:
    ends = (bow.start_angle, bow.start_angle + bow.sweep)
    return min(ends), max(ends)


def doubler(
    hinge: Hinge, shape: ArmShape, sheet: Sheet, pad: Angle, throat: float = 3.0
) -> Cut:
    """A plate that follows the arm from its hub round the throat to the pad, welded to the arm's
    side toward the pad.

    It keeps the leg of an edge weld of that throat from the arm's edges, from the pad and from
    the hub, and has plug holes along the ring where it is wide enough. Raises NoPiece where
    nothing is left.
    """
    edge, way = throat * 2**0.5 + rule("weld margin"), hinge.pad_way
    about = ring(hinge.pivot, shape)
    if about.width < 4 * edge:
        raise NoPiece(
            NAME, f"{about.width - 2 * edge:.1f} mm of ring between its welds",
            f"{2 * edge:.1f} mm", "thicker stock for the arm, or a wider ring",
        )  # fmt: skip
    hub = min(distance(curve.nearest(hinge.pivot), hinge.pivot) for curve in shape.outline)
    round_by = max(OUTER_ROUND, TIP * sheet.thickness)
    deep = edge + round_by
    try:  # further in than asked, then out again: that rounds the corners and leaves no slivers
        inset = offset(shape.outline, -deep)
        for cutter in (circle(hinge.pivot, 2 * (hub + deep)), _above(shape, pad.rise + deep)):
            inset = subtract(inset, cutter)[0]
        loop = tidied(offset(inset, round_by))
    except (ValueError, IndexError) as no:
        raise NoPiece(
            NAME, f"no one plate is left inside of its welds ({no})", "a ring and a leg as wide",
            "thicker stock for the arm",
        ) from no  # fmt: skip
    radii = (about.inside + edge, about.inside + about.width - edge)
    middle = (radians(about.from_deg) + radians(about.to_deg)) / 2
    base = _at(hinge.pivot, radii[0] + 0.1 * (radii[1] - radii[0]), middle)
    if not contains([loop], base):
        raise NoPiece(
            NAME, "the lid pad covers the ring", "ring that is free", "thicker stock for the arm"
        )
    plugs = tuple(_plugs(hinge, sheet, about, radii, loop))
    blank = Blank(sheet.thickness, loop_seen(loop, way), plugs, (), seen(base, way))
    ends = way * shape.thickness / 2, way * (shape.thickness / 2 + sheet.thickness)
    return Cut(
        NAME, blank, lying(hinge, way, way * shape.thickness / 2),
        f"away from the arm, {looks(hinge, way)}", sheet, True, (loop,),
        (Slab(min(ends), max(ends), loop),),
    )  # fmt: skip


def _above(shape: ArmShape, depth: float) -> Loop:
    """All that lies less than `depth` below the lid, beside the arm."""
    face, wide = lid_face(shape), FAR + distance(*shape.pad)
    return anticlockwise(
        polygon(
            [face.on(-wide, depth), face.on(wide, depth), face.on(wide, -FAR), face.on(-wide, -FAR)]
        )
    )


def _plugs(
    hinge: Hinge, sheet: Sheet, about: Ring, radii: tuple[float, float], loop: Loop
) -> Iterator[Cutout]:
    """Plug holes along the ring's middle, where the plate is wide enough for them."""
    size = sheet.thickness + rule("plug hole over thickness")
    if radii[1] - radii[0] < 2 * size:
        return
    radius, first = sum(radii) / 2, radians(about.from_deg)
    span = radians(about.to_deg) - first
    count = int(span * radius / (rule("plug pitch per hole") * size))
    for number in range(count):
        spot = _at(hinge.pivot, radius, first + (number + 0.5) * span / count)
        near = min(distance(curve.nearest(spot), spot) for curve in loop)
        if contains([loop], spot) and near >= size:
            yield Cutout(f"plug weld {number + 1}", circle(seen(spot, hinge.pad_way), size))


def _at(pivot: Point, radius: float, angle_rad: float) -> Point:
    return (pivot[0] + radius * cos(angle_rad), pivot[1] + radius * sin(angle_rad))
