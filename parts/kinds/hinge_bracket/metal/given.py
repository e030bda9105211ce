"""What the pieces of a hinge are laid out from, and what a laid-out piece is."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import Literal, TypeAlias

from parts.kinds.hinge_bracket.metal.sheets import NoPiece, Sheet
from parts.place import Place, Vector, turned_about
from parts.sheet.blank import Blank
from parts.sheet.curve import Point
from parts.sheet.loop import Loop
from parts.trade.bolts import Bolt, bolt, clearance_hole

Way: TypeAlias = Literal[1, -1]  # along w or against it

FITS = (("fine", "close"), ("medium", "normal"), ("coarse", "loose"))  # ISO 273, ASME B18.2.8


@dataclass(frozen=True, eq=False)
class Hinge:
    """One hinge on the vehicle, lid shut.

    Lid axes are u back along the lid from its front edge's top, v up, and w aside from the hinge
    plane, which is the middle of the arm's thickness: to the vehicle's right for a lid that runs
    rearward. `place` carries (u, w, v), in that order, to vehicle axes: such a lid, lying level,
    has the identity for its turn. The lid pad lies on the arm's side toward `pad_way`, 1 along w
    or -1 against it, the body bracket on the other.
    """

    place: Place
    pivot: Point
    opening_deg: float
    pad_way: Way

    def at(self, point: Point, w: float = 0.0) -> Vector:
        """A point of the section, `w` beside the hinge plane, on the vehicle (3,).

        >>> from parts.place import HERE
        >>> Hinge(HERE, (-72, -18), 82, -1).at((-72, -18), 5).tolist()
        [-72.0, 5.0, -18.0]
        """
        return self.place.apply([point[0], w, point[1]])

    def way(self, direction: Point, w: float = 0.0) -> Vector:
        """A direction of lid axes on the vehicle (3,)."""
        return self.place.direction([direction[0], w, direction[1]])

    @property
    def aside(self) -> Vector:
        """Unit direction of w on the vehicle (3,): along the pivot's axis."""
        return self.place.turn[:, 1]

    def section(self, point: Vector) -> tuple[float, float, float]:
        """The (u, v, w) of a point of the vehicle (3,)."""
        u, w, v = self.place.inverse().apply(point)
        return (float(u), float(v), float(w))

    def opened(self, angle_deg: float) -> Place:
        """The move of all that swings, in vehicle axes, from shut to an opening angle.

        >>> from parts.place import HERE
        >>> hinge = Hinge(HERE, (0, 0), 82, 1)
        >>> hinge.opened(90).apply([100, 0, 0]).round(6).tolist()   # the lid's back goes up
        [0.0, 0.0, 100.0]
        """
        turn, pivot = turned_about(self.aside, -angle_deg), self.at(self.pivot)
        return Place(turn, pivot - turn @ pivot)


@dataclass(frozen=True, slots=True)
class Face:
    """A face of lid or body that a foot lies on: a line of the section, and what runs across it.

    `at` is a point of the line, `along` its direction (any length), `metal` a direction of the
    section from the face toward the side where our piece lies: down for the lid's inner face,
    up for a floor. `turn_deg` is the fold that brings a foot onto it: 90 for a face square to
    the hinge plane, more for one that leans toward the leg.
    """

    at: Point
    along: Point
    metal: Point
    turn_deg: float = 90.0

    @property
    def line(self) -> Point:
        """Unit direction of the line."""
        size = hypot(*self.along)
        if size < 1e-9:
            raise NoPiece("face", "its line has no direction", "a direction", "give two numbers")
        return (self.along[0] / size, self.along[1] / size)

    @property
    def normal(self) -> Point:
        """Unit direction square to the line, to the side of our metal."""
        x, y = self.line
        side = -y * self.metal[0] + x * self.metal[1]
        if abs(side) < 1e-6 * hypot(*self.metal) or side == 0:
            raise NoPiece(
                "face", "the side of the metal lies along its line",
                "a direction away from the face", "give the way from the face into our metal",
            )  # fmt: skip
        return (-y, x) if side > 0 else (y, -x)

    def height(self, point: Point) -> float:
        """How far a point stands off the line, on the metal's side."""
        n = self.normal
        return (point[0] - self.at[0]) * n[0] + (point[1] - self.at[1]) * n[1]

    def beside(self, point: Point) -> float:
        """How far along the line a point lies, from `at`."""
        d = self.line
        return (point[0] - self.at[0]) * d[0] + (point[1] - self.at[1]) * d[1]

    def on(self, beside: float, height: float = 0.0) -> Point:
        """The point of the section so far along the line and off it."""
        d, n = self.line, self.normal
        return (
            self.at[0] + beside * d[0] + height * n[0],
            self.at[1] + beside * d[1] + height * n[1],
        )


