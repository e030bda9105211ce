"""The usual outlines of a section from what is measured: lid edge, panel ahead, gutter, seal."""

from __future__ import annotations

from math import cos, pi, radians, sin

from parts.sheet.curve import Curve, Line, Point, arc
from parts.trade.swing.section import Outline, polyline

FOLD, SKIN = "lid fold", "lid skin"


def lid_edge(
    fold: float, radius: float, skin: float, depth: float, plus_minus: float = 0.0
) -> tuple[Outline, Outline]:
    """The lid's front edge and the skin behind it, from the depth of the edge fold (outside, to
    its bottom), the outside radius of the edge, the skin's thickness and the lid's depth.

    A radius of 0 is a sharp edge. Raises ValueError where these do not make an edge.

    >>> fold, skin = lid_edge(fold=10, radius=3, skin=1, depth=760)
    >>> min(curve.start[1] for curve in fold.curves), skin.curves[0].start
    (-10, (3, 0.0))
    """
    if not skin > 0:
        raise ValueError(f"lid skin {skin:g} mm thick; needs more than 0")
    if radius < 0:
        raise ValueError(f"edge radius {radius:g} mm; needs 0 or more")
    back = max(radius, skin)
    if not fold > back:
        raise ValueError(f"edge fold {fold:g} mm deep; needs more than {back:g} (radius or skin)")
    if not depth > back:
        raise ValueError(f"lid {depth:g} mm deep; needs more than {back:g} (radius or skin)")
    curves: list[Curve] = []
    if radius < back:
        curves.append(Line((back, 0.0), (radius, 0.0)))
    if radius > 0:
        curves.append(arc((radius, -radius), radius, pi / 2, pi / 2))
    curves.append(Line((0.0, -radius), (0.0, -fold)))
    curves += [Line((0.0, -fold), (skin, -fold)), Line((skin, -fold), (skin, -back))]
    if radius > skin:
        curves.append(arc((radius, -radius), radius - skin, pi, -pi / 2))
    curves.append(Line((back, -skin), (back, 0.0)))
    corners = ((back, 0.0), (back, -skin), (depth, -skin), (depth, 0.0))
    return (
        Outline(FOLD, _end_to_end(curves), plus_minus),
        polyline(SKIN, corners, closed=True, plus_minus=plus_minus),
    )


def _end_to_end(curves: list[Curve]) -> tuple[Curve, ...]:
    """Straight sides snapped to the ends of the arcs beside them."""
    count = len(curves)
    snapped: list[Curve] = []
    for i, curve in enumerate(curves):
        if isinstance(curve, Line):
            curve = Line(curves[i - 1].end, curves[(i + 1) % count].start)
        snapped.append(curve)
    return tuple(snapped)


def panel_ahead(
    gap: float,
    flat: float,
    rise_deg: float,
    rise: float,
    skin: float = 0.0,
    level: float = 0.0,
    plus_minus: float = 0.0,
) -> Outline:
    """The fixed panel ahead of the lid: the gap, then `flat` mm of it, then `rise` mm going up
    at `rise_deg` towards the glass. It stands `level` above the lid's edge; a `skin` of 0 leaves
    its underside out.

    >>> [curve.end for curve in panel_ahead(gap=5, flat=40, rise_deg=90, rise=30).curves]
    [(-45, 0.0), (-45.0, 30.0)]
    """
    for what, value in (("gap", gap), ("flat", flat), ("rise", rise)):
        if not value > 0:
            raise ValueError(f"panel ahead: {what} {value:g} mm; needs more than 0")
    if not 0 <= rise_deg <= 120:
        raise ValueError(f"panel ahead: rises at {rise_deg:g}°; needs 0 to 120°")
    c, s = cos(radians(rise_deg)), sin(radians(rise_deg))
    edge, knee = (-gap, level), (-gap - flat, level)
    top: list[Point] = [edge, knee, (round(knee[0] - rise * c, 9), round(level + rise * s, 9))]
    if skin <= 0:
        return polyline("panel ahead", tuple(top), plus_minus=plus_minus)
    mitre = skin * s / (1 + c) if c > -1 else 0.0
    under: list[Point] = [
        (top[2][0] - skin * s, top[2][1] - skin * c),
        (knee[0] - mitre, level - skin),
        (edge[0], level - skin),
    ]
    return polyline("panel ahead", (*top, *under), closed=True, plus_minus=plus_minus)


def seal(
    foot: Point,
    width: float,
    free: float,
    squeezed: float,
    arms: tuple[str, ...],
    edges: tuple[str, ...] = (FOLD,),
    plus_minus: float = 0.0,
) -> tuple[Outline, Outline]:
    """The seal on its flange, `foot` the middle of its base: free for the arms to pass, and
    squeezed for the lid's edge fold (the skin is meant to touch it). The free seal is round on
    top; heights are over the base.

    >>> free, squeezed = seal((24, -17), 8, 16, 12, arms=("arm",))
    >>> max(c.box()[3] for c in free.curves), max(c.box()[3] for c in squeezed.curves)
    (-1.0, -5)
    """
    if not width > 0 or not free >= width / 2:
        raise ValueError(
            f"seal {width:g} wide and {free:g} high; needs a width, and at least half of it high"
        )
    if not 0 < squeezed <= free:
        raise ValueError(f"seal squeezed to {squeezed:g}; needs more than 0 and up to {free:g}")
    (u, v), half = foot, width / 2
    shoulder = v + free - half
    bow = arc((u, shoulder), half, 0.0, pi)
    base = Line((u - half, v), (u + half, v))
    sides: list[Curve] = [base]
    if shoulder > v:
        sides += [Line(base.end, bow.start), bow, Line(bow.end, base.start)]
    else:
        sides.append(bow)
    low = ((u - half, v), (u + half, v), (u + half, v + squeezed), (u - half, v + squeezed))
    return (
        Outline("seal, free", tuple(sides), plus_minus, arms),
        polyline("seal, squeezed", low, True, plus_minus, edges),
    )
