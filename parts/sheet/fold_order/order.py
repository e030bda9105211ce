"""A search for an order in which every bend can be made between punch and die.

Bends of one line are made in one stroke. Nothing that was bent before may strike punch or beam,
die or table at any time of the stroke: see `stroke` and `tools`. Liked best is the order with the
fewest strokes on unusual tools, then the fewest times turned over, then one on straight punches; at
every step the bend with the least metal on its lesser side is tried first (outside in), then the
one that asks for the least turning. Rolled bends come last: a bend beside a band is made first,
while the band still lies flat on the die.

NOT looked at: metal that hits metal on the way, openings that a tool could stand in, and how the
piece gets in and out, which is sideways past the end of the tool where it must be.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from parts.sheet.blank import Bend, Blank
from parts.sheet.collide import region_names
from parts.sheet.fold import Folded
from parts.sheet.fold_order.clearing import Clearing
from parts.sheet.fold_order.gauge import Held, gauged, swing_deg
from parts.sheet.fold_order.metal import Metal
from parts.sheet.fold_order.search import GivenUp, Path, Search
from parts.sheet.fold_order.steps import FoldOrder, NoOrder, Step
from parts.sheet.fold_order.stroke import Stroke
from parts.sheet.fold_order.tools import tools_of, unusual, words
from parts.sheet.fold_order.units import Unit, units
from parts.sheet.press import die_for
from parts.sheet.shop import Rack, Shop

GUESSED_V = 8.0  # thicknesses; the die's opening where no table knows one

Over = Sequence[float | None]
KEYS = {  # what in [shop] says of better tools, by whether it is the die that is struck
    False: ("punch_room", "punch_thickness", "punch_height"),
    True: ("die_shoulder", "die_height"),
}


def fold_order(folded: Folded, rack: Rack, shop: Shop, over: Over = ()) -> FoldOrder | NoOrder:
    """The best order found, or why there is none.

    `over` has one entry a bend: the degrees to bend past its turn, None where that is not known;
    () where it is known of none.

    A channel of 3 mm, its base 30 wide inside, legs 20 and 60 deep: the short leg is bent first.

    >>> from parts.sheet.blank import Bend, Blank
    >>> from parts.sheet.fold import fold
    >>> from parts.sheet.loop import polygon
    >>> from parts.sheet.stock import Stock, material
    >>> sheet = polygon([(0, 0), (113, 0), (113, 50), (0, 50)])
    >>> bends = (Bend("long", (57, 50), (57, 0), 90, 3, 6),
    ...          Bend("short", (93, 50), (93, 0), 90, 3, 6))
    >>> rack = Rack(Stock("plate", material("mild steel"), 3))
    >>> order = fold_order(fold(Blank(3, sheet, (), bends, (75, 25))), rack, Shop())
    >>> [step.bends for step in order.steps]
    [(1,), (0,)]
    """
    past = tuple(over) or (None,) * len(folded.blank.bends)
    every = units(folded)
    pressed = tuple(unit for unit in every if not unit.rolled)
    strokes = tuple(_stroke(folded, rack, unit, past) for unit in pressed)
    clearing = Clearing(Metal(folded), pressed, strokes, tools_of(shop))
    search = Search(clearing)
    try:
        path = search.best()
    except GivenUp:
        return _stopped(clearing)
    if path is None:
        return _refused(search)
    rolled = (unit for unit in every if unit.rolled)
    return FoldOrder(tuple(_steps(clearing, path, rolled, past)), clearing.tools.source)


def _stroke(folded: Folded, rack: Rack, unit: Unit, over: tuple[float | None, ...]) -> Stroke:
    blank = folded.blank
    turns = [_over_deg(blank, over, n) or blank.bends[n].turn_deg for n in unit.bends]
    die_v = _die_v(rack, blank.thickness)
    return Stroke(blank.bends[unit.bends[0]], blank.thickness, die_v, max(map(abs, turns)))


def _die_v(rack: Rack, thickness: float) -> float:
    try:
        return rack.die_v or die_for(thickness)
    except ValueError:
        return GUESSED_V * thickness


def _over_deg(blank: Blank, over: tuple[float | None, ...], number: int) -> float | None:
    extra, turn_deg = over[number], blank.bends[number].turn_deg
    if extra is None:
        return None
    return turn_deg + extra if turn_deg > 0 else turn_deg - extra


def _steps(
    clearing: Clearing, path: Path, rolled: Iterable[Unit], over: tuple[float | None, ...]
) -> Iterator[Step]:
    """The strokes of an order, then the rolls, with how the piece is handled."""
    folded = clearing.metal.folded
    blank = folded.blank
    made, before, side = 0, None, 1
    for number, clear in path:
        unit, stroke = clearing.units[number], clearing.strokes[number]
        held = gauged(folded, unit, clearing.swung[number], made, stroke.die_v)
        yield replace(
            _step(blank, unit, before, held, over), gauge=held.gauge, open_mm=clear.open_mm,
            punch=words(clear.punch, held.side), die=clear.die.name,
            unusual=tuple(unusual(clear.punch, clear.die)),
        )  # fmt: skip
        before, made = (blank.bends[unit.bends[0]], held.side), made | unit.mask
        side = held.side
    for unit in rolled:
        held = Held(side, None)
        yield replace(_step(blank, unit, before, held, over), rolled=True)
        before = (blank.bends[unit.bends[0]], side)


def _step(
    blank: Blank,
    unit: Unit,
    before: tuple[Bend, int] | None,
    held: Held,
    over: tuple[float | None, ...],
) -> Step:
    bend = blank.bends[unit.bends[0]]
    flip = before is not None and before[0].up != bend.up
    swing = swing_deg(*before, bend, held.side) if before is not None else 0.0
    over_deg = _over_deg(blank, over, unit.bends[0])
    return Step(unit.bends, bend.turn_deg, over_deg, bend.up, flip, swing, None)


def _refused(search: Search) -> NoOrder:
    """What stops the bends that are left after the longest beginning."""
    clearing = search.clearing
    bends, names = clearing.metal.folded.blank.bends, region_names(clearing.metal.folded)
    strikes = list(search.strikes())
    made = [bend.name for n, bend in enumerate(bends) if search.furthest >> n & 1]
    after = f"once {listed(made)} {'is' if len(made) == 1 else 'are'} bent, " if made else ""
    told = [
        f"at bend {bends[clearing.units[hit.unit].bends[0]].name} {names[hit.region]} goes "
        f"{max(hit.depth, 0.1):.1f} mm into the {hit.tool}"
        for hit in strikes
    ]
    keys = sorted({key for hit in strikes for key in KEYS["die" in hit.tool]})
    return NoOrder(
        tuple(n for hit in strikes for n in clearing.units[hit.unit].bends),
        after + ", ".join(told),
        "shorten what strikes, move the bends apart, or make it of two parts and weld them; tools "
        f"that clear more may say so by [shop] {listed(keys)}",
        clearing.tools.source,
    )


def _stopped(clearing: Clearing) -> NoOrder:
    count = len(clearing.units)
    return NoOrder(
        tuple(n for unit in clearing.units for n in unit.bends),
        f"{count} strokes have more orders than were looked through, and none was found so far",
        "work the order out by hand, with strips of card",
        clearing.tools.source,
        given_up=True,
    )


def listed(words: Sequence[str]) -> str:
    """Words as a list that is read.

    >>> listed(["a"]), listed(["a", "b", "c"])
    ('a', 'a, b and c')
    """
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))
