"""A weld group held against EN 1993-1-8 4.5.3 (simplified or directional) or AISC 360 J2.4."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal, get_args

import numpy as np

from parts.sheet.curve import Line, at_words
from parts.sheet.stock import Material
from parts.tables import UnknownName, find
from parts.trade.bolts import partial_factor
from parts.trade.reserve import Screen, aisc_phi, at_most
from parts.trade.weld.fillet import simplified_strength_mpa
from parts.trade.weld.group import Floats, Load, Run, WeldGroup, throat_stress, weld_group

Method = Literal["simplified", "directional", "AISC", "AISC with direction"]
METHODS: tuple[str, ...] = get_args(Method)
SAMPLES = 129  # along an arc, before the worst place is refined
NEAR = 0.97  # of the worst place looked at; between two places no run can make up for more
CLOSER = 4  # times that look is made eight times closer

Judge = Callable[[Floats], Floats]  # (n, 3) square to the throat, across, along; to (n,) MPa


@dataclass(frozen=True, slots=True)
class WeldMetal:
    """What the weld's strength rests on: f_u and beta_w of the part that gives less, and the
    filler's own ultimate strength, which AISC counts."""

    part_mpa: float
    beta_w: float
    filler_mpa: float


@dataclass(frozen=True, eq=False)
class WeldStress:
    """One place of a weld: the run's number, the point (3,), and MPa on the throat there."""

    run: int
    at: tuple[float, float, float]
    square: float  # sigma perpendicular
    across: float  # tau perpendicular
    along: float  # tau parallel

    @property
    def resultant(self) -> float:
        return sqrt(self.square**2 + self.across**2 + self.along**2)

    @property
    def equivalent(self) -> float:
        """sqrt(sigma^2 + 3 (tau^2 + tau^2)) of EN 1993-1-8 4.5.3.2."""
        return sqrt(self.square**2 + 3 * (self.across**2 + self.along**2))


def weld_metal(parts: Sequence[Material], filler: str = "E70") -> WeldMetal:
    """From the parts joined and a filler of weld_metals.csv.

    >>> from parts.sheet.stock import material
    >>> weld_metal([material("S235"), material("S355")]).part_mpa
    360.0

    Raises ValueError for a part without beta_w (aluminium), UnknownName for a filler that is
    not listed.
    """
    if soft := [part.name for part in parts if part.beta_w is None]:
        raise ValueError(f"EN 1993-1-8 has no beta_w for {', '.join(soft)}: weld steel to steel")
    row = find("weld_metals", filler, also="also_called", what="filler")
    strength = [(part.ultimate_mpa, part.beta_w) for part in parts if part.beta_w is not None]
    part_mpa, beta_w = min(strength, key=lambda pair: pair[0] / pair[1])
    return WeldMetal(part_mpa, beta_w, float(row["ultimate_mpa"]))


def weld_stresses(runs: Sequence[Run], load: Load) -> tuple[WeldStress, ...]:
    """The throat's stress at both ends and the middle of every run, in order."""
    group, found = weld_group(runs), []
    for number, run in enumerate(runs):
        places = np.array([0.0, 0.5, 1.0])
        points = run.at(places)
        for at, parts in zip(points, _parts(group, load, run, places), strict=True):
            found.append(WeldStress(number, tuple(at.tolist()), *parts.tolist()))
    return tuple(found)


def weld_screens(
    runs: Sequence[Run], load: Load, metal: WeldMetal, method: str
) -> tuple[Screen, ...]:
    """The worst stress anywhere on the welds against what they take; the note says where.

    "simplified": the resultant against f_vw,d. "directional": the equivalent against
    f_u / (beta_w gamma_M2), and the stress square to the throat against 0.9 f_u / gamma_M2.
    "AISC": the resultant against 0.75 x 0.60 F_EXX; "AISC with direction" lets it grow by
    1 + 0.5 sin^1.5 of the angle to the weld (J2.4), as AISC allows for a group whose force goes
    through its centre. Raises UnknownName for another method.
    """
    if method not in METHODS:
        raise UnknownName("weld method", method, "EN 1993-1-8 4.5.3 or AISC 360 J2.4", METHODS)
    found = []
    for name, judge, limit, source in _judged(metal, method):
        stress, at = _worst(runs, load, judge)
        note = f"worst at {at_words(at, 1)}"
        found.append(at_most(name, stress, limit, "MPa", source, note))
    return tuple(found)


def _judged(metal: WeldMetal, method: str) -> list[tuple[str, Judge, float, str]]:
    def resultant(s: Floats) -> Floats:
        return np.asarray(np.linalg.norm(s, axis=1))

    def equivalent(s: Floats) -> Floats:
        return np.asarray(np.sqrt(s[:, 0] ** 2 + 3 * (s[:, 1] ** 2 + s[:, 2] ** 2)))

    def square(s: Floats) -> Floats:
        return np.asarray(np.abs(s[:, 0]))

    def favoured(s: Floats) -> Floats:
        whole = resultant(s)
        sine = np.hypot(s[:, 0], s[:, 1]) / np.where(whole > 0, whole, 1.0)
        return np.asarray(whole / (1 + 0.5 * sine**1.5))

    gamma = partial_factor("M2")
    if method == "simplified":
        limit = simplified_strength_mpa(metal.part_mpa, metal.beta_w)
        return [("weld", resultant, limit, "EN 1993-1-8 4.5.3.3")]
    if method == "directional":
        source = "EN 1993-1-8 4.5.3.2"
        return [
            ("weld", equivalent, metal.part_mpa / (metal.beta_w * gamma), source),
            ("weld square to its throat", square, 0.9 * metal.part_mpa / gamma, source),
        ]
    judge = favoured if method == "AISC with direction" else resultant
    return [("weld", judge, aisc_phi("fillet weld") * 0.6 * metal.filler_mpa, "AISC 360 J2.4")]


def _worst(
    runs: Sequence[Run], load: Load, judge: Judge
) -> tuple[float, tuple[float, float, float]]:
    """The greatest judged stress and where; on a line it may lie within for `favoured` alone.

    Every run is looked at from end to end; only those that come near the worst are looked at
    closer.
    """
    group = weld_group(runs)
    looks = []
    for run in runs:
        places = np.linspace(0.0, 1.0, 9 if isinstance(run.curve, Line) else SAMPLES)
        looks.append((run, places, judge(_parts(group, load, run, places))))
    near = NEAR * max(float(stress.max()) for _, _, stress in looks)
    best, where = -1.0, (0.0, 0.0, 0.0)
    for run, places, stress in looks:
        if float(stress.max()) < near:
            continue
        for _ in range(CLOSER):
            k = int(stress.argmax())
            places = np.linspace(places[max(k - 1, 0)], places[min(k + 1, len(places) - 1)], 17)
            stress = judge(_parts(group, load, run, places))
        k = int(stress.argmax())
        if float(stress[k]) > best:
            x, y, z = run.at(places[[k]])[0].tolist()
            best, where = float(stress[k]), (x, y, z)
    return best, where


def _parts(group: WeldGroup, load: Load, run: Run, places: Floats) -> Floats:
    """Stress square to the throat, across it and along the weld, (n, 3)."""
    stress = throat_stress(group, load, run.at(places))
    return np.stack([np.einsum("ij,ij->i", stress, axis) for axis in run.frame(places)], axis=1)
