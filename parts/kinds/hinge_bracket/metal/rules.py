"""How much metal a bolt wants round it and to a fold, and how many fit in a row."""

from __future__ import annotations

from math import radians, tan

from parts.kinds.hinge_bracket.metal.given import Fixing
from parts.kinds.hinge_bracket.metal.sheets import NoPiece, Sheet
from parts.sheet.allowance import outside_setback
from parts.sheet.press import die_for, flange_factor, natural_radius
from parts.sheet.shop import limits
from parts.tables import find

OUTER_ROUND = 3.0  # corners that hands meet


def rule(name: str) -> float:
    """A value of hinge_metal.csv; raises UnknownName.

    >>> rule("hub wall")
    6.0
    """
    return float(find("hinge_metal", name, what="rule")["value"])


def boss(fixing: Fixing, thickness: float) -> float:
    """Metal kept from a bolt's centre, or the centre of its slot's end, to an edge.

    The floor of EN 1993-1-8 table 3.3, the trade's 1.5 d, the washer, what cutting asks of the
    sheet, and the wish. M8 in a slot of 9: 1.5 x 9:

    >>> boss(Fixing("M8", adjust=5), 3)
    13.5
    """
    fastener = fixing.fastener
    floor = float(find("edge_distances", "slot" if fixing.adjust > 0 else "end")["factor"])
    usual = float(find("edge_distances", "loaded bolt")["factor"])
    washer = fastener.washer_outside / 2 + rule("washer margin")
    cut = fixing.hole / 2 + max(limit.least for limit in limits("hole to edge", thickness))
    return max(floor * fixing.hole, usual * fastener.diameter, washer, cut, fixing.edge)


def round_hole(hole: float, thickness: float, wish: float) -> float:
    """Metal kept from the centre of a bolt's or stud's round hole to an edge.

    1.5 times the hole, as far as the hole is loaded along the plate, and what cutting asks.

    >>> round_hole(10.5, 5, 0)
    15.75
    """
    usual = float(find("edge_distances", "loaded bolt")["factor"]) * hole
    cut = hole / 2 + max(limit.least for limit in limits("hole to edge", thickness))
    return max(usual, cut, wish)


def spacing(fixing: Fixing, thickness: float) -> float:
    """Least distance between bolts abreast, or between their slots' nearest ends."""
    washer = fixing.fastener.washer_outside + rule("washer margin")
    web = fixing.hole + max(limit.least for limit in limits("web", thickness))
    return max(float(find("edge_distances", "gauge")["factor"]) * fixing.hole, washer, web)


def neck(sheet: Sheet) -> float:
    """Straight edge kept beside a fold before the outline may turn."""
    return max(sheet.thickness, 5.0)


def setback(sheet: Sheet, turn_deg: float) -> float:
    """From the corner of the outer faces to the start of the fold."""
    if not 20 <= turn_deg <= 150:
        raise NoPiece(
            "fold", f"it would have to turn by {turn_deg:g} degrees", "20 to 150 degrees",
            "look at the face's slope, or set a packer under the foot",
        )  # fmt: skip
    radius = sheet.folds("fold").radius
    return (radius + sheet.thickness) * tan(radians(turn_deg) / 2)


def least_leg(sheet: Sheet, turn_deg: float) -> float:
    """Shortest outside leg that the die takes; more where the radius is wider than the die's own.

    0 where no table knows the die: the checks of the sheet say so.
    """
    t, bending = sheet.thickness, sheet.folds("fold")
    try:
        die_v = sheet.rack.die_v or die_for(t)
        least = bending.least_flange * flange_factor(turn_deg)
        wide = bending.radius > natural_radius(die_v).value
    except ValueError:
        return 0.0
    to_tangent = outside_setback(bending.radius, t, turn_deg, leg_to="tangent")
    reach = to_tangent + die_v / 2 - bending.allowance(turn_deg) / 2
    least = max(least, reach) if wide else least
    return least - to_tangent + setback(sheet, turn_deg)  # from the corner of the outer faces


def clear_of_fold(fixing: Fixing, sheet: Sheet, turn_deg: float) -> float:
    """From the corner of the outer faces to the nearest a bolt's centre may come.

    2t + R and half the die from the hole's edge, and a socket clear of the other leg.
    """
    t, bending = sheet.thickness, sheet.folds("fold")
    back, half = setback(sheet, turn_deg), fixing.hole / 2
    try:
        die_v = sheet.rack.die_v or die_for(t)
    except ValueError:  # no die is known: the checks of the sheet say so
        die_v = 0.0
    to_bend = max(limit.least for limit in limits("hole to bend", t, bending.radius))
    to_middle = max(limit.least for limit in limits("hole to middle of bend", t, die_v=die_v))
    from_bend = back + half + max(to_bend, to_middle - bending.allowance(turn_deg) / 2)
    socket = fixing.fastener.socket_outside / 2 + rule("spanner margin")
    leaning = max(0.0, turn_deg - 90)  # a foot that leans toward the leg has less room
    room = (t + socket) / max(0.2, 1 - leaning / 90)
    return max(from_bend, room)


def row_of(
    fixing: Fixing, thickness: float, length: float, travel: float, where: str
) -> tuple[float, ...]:
    """Where the bolts of a row sit, from the middle of a length of metal.

    `travel` is how far each may move along the row. Raises NoPiece for a row that does not fit.

    >>> row_of(Fixing("M8"), 3, 70, 0, "foot")   # 12 to the edge, 1.5 d
    (-23.0, 23.0)
    """
    if fixing.count < 1:
        raise NoPiece(where, f"{fixing.count} bolts", "one bolt or more", "two are usual")
    edge, apart = boss(fixing, thickness), spacing(fixing, thickness)
    most = length - 2 * (edge + travel)
    least = (fixing.count - 1) * (apart + 2 * travel)
    span = most if fixing.pitch is None else fixing.pitch
    if fixing.count == 1:
        span = 0.0
    if most < span - 1e-6 or span < least - 1e-6:
        slots = " in slots" if travel > 0 else ""
        raise NoPiece(
            where,
            f"{fixing.count} bolts {fixing.bolt}{slots} do not fit in {length:.1f} mm",
            f"{length - most + max(span, least):.1f} mm: {edge:.1f} to the edges, "
            f"{apart:.1f} between them and {travel:.1f} of travel each way",
            "a longer foot, a smaller bolt or less adjustment",
        )
    if fixing.count == 1:
        return (0.0,)
    step = span / (fixing.count - 1)
    return tuple(-span / 2 + step * i for i in range(fixing.count))
