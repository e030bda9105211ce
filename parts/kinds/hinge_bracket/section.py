"""The section through one hinge, from what was measured."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from parts.kinds.hinge_bracket.config import HingeBracket, HingeSide
from parts.kinds.hinge_bracket.judged import ARM, BODY_FACE
from parts.kinds.hinge_bracket.measured import Thing
from parts.kinds.hinge_bracket.places import PLUS_MINUS, Corners
from parts.kinds.hinge_bracket.rounded import rounded
from parts.sheet.curve import Point
from parts.sheet.loop import Loop, anticlockwise, circle, moved, polygon
from parts.trade.swing import FOLD, Outline, Section, lid_edge, panel_ahead, polyline, seal

GUTTER, SEAL_FREE = "gutter", "seal, free"


@dataclass(frozen=True, slots=True)
class Around:
    """Everything in the section of one hinge: what the lid carries, what stays, how far it opens.

    The lid alone is told by `lid`, an arm by `with_arm`.
    """

    carried: tuple[Outline, ...]
    fixed: tuple[Outline, ...]
    opening_deg: float

    @property
    def lid(self) -> Section:
        """The lid without its arm."""
        told = tuple(item for item in self.fixed if item.against != (ARM,))
        return Section(self.carried, _without_arm(told), self.opening_deg)

    def with_arm(self, arm: Outline) -> Section:
        """The lid with its arm, against everything."""
        return Section((*self.carried, arm), self.fixed, self.opening_deg)

    @property
    def passed_under(self) -> tuple[str, ...]:
        """What the neck passes under: the gutter, and the seal on it."""
        names = [item.name for item in self.fixed]
        return tuple(name for name in (GUTTER, SEAL_FREE) if name in names)

    @property
    def told_to_arm(self) -> tuple[Outline, ...]:
        """What stays and an arm must clear."""
        return tuple(i for i in self.fixed if i.against is None or ARM in i.against)


def _without_arm(fixed: Iterable[Outline]) -> tuple[Outline, ...]:
    """The outlines, told to nothing that is not there."""
    return tuple(
        item
        if item.against is None
        else replace(item, against=tuple(name for name in item.against if name != ARM))
        for item in fixed
    )


def around(config: HingeBracket, side: HingeSide) -> Around:
    """The section of a hinge, with the gap measured there."""
    lid, panel = config.lid, config.panel
    gap = side.gap or panel.gap
    carried = list(
        lid_edge(lid.fold.value, lid.edge_radius, lid.skin, lid.depth, lid.fold.plus_minus or 0.0)
    )
    carried += [_drawn(thing) for thing in config.things if thing.rides]
    fixed = [
        panel_ahead(
            gap.value, panel.flat, panel.angle, panel.rise, panel.skin, panel.level,
            gap.plus_minus or 0.0,
        ),
        Outline(
            GUTTER, rounded(*_corners(config.gutter.points), closed=False),
            config.gutter.plus_minus,
        ),
        polyline(BODY_FACE, config.body.face, plus_minus=PLUS_MINUS),
    ]  # fmt: skip
    if config.seal is not None:
        one = config.seal
        fixed += seal(one.foot, one.width, one.free, one.squeezed, (ARM,), (FOLD,), one.plus_minus)
    on_lid = tuple(item.name for item in carried)
    for thing in config.things:
        if not thing.rides:
            against = {"lid and arm": None, "lid": on_lid, "arm": (ARM,)}[thing.keeps_off]
            fixed.append(replace(_drawn(thing), against=against))
    return Around(tuple(carried), tuple(fixed), config.opening)


def stub(config: HingeBracket) -> Outline:
    """The edge by which the arm meets the lid, standing in for an arm that is not laid out yet."""
    front, back = config.arm.pad
    return polyline(ARM, (front, back))


def fence(corners: Iterable[Point]) -> Loop:
    """A room's border."""
    return anticlockwise(polygon(list(corners)))


def _drawn(thing: Thing) -> Outline:
    if thing.points is None:
        assert thing.middle is not None
        assert thing.diameter is not None
        loop = anticlockwise(circle(thing.middle, thing.diameter))
        return Outline(thing.name, loop, thing.plus_minus)
    curves = rounded(*_corners(thing.points), closed=thing.closed)
    return Outline(thing.name, curves, thing.plus_minus)


def _corners(points: Corners) -> tuple[list[Point], list[float]]:
    """Places and radii of corners as they are written."""
    return [(p[0], p[1]) for p in points], [p[2] if len(p) > 2 else 0.0 for p in points]


def shifted(around: Around, name: str, by: tuple[float, float]) -> Around:
    """All that is round a hinge with one outline moved, as had it been measured otherwise."""

    def moved_if(item: Outline) -> Outline:
        if item.name != name:
            return item
        return replace(item, curves=moved(item.curves, by))

    return replace(
        around, carried=tuple(map(moved_if, around.carried)),
        fixed=tuple(map(moved_if, around.fixed)),
    )  # fmt: skip
