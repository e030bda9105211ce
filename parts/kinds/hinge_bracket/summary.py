"""What matters most about a lid on its hinges, in sentences."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.figures import of_hand, told
from parts.kinds.hinge_bracket.layout import Hung
from parts.kinds.hinge_bracket.struts import Hanging
from parts.trade.strut import (
    least_to_hold_n,
    most_to_stay_shut_n,
    net_moment_nm,
    rises_from_deg,
    strut_moment_nm,
    weight_moment_nm,
)


def summary(config: HingeBracket, hung: Hung) -> Iterator[str]:
    """The pivot, what the lid clears by, what the struts do."""
    if hung.sought is not None:
        u, v = hung.pivot
        yield (
            f"the pivot is best {-u:g} mm ahead of the lid's edge and {-v:g} below its top, of "
            f"{int(hung.sought.map.allowed.sum())} places that would do"
        )
    for one in told(hung):
        found = one.clear
        hand = of_hand(hung, one)
        if found.strikes:
            yield (
                f"{hand}the {found.mover} strikes the {found.item} at {found.angle_deg:.1f}° of "
                "opening"
            )
        else:
            yield (
                f"{hand}the lid clears by {found.clearance:.2f} ± {one.doubt.plus_minus:.2f} mm "
                f"for {config.clearance:g} wished, {found.mover} to {found.item} at "
                f"{found.angle_deg:.1f}°"
            )
    yield from _struts(hung.hanging)


def _struts(hanging: Hanging) -> Iterator[str]:
    hung, rules = hanging.hung, hanging.rules
    if hung is None:
        return
    hot, worst = rules.hot, rules.worst
    shut = float(strut_moment_nm(hung, 0.0, hot)[0]) < float(weight_moment_nm(hung.lid, 0.0))
    stays = (
        f"leave it shut at {hot}" if shut
        else f"spring it open at {hot}: from {most_to_stay_shut_n(hung, rules):.0f} N they do"
    )  # fmt: skip
    if float(net_moment_nm(hung, hung.open_deg, worst)[0]) <= 0:
        least = least_to_hold_n(hung, rules)
        enough = f"from {least:.0f} N they hold it" if least < inf else "no force there holds it"
        holds = f"let it sink at {worst}: {enough}"
    else:
        rises = rises_from_deg(hung, worst)
        holds = f"hold it open at {worst}"
        if rises:
            holds += f", but under {rises:.0f}° it sinks there"
    yield f"the struts, {hung}, {stays} and {holds}"
