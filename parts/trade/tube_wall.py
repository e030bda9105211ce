"""A tab on the wall of a round tube: whether the wall folds in or the tab punches through.

Published for plates on hollow sections of buildings, static loads, tubes far longer than the
joint. A short or cut tube, a bearing seat or a seam nearby is not in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

from parts.tables import find, rows
from parts.trade.bolts import partial_factor
from parts.trade.reserve import Screen, aisc_phi, at_most

Method = Literal["EN 1993-1-8", "AISC 360"]
EN_FACE = "EN 1993-1-8 table 7.3 and (7.3)"
EN_PUNCH = "EN 1993-1-8 table 7.3"
FACE, PUNCH = "tube wall folding", "tube wall punching"


@dataclass(frozen=True, slots=True)
class Tube:
    """A round tube; `pressed` is its own greatest compression where the tab sits, as a part of
    its yield (0 leaves it out, tension counts as 0)."""

    diameter: float
    wall: float
    yield_mpa: float
    ultimate_mpa: float
    pressed: float = 0.0


@dataclass(frozen=True, slots=True)
class Foot:
    """Where one tab, or a pair of them `apart` from middle to middle, stands on the tube:
    its plane along the tube's axis or across it, and the `length` it is welded over."""

    way: Literal["along", "across"]
    length: float
    thickness: float
    apart: float | None = None


@dataclass(frozen=True, slots=True)
class FootLoad:
    """What the whole foot hands to the wall: N square to it, and moments in the tab's own plane
    and across it. For a pair these are of both tabs together."""

    pull_n: float
    in_plane_nmm: float
    out_of_plane_nmm: float


@dataclass(frozen=True, slots=True)
class Resistance:
    """What the wall takes of each, one at a time; `squared` is the one whose share counts
    squared, the moment that runs along the tube's axis."""

    pull_n: float
    in_plane_nmm: float
    out_of_plane_nmm: float
    squared: Literal["in plane", "out of plane", "neither"]


@dataclass(frozen=True, slots=True)
class Spreader:
    """A plate rolled to the tube and welded on all round, under the tab."""

    thickness: float
    beyond: float  # how far past the tab on every side
    why: str
    source: str


def en_resistance(foot: Foot, tube: Tube) -> Resistance:
    """Chord face failure of a T joint, EN 1993-1-8 table 7.3.

    Across: k_p f_y t^2 (4 + 20 b^2), along: 5 k_p f_y t^2 (1 + 0.25 h), with b and h the
    length over the tube's diameter. Moments: the length times that (half of it across), and the
    thickness in the weak way (Design of SHS welded joints, TUB 2765, 5.1.5 and 5.1.6). A pair
    across is the two flanges of an I section, a pair along the two walls of a box: one set of
    folds carries both, so two tabs are not twice one.

    >>> wall = Tube(76.1, 5, 355, 470)
    >>> round(en_resistance(Foot("along", 70, 6), wall).pull_n)   # 44375 x 1.22996
    54580
    """
    base = _pressing(tube) * _counted_yield(tube) * tube.wall**2 / partial_factor("M5")
    ratio, t = foot.length / tube.diameter, foot.thickness
    apart = 0.0 if foot.apart is None else foot.apart
    if foot.way == "across":
        plate = base * (4 + 20 * ratio**2)
        pull = plate * (1 + 0.25 * apart / tube.diameter)
        weak = max(t, apart) * plate
        return Resistance(pull, 0.5 * foot.length * pull, weak, "out of plane")
    if foot.apart is None:
        plate = 5 * base * (1 + 0.25 * ratio)
        return Resistance(plate, foot.length * plate, 0.5 * t * plate, "in plane")
    box = base * (4 + 20 * (apart / tube.diameter) ** 2) * (1 + 0.25 * ratio)
    pull = max(box, 5 * base * (1 + 0.25 * ratio))
    return Resistance(pull, foot.length * pull, 0.5 * max(t, apart) * pull, "in plane")


def aisc_resistance(foot: Foot, tube: Tube) -> Resistance:
    """AISC 360-16 table K2.1 (LRFD): across 5.5 F_y t^2 / (1 - 0.81 B / D) Q_f, along
    5.5 F_y t^2 (1 + 0.25 l / D) Q_f; moments 0.5 B and 0.8 l times that.

    AISC has neither the weak way nor a pair: those are as in EN 1993-1-8. Raises ValueError for
    a plate across that is wider than 1.2 diameters.

    >>> wall = Tube(152.4, 8.8646, 289.6, 399.9)     # HSS6.000 x 0.375, 5.5 in along, 42 ksi
    >>> round(aisc_resistance(Foot("along", 139.7, 6.35), wall).pull_n / 0.9 / 4448.2, 1)
    34.6
    """
    base = aisc_phi("tube wall") * _pressing(tube) * tube.yield_mpa * tube.wall**2 * 5.5
    ratio, t = foot.length / tube.diameter, foot.thickness
    apart = 0.0 if foot.apart is None else foot.apart
    if foot.way == "across":
        if ratio >= 1.2:
            raise ValueError(
                f"a foot of {foot.length:g} mm across a tube of {tube.diameter:g} mm; AISC 360 "
                "table K2.1A goes to one diameter"
            )
        plate = base / (1 - 0.81 * ratio)
        pull = plate * (1 + 0.25 * apart / tube.diameter)
        return Resistance(pull, 0.5 * foot.length * pull, max(t, apart) * plate, "neither")
    pull = base * (1 + 0.25 * ratio)
    return Resistance(pull, 0.8 * foot.length * pull, 0.5 * max(t, apart) * pull, "neither")


