"""One stroke of an air bend: how the metal swings up on both sides, and the gap that it keeps.

Origin at the inner face in the middle of the bend, where the punch touches; x away from it on
either side, z up. At half the turn, phi, the bend is an arc of its neutral fibre's length whose
radius shrinks as the turn grows, and the flat beside it leaves the arc at its end:

             \\      |      /          arc from the middle:  R = allowance / (2 phi), inside less c
               \\    |    / phi        end of arc: (Ri sin phi, Ri (1 - cos phi))
                 '--o--'               the die's edges stay at V/2 under the outer face
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import cos, inf, radians, sin

import numpy as np

from parts.sheet.blank import Bend
from parts.sheet.fold_order.convex import Array, Outline

MOST_DEG = 150.0  # a stroke is followed so far; what is turned further is closed by other means
SAMPLES = 17
DEPTH = 0.02  # mm; metal that goes no deeper into a tool touches it
NEAR_ENOUGH = 0.25  # mm that a gap may be less than is said, where it is well open
MOST_SAMPLES = 40000
FINE = 0.01  # mm; between samples nothing moves further than this unless it is well clear


@dataclass(frozen=True, eq=False)
class Tool:
    """A convex outline in x and z; `with_die` where z counts from the die's top.

    `full_length` marks what runs on past the ends of the bend; `short` is how far a tool ends
    before them, mm.
    """

    outline: Outline
    with_die: bool = False
    full_length: bool = False
    short: float = 0.0

    @cached_property
    def half(self) -> float:
        """How far it stands out from the middle of the bend, mm."""
        return float(np.abs(self.outline.points[:, 0]).max())


@dataclass(frozen=True, eq=False)
class Stroke:
    """The bend that is made, the sheet, the die's opening, and the turn to bend to."""

    bend: Bend
    thickness: float
    die_v: float
    turn_deg: float  # from flat, always positive

    @property
    def last(self) -> float:
        """Half the turn at the end of the stroke, radians."""
        return radians(min(self.turn_deg, MOST_DEG)) / 2

    def nearest(self, metal: Outline) -> float:
        """No point of an outline comes nearer the upright over the bend than this, mm; no number
        above 0 where some of it hangs over the end of the bend.

        Any other point swings round the end of the arc by up to 75 degrees, so that it is nearest
        at one end of the stroke, and the end of the arc itself only comes nearer.
        """
        own_x, own_z = metal.points[:, 0] - self.bend.allowance / 2, metal.points[:, 1]
        if own_x.min() < 0:
            return -inf
        swung = own_x * cos(self.last) - own_z * sin(self.last)
        arc_end = float(self._coarse[1][-1, 0])
        return arc_end + min(float(own_x.min()), float(swung.min()))

    @cached_property
    def _coarse(self) -> tuple[Array, Array, Array]:
        """Half turns (n,) to start from, with the ends of the arc (n, 2) and the die's top (n,)."""
        phi: Array = np.linspace(0.0, self.last, SAMPLES)
        return phi, self.ends(phi), self.die_top(phi)

    @cached_property
    def _inner(self) -> float:
        """From the neutral fibre to the inner face, mm."""
        return self.bend.neutral_radius - self.bend.radius

    def ends(self, phi: Array) -> Array:
        """Where the arc ends on the inner face (n, 2) at half turns `phi` (n,)."""
        half = self.bend.allowance / 2
        # sin x / x and (1 - cos x) / x stay finite at 0
        ends: Array = np.empty((len(phi), 2))
        ends[:, 0] = half * np.sinc(phi / np.pi) - self._inner * np.sin(phi)
        ends[:, 1] = half * np.sinc(phi / 2 / np.pi) * np.sin(phi / 2)
        ends[:, 1] -= self._inner * (1 - np.cos(phi))
        return ends

    def die_top(self, phi: Array) -> Array:
        """Height of the die's top (n,) at half turns `phi`, by the edges that the metal lies on."""
        ends = self.ends(phi)
        sine, cosine = np.sin(phi), np.cos(phi)
        out, rise = ends[:, 0] + self.thickness * sine, ends[:, 1] - self.thickness * cosine
        by_flat = rise + (self.die_v / 2 - out) * sine / cosine
        radius = self.bend.allowance / np.maximum(2 * phi, 1e-9) - self._inner + self.thickness
        inside = np.maximum(radius**2 - (self.die_v / 2) ** 2, 0.0)
        by_arc = radius - self.thickness - np.sqrt(inside)
        return np.where(out <= self.die_v / 2, by_flat, by_arc)

    def gap(self, metal: Outline, side: int, tool: Tool, enough: float) -> float:
        """Least gap in mm between an outline of metal and a tool over the stroke, below 0 by how
        deep one goes into the other; `enough` or more may be said as `enough`.

        Certain between the samples too: nothing moves faster than is bounded here.
        """
        outline = tool.outline if side > 0 else tool.outline.mirrored
        reach = float(
            np.hypot(metal.points[:, 0] - self.bend.allowance / 2, metal.points[:, 1]).max()
        )
        speed = reach + 0.35 * self.bend.allowance + self._inner
        least = inf
        grid = self._coarse[0][None, :]  # every row is a run of half turns
        while grid.size and grid.size < MOST_SAMPLES:
            shift, gaps = (
                found.reshape(grid.shape)
                for found in self._apart(metal, outline, tool.with_die, grid.reshape(-1))
            )
            least = min(least, float(gaps.min()))
            if least < -DEPTH:
                break
            moved = speed * np.diff(grid) + np.abs(np.diff(shift))
            floor = (gaps[:, 1:] + gaps[:, :-1] - moved) / 2
            unsure = floor < max(-DEPTH, min(least, enough) - NEAR_ENOUGH)
            unsure &= moved > 2 * FINE
            first, last = grid[:, :-1][unsure], grid[:, 1:][unsure]
            grid = first[:, None] + np.outer(last - first, np.linspace(0.0, 1.0, 5))
        return min(least, enough)

    def _apart(
        self, metal: Outline, tool: Outline, with_die: bool, phi: Array
    ) -> tuple[Array, Array]:
        """How far the tool is from the punch's own place (n,), and the gaps (n,)."""
        coarse = len(phi) == SAMPLES and phi[-1] == self.last and phi[0] == 0.0
        ends = self._coarse[1] if coarse else self.ends(phi)
        shift = np.zeros(len(phi))
        if with_die:
            shift = self._coarse[2] if coarse else self.die_top(phi)
        away_x, away_z = ends[:, :1], ends[:, 1:] - shift[:, None]
        cosine, sine = np.cos(phi)[:, None], np.sin(phi)[:, None]
        half = self.bend.allowance / 2
        own_x, own_z = metal.points[:, 0] - half, metal.points[:, 1]
        x = own_x * cosine - own_z * sine + away_x
        z = own_x * sine + own_z * cosine + away_z
        normal, limit = tool.sides
        over = (x[:, :, None] * normal[:, 0] + z[:, :, None] * normal[:, 1]).min(1) - limit
        dx, dz = tool.points[:, 0] - away_x, tool.points[:, 1] - away_z
        u, w = dx * cosine + dz * sine + half, dz * cosine - dx * sine
        normal, limit = metal.sides
        under = (u[:, :, None] * normal[:, 0] + w[:, :, None] * normal[:, 1]).min(1) - limit
        return shift, np.maximum(over.max(1), under.max(1))
