"""The curves of a lid on its hinges: clearance and moments over the opening."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from parts.kinds.hinge_bracket.config import Hand, HingeBracket
from parts.kinds.hinge_bracket.figures import PROVED, STATICS, of_hand, told
from parts.kinds.hinge_bracket.layout import Hung
from parts.kinds.hinge_bracket.made import ARM, Made, outlines
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


def charts(config: HingeBracket, hung: Hung, made: Mapping[Hand, Made]) -> Iterator[Chart]:
    """Clearance of lid and arm of each hinge, and the moments about it.

    The arm is told apart to what its neck passes under and to all else: its hub turns on the
    spot, and would hide the neck.
    """
    lines: list[ChartLine] = []
    for one in told(hung):
        lines += _clearances(one, made[one.hand], of_hand(hung, one))
    for name, wish in (
        ("wished of the lid", config.clearance), ("wished of the neck", config.neck_clearance),
        ("wished of the arm", config.arm_clearance),
    ):  # fmt: skip
        lines.append(ChartLine(name, ((0.0, wish), (config.opening, wish))))
    yield Chart(
        "clearance over the swing", "opening", "deg", "clearance", "mm", tuple(lines), PROVED
    )
    if hung.hanging.hung is not None:
        yield _moments(hung.hanging.hung, hung.hanging.rules)


def _clearances(one: Swung, made: Made, hand: str) -> Iterator[ChartLine]:
    yield _line(f"{hand}lid", one.around.lid, one.clear)
    arm = made.metal.arm
    if arm is None:
        return
    own = outlines(ARM, arm.side_view)
    passed = one.around.passed_under
    swung = {swing.found.item: swing.found for swing in made.swung if swing.piece == ARM}
    for name, under in (("neck to gutter and seal", True), ("arm to all else", False)):
        items = [i for i in one.around.told_to_arm if (i.name in passed) == under]
        if items:
            fixed = tuple(replace(item, against=None) for item in items)
            least = min((swung[i.name] for i in items), key=lambda found: found.clearance)
            yield _line(f"{hand}{name}", Section(own, fixed, one.around.opening_deg), least)


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
