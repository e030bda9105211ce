"""One fillet weld: its throat and leg, how long and how big it must be, what its metal takes."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sqrt

from parts.tables import Row, find, rows
from parts.trade.bolts import partial_factor
from parts.trade.reserve import Screen, at_least, at_most

COUNTED_DEG = (60.0, 120.0)  # EN 1993-1-8 4.3.2.1: fillets between faces at these angles


def throat(leg: float, opening_deg: float = 90.0) -> float:
    """Throat of a fillet of equal legs between faces at an angle.

    >>> round(throat(5), 3)
    3.536

    Raises ValueError for an angle that EN 1993-1-8 4.3.2.1 does not count as a fillet's.
    """
    if not COUNTED_DEG[0] <= opening_deg <= COUNTED_DEG[1]:
        raise ValueError(
            f"faces at {opening_deg:g} degrees; a fillet weld needs 60 to 120 degrees "
            "(EN 1993-1-8 4.3.2.1)"
        )
    return leg * cos(radians(opening_deg / 2))


def leg(throat: float) -> float:
    """Leg of a fillet of equal legs in a square corner.

    >>> round(leg(3.5), 2)
    4.95
    """
    return throat * sqrt(2)


def simplified_strength_mpa(ultimate_mpa: float, beta_w: float) -> float:
    """f_vw,d = f_u / (sqrt3 beta_w gamma_M2) of EN 1993-1-8 4.5.3.3, with f_u of the weaker
    part joined.

    >>> round(simplified_strength_mpa(470, 0.9), 1)
    241.2
    """
    return ultimate_mpa / (sqrt(3) * beta_w * partial_factor("M2"))


def full_strength_throat(
    thickness: float, yield_mpa: float, ultimate_mpa: float, beta_w: float
) -> float:
    """Throat of a fillet on both sides that is as strong as the plate it holds when pulled off.

    By the directional method; Steel Buildings in Europe, Multi-storey part 5.

    >>> round(full_strength_throat(10, 235, 360, 0.8), 2)   # .46 t
    4.62
    """
    force = yield_mpa / partial_factor("M0") * thickness
    return force * beta_w * partial_factor("M2") / (sqrt(2) * ultimate_mpa)


def usual_leg(thickness: float) -> float:
    """The leg usually laid on a plate of that thickness, 0.7 t (common practice)."""
    return _rule("usual leg") * thickness


def effective_length(length: float, throat: float, open_ends: int = 2) -> float:
    """Length that counts: less one throat at each end that does not run on round a corner
    (EN 1993-1-8 4.5.1(1)).

    >>> effective_length(60, 3.5)
    53.0
    """
    return max(length - open_ends * _rule("lost at an open end") * throat, 0.0)


def length_screens(length: float, throat: float, open_ends: int = 2) -> Iterator[Screen]:
    """Whether one weld is long enough to carry anything: what counts of it against 30 mm and
    6 throats (EN 1993-1-8 4.5.1(2)), the whole against 4 legs (AISC 360 J2.2b)."""
    counted = effective_length(length, throat, open_ends)
    short, throats = _row("least length"), _row("least length in throats")
    need = max(float(short["value"]), float(throats["value"]) * throat)
    yield at_least("weld length", counted, need, "mm", short["source"], "less its open ends")
    legs = _row("least length in legs")
    yield at_least(
        "weld length for its leg", length, float(legs["value"]) * leg(throat), "mm",
        legs["source"],
    )  # fmt: skip


def root_screen(length: float, root: float) -> Screen:
    """The weld asked for along one face against the length of the root that it lies on."""
    return at_most("weld against the root", length, root, "mm", "the root's own length")


def size_screens(throat: float, thinner: float) -> Iterator[Screen]:
    """Whether a fillet is big enough: throat 3 mm (EN 1993-1-8 4.5.2), and the leg that AISC 360
    table J2.4 asks for by the thinner part."""
    row = _row("least throat")
    yield at_least("weld throat", throat, float(row["value"]), "mm", row["source"])
    for size in rows("least_fillet"):
        if thinner <= float(size["to_mm"]):
            yield at_least("weld leg", leg(throat), float(size["leg_mm"]), "mm", size["source"])
            break


def long_lap_factor(length: float, throat: float) -> float:
    """beta_Lw of a long lap: 1.2 - 0.2 L / (150 a), no more than 1 (EN 1993-1-8 4.11).

    >>> long_lap_factor(300, 4), round(long_lap_factor(900, 4), 6)
    (1.0, 0.9)
    """
    return min(1.0, 1.2 - 0.2 * length / (_rule("long lap in throats") * throat))


def leg_for_gap(leg: float, gap: float) -> float:
    """The leg to lay over a gap at the root: as asked up to 1.6 mm of gap, above that longer by
    the gap, so that the throat is there (AWS D1.1 5.21, from memory).

    >>> leg_for_gap(5, 1.0), leg_for_gap(5, 2.0)
    (5, 7.0)

    Raises ValueError over 4.8 mm.
    """
    if gap > _rule("widest gap"):
        row = _row("widest gap")
        raise ValueError(
            f"a gap of {gap:.2f} mm at the root; a fillet bridges {row['value']} mm at most "
            f"({row['source']})"
        )
    return leg if gap <= _rule("gap that adds to the leg") else leg + gap


def _row(name: str) -> Row:
    return find("weld_rules", name, what="weld rule")


def _rule(name: str) -> float:
    return float(_row(name)["value"])
