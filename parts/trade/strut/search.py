"""Which struts of the common sizes, mounted where, open and hold a lid with least hand force.

For each number of struts and each force all positions and sizes are looked at together. Where
none will do, the nearest miss is put into words.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parts.report import Finding
from parts.trade.strut.areas import pairs
from parts.trade.strut.choices import Choice, Found, Rejected, Wanted
from parts.trade.strut.clear import clearances
from parts.trade.strut.findings import findings
from parts.trade.strut.hung import HungLid, hand_to_close, hand_to_open, looked_at
from parts.trade.strut.lid import weight_moment_nm
from parts.trade.strut.mounts import Mounts, lengths_and_levers
from parts.trade.strut.rules import Rules, held_at_deg, least_to_hold_n, most_to_stay_shut_n
from parts.trade.strut.spring import StrutSize, most_friction_n, rise, sizes

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Flags = NDArray[np.bool_]
STEP_DEG = 2.0
MOST_POSITIONS = 20_000
JUST = 1e-9


@dataclass(frozen=True, eq=False)
class _Fits:
    """Positions (p) that pass on their own, and pairs (n) of one of them and a size that fits."""

    lids: Floats  # (p, 2)
    bodies: Floats
    of: Ints  # (n,) position of a pair
    size: Ints  # (n,)
    lever_shut: Floats  # (n,)
    rise_shut: Floats
    lever_held: Floats  # (n, h)
    rise_held: Floats


def search(wanted: Wanted, keep: int = 10) -> Found:
    """The choices that meet the rules, least hand force first, and why the others fail.

    Raises ValueError for areas cut too finely, or nothing to choose from.
    """
    choose = sizes() if wanted.sizes is None else wanted.sizes
    if not choose or not wanted.counts or set(wanted.counts) - {1, 2}:
        raise ValueError("nothing to choose from: needs at least one size, and 1 or 2 struts")
    count = wanted.lid_area.count * wanted.body_area.count
    if count > MOST_POSITIONS:
        raise ValueError(
            f"{count} pairs of mounts are too many; take fewer steps, for {MOST_POSITIONS} at most"
        )
    lids, bodies = pairs(wanted.lid_area, wanted.body_area)
    fits, rejected = _fitting(wanted, choose, lids, bodies)
    choices: list[Choice] = []
    tried = 0
    for number in wanted.counts:
        for f1_n in sorted({f for size in choose for f in size.forces_n}):
            has = np.array([f1_n in size.forces_n for size in choose])
            rows = np.flatnonzero(has[fits.size]) if len(fits.size) else np.zeros(0, dtype=np.intp)
            if len(rows):
                tried += len(rows)
                good, missed = _one_force(wanted, choose, fits, rows, number, f1_n)
                choices += good
                rejected += missed
    choices.sort(key=lambda c: (c.hand_n, c.hung.strut.f1_n, c.hung.strut.stroke))
    return Found(tuple(choices[:keep]), tuple(rejected), tried)


def _fitting(
    wanted: Wanted, choose: Sequence[StrutSize], lids: Floats, bodies: Floats
) -> tuple[_Fits, list[Rejected]]:
    """Positions with a lever and room, and the sizes that are long enough there."""
    rules = wanted.rules
    least, most, over = _extremes(wanted, lids, bodies)
    free = np.full(len(lids), np.inf)
    if wanted.room is not None:
        free = clearances(wanted.room, lids, bodies, wanted.open_deg)
    rejected = []
    of, which = [], []
    for i, size in enumerate(choose):
        shut = least - (size.extended - size.stroke) - rules.closed_reserve
        opened = size.extended - most - rules.open_reserve
        room = free - size.tube / 2 - rules.gap
        spare = np.minimum(shut, opened)
        good = np.flatnonzero((spare >= -JUST) & ~over & (room >= -JUST))
        of.append(good)
        which.append(np.full(len(good), i, dtype=np.intp))
        if not len(good):
            rejected.append(_too_long_or_short(size, shut, opened, over, room))
    pair_of, pair_size = np.concatenate(of), np.concatenate(which)
    angles = np.array([0.0, *held_at_deg(rules, wanted.open_deg)])
    long, lever = _at(wanted, lids[pair_of], bodies[pair_of], angles)
    up = _rise(choose, pair_size, long)
    fits = _Fits(lids, bodies, pair_of, pair_size, lever[:, 0], up[:, 0], lever[:, 1:], up[:, 1:])
    return fits, rejected


def _extremes(wanted: Wanted, lids: Floats, bodies: Floats) -> tuple[Floats, Floats, Flags]:
    """Least and most length over the swing, and whether it goes over centre while opening."""
    turn = np.degrees(np.arctan2(bodies[:, 1], bodies[:, 0]) - np.arctan2(lids[:, 1], lids[:, 0]))
    shortest, longest = np.mod(turn, 360), np.mod(turn + 180, 360)
    ends, _ = _at(wanted, lids, bodies, np.array([0.0, wanted.open_deg]))
    far = np.hypot(lids[:, 0], lids[:, 1]), np.hypot(bodies[:, 0], bodies[:, 1])
    least = np.where(
        shortest < wanted.open_deg, np.hypot(far[0] - far[1], wanted.aside), ends.min(axis=1)
    )
    over = longest <= wanted.open_deg
    most = np.where(over, np.hypot(far[0] + far[1], wanted.aside), ends.max(axis=1))
    return least, most, over


def _too_long_or_short(
    size: StrutSize, shut: Floats, opened: Floats, over: Flags, room: Floats
) -> Rejected:
    name = f"{size.rod:g}-{size.tube:g}, stroke {size.stroke:g}, extended {size.extended:g}"
    spare = np.minimum(shut, opened)
    i = int(np.argmax(np.where(over, -np.inf, spare)))
    if over.all():
        why = "goes over centre before the lid is open, wherever it is mounted"
    elif spare[i] >= 0:
        i = int(np.argmax(np.where(over | (spare < 0), -np.inf, room)))
        why = f"has no room: at best {-room[i]:.1f} mm short of the gap asked for"
    elif shut[i] < 0 and opened[i] < 0:
        why = (
            f"stroke too short: at best it lacks {-shut[i]:.1f} mm of its reserve when shut and "
            f"{-opened[i]:.1f} mm when open"
        )
    elif shut[i] < opened[i]:
        why = f"too long: at best it lacks {-shut[i]:.1f} mm of its reserve when shut"
    else:
        why = f"too short: at best it lacks {-opened[i]:.1f} mm of its reserve when open"
    return Rejected(name, why, len(spare))


def _one_force(
    wanted: Wanted, choose: Sequence[StrutSize], fits: _Fits, rows: Ints, number: int, f1_n: float
) -> tuple[list[Choice], list[Rejected]]:
    """All pairs `rows` at one force: the best of each size, or why there is none."""
    rules = wanted.rules
    friction = most_friction_n(f1_n)
    per_nm = number / 1000
    hot = f1_n * fits.rise_shut[rows] * rules.hot.factor
    excess = per_nm * hot * fits.lever_shut[rows] - float(weight_moment_nm(wanted.lid, 0.0))
    held = held_at_deg(rules, wanted.open_deg)
    weight = weight_moment_nm(wanted.lid, held)
    need = weight + rules.hold_margin_percent / 100 * np.abs(weight)
    cold = np.maximum(f1_n * fits.rise_held[rows] * rules.worst.factor - friction, 0)
    short = (need - per_nm * cold * fits.lever_held[rows]).max(axis=1)
    good = np.flatnonzero((excess < 0) & (short <= 0))
    if not len(good):
        return [], [_why_not(wanted, choose, fits, rows, number, f1_n, excess, short)]
    rows = rows[good]
    hands = _hand_n(wanted, choose, fits, rows, number, f1_n)
    best = {}
    for i in np.argsort(hands, kind="stable")[::-1]:
        best[int(fits.size[rows[i]])] = int(rows[i])
    found = [_hung(wanted, choose, fits, row, number, f1_n) for row in best.values()]
    return [_choice(h, rules) for h in found], []


def _choice(hung: HungLid, rules: Rules) -> Choice:
    return Choice(
        hung,
        hand_to_open(hung, rules.worst).force_n,
        hand_to_close(hung, rules.hot).force_n,
        least_to_hold_n(hung, rules),
        most_to_stay_shut_n(hung, rules),
    )


def _why_not(
    wanted: Wanted, choose: Sequence[StrutSize], fits: _Fits, rows: Ints, number: int,
    f1_n: float, excess: Floats, short: Floats,
) -> Rejected:  # fmt: skip
    name = f"{number} x {f1_n:g} N"
    if (excess >= 0).all():
        i, lead = int(np.argmin(excess)), "springs open hot in every position; the nearest: "
    elif (short > 0).all():
        i, lead = int(np.argmin(short)), "sinks cold in every position; the nearest: "
    else:
        i = int(np.argmin(np.maximum(excess, short)))
        lead = "no position both stays shut hot and holds cold; the nearest: "
    hung = _hung(wanted, choose, fits, int(rows[i]), number, f1_n)
    found = tuple(f for f in findings(hung, wanted.rules, wanted.room) if f.refuses)
    return Rejected(name, lead + "; ".join(_told(found)), len(rows), hung, found)


def _told(found: Sequence[Finding]) -> Iterator[str]:
    for finding in found:
        yield f"{finding.found}, {finding.remedy}"


def _hand_n(
    wanted: Wanted, choose: Sequence[StrutSize], fits: _Fits, rows: Ints, number: int, f1_n: float
) -> Floats:
    """Greater of the hand forces to open and to close, (n,)."""
    at = looked_at(wanted.open_deg, STEP_DEG)
    long, lever = _at(wanted, fits.lids[fits.of[rows]], fits.bodies[fits.of[rows]], at)
    push = f1_n * _rise(choose, fits.size[rows], long)
    friction = most_friction_n(f1_n)
    weight = weight_moment_nm(wanted.lid, at)
    out = number * np.maximum(push * wanted.rules.worst.factor - friction, 0) * lever / 1000
    into = number * (push * wanted.rules.hot.factor + 2 * friction) * lever / 1000
    most = np.maximum((weight - out).max(axis=1), (into - weight).max(axis=1))
    found: Floats = np.maximum(most, 0) * 1000 / float(np.hypot(*wanted.handle))
    return found


def _hung(
    wanted: Wanted, choose: Sequence[StrutSize], fits: _Fits, row: int, number: int, f1_n: float
) -> HungLid:
    lid, body = fits.lids[fits.of[row]], fits.bodies[fits.of[row]]
    mounts = Mounts((float(lid[0]), float(lid[1])), (float(body[0]), float(body[1])), wanted.aside)
    strut = choose[int(fits.size[row])].strut(f1_n)
    return HungLid(wanted.lid, strut, number, mounts, wanted.open_deg, wanted.handle, wanted.seal)


def _at(wanted: Wanted, lids: Floats, bodies: Floats, open_deg: Floats) -> tuple[Floats, Floats]:
    return lengths_and_levers(lids, bodies, open_deg, wanted.aside)


def _rise(choose: Sequence[StrutSize], which: Ints, long: Floats) -> Floats:
    """Force over F1 of pairs (n) at lengths (n, h)."""
    table = np.array(
        [(s.extended, s.stroke, s.strut(s.least_f1_n).point, s.progression) for s in choose]
    )
    extended, stroke, point, progression = table[which].T[:, :, None]
    return rise(long, extended, stroke, point, progression)
