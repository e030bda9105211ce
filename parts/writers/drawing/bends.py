"""What the folder reads in the bend table, and where a tape or a back gauge finds each bend."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees

from parts.part import Piece
from parts.sheet.bend_lines import bend_lines
from parts.sheet.bend_rules import bend_deduction, outside_setback
from parts.sheet.bend_side import is_rolled
from parts.sheet.blank import Bend
from parts.sheet.curve import Line, Point, distance
from parts.writers.drawing.edges import simplified, smooth
from parts.writers.figures import NO_APEX_DEG

PARALLEL = 1e-3  # sine of the angle between a bend and an edge to measure it from
ON_EDGE = 0.01  # mm that the end of a bend may be off the edge it leaves by
GRIP = 10.0  # mm of edge that must lie against the gauge
SIDES = ("right", "upper right", "upper", "upper left", "left", "lower left", "lower",
         "lower right")  # fmt: skip


@dataclass(frozen=True, slots=True)
class FromEdge:
    """Where a bend lies from a straight edge beside it, mm square to it, on the flat blank.

    `across` names a bend that lies between, or is "". `leg` is the finished outside length: to
    the outer faces' meeting, past a right angle to the outermost face (as DIN 6935 measures).
    """

    edge: str
    start: float
    middle: float
    leg: float
    across: str


@dataclass(frozen=True, slots=True)
class FromCorner:
    """Where the middle of a bend leaves the metal: on which edge, and how far, straight across,
    from which corner of it, or end where a round begins; mm on the flat blank."""

    edge: str
    corner: str
    far: float


@dataclass(frozen=True, slots=True)
class BendRow:
    """One bend as the table tells it; None where a number has no meaning.

    `ends` are told of a bend that no straight edge runs along, and are two or none.
    """

    name: str
    up: bool
    turn_deg: float
    over_deg: float | None  # to bend to before it springs back
    radius: float
    allowance: float
    source: str
    deduction: float | None
    rolled: bool
    from_edge: FromEdge | None
    ends: tuple[FromCorner, ...] = ()


def bend_rows(piece: Piece) -> list[BendRow]:
    """Every bend in the blank's order."""
    thickness, rows = piece.stock.thickness, []
    middles = [bend_lines(piece.folded, k) for k in range(len(piece.blank.bends))]
    for number, (bend, allowance) in enumerate(
        zip(piece.blank.bends, piece.allowances, strict=True)
    ):
        turn_deg, rolled = abs(bend.turn_deg), is_rolled(bend, thickness)
        plain = not rolled and turn_deg <= NO_APEX_DEG
        beside = None if rolled else _from_edge(piece, number, middles)
        rows.append(
            BendRow(
                bend.name,
                bend.up,
                turn_deg,
                None if allowance.over is None else turn_deg + allowance.over.value,
                bend.radius,
                bend.allowance,
                allowance.source,
                bend_deduction(bend.radius, thickness, turn_deg, bend.allowance) if plain else None,
                rolled,
                beside,
                () if rolled or beside else _ends(piece, middles[number]),
            )
        )
    return rows


def _ends(piece: Piece, middles: list[Line]) -> tuple[FromCorner, ...]:
    """Both ends of a bend's middle, each from the nearer corner of the edge it leaves by."""
    if not middles:
        return ()
    bend_way = middles[0].tangent(0)
    ends = [end for line in middles for end in (line.start, line.end)]
    ends.sort(key=lambda end: end[0] * bend_way[0] + end[1] * bend_way[1])
    found = []
    for end in (ends[0], ends[-1]):
        curves = simplified(piece.blank.outline)
        edge = min(curves, key=lambda curve: distance(curve.nearest(end), end))
        if distance(edge.nearest(end), end) > ON_EDGE or len(curves) == 1:
            return ()
        number, count = curves.index(edge), len(curves)
        before, after = curves[number - 1], curves[(number + 1) % count]
        round_, far, corner = min(
            (smooth(before, edge), distance(edge.start, end), edge.start),
            (smooth(edge, after), distance(edge.end, end), edge.end),
        )  # a sharp corner first
        middle, (dx, dy) = edge.at(0.5), edge.tangent(0.5)
        way = SIDES[_eighth(corner[0] - middle[0], corner[1] - middle[1])]
        what = f"{way} {'end' if round_ else 'corner'}"
        found.append(FromCorner(f"{SIDES[_eighth(dy, -dx)]} edge", what, far))
    return tuple(found)


