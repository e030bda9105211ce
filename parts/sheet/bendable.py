"""Whether a folded blank can be bent as drawn, on this shop's tools and in this metal.

What the flat beside a bend must offer: the die's least flange, as outside length square to the
bend. It is measured where the flat is shortest over the bend's own width: at the short side of
a taper, at the bottom of a notch. An edge within 45 degrees of the bend's direction ends the
flange; a steeper one (a mitre, the flank of a round end) is only its side, so that a round end
counts up to where its edge turns flatter than 45 degrees. At least half the bend's width of
metal must reach that far. Where the inside radius is wider than the die gives by itself and the
bend book is silent, the flat must also reach the die's edge, V/2 from the middle of the bend.

The flat between two bends counts like a flange that ends where the other bend starts, and the
worse of its two ends decides. Before a rolled band, all of the band counts as flat too: a bend
beside it is made first.

A bend whose inside radius is over ten thicknesses counts as rolled: it needs its relief, but
asks nothing of die, folder and press, and holes may lie on it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

from parts.report import Finding, Severity
from parts.sheet.allowance import BendBook
from parts.sheet.bend_rules import outside_setback
from parts.sheet.bend_side import BendSide, Span, bend_sides, is_rolled
from parts.sheet.blank import Bend
from parts.sheet.collide import region_names
from parts.sheet.curve import Line, distance
from parts.sheet.fold import Folded, tangent_sides
from parts.sheet.near_bend import openings, reliefs
from parts.sheet.press import bend_force_kn_per_m, die_for, least_flange, natural_radius
from parts.sheet.shop import SLACK, Rack, Shop, shown, tenths_up
from parts.sheet.stock import least_inside_radius

PRACTICE = "common practice"


def bendable(folded: Folded, rack: Rack, book: BendBook, shop: Shop) -> Iterator[Finding]:
    """Every reason why the part cannot be bent well, one a place, in the blank's order.

    Radius, length and force of each bend first, then flanges, reliefs, and openings.

    >>> from parts.sheet.blank import Blank
    >>> from parts.sheet.fold import fold
    >>> from parts.sheet.loop import polygon
    >>> from parts.sheet.stock import Stock, material
    >>> sheet = polygon([(0, 0), (40, 0), (40, 28.16), (0, 28.16)])
    >>> ell = Blank(2, sheet, (), (Bend("lip", (0, 20), (40, 20), 90, 2, 4.16),), (5, 5))
    >>> rack = Rack(Stock("plate", material("mild steel"), 2), die_v=12)
    >>> print(next(bendable(fold(ell), rack, BendBook(), Shop())))
    refused: flange lip at bend lip: 8.00 mm long outside at its shortest; needs 8.50 mm (die V 12)
    - lengthen it by 0.5 mm, or take a narrower die [air-bend force chart of press-brake makers,
    90 degrees, V 12]
    """
    sides = bend_sides(folded.blank)
    brake = _brake(folded, rack, book)
    for i in range(len(folded.blank.bends)):
        yield from _radius(folded, i, rack)
        yield from _machines(folded, i, sides[2 * i : 2 * i + 2], rack, shop, brake)
    die_v, flats = 0.0, (0.0,) * len(folded.blank.bends)
    if isinstance(brake, Finding):
        yield brake
    else:
        die_v = brake.die_v
        flats = tuple(need.flat if need else 0.0 for need in brake.needs)
        yield from _flanges(folded, sides, brake)
    for side in sides:
        yield from reliefs(side, folded.blank.thickness)
    yield from openings(folded.blank, sides, die_v, flats)


@dataclass(frozen=True, slots=True)
class _Need:
    """What one bend asks of the flat beside it, mm."""

    outside: float  # outside length of the flange
    setback: float
    source: str

    @property
    def flat(self) -> float:
        """The part of it that lies beyond the tangent line."""
        return self.outside - self.setback


@dataclass(frozen=True, slots=True)
class _Brake:
    die_v: float
    needs: tuple[_Need | None, ...]  # one a bend; None for a rolled one


def _brake(folded: Folded, rack: Rack, book: BendBook) -> _Brake | Finding:
    """The die and what each bend needs on it; a finding where no table knows the die."""
    t = folded.blank.thickness
    try:
        die_v = die_for(t) if rack.die_v is None else rack.die_v
        needs = [
            None if is_rolled(bend, t) else _need(bend, t, die_v, rack, book)
            for bend in folded.blank.bends
        ]
    except ValueError as error:
        return Finding(
            Severity.MENTIONS,
            "bends",
            f"flanges were not checked: {error}",
            "a die that is known",
            "name its V, or give its least flange in the bend book",
            PRACTICE,
        )
    return _Brake(die_v, tuple(needs))


def _need(bend: Bend, t: float, die_v: float, rack: Rack, book: BendBook) -> _Need:
    least = book.least_flange(rack.stock.material, t, die_v, bend.turn_deg)
    setback = outside_setback(bend.radius, t, bend.turn_deg, leg_to="tangent")
    reach = setback + die_v / 2 - bend.allowance / 2
    by_chart = least == least_flange(die_v, bend.turn_deg)
    if by_chart and reach > least.value and bend.radius > natural_radius(die_v).value:
        return _Need(reach, setback, f"{PRACTICE}: the flat must reach the edge of the die")
    return _Need(least.value, setback, least.source)


def _radius(folded: Folded, number: int, rack: Rack) -> Iterator[Finding]:
    """Inside radius against what the metal takes; below half of that always refuses."""
    bend, metal = folded.blank.bends[number], rack.stock.material
    where = f"bend {bend.name}"
    try:
        least, source = least_inside_radius(metal, folded.blank.thickness)
    except ValueError as error:
        yield Finding(
            Severity.MENTIONS, where, f"inside radius {bend.radius:g} mm was not checked",
            "a least radius that is known", f"ask the mill: {error}", "least_radius.csv",
        )  # fmt: skip
        return
    if bend.radius >= least - SLACK:
        return
    soft = metal.family != "aluminium" and bend.radius >= least / 2 - SLACK
    yield Finding(
        Severity.MENTIONS if soft else Severity.REFUSES,
        where,
        f"inside radius {shown(bend.radius)}",
        f"{least:.2f} mm in {metal.name}, bend line across the grain",
        f"widen the radius by {tenths_up(least - bend.radius):g} mm"
        + (", or try it on an offcut and look for cracks" if soft else ""),
        source,
    )


def _machines(
    folded: Folded,
    number: int,
    sides: tuple[BendSide, ...],
    rack: Rack,
    shop: Shop,
    brake: _Brake | Finding,
) -> Iterator[Finding]:
    """Length of the bend against the folder, force against the press.

    The force is that of the material's least promised strength; a mill may send stronger.
    """
    bend, t = folded.blank.bends[number], folded.blank.thickness
    spans = [side.spans for side in sides if side.spans]
    if is_rolled(bend, t) or not spans:
        return
    where = f"bend {bend.name}"
    long = max(s[-1][1] - s[0][0] for s in spans)
    if shop.folder_length is not None and long > shop.folder_length + SLACK:
        yield Finding(
            Severity.REFUSES, where, f"{long:.1f} mm long",
            f"{shop.folder_length:.1f} mm or less, between the frames of the folder",
            f"shorten it by {tenths_up(long - shop.folder_length):g} mm, or make two parts",
            "the shop's own limit",
        )  # fmt: skip
    if shop.press_force_kn is None or isinstance(brake, Finding):
        return
    metal = max(sum(high - low for low, high in s) for s in spans)
    strength = rack.stock.material.ultimate_mpa
    force_kn = metal / 1000 * bend_force_kn_per_m(strength, t, brake.die_v)
    if force_kn > shop.press_force_kn:
        wider = brake.die_v * force_kn / shop.press_force_kn
        yield Finding(
            Severity.REFUSES, where, f"takes {force_kn:.0f} kN over V {brake.die_v:g}",
            f"{shop.press_force_kn:g} kN or less, the force of the press",
            f"take a die of V {wider:.0f} or wider, or make the bend shorter",
            "1.33 Rm t2 / V, air-bend force chart of press-brake makers",
        )  # fmt: skip


def _flanges(
    folded: Folded, sides: tuple[BendSide, ...], brake: _Brake
) -> Iterator[Finding]:
    """Every flat that is too short for the die: one finding a flange, one a pair of bends."""
    pairs: dict[tuple[int, int], tuple[float, Finding]] = {}
    for side in sides:
        need = brake.needs[side.number]
        if need is None or need.flat <= SLACK:
            continue
        worst: tuple[float, Span] | None = None
        for span in side.spans:
            height, other = _flat(folded, side, span, need.flat)
            if height >= need.flat - SLACK:
                continue
            if other is not None:
                pair = (min(side.number, other), max(side.number, other))
                short = need.flat - height
                if pair not in pairs or short > pairs[pair][0]:
                    pairs[pair] = (short, _too_near(folded, pair, height, need, brake))
            elif worst is None or height < worst[0]:
                worst = (height, span)
        if worst is not None:
            yield _too_short(folded, side, worst, need, brake)
    for _, (_, finding) in sorted(pairs.items(), key=lambda item: item[0]):
        yield finding


def _flat(folded: Folded, side: BendSide, span: Span, needed: float) -> tuple[float, int | None]:
    """Length of the flat beyond the tangent line, and the bend that ends it, if one does."""
    end = side.end(span, needed)
    if end is not None and end.bend is not None:
        other = folded.blank.bends[end.bend]
        if not is_rolled(other, folded.blank.thickness):
            return end.height, end.bend
        return end.height + other.allowance, None
    if end is not None:
        return end.height, None
    if side.held(span, needed - 1e-3) < (span[1] - span[0]) / 2 - 1e-3:
        return side.height_of_half(span, needed), None
    return inf, None


def _too_short(
    folded: Folded, side: BendSide, worst: tuple[float, Span], need: _Need, brake: _Brake
) -> Finding:
    height, span = worst
    return Finding(
        Severity.REFUSES,
        f"{_beside(folded, side, span)} at bend {side.bend.name}",
        f"{shown(height + need.setback)} long outside at its shortest",
        f"{need.outside:.2f} mm (die V {brake.die_v:g})",
        f"lengthen it by {tenths_up(need.flat - height):g} mm, or take a narrower die",
        need.source,
    )


def _too_near(
    folded: Folded, pair: tuple[int, int], height: float, need: _Need, brake: _Brake
) -> Finding:
    names = " and ".join(folded.blank.bends[i].name for i in pair)
    return Finding(
        Severity.REFUSES,
        f"bends {names}",
        f"{shown(height)} of flat between them",
        f"{need.flat:.2f} mm (die V {brake.die_v:g}, the rest of its least flange "
        f"{need.outside:.2f} is the bend itself)",
        f"move them {tenths_up(need.flat - height):g} mm apart, or take a narrower die",
        need.source,
    )


def _beside(folded: Folded, side: BendSide, span: Span) -> str:
    """What the flat region beside a span is called."""
    owners = {
        (s.edge, s.forward): i
        for i, region in enumerate(folded.regions)
        for loop in region.loops
        for s in loop
        if s.fold is not None
    }
    ends = [side.on_blank((x, 0.0)) for x in span]
    line = Line(ends[0], ends[1])
    found = [
        owners[s.edge, not s.forward]
        for s in tangent_sides(folded, side.number, side.which)
        if distance(line.nearest(s.curve.at(0.5)), s.curve.at(0.5)) < 1e-4
    ]
    return region_names(folded)[found[0]] if found else f"flange {side.bend.name}"
