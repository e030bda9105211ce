"""What is wrong with a lid on its hinges, or worth knowing before metal is cut."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.figures import GEOMETRY, of_hand, told
from parts.kinds.hinge_bracket.hands import pinched, second_latch
from parts.kinds.hinge_bracket.layout import Hung, NoPivot, in_room
from parts.kinds.hinge_bracket.plan import FRONT
from parts.kinds.hinge_bracket.strut_findings import struts, weight
from parts.kinds.hinge_bracket.swings import Swung
from parts.report import Finding, Severity
from parts.sheet.curve import at_words
from parts.trade.swing import NotProved

REFUSES, MENTIONS = Severity.REFUSES, Severity.MENTIONS
WISH = "the clearance that the job asks for"
SHORT = 0.005  # mm by which a clearance may miss the wish unseen
TOUCHES = 1e-3  # mm
APART = 0.5  # mm by which left and right may differ untold


def findings(config: HingeBracket, hung: Hung) -> Iterator[Finding]:
    """All that is found on a lid, besides what its pieces show."""
    if not in_room(config, hung.pivot):
        yield Finding(
            REFUSES, "pivot", f"{at_words(hung.pivot, 1)} lies outside the room for it",
            "a pivot within `pivot_room`", "move it, or measure the room again", GEOMETRY,
        )  # fmt: skip
    for one in told(hung):
        for finding in (*_clearance(config, one), *_arm(one)):
            yield replace(finding, where=of_hand(hung, one) + finding.where)
    yield from _stop(hung)
    yield from _in_line(config, hung)
    yield from _left_and_right(config)
    yield from _sides(config, hung)
    yield from weight(hung.hanging)
    yield from struts(config, hung.hanging)
    yield from pinched(hung.hinges[0])
    yield from second_latch(config)


def not_proved(error: NotProved) -> Finding:
    """Said where a clearance cannot be proved: nothing is laid out on a guess."""
    return Finding(
        REFUSES, "swing", f"its clearance is not proved: {error}", "a proof within 0.01 mm",
        "move the pivot a little; if it goes on, measure the outline anew", GEOMETRY,
    )  # fmt: skip


def no_pivot(no: NoPivot) -> Iterator[Finding]:
    """Said where no pivot of the room will do."""
    found = no.sought.map
    if no.sought.tries:
        yield Finding(
            REFUSES, "arm",
            f"no arm about any of {len(no.sought.tries)} pivots that clear: {no.why}",
            "an arm that passes under the gutter to the lid",
            "move the pad, or make hub, width or margin smaller", GEOMETRY,
        )  # fmt: skip
        return
    best = int(found.clearance.argmax())
    at = at_words((float(found.pivots[best, 0]), float(found.pivots[best, 1])), 1)
    why = f"the lid clears by {found.clearance[best]:.2f} mm at best, about {at}"
    if (found.clearance >= found.wish).any():
        why = "where the lid clears, the hub strikes or the neck hangs below `arm_room`"
    yield Finding(
        REFUSES, "pivot", f"no place in its room will do: {why}",
        f"{found.wish:g} mm all through the swing, and room for hub and neck",
        "a wider gap, more room for pivot or arm, a shallower edge fold, a smaller hub, or less "
        "of a wish", f"{len(found.pivots)} pivots, each proved",
    )  # fmt: skip


def _clearance(config: HingeBracket, one: Swung) -> Iterator[Finding]:
    found, spread, wish = one.clear, one.doubt.plus_minus, config.clearance
    where = f"{found.mover} to {found.item}"
    if found.strikes and min(thing.shut for thing in one.by_thing) < TOUCHES:
        yield Finding(
            REFUSES, where, f"they touch with the lid shut, at {at_words(found.to_point, 1)}",
            "a lid that lies clear when shut", "measure both again: one of them is off", GEOMETRY,
        )  # fmt: skip
        return
    if found.strikes:
        yield Finding(
            REFUSES, where,
            f"it strikes at {found.angle_deg:.1f}° of opening, at {at_words(found.to_point, 1)}",
            "no contact from shut to open", _cure(config, one), GEOMETRY,
        )  # fmt: skip
        return
    reading = f"{found.clearance:.2f} ± {spread:.2f} mm at {found.angle_deg:.1f}°"
    if found.clearance < wish - SHORT:
        yield Finding(
            REFUSES if config.if_less == "refuse" else MENTIONS, where, reading, f"{wish:g} mm",
            _cure(config, one), WISH,
        )  # fmt: skip
    elif found.clearance < wish + spread:
        yield Finding(
            MENTIONS, where, f"{reading}: it may be less than wished", f"{wish:g} mm",
            "measure closer, or try the paper model", GEOMETRY,
        )  # fmt: skip
    if found.clearance <= spread:
        yield Finding(
            MENTIONS, where, f"{reading}: it may touch",
            "more clearance than the measurements may be out",
            "measure gap, fold and pivot closer, or try the paper model", GEOMETRY,
        )  # fmt: skip


def _cure(config: HingeBracket, one: Swung) -> str:
    """Which way to move the pivot, by what 1 mm does."""
    doubt, found = one.doubt, 'or let the tool find it: pivot = "found"'
    ways = {"ahead": doubt.forward, "back": doubt.back, "up": doubt.up, "down": doubt.down}
    best = max(ways, key=lambda way: ways[way])
    if one.clear.strikes or ways[best] < 0.01:
        return f"raise the pivot or move it further from the edge, {found}"
    lacks = config.clearance - one.clear.clearance
    return f"{lacks:.2f} mm are lacking; 1 mm {best} with the pivot gives {ways[best]:.2f}; {found}"


def _arm(one: Swung) -> Iterator[Finding]:
    if one.arm is None:
        yield Finding(
            REFUSES, "arm", one.no_arm, "an arm that passes under the gutter to the lid",
            "move the pivot or the pad, or make hub, width or margin smaller", GEOMETRY,
        )  # fmt: skip
    elif one.arm_out is not None:
        out, at = one.arm_out
        yield Finding(
            REFUSES, "arm", f"it stands {out:.1f} mm out of its room at {at_words(at, 1)}",
            "an arm within `arm_room`, lid shut",
            "a pivot nearer the gutter, a narrower arm, or more room", GEOMETRY,
        )  # fmt: skip


def _stop(hung: Hung) -> Iterator[Finding]:
    """Said of the stop, for which no piece is drawn."""
    places = [
        f"{of_hand(hung, one)}{at_words(one.stop.at, 1)}"
        for one in told(hung)
        if one.stop is not None
    ]
    if places:
        yield Finding(
            MENTIONS, "stop",
            f"it is a place, no piece is drawn for it: {'; '.join(places)}, back and up from the "
            "lid's edge",
            "a block on the body that the arm's leg meets there, at each hinge",
            "fix it with the struts off and the lid held open, and file both until they touch "
            "together", GEOMETRY,
        )  # fmt: skip


def _in_line(config: HingeBracket, hung: Hung) -> Iterator[Finding]:
    if hung.in_line is not None and config.pivot_plus_minus > hung.in_line.offset:
        yield Finding(
            MENTIONS, "hinges in line",
            f"a pivot ± {config.pivot_plus_minus:g} mm may bind: the bushes' play allows "
            f"{hung.in_line.offset:.1f} mm over {hung.spacing:.0f}",
            "both pivots on one straight axis",
            "set both with one rod through them; a longer spacing or a shorter bush forgives more",
            GEOMETRY,
        )  # fmt: skip


def _left_and_right(config: HingeBracket) -> Iterator[Finding]:
    right, left = config.right, config.left
    if right is None or left is None:
        return
    back, up = right.edge[0] - left.edge[0], right.edge[1] - left.edge[1]
    words = []
    if abs(back) >= APART:
        words.append(f"{abs(back):.1f} mm further {'rearward' if back > 0 else 'forward'}")
    if abs(up) >= APART:
        words.append(f"{abs(up):.1f} mm {'higher' if up > 0 else 'lower'}")
    if words:
        yield Finding(
            MENTIONS, "left and right",
            f"the lid's edge lies {' and '.join(words)} on the right than on the left",
            "one straight axis through both pivots, square to the vehicle",
            "each arm is made for its own side: do not swap them", "the measured edges",
        )  # fmt: skip


def _sides(config: HingeBracket, hung: Hung) -> Iterator[Finding]:
    if hung.sides is None or config.plan is None:
        return
    for side in hung.sides.by_side:
        wish = config.clearance if side.side == FRONT else config.plan.clearance
        where = f"lid as a whole, {side.side}"
        cure = "set the lid square to its hinges, or widen the gap"
        if side.clearance < SHORT:
            yield Finding(
                REFUSES, where, f"it strikes at {side.angle_deg:.1f}° of opening",
                "no contact from shut to open", cure, GEOMETRY,
            )  # fmt: skip
        elif side.clearance < wish - SHORT:
            yield Finding(
                REFUSES if config.if_less == "refuse" else MENTIONS, where,
                f"{side.clearance:.2f} mm at {side.angle_deg:.1f}°", f"{wish:g} mm", cure, WISH,
            )  # fmt: skip
