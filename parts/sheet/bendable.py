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
from parts.sheet.allowance import BOOK, BendBook
from parts.sheet.bend_radius import radii
from parts.sheet.bend_rules import outside_setback
from parts.sheet.bend_side import BendSide, Span, bend_sides, is_rolled
from parts.sheet.blank import Bend
from parts.sheet.collide import region_names
from parts.sheet.curve import Line, distance
from parts.sheet.fold import Folded, neighbours, tangent_sides
from parts.sheet.near_bend import openings, reliefs
from parts.sheet.press import bend_force_kn_per_m, die_for, natural_radius
from parts.sheet.shop import SLACK, Rack, Shop, shown, tenths_up
from parts.sheet.tooling import tooling

PRACTICE = "common practice"


def bendable(folded: Folded, rack: Rack, book: BendBook, shop: Shop) -> Iterator[Finding]:
    """Every reason why the part cannot be bent well, one a place, in the blank's order.

    Radius of each bend first, then punch and die, length and force, flanges, reliefs, openings.

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
    yield from radii(folded, rack.stock.material)
    yield from tooling(folded, sides, shop)
    brake = _brake(folded, rack, book)
    for i in range(len(folded.blank.bends)):
        yield from _machines(folded, i, sides[2 * i : 2 * i + 2], rack, shop, brake)
    yield from brake.findings
    flats = tuple(need.flat if need else 0.0 for need in brake.needs)
    yield from _flanges(folded, sides, brake)
    for side in sides:
        yield from reliefs(side, folded.blank.thickness)
    yield from openings(folded.blank, sides, brake.die_v or 0.0, flats)


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
    """The die and what each bend needs on it; None: rolled, or told of in `findings`."""

    die_v: float | None  # None where no table knows a die for the sheet
    needs: tuple[_Need | None, ...]
    findings: tuple[Finding, ...]


def _brake(folded: Folded, rack: Rack, book: BendBook) -> _Brake:
    t, bends = folded.blank.thickness, folded.blank.bends
    needs: list[_Need | None] = [None] * len(bends)
    pressed = [i for i, bend in enumerate(bends) if not is_rolled(bend, t)]
    unknown: dict[str, list[str]] = {}
    die_v = rack.die_v
    for i in pressed:
        try:
            die_v = die_for(t) if die_v is None else die_v
            needs[i] = _need(bends[i], t, die_v, rack, book)
        except ValueError as error:
            unknown.setdefault(str(error), []).append(bends[i].name)
    findings = [
        Finding(
            Severity.MENTIONS,
            f"bend{'s' if len(names) > 1 else ''} {', '.join(names)}",
            f"flanges were not checked: {error}",
            "a die and a turn that are known",
            "name its V, give its least flange in the bend book, or turn it less",
            PRACTICE,
        )
        for error, names in unknown.items()
    ]
    return _Brake(die_v, tuple(needs), tuple(findings))


def _need(bend: Bend, t: float, die_v: float, rack: Rack, book: BendBook) -> _Need:
    least = book.least_flange(rack.stock.material, t, die_v, bend.turn_deg)
    setback = outside_setback(bend.radius, t, bend.turn_deg, leg_to="tangent")
    reach = setback + die_v / 2 - bend.allowance / 2
    by_chart = not least.source.startswith(BOOK)
    if by_chart and reach > least.value and bend.radius > natural_radius(die_v).value:
        return _Need(reach, setback, f"{PRACTICE}: the flat must reach the edge of the die")
    return _Need(least.value, setback, least.source)


def _machines(
    folded: Folded,
    number: int,
    sides: tuple[BendSide, ...],
    rack: Rack,
    shop: Shop,
    brake: _Brake,
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
    if shop.press_force_kn is None or brake.die_v is None:
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
    for side in sides:
        if not side.spans and not is_rolled(side.bend, folded.blank.thickness):
            yield _off_the_metal(folded, side, brake)
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


def _off_the_metal(folded: Folded, side: BendSide, brake: _Brake) -> Finding:
    """A bend whose metal ends before the bend does."""
    bend, need = side.bend, brake.needs[side.number]
    ahead = [
        bend.ahead(curve.at(f))
        for region in folded.regions
        if region.bend == side.number
        for curve in region.curves[0]
        for f in (0.0, 0.5, 1.0)
    ]
    short = bend.allowance - max(ahead) if side.which else min(ahead)
    line = "end" if side.which else "start"
    flat = need.flat if need else 0.0
    return Finding(
        Severity.REFUSES,
        f"bend {bend.name}",
        f"the metal stops {shown(short)} before the {line} line of the bend",
        f"{flat:.2f} mm of flat past that line" if flat > 0 else "metal up to that line",
        f"lengthen the blank there by {tenths_up(short + max(flat, 0.0)):g} mm: the bend alone "
        f"uses up {bend.allowance:.2f}",
        need.source if need else PRACTICE,
    )


def _too_short(
    folded: Folded, side: BendSide, worst: tuple[float, Span], need: _Need, brake: _Brake
) -> Finding:
    height, span = worst
    return Finding(
        Severity.REFUSES,
        f"{_beside(folded, side, span)} at bend {side.bend.name}",
        f"{shown(height + need.setback)} long outside at its shortest",
        f"{need.outside:.2f} mm (die V {brake.die_v or 0:g})",
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
    beside = neighbours(folded)
    ends = [side.on_blank((x, 0.0)) for x in span]
    line = Line(ends[0], ends[1])
    found = [
        beside.across(s)
        for s in tangent_sides(folded, side.number, side.which)
        if distance(line.nearest(s.curve.at(0.5)), s.curve.at(0.5)) < 1e-4
    ]
    return region_names(folded)[found[0]] if found else f"flange {side.bend.name}"
