"""Points that distances join: what is solved together, and what may be solved by itself."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from parts.trade.tape.survey import Distance


def joined(points: Sequence[str], distances: Iterable[Distance]) -> tuple[tuple[str, ...], ...]:
    """The points in groups, each joined by its distances, also dropped ones; order is kept.

    No distance leads from one group to another, so each can be solved without the others.

    >>> from parts.trade.tape import Measured
    >>> tape = Distance("A", "C", Measured(100, 1))
    >>> joined(["A", "B", "C"], [tape])
    (('A', 'C'), ('B',))
    """
    group = {name: [name] for name in points}
    for distance in distances:
        one, two = group[distance.a], group[distance.b]
        if one is two:
            continue
        if len(one) < len(two):
            one, two = two, one
        one += two
        for name in two:
            group[name] = one
    order = {name: i for i, name in enumerate(points)}
    distinct = {id(names): names for names in group.values()}
    return tuple(tuple(sorted(names, key=order.__getitem__)) for names in distinct.values())
