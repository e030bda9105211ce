"""Whether a bend can be made once others are: the first punch and the first die that clear.

What one region does to a tool depends only on the bends between it and the stroke, so every answer
is kept by their bits and serves all orders that share them.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from math import tan
from typing import TypeVar

from parts.sheet.bend_side import Span
from parts.sheet.fold_order.metal import Hanging, Metal, hanging, stretches_of
from parts.sheet.fold_order.standing import Standing, standing
from parts.sheet.fold_order.stroke import DEPTH, Stroke, Tool
from parts.sheet.fold_order.tools import Die, Punch, Tools, lower, upper
from parts.sheet.fold_order.units import Unit

T = TypeVar("T", Punch, Die)

NEAR = 10.0  # mm; metal further off is not near


@dataclass(frozen=True, slots=True)
class Clear:
    """The tools that a stroke takes, and the least gap beside them; None: nothing comes near."""

    punch: Punch
    die: Die
    open_mm: float | None


@dataclass(frozen=True, slots=True)
class Strike:
    """What stops a stroke: the region that goes deepest into the tool that suits best."""

    unit: int
    region: int
    tool: str
    depth: float


@dataclass(frozen=True, eq=False)
class Clearing:
    """Every stroke of a sheet on the tools of a shop; `strokes` and `units` go together."""

    metal: Metal
    units: tuple[Unit, ...]
    strokes: tuple[Stroke, ...]
    tools: Tools
    _standing: dict[tuple[int, int, int], Standing] = field(default_factory=dict)
    _strokes: dict[tuple[int, int], Clear | None] = field(default_factory=dict)
    _shapes: dict[tuple[int, Punch | Die, float | None], list[Tool]] = field(default_factory=dict)
    _gaps: dict[tuple[int, int, int, Punch | Die], float] = field(default_factory=dict)

    @cached_property
    def swung(self) -> tuple[tuple[Hanging, ...], ...]:
        """What every unit's stroke swings."""
        return tuple(hanging(self.metal.folded, unit) for unit in self.units)

    @cached_property
    def spans(self) -> tuple[tuple[Span, ...], ...]:
        """Where along every unit's first bend there is metal to bend."""
        return tuple(stretches_of(self.metal.folded, unit) for unit in self.units)

    def stroke(self, unit: int, made: int) -> Clear | None:
        """The first tools that clear for a unit once the bends `made` (bits) are."""
        if not self.knows(unit, made):
            self._strokes[unit, made] = self._stroke(unit, made)
        return self._strokes[unit, made]

    def knows(self, unit: int, made: int) -> bool:
        """Whether a stroke was looked at before."""
        return (unit, made) in self._strokes

    def _stroke(self, unit: int, made: int) -> Clear | None:
        over = self._first(unit, made, self.tools.punches)
        under = self._first(unit, made, self.tools.dies) if over else None
        if over is None or under is None:
            return None
        least = max(min(over[1], under[1]), 0.0)
        return Clear(over[0], under[0], least if least < NEAR else None)

    def strike(self, unit: int, made: int) -> Strike | None:
        """What stops a unit on any tool, if anything does."""
        for kinds in (self.tools.punches, self.tools.dies):
            worst = [(*self._worst(unit, made, tool), tool.name) for tool in kinds]
            gap, region, name = max(worst)
            if gap < -DEPTH:
                return Strike(unit, region, name, -gap)
        return None

    def _first(self, unit: int, made: int, kinds: tuple[T, ...]) -> tuple[T, float] | None:
        """The first tool that clears, with the least gap beside it."""
        for tool in kinds:
            least = NEAR
            for one in self.swung[unit]:
                least = min(least, self._kept(unit, one, made, tool))
                if least < -DEPTH:
                    break
            else:
                return tool, least
        return None

    def _worst(self, unit: int, made: int, tool: Punch | Die) -> tuple[float, int]:
        """The least gap beside a tool, and the region there."""
        return min((self._kept(unit, one, made, tool), one.region) for one in self.swung[unit])

    def _kept(self, unit: int, one: Hanging, made: int, tool: Punch | Die) -> float:
        key = (unit, one.region, one.mask & made, tool)
        if key not in self._gaps:
            self._gaps[key] = self._gap(unit, one, made, tool)
        return self._gaps[key]

    def _gap(self, unit: int, one: Hanging, made: int, tool: Punch | Die) -> float:
        stroke = self.strokes[unit]
        level = not one.mask & made
        if level and (
            self._under_the_beam(stroke, tool)
            if isinstance(tool, Punch)
            else self._ends_at_the_bend(stroke, one)
        ):
            return NEAR  # the flat beside the bend leans away from the tip and lies on the die
        metal = self._stands(unit, one, made)
        shapes = self._shapes_of(unit, tool, metal.first_turn_deg)
        least = NEAR
        for shape in shapes:
            if not (level and not shape.full_length):
                least = _least(stroke, one.side, metal, shape, least)
            if least < -DEPTH:
                break
        return least

    def _shapes_of(self, unit: int, tool: Punch | Die, first_turn_deg: float | None) -> list[Tool]:
        key = (unit, tool, first_turn_deg)
        if key not in self._shapes:
            stroke = self.strokes[unit]
            self._shapes[key] = (
                upper(self.tools, tool, stroke, first_turn_deg)
                if isinstance(tool, Punch)
                else lower(self.tools, tool, stroke)
            )
        return self._shapes[key]

    def _under_the_beam(self, stroke: Stroke, punch: Punch) -> bool:
        """Whether a flat that leans half the turn stays clear of the beam, however long."""
        return punch.height > self.tools.beam / 2 * tan(stroke.last)

    def _ends_at_the_bend(self, stroke: Stroke, one: Hanging) -> bool:
        """Whether a flat stays on its own side: what runs on past the bend's end swings down."""
        bend = stroke.bend
        return all(
            one.side * (bend.ahead(curve.at(f)) - bend.allowance / 2) > -bend.allowance
            for curve in self.metal.folded.regions[one.region].curves[0]
            for f in (0.0, 0.25, 0.5, 0.75)
        )

    def _stands(self, unit: int, one: Hanging, made: int) -> Standing:
        key = (unit, one.region, one.mask & made)
        if key not in self._standing:
            stroke, spans = self.strokes[unit], self.spans[unit]
            self._standing[key] = standing(self.metal, stroke, spans, one, made)
        return self._standing[key]


def _least(stroke: Stroke, side: int, metal: Standing, shape: Tool, least: float) -> float:
    """The least gap beside one shape, `least` where it is no less."""
    if metal.nearest - shape.half >= least:
        return least
    low, high = metal.along
    spans = () if shape.full_length else metal.reached(shape.short)
    if not shape.full_length and all(high <= span[0] or low >= span[1] for span in spans):
        return least
    if stroke.gap(metal.around, side, shape, least) >= least:
        return least
    for outline in metal.anywhere if shape.full_length else metal.beside(shape.short):
        least = min(least, stroke.gap(outline, side, shape, least))
        if least < -DEPTH:
            break
    return least
