"""The tables of a wheel tub: the axle and the clearances pose by pose, and what would cure what."""

from __future__ import annotations

from collections.abc import Iterator

from parts.kinds.wheel_tub.cures import cures
from parts.kinds.wheel_tub.layout import Tub
from parts.kinds.wheel_tub.sweeps import Sweeps
from parts.report import Table
from parts.sheet.loop import box
from parts.trade.gear import Gear

LOOKED = "tyre in the worst poses and a grid of others"
OUT_OF_LENGTH = 0.01  # mm by which links may be strained before it is told
ALIKE_DEG = 1e-6  # of twist on both sides: one axle carries both wheels


def axle_table(gear: Gear) -> Table:
    """Where the axle goes, pose by pose, from where it is at ride."""
    columns = [
        ("rearward", "mm", [at.shift_back for at in gear.posed]),
        ("right", "mm", [at.shift_right for at in gear.posed]),
        ("roll", "deg", [at.roll_deg for at in gear.posed]),
    ]
    sides = list(zip(*(at.twist_deg for at in gear.posed), strict=True))
    alike = all(abs(left - right) < ALIKE_DEG for left, right in zip(*sides, strict=True))
    names = ("twist",) if alike else ("twist, left", "twist, right")
    columns += [(name, "deg", list(side)) for name, side in zip(names, sides, strict=False)]
    strained = [at.worst_residual for at in gear.posed]
    if max(strained) > OUT_OF_LENGTH:
        columns.append(("a link out of length", "mm", strained))
    return Table(
        "axle by pose, from ride: roll + right up, twist + top rearward", "mm",
        tuple(name for name, _, _ in columns),
        tuple(
            (pose.name, tuple(values[row] for _, _, values in columns))
            for row, pose in enumerate(gear.poses)
        ),
        "axle as measured", units=tuple(unit for _, unit, _ in columns),
    )  # fmt: skip


def hand_tables(tub: Tub, sweeps: Sweeps) -> Iterator[Table]:
    """The tables of one hand's tub."""
    if tub.notches:
        yield _notches(tub)
    yield _clearances(sweeps)
    yield _cures(tub, sweeps)


def _notches(tub: Tub) -> Table:
    rows = []
    for number, notch in enumerate(tub.notches, 1):
        low, _, high, top = box(notch)
        rows.append((f"notch {number}", (max(low, 0.0), min(high, tub.room.path.length), top)))
    return Table(
        f"rail notches along the band's blank, from its {tub.room.local.ends[0]} end", "mm",
        ("starts", "ends", "depth"), tuple(rows),
    )  # fmt: skip


def _clearances(sweeps: Sweeps) -> Table:
    names = tuple(sweeps.poses[0].clearance)
    return Table(
        "clearance by pose", "mm", names,
        tuple(
            (at.pose.name, tuple(at.clearance[name] for name in names)) for at in sweeps.poses
        ),
        noted="tightest", notes=tuple(at.tightest for at in sweeps.poses),
    )  # fmt: skip


def _cures(tub: Tub, sweeps: Sweeps) -> Table:
    """Each change by what it gives to every least clearance, and what is then the least of all."""
    names, changes = tuple(sweeps.least), tuple(cures(tub, sweeps))
    return Table(
        "what would cure it, and what that would then touch: gain of each clearance", "mm",
        (*names, "then least"),
        tuple(
            (
                change.name,
                (*(change.gains.get(name) for name in names), change.clearance[change.tightest]),
            )
            for change in changes
        ),
        LOOKED, signed=names, noted="to", notes=tuple(change.tightest for change in changes),
    )  # fmt: skip
