"""The curves of a lid on its hinges: clearance and moments over the opening."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.figures import PROVED, STATICS, of_hand, told
from parts.kinds.hinge_bracket.layout import Hung
from parts.kinds.hinge_bracket.swings import Swung
from parts.kinds.hinge_bracket.tables import in_short
from parts.report import Chart, ChartLine
from parts.trade.strut import (
    HungLid,
    Rules,
    looked_at,
    seal_moment_nm,
    strut_moment_nm,
    weight_moment_nm,
)
from parts.trade.swing import Section, Swing, clearance_curve

FINE_DEG = 2.0


def charts(config: HingeBracket, hung: Hung) -> Iterator[Chart]:
    """Clearance of lid and arm of each hinge, and the moments about it."""
    lines: list[ChartLine] = []
    for one in told(hung):
        lines += _clearances(one, of_hand(hung, one))
    wished = ((0.0, config.clearance), (config.opening, config.clearance))
    lines.append(ChartLine("wished", wished))
    yield Chart(
        "clearance over the swing", "opening", "deg", "clearance", "mm", tuple(lines), PROVED
    )
    if hung.hanging.hung is not None:
        yield _moments(hung.hanging.hung, hung.hanging.rules)


def _clearances(one: Swung, hand: str) -> Iterator[ChartLine]:
    yield _line(f"{hand}lid", one.around.lid, one.clear)
    if one.arm is not None:
        fixed = tuple(replace(item, against=None) for item in one.around.told_to_arm)
        arm = Section((one.arm.outline,), fixed, one.around.opening_deg)
        yield _line(f"{hand}arm", arm, one.arm.clears)


def _line(name: str, section: Section, least: Swing) -> ChartLine:
    """Even steps, and the least clearance where it is."""
    curve = clearance_curve(section, least.pivot, FINE_DEG)
    points = {row.angle_deg: row.clearance for row in curve}
    points[least.angle_deg] = least.clearance
    return ChartLine(name, tuple(sorted(points.items())))


def _moments(hung: HungLid, rules: Rules) -> Chart:
    at = looked_at(hung.open_deg, FINE_DEG)
    curves = [("weight", weight_moment_nm(hung.lid, at))]
    curves += [(f"struts {in_short(c)}", strut_moment_nm(hung, at, c)) for c in rules.conditions()]
    if hung.seal is not None:
        curves.append(("seal", seal_moment_nm(hung.seal, at)))
    lines = tuple(
        ChartLine(name, tuple((float(a), float(v)) for a, v in zip(at, values, strict=True)))
        for name, values in curves
    )
    return Chart("moments about the hinge", "opening", "deg", "moment", "N·m", lines, STATICS)
