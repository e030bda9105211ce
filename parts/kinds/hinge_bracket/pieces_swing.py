"""The pieces swung: each against what stays or swings beside it, and each against the others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import combinations

from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.figures import GEOMETRY
from parts.kinds.hinge_bracket.judged import BODY_FACE
from parts.kinds.hinge_bracket.made import ARM, DOUBLER, PieceSwung, outlines
from parts.kinds.hinge_bracket.metal import Cut, apart
from parts.kinds.hinge_bracket.pieces import Metal, body_sizes, face_toward
from parts.kinds.hinge_bracket.section import fence
from parts.report import Finding, Severity
from parts.sheet.curve import at_words
from parts.sheet.loop import Loop
from parts.sheet.outline import offset
from parts.trade.swing import Outline, Section, outside_room, swing

SHORT = 0.005  # mm by which a clearance may miss the wish unseen
ON_FACE = 0.5  # mm by which a piece may stand in what it is bolted to: nobody measures closer
MEET = 0.05  # mm; pieces of one side that come no nearer do not meet
BODY = "body bracket"
ON_ARM = ("lid pad", DOUBLER)  # they lie on the arm, on the side away from the body bracket
STILL = 1e-4  # degrees


def pieces_findings(
    config: HingeBracket, metal: Metal, swung: Iterable[PieceSwung]
) -> Iterator[Finding]:
    """Where a piece strikes, comes nearer than it may, stands in something, or meets another.

    Raises NotProved.
    """
    for one in swung:
        if one.found.clearance < one.wish - SHORT:
            yield _too_near(config, one)
    yield from _return_out(config, metal)
    for cut in metal.cuts:
        yield from _stands_in(metal, cut)
    for a, b in combinations(metal.cuts, 2):
        yield from _meeting(config, metal, a, b)
    yield from _past_face(config, metal)


def _too_near(config: HingeBracket, one: PieceSwung) -> Finding:
    if one.found.strikes:
        words = f"it strikes the {one.other} at {one.found.angle_deg:.1f}°"
    else:
        words = f"{one.found.clearance:.2f} mm to the {one.other} at {one.found.angle_deg:.1f}°"
    remedy = (
        "a lower `arm.flange`, a narrower arm, or no flange" if one.piece == ARM
        else "a shorter foot, another face, or a mount further off"
    )  # fmt: skip
    return Finding(
        _severity(config, one.found.strikes), f"{one.piece}, swinging", words,
        f"{one.wish:g} mm all through the swing", remedy, GEOMETRY,
    )  # fmt: skip


def _return_out(config: HingeBracket, metal: Metal) -> Iterator[Finding]:
    """Said of an arm's return that stands out of the arm's room."""
    if config.arm_room is None or metal.arm is None:
        return
    for view in metal.arm.side_view[1:]:
        out = outside_room(Outline(ARM, view), fence(config.arm_room))
        if out is not None:
            yield Finding(
                Severity.REFUSES, ARM,
                f"its return stands {out[0]:.1f} mm out of the arm's room at {at_words(out[1], 1)}",
                "an arm within `arm_room`, lid shut",
                "no return, a narrower arm, or more room", GEOMETRY,
            )  # fmt: skip


def _severity(config: HingeBracket, touches: bool) -> Severity:
    refuses = touches or config.if_less == "refuse"
    return Severity.REFUSES if refuses else Severity.MENTIONS


def _stands_in(metal: Metal, cut: Cut) -> Iterator[Finding]:
    """Said of a piece that runs into what it does not move against."""
    one = metal.swung
    own = outlines(cut.name, [_inset(view) for view in cut.side_view])
    around = one.around.carried if cut.swings else one.around.told_to_arm
    beside = tuple(replace(item, against=None) for item in around if item.name != BODY_FACE)
    found = swing(Section(own, beside, STILL), one.pivot)
    if found.strikes:
        yield Finding(
            Severity.REFUSES, cut.name,
            f"it stands in the {found.item}, which does not move against it",
            f"no more than {ON_FACE:g} mm of one in the other",
            "move its foot along its face by its shift, make it shorter, or take another face",
            GEOMETRY,
        )  # fmt: skip


def _inset(loop: Loop) -> Loop:
    """The outline a little smaller, where it is wide enough."""
    try:
        return offset(loop, -ON_FACE)
    except ValueError:
        return loop


def _meeting(config: HingeBracket, metal: Metal, a: Cut, b: Cut) -> Iterator[Finding]:
    wish = _wish(config, metal, a, b)
    near = apart(metal.hinge, a, b, wish) if wish > 0 else None
    if near is None or near.distance >= wish - SHORT:
        return
    when = f"at {near.angle_deg:.1f}°" if a.swings != b.swings else "at every opening"
    touches = near.distance < MEET
    yield Finding(
        _severity(config, touches), f"{a.name} and {b.name}",
        f"they meet {when}" if touches else f"{near.distance:.2f} mm apart {when}",
        "metal of each alone" if a.swings == b.swings else f"{wish:g} mm all through the swing",
        "move a mount or a face, shift a foot, or make it shorter", GEOMETRY,
    )  # fmt: skip


def _wish(config: HingeBracket, metal: Metal, a: Cut, b: Cut) -> float:
    """How far two pieces should stay apart; 0 for those that are joined."""
    names = {a.name, b.name}
    if ARM in names and names & set(ON_ARM):
        return 0.0
    if a.swings == b.swings:
        return MEET + SHORT
    if BODY in names and names & {ARM, *ON_ARM} and metal.shape is not None:
        washer = body_sizes(config, metal.shape.thickness, metal.hinge.pivot).gap
        return min(washer, config.arm_clearance)
    return config.arm_clearance


def _past_face(config: HingeBracket, metal: Metal) -> Iterator[Finding]:
    """Said of a foot that reaches past the face it is bolted to."""
    if metal.body is None:
        return
    face = face_toward(config.body.face, metal.hinge.pivot)
    (u, v), (p, q) = config.body.face
    size = ((p - u) ** 2 + (q - v) ** 2) ** 0.5
    beside = face.beside(metal.hinge.pivot)
    middle = beside + config.body.foot(beside)[1]
    low, high = middle - metal.body.length / 2, middle + metal.body.length / 2
    for end, past in (("first", -low), ("second", high - size)):
        if past > ON_FACE:
            yield Finding(
                Severity.MENTIONS, BODY,
                f"its foot reaches {past:.1f} mm past the {end} end of `body.face`",
                "a face behind all of the foot",
                "give `body.shift`, a shorter `body.length`, or the face as far as it goes",
                GEOMETRY,
            )  # fmt: skip