def _from_edge(piece: Piece, number: int, middles: list[list[Line]]) -> FromEdge | None:
    """The nearest straight edge that runs along a bend; one with no other bend between first."""
    bend, thickness = piece.blank.bends[number], piece.stock.thickness
    if not middles[number]:
        return None
    setback = outside_setback(bend.radius, thickness, bend.turn_deg, leg_to="tangent")
    found: list[tuple[bool, float, FromEdge]] = []
    for edge in simplified(piece.blank.outline):
        if not isinstance(edge, Line):
            continue
        start = _away(bend, edge)
        foot = _facing(bend, edge, middles[number])
        if start is None or foot is None:
            continue
        between = [piece.blank.bends[k].name for k, lines in enumerate(middles)
                   if k != number and any(_cross(foot, line) for line in lines)]  # fmt: skip
        one = FromEdge(
            f"{_side(edge)} edge", start, start + bend.allowance / 2, start + setback,
            between[0] if between else "",
        )  # fmt: skip
        found.append((bool(between), start, one))
    return min(found, key=lambda one: one[:2])[2] if found else None


def _away(bend: Bend, edge: Line) -> float | None:
    """How far an edge along the bend lies from where the metal starts to bend, with metal
    between; None for any other edge."""
    (dx, dy), (ax, ay) = edge.tangent(0), bend.along
    if abs(dx * ay - dy * ax) > PARALLEL:
        return None
    ahead = bend.ahead(edge.at(0.5))
    outward = dy * bend.across[0] - dx * bend.across[1]  # metal lies left of the edge
    if ahead > bend.allowance and outward > 0:
        return ahead - bend.allowance
    return -ahead if ahead < 0 and outward < 0 else None


def _facing(bend: Bend, edge: Line, middles: list[Line]) -> Line | None:
    """A line from the bend square to the edge, where enough of the two lie side by side."""
    low, high = sorted((bend.beside(edge.start), bend.beside(edge.end)))
    best: tuple[float, float] | None = None
    for line in middles:
        a, b = sorted((bend.beside(line.start), bend.beside(line.end)))
        a, b = max(a, low), min(b, high)
        if b - a >= min(GRIP, line.length / 2) and (best is None or b - a > best[1] - best[0]):
            best = (a, b)
    if best is None:
        return None
    beside = (best[0] + best[1]) / 2
    return Line(_at(bend, beside, bend.allowance / 2), _at(bend, beside, bend.ahead(edge.at(0.5))))


def _at(bend: Bend, beside: float, ahead: float) -> Point:
    (x, y), (ax, ay), (nx, ny) = bend.start, bend.along, bend.across
    return (x + beside * ax + ahead * nx, y + beside * ay + ahead * ny)


def _cross(path: Line, line: Line) -> bool:
    if distance(path.start, path.end) < 1e-9:
        return False
    return bool(path.crossings(line.start, line.tangent(0))) and bool(
        line.crossings(path.start, path.tangent(0))
    )


def _side(edge: Line) -> str:
    """Which side of the metal an edge is on, as drawn.

    >>> _side(Line((0, 0), (5, 0)))
    'lower'
    """
    dx, dy = edge.tangent(0)
    return SIDES[_eighth(dy, -dx)]


def _eighth(x: float, y: float) -> int:
    """Which of the eight ways of `SIDES` a direction is nearest to."""
    return round(degrees(atan2(y, x)) / 45) % 8