@dataclass(frozen=True, slots=True)
class Fixing:
    """Bolts in a row: their name, how their holes fit, and ± how far a slot lets them move.

    `pitch` is that between the outermost; None sets them as far apart as the foot's length lets
    them be. `edge` is the least metal from a hole's centre to an edge, where more is wished than
    the rules ask.
    """

    bolt: str
    fit: str = "medium"
    count: int = 2
    pitch: float | None = None
    adjust: float = 0.0
    edge: float = 0.0

    @property
    def fastener(self) -> Bolt:
        return bolt(self.bolt)

    @property
    def hole(self) -> float:
        """Diameter of the clearance hole, and width of the slot."""
        metric, inch = next(pair for pair in FITS if self.fit in pair)
        fastener = self.fastener
        fit = metric if fastener.series.startswith("metric") else inch
        return clearance_hole(fastener, fit)[0]


@dataclass(frozen=True, slots=True)
class Weld:
    """Fillet welds round three sides of a leg: their throat a, mm (leg = 1.4 a)."""

    throat: float


@dataclass(frozen=True, eq=False)
class ArmShape:
    """An arm before it is metal: its outline in the section, anticlockwise, lid shut; the two ends
    of the edge that meets the lid, front first; its thickness; and its bush's outside diameter.
    """

    outline: Loop
    pad: tuple[Point, Point]
    thickness: float
    bush: float


@dataclass(frozen=True, slots=True)
class PadSizes:
    """A lid pad: `leg` its outside height down the arm, `lid` the bolts into the lid (slots along
    u), `arm` how it is joined to the arm, `turn_deg` its fold: 90 where the lid lies square.

    Its fold is as long as the arm's edge at the lid.
    """

    leg: float
    lid: Fixing
    arm: Weld | Fixing
    turn_deg: float = 90.0


@dataclass(frozen=True, slots=True)
class BodySizes:
    """A body bracket: `hole` for the shoulder bolt's thread, `gap` between arm and leg for the
    thrust washer and what the bush stands out, `length` of the foot along the face, its bolts
    (slots at right angles to the pad's), `shift` of the foot's middle along the face from abreast
    of the pivot, and `boss`, the radius of metal round the hole where more is wished than the
    rules ask."""

    hole: float
    gap: float
    length: float
    fixing: Fixing
    shift: float = 0.0
    boss: float = 0.0


@dataclass(frozen=True, slots=True)
class StudSizes:
    """A strut bracket: `hole` for the ball stud, `reach` from the leg's face to the ball's centre,
    `length` of the foot along its face, its bolts, and `shift` and `boss` as for a body bracket.
    """

    hole: float
    reach: float
    length: float
    fixing: Fixing
    shift: float = 0.0
    boss: float = 0.0


@dataclass(frozen=True, slots=True)
class Mount:
    """Where a strut's ball sits, in lid axes with the lid shut, and toward which side of the ball
    its bracket lies: the foot points on that way."""

    at: Point
    w: float
    bracket_way: Way


@dataclass(frozen=True, slots=True)
class Slab:
    """Metal between two planes square to the pivot's axis, at w `low` and `high`, and within an
    outline of the section (anticlockwise)."""

    low: float
    high: float
    outline: Loop

    def beside(self, other: Slab) -> float:
        """How far apart two lie along the axis; 0 where they overlap.

        >>> Slab(-3, 3, ()).beside(Slab(4.5, 9, ())), Slab(-3, 3, ()).beside(Slab(2, 9, ()))
        (1.5, 0.0)
        """
        return max(0.0, other.low - self.high, self.low - other.high)


@dataclass(frozen=True, eq=False)
class Cut:
    """One blank, named, at its place on the vehicle with the lid shut.

    `faces` says what the drawn face of the base looks at. `swings` tells that it moves with the
    lid. `side_view` are closed outlines in the section (u, v) that hold all of its metal; `slabs`
    hold it too, told apart along the pivot's axis.
    """

    name: str
    blank: Blank
    place: Place
    faces: str
    sheet: Sheet
    swings: bool
    side_view: tuple[Loop, ...]
    slabs: tuple[Slab, ...]


@dataclass(frozen=True, eq=False)
class Angle:
    """A folded angle with the sizes that its screening needs, mm.

    `length` is the fold's, `rise` from the foot's face to the hole's centre or the far edge of
    the leg, `round_hole` the metal round that hole, `row` from the leg's outer face to the bolts
    in the middle of their slots, `pitch` between the outermost bolts, `boss` the metal kept from
    a bolt to the edges. `fold_depth` is how far from the foot's face the leg's own outline
    begins. `joint` are holes through leg and arm (centre in the section, diameter), `seam` the
    weld along leg and arm, in the section.
    """

    cut: Cut
    fixing: Fixing
    length: float
    rise: float
    round_hole: float
    row: float
    pitch: float
    boss: float
    fold_depth: float
    joint: tuple[tuple[Point, float], ...] = ()
    seam: tuple[tuple[Point, Point], ...] = ()
