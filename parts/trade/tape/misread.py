"""Find the reading that is wrong, and say what the others make of it.

W. Baarda 1968, 'A testing procedure for use in geodetic networks' (data snooping): the residual
of each reading over its own standard deviation is a normal deviate if all readings are good, and
passes 3.29 for 1 good reading in 1000 (values from memory). So m readings raise a false alarm
in roughly m / 1000 of good jobs.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from parts.trade.tape.freedom import loose_points
from parts.trade.tape.mirror import choose
from parts.trade.tape.network import (
    NORMAL_95,
    Fit,
    Floats,
    Mask,
    Network,
    Quality,
    computed,
    quality,
)
from parts.trade.tape.start import CRITICAL, SMALL, explore
from parts.trade.tape.survey import Reason

LEAST_CHANCE = 0.001
CHECKED = 1e-3  # least redundancy with which a reading is tested at all
TURNS = 40  # of the settling without some readings: a fit that agrees takes a dozen
MOST = 3  # misreads looked for in one set
TRIED = 12  # readings left out in turn
PAIRED = 8  # of them, left out two at a time
ALIKE = 6.63  # sets of suspects whose chi-square differs by less (1 % point) are not told apart


@dataclass(frozen=True, slots=True, eq=False)
class _Trial:
    """The network with some readings left out: what is in use, and its possible fits."""

    readings: tuple[int, ...]
    use: Mask
    left: tuple[Fit, ...]

    @property
    def chi_square(self) -> float:
        return self.left[0].chi_square


def agrees(found: Quality) -> bool:
    """Whether the readings pass both tests: each by itself, and all together at 0.1 %."""
    return found.chance >= LEAST_CHANCE and not len(_suspects(found))


def _suspects(found: Quality) -> NDArray[np.intp]:
    """Readings whose standardised residual is over 3.29, the largest first."""
    size = np.where(found.redundancy >= CHECKED, np.abs(found.standardised), 0.0)
    order = np.argsort(-size, kind="stable")
    return order[size[order] > CRITICAL][:TRIED]


def misreads(net: Network, fits: tuple[Fit, ...], use: Mask) -> tuple[Reason, ...]:
    """Name the readings without which the rest agree, as few as will do; () if none explains.

    Each suspect is left out in turn and all is solved again, so that what 'the others say' owes
    nothing to it. If no one suspect explains all, the best is kept out and a second looked for,
    in a small network among all pairs. Sets that serve nearly as well are named beside the best.
    """
    left, _ = choose(net, fits, use)
    first = _suspects(quality(net, left[0], use)).tolist()
    sets: set[tuple[int, ...]] = {(reading,) for reading in first}
    seeds = tuple(fit.at for fit in (*left, *fits)[:3])
    for _ in range(MOST):
        trials = [t for s in sorted(sets) if (t := _without(net, s, use, seeds)) is not None]
        if not trials:
            break
        best = min(trials, key=lambda trial: trial.chi_square)
        found = quality(net, best.left[0], best.use)
        if agrees(found):
            return _reasons(net, [t for t in trials if t.chi_square < best.chi_square + ALIKE])
        more = _suspects(found).tolist()
        if len(best.readings) == 1 and len(net.names) <= SMALL:
            sets = set(combinations(sorted(first[:PAIRED]), 2))
        else:
            sets = set()
        sets |= {tuple(sorted((*best.readings, reading))) for reading in more}
    return ()


def _without(
    net: Network, readings: tuple[int, ...], use: Mask, seeds: tuple[Floats, ...]
) -> _Trial | None:
    """None when a point would no longer be fixed."""
    rest = use.copy()
    rest[list(readings)] = False
    fits = explore(net, rest, () if len(net.names) <= SMALL else seeds, TURNS)
    if loose_points(net, fits[0], quality(net, fits[0], rest), rest):
        return None
    return _Trial(readings, rest, choose(net, fits, rest)[0])


def _reasons(net: Network, alike: list[_Trial]) -> tuple[Reason, ...]:
    if len(alike) == 1:
        return tuple(
            Reason(
                "misread",
                (net.labels[i],),
                "{}, the others say {}: measure it again".format(*_told(net, alike[0], i)),
            )
            for i in alike[0].readings
        )
    about = tuple(dict.fromkeys(net.labels[i] for trial in alike for i in trial.readings))
    if len(about) > 4:
        names = ", or ".join(" and ".join(net.labels[i] for i in t.readings) for t in alike)
        words = f"{names} must be wrong, and nothing tells which: measure them again"
        return (Reason("misread", about, words),)
    told = " or ".join(
        " and ".join("{} (the others say {})".format(*_told(net, t, i)) for i in t.readings)
        for t in alike
    )
    again = "both" if len(about) == 2 else "them all"
    return (Reason("misread", about, f"{told}: they cannot be told apart, measure {again} again"),)


def _told(net: Network, trial: _Trial, i: int) -> tuple[str, str]:
    """('A2-S1 reads 101', '110.0'); two values where two places are left without it."""
    digits = 1 if net.sigma[i] * NORMAL_95 >= 0.1 else 3
    said = [f"{computed(net, fit.at)[i]:.{digits}f}" for fit in trial.left]
    return f"{net.labels[i]} reads {net.value[i]:g}", " or ".join(dict.fromkeys(said))
