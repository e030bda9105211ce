"""What the folder does, stroke by stroke: the answer of a search for a fold order."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Gauge:
    """What is held against the back gauge while a stroke is made.

    `against` says in words what touches it: an edge of the blank, or the outside of a flange bent
    before. `distance` runs square from there to the middle of the bend, as the metal lies on the
    die, mm. `edge` are two points of the blank (drawn, flat) on the edge that touches.
    """

    against: str
    distance: float
    edge: tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Step:
    """One stroke of the brake, or one roll.

    `bends` are numbers in the blank's order: several where they lie in one line and are made
    together. `turn_deg` is the turn from flat after the metal springs back (+ toward the reader
    of the drawn face), `over_deg` the turn to bend to under load, None where the shop's book does
    not know it. `drawn_face_up` tells which face looks at the punch. `flip` and `swing_deg`
    say how the piece is handled since the step before: turned over or not, then turned flat on
    the die by so many degrees. `rolled` marks a roll, which no die makes. `open_mm` is the gap in
    mm by which the nearest metal clears the tool, None where none comes near. `punch` and `die`
    say which kind it takes (the back is where the gauge is), `unusual` what of it not every shop
    has.
    """

    bends: tuple[int, ...]
    turn_deg: float
    over_deg: float | None
    drawn_face_up: bool
    flip: bool
    swing_deg: float
    gauge: Gauge | None
    rolled: bool = False
    open_mm: float | None = None
    punch: str = ""
    die: str = ""
    unusual: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FoldOrder:
    """Every step in the order found; all bends of the blank are in it once."""

    steps: tuple[Step, ...]
    source: str  # what the tool was taken as


@dataclass(frozen=True, slots=True)
class NoOrder:
    """No order can be folded; `blocked` names the bends that always strike, and what they strike.

    `why` is one sentence for the finding, `remedy` what would make it foldable. `given_up` tells
    that the search was stopped: there may be an order after all.
    """

    blocked: tuple[int, ...]
    why: str
    remedy: str
    source: str
    given_up: bool = False
