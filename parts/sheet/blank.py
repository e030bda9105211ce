"""The blank: a flat outline, its cut-outs, and the bends that turn it into a part."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians

from parts.sheet.curve import Arc, Point, distance
from parts.sheet.loop import Loop


@dataclass(frozen=True, slots=True)
class Cutout:
    """A named hole, slot or other opening; `loop` runs clockwise."""

    name: str
    loop: Loop

    @property
    def round_hole(self) -> Arc | None:
        """The circle, if the opening is one."""
        only = self.loop[0]
        return only if len(self.loop) == 1 and isinstance(only, Arc) else None


@dataclass(frozen=True, slots=True)
class Bend:
    """A bend, drawn by the line where the metal starts to bend.

    The line runs from `start` to `end` across the metal that bends; it may overhang. Standing
    at `start` and looking along it, the part that swings is on the left. `turn_deg` is the turn
    from flat: positive toward the reader of the drawn face, at most 359. `radius` is the inside
    radius, `allowance` the length of flat sheet that the bend takes up (bend allowance), mm.
    """

    name: str
    start: Point
    end: Point
    turn_deg: float
    radius: float
    allowance: float

    def __post_init__(self) -> None:
        if distance(self.start, self.end) < 1e-3:
            raise ValueError(f"bend {self.name}: its line has no length")
        if not 0.01 <= abs(self.turn_deg) <= 359:
            raise ValueError(
                f"bend {self.name}: turns by {self.turn_deg:g} degrees; must be 0.01 to 359"
            )
        if self.radius <= 0 or self.allowance <= 0:
            raise ValueError(
                f"bend {self.name}: inside radius {self.radius:g} and allowance "
                f"{self.allowance:g} must both be more than 0 mm"
            )

    @property
    def along(self) -> Point:
        """Unit direction of the bend line."""
        size = distance(self.start, self.end)
        return ((self.end[0] - self.start[0]) / size, (self.end[1] - self.start[1]) / size)

    @property
    def across(self) -> Point:
        """Unit direction from the bend line into the metal that swings."""
        return (-self.along[1], self.along[0])

    @property
    def up(self) -> bool:
        """Whether it turns toward the reader of the drawn face."""
        return self.turn_deg > 0

    @property
    def turn_rad(self) -> float:
        """Size of the turn, radians, always positive."""
        return radians(abs(self.turn_deg))

    @property
    def neutral_radius(self) -> float:
        """Radius of the fibre that keeps its length: allowance over turn, mm."""
        return self.allowance / self.turn_rad

    def ahead(self, point: Point) -> float:
        """How far a point lies beyond the start line, toward the metal that swings."""
        n = self.across
        return (point[0] - self.start[0]) * n[0] + (point[1] - self.start[1]) * n[1]

    def beside(self, point: Point) -> float:
        """How far along the bend line a point lies, from its start."""
        d = self.along
        return (point[0] - self.start[0]) * d[0] + (point[1] - self.start[1]) * d[1]

    def end_line(self) -> tuple[Point, Point]:
        """The line where the metal stops bending, as long as the start line."""
        dx, dy = self.across[0] * self.allowance, self.across[1] * self.allowance
        return (
            (self.start[0] + dx, self.start[1] + dy),
            (self.end[0] + dx, self.end[1] + dy),
        )


@dataclass(frozen=True, slots=True)
class Blank:
    """A flat sheet to cut, seen from the drawn face: thickness, outline, openings, bends.

    `outline` runs anticlockwise; `base` is a point in the region that stays put.
    """

    thickness: float
    outline: Loop
    cutouts: tuple[Cutout, ...]
    bends: tuple[Bend, ...]
    base: Point

    @property
    def loops(self) -> tuple[Loop, ...]:
        """The outline first, then every cut-out."""
        return (self.outline, *(cutout.loop for cutout in self.cutouts))