def wall_screens(load: FootLoad, foot: Foot, tube: Tube, method: Method) -> Iterator[Screen]:
    """The wall folding under pull and moments at once, and the tab punching through.

    Folding: N / N_1 + (M / M_1)^2 for the moment along the tube + |M / M_1| for the one across,
    within 1 (EN 1993-1-8 (7.3)); by AISC all add up. Told as the factor the load may grow by.
    Punching: see `punching_screen`.
    """
    en = method == "EN 1993-1-8"
    known = en_resistance(foot, tube) if en else aisc_resistance(foot, tube)
    out = outside(foot, tube, method)
    note = f"outside the published range: {'; '.join(out)}" if out else ""
    growth = _growth(load, known)
    face = EN_FACE if en else "AISC 360-16 table K2.1"
    yield at_most(FACE, 1 / growth if growth else 0.0, 1.0, "", face, note)
    yield punching_screen(load, foot, tube.wall, _counted_yield(tube), note)


def punching_screen(
    load: FootLoad, foot: Foot, wall: float, yield_mpa: float, note: str = ""
) -> Screen:
    """The tab punching through a wall, round or flat: N / L + 6 M / L^2 + 6 M_weak / (L t) within
    2 t_0 f_y0 / sqrt3 for one tab; each of a pair takes half, and the weak moment as a couple.

    7 kN straight off over 70 mm is 100 N/mm, on 5 mm of S235 that takes 2 x 5 x 235 / 1.732:

    >>> screen = punching_screen(FootLoad(7000, 0, 0), Foot("along", 70, 6), 5, 235)
    >>> screen.found, round(screen.limit, 1)
    (100.0, 1356.8)
    """
    length, tabs = foot.length, 1 if foot.apart is None else 2
    pull, weak = abs(load.pull_n) / tabs, abs(load.out_of_plane_nmm)
    line = pull / length + 6 * abs(load.in_plane_nmm) / tabs / length**2
    line += 6 * weak / (length * foot.thickness) if foot.apart is None else (
        weak / (foot.apart * length)
    )  # fmt: skip
    limit = 2 * wall * yield_mpa / sqrt(3) / partial_factor("M5")
    return at_most(PUNCH, line, limit, "N/mm", EN_PUNCH, note)


def outside(foot: Foot, tube: Tube, method: Method) -> tuple[str, ...]:
    """What lies outside the range the method was published for, in words; empty where all is
    within.

    >>> outside(Foot("across", 70, 6), Tube(76.1, 1.2, 235, 360), "EN 1993-1-8")
    ('diameter to wall 63.4, needs 10 to 50', 'wall in mm 1.2, needs 2.5 to 25')
    """
    ratio = foot.length / tube.diameter
    values = {
        "diameter to wall": tube.diameter / tube.wall,
        "wall in mm": tube.wall,
        "yield in MPa": tube.yield_mpa,
        "plate width to diameter": ratio,
        "plate length to diameter": ratio,
    }
    return tuple(
        f"{row['name']} {values[row['name']]:.3g}, needs {row['least']} to {row['most']}"
        for row in rows("tube_plate_limits")
        if row["method"] == method and row["plate"] in ("any", foot.way) and row["name"] in values
        if not float(row["least"]) <= values[row["name"]] <= float(row["most"])
    )


def wall_needed(screens: Sequence[Screen], tube: Tube) -> float:
    """The wall at which every screen of `wall_screens` would just hold: folding goes with its
    square, punching with the wall itself."""
    shares = [
        1 / (sqrt(s.reserve) if s.name == FACE else s.reserve) for s in screens if s.reserve > 0
    ]
    return tube.wall * max(shares, default=0.0)


def spreader(screens: Sequence[Screen], tube: Tube, tab_thickness: float) -> Spreader | None:
    """A spreader plate where the wall alone does not do, or is under half of the tab
    (common practice); None where it does.

    Two layers that are not one fold side by side: their squares add, t_0^2 + t_p^2.
    """
    beyond = float(find("fork_rules", "spreader beyond the tab")["least"])
    rule = find("fork_rules", "tube wall to tab")
    needed, usual = wall_needed(screens, tube), float(rule["least"]) * tab_thickness
    if needed > tube.wall * (1 + 1e-9):
        why = f"the wall alone would have to be {needed:.1f} mm"
        return Spreader(sqrt(needed**2 - tube.wall**2), beyond, why, screens[0].source)
    if usual > tube.wall:
        why = f"a wall of {tube.wall:g} mm is under {rule['least']} of the tab"
        return Spreader(sqrt(usual**2 - tube.wall**2), beyond, why, rule["source"])
    return None


def _growth(load: FootLoad, known: Resistance) -> float:
    """The factor by which the load may grow until the shares add up to 1; 0 without load."""
    shares = {
        "in plane": abs(load.in_plane_nmm) / known.in_plane_nmm,
        "out of plane": abs(load.out_of_plane_nmm) / known.out_of_plane_nmm,
    }
    square = shares.pop(known.squared, 0.0) ** 2
    plain = abs(load.pull_n) / known.pull_n + sum(shares.values())
    if plain == 0 and square == 0:
        return 0.0
    return 2 / (plain + sqrt(plain**2 + 4 * square))


def _pressing(tube: Tube) -> float:
    """k_p of EN 1993-1-8 table 7.2, Q_f of AISC 360 (K2-3): 1 - 0.3 n (1 + n)."""
    n = max(tube.pressed, 0.0)
    return max(1 - 0.3 * n * (1 + n), 0.0)


def _counted_yield(tube: Tube) -> float:
    """Yield of the tube as EN 1993-1-8 7.1.1(4) counts it."""
    limits = {row["name"]: row for row in rows("tube_plate_limits")}
    full = float(limits["yield counted in full"]["most"])
    part = float(limits["part of a higher yield counted"]["most"])
    return tube.yield_mpa if tube.yield_mpa <= full else part * tube.yield_mpa
