"""What is read side by side: clearances, moments, hand forces, choices of struts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from parts.kinds.hinge_bracket.config import Hand, HingeBracket
from parts.kinds.hinge_bracket.figures import PROVED, STATICS, of_hand, told
from parts.kinds.hinge_bracket.layout import Hung
from parts.kinds.hinge_bracket.made import Made
from parts.kinds.hinge_bracket.struts import Hanging
from parts.kinds.hinge_bracket.swings import Swung
from parts.report import Table
from parts.trade.strut import (
    Condition,
    HungLid,
    Moving,
    Rejected,
    Rules,
    net_moment_nm,
    rises_from_deg,
    seal_moment_nm,
    sinks_below_deg,
    strut_moment_nm,
    weight_moment_nm,
)

STEP_DEG = 10.0
MOST_CHOICES = 6
SHORTER = (("at best it lacks ", "lacks "), (" of its reserve", ""), ("at best ", ""))
Floats = NDArray[np.float64]


def tables(config: HingeBracket, hung: Hung, made: Mapping[Hand, Made]) -> Iterator[Table]:
    """The tables of a lid on its hinges; `made` is the metal of each hand."""
    for one in told(hung):
        yield _clearances(one, of_hand(hung, one))
        if not one.clear.strikes:  # a strike stays one by 1 mm, or is worth no number
            yield _sensitivity(one, of_hand(hung, one))
        if made[one.hand].swung:
            yield _pieces(made[one.hand], of_hand(hung, one))
    hanging = hung.hanging
    if hanging.hung is not None:
        assert config.struts is not None
        yield _order(hanging.hung, config.struts.ends)
        yield _moments(hanging.hung, hanging.rules)
        yield _hands(hanging.hung, hanging.rules)
        yield _by_itself(hanging.hung, hanging.rules)
    if hanging.found is not None:
        if hanging.found.choices:
            yield _choices(hanging)
        if hanging.found.rejected:
            yield _rejected(hanging.found.rejected)


def in_short(condition: Condition) -> str:
    """How warm, and whether aged, for the head of a column.

    >>> in_short(Condition(-10, 15)), in_short(Condition(20))
    ('-10 °C, aged', '+20 °C')
    """
    return f"{condition.temperature_c:+g} °C" + (", aged" if condition.aged_percent else "")


def _clearances(one: Swung, hand: str) -> Table:
    """Each thing that stays, the nearest first."""
    rows, notes = [], []
    for thing in sorted(one.by_thing, key=lambda thing: thing.swing.clearance):
        found = thing.swing
        rows.append(
            (
                f"{found.mover} to {found.item}",
                (thing.shut, found.clearance, found.angle_deg, found.at_least, thing.open),
            )
        )
        notes.append("strikes" if found.strikes else "")
    return Table(
        f"{hand}clearance of the lid over its swing", "mm",
        ("shut", "least", "least at", "no less than", "open"), tuple(rows), PROVED,
        ("mm", "mm", "deg", "mm", "mm"), noted="", notes=tuple(notes),
    )  # fmt: skip


def _pieces(made: Made, hand: str) -> Table:
    """The arm to each thing that stays, and each bracket to what it comes nearest."""
    rows, notes = [], []
    for one in made.swung:
        found = one.found
        rows.append(
            (
                f"{one.piece} to {one.other}",
                (found.clearance, found.angle_deg, found.at_least, one.wish),
            )
        )
        notes.append("strikes" if found.strikes else "")
    return Table(
        f"{hand}clearance of arm, pad and brackets over the swing", "mm",
        ("least", "least at", "no less than", "wished"), tuple(rows), PROVED,
        ("mm", "deg", "mm", "mm"), noted="", notes=tuple(notes),
    )  # fmt: skip


def _sensitivity(one: Swung, hand: str) -> Table:
    doubt = one.doubt
    columns = ("ahead", "back", "up", "down")
    row = ("the clearance changes by", (doubt.forward, doubt.back, doubt.up, doubt.down))
    return Table(f"{hand}if the pivot sits 1 mm off", "mm", columns, (row,), PROVED, signed=columns)


def _order(hung: HungLid, ends: str) -> Table:
    """The order line."""
    strut = hung.strut
    return Table(
        "struts to order", "mm", ("F1", "stroke", "extended", "compressed", "rod", "tube"),
        (
            (
                f"{hung.count} off",
                (strut.f1_n, strut.stroke, strut.extended, strut.compressed, strut.rod,
                 strut.tube),
            ),
        ),
        "lengths between the middles of the ends; F1 at 20 °C near full extension",
        ("N", "mm", "mm", "mm", "mm", "mm"), noted="ends", notes=(ends,),
    )  # fmt: skip


def _angles(open_deg: float) -> list[float]:
    steps = [STEP_DEG * k for k in range(int(open_deg / STEP_DEG - 1e-9) + 1)]
    return [*steps, open_deg]


def _by_angle(
    title: str, unit: str, at: Sequence[float], columns: Sequence[tuple[str, Floats]]
) -> Table:
    rows = tuple(
        (f"{angle:g}° open", tuple(float(values[i]) for _, values in columns))
        for i, angle in enumerate(at)
    )
    return Table(title, unit, tuple(name for name, _ in columns), rows, STATICS)


def _moments(hung: HungLid, rules: Rules) -> Table:
    at = _angles(hung.open_deg)
    columns = [("weight", weight_moment_nm(hung.lid, at))]
    columns += [(f"struts {in_short(c)}", strut_moment_nm(hung, at, c)) for c in rules.conditions()]
    if hung.seal is not None:
        columns.append(("seal", seal_moment_nm(hung.seal, at)))
    return _by_angle(
        "moments about the hinge: the weight shuts, struts and seal open", "N·m", at, columns
    )


def _hands(hung: HungLid, rules: Rules) -> Table:
    at = _angles(hung.open_deg)
    columns = []
    for condition in (rules.worst, rules.conditions()[1]):
        up = -net_moment_nm(hung, at, condition, Moving.OUT) * 1000 / hung.handle_lever
        columns.append((f"lift {in_short(condition)}", np.maximum(up, 0.0)))
    for condition in (rules.conditions()[1], rules.hot):
        down = net_moment_nm(hung, at, condition, Moving.IN) * 1000 / hung.handle_lever
        columns.append((f"pull {in_short(condition)}", np.maximum(down, 0.0)))
    return _by_angle("hand at the handle: to lift the lid, and to pull it down", "N", at, columns)


def _by_itself(hung: HungLid, rules: Rules) -> Table:
    rows, notes = [], []
    for condition in rules.conditions():
        rises, sinks = rises_from_deg(hung, condition), sinks_below_deg(hung, condition)
        rows.append((in_short(condition), (rises, sinks)))
        if rises is None:
            notes.append("comes down from any angle")
        elif rises == 0:
            notes.append("opens from shut by itself, once unlatched")
        elif sinks:
            notes.append(f"between {sinks:.0f}° and {rises:.0f}° friction may hold it, or not")
        else:
            notes.append(f"under {rises:.0f}° friction may hold it, or not")
    return Table(
        "let go, the lid by itself", "deg", ("rises from", "sinks below"), tuple(rows), STATICS,
        noted="", notes=tuple(notes),
    )  # fmt: skip


def _choices(hanging: Hanging) -> Table:
    assert hanging.found is not None
    rows, notes = [], []
    for choice in hanging.found.choices[:MOST_CHOICES]:
        strut = choice.hung.strut
        rows.append(
            (
                f"{choice.hung}, {strut.rod:g}-{strut.tube:g}, stroke {strut.stroke:g}",
                (choice.open_n, choice.close_n, choice.least_f1_n, choice.most_f1_n),
            )
        )
        on_lid, on_body = (
            f"({p[0]:.0f}, {p[1]:.0f})"
            for p in map(hanging.in_lid_axes, (choice.hung.mounts.lid, choice.hung.mounts.body))
        )
        notes.append(f"{on_lid}, {on_body}")
    columns = ("hand to open", "hand to close", "holds from", "springs open")
    return Table(
        f"struts that would do, best first, of {hanging.found.tried} tried", "N", columns,
        tuple(rows), STATICS, noted="on lid, on body", notes=tuple(notes),
    )  # fmt: skip


def _rejected(rejected: Sequence[Rejected]) -> Table:
    """Why the others fail. Neighbours that fail alike share a row, told by the one that came
    nearest to it: the longest of those too short, the weakest of those that spring open."""
    rows, notes = [], []
    for alike in _alike(rejected):
        last = _lead(alike[0]).startswith(("too short", "stroke too short", "sinks"))
        nearest = alike[-1] if last else alike[0]
        more = f" and {len(alike) - 1} more" if len(alike) > 1 else ""
        name = nearest.name.split(", extended")[0]  # of most strokes there is but one length
        rows.append((name + more, (float(sum(one.tried for one in alike)),)))
        notes.append(_why(nearest))
    return Table(
        "struts that will not do", "", ("places tried",), tuple(rows), STATICS, ("",),
        noted="why", notes=tuple(notes),
    )  # fmt: skip


def _alike(rejected: Sequence[Rejected]) -> Iterator[list[Rejected]]:
    """Neighbours of one rod or one number of struts that fail for the same reason."""
    for _, group in groupby(rejected, key=lambda one: (_family(one.name), _lead(one))):
        yield list(group)


def _family(name: str) -> str:
    """The rod and tube, or the number of struts, that a name begins with.

    >>> _family("6-15, stroke 40, extended 165"), _family("2 x 400 N")
    ('6-15', '2')
    """
    return name.split(",")[0].split(" x ")[0]


def _lead(rejected: Rejected) -> str:
    """The reason without its numbers."""
    return rejected.why.split(":")[0]


def _why(rejected: Rejected) -> str:
    """Why the nearest of them fails, in few words."""
    words = rejected.why
    if rejected.nearest is not None:
        words = "; ".join(f.found.removeprefix(f"{rejected.nearest} ") for f in rejected.findings)
    for long, short in SHORTER:
        words = words.replace(long, short)
    return words
