"""Whether there is room: for holes beside each other and beside a bend, for a web between bends."""

from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np

from parts.kinds.bench import Spots
from parts.kinds.bumper_mount.bracket import FlatHole
from parts.kinds.bumper_mount.faces import NoLayout
from parts.kinds.bumper_mount.outline import Root
from parts.sheet.blank import Bend


def refuse_holes_in_bend(
    holes: tuple[FlatHole, ...], bend: Bend, neck: float, beyond: bool
) -> None:
    """Raise NoLayout for the hole whose metal comes nearest to the bend, if it is too near."""

    def room(flat: FlatHole) -> float:
        ahead = [bend.ahead(end) for end in flat.ends]
        return min(ahead) - bend.allowance if beyond else -max(ahead)

    flat = min(holes, key=lambda flat: room(flat) - flat.hole.boss)
    found, needed = room(flat), flat.hole.boss + neck
    if found < needed:
        what = "its slot's end" if flat.hole.length > flat.hole.width else "it"
        raise NoLayout(
            flat.hole.name,
            f"{what} is {abs(found):.1f} mm {'from' if found > 0 else 'inside'} the bend",
            f"{needed:.1f} mm: {flat.hole.boss:.1f} of metal round it and {neck:.1f} of edge",
            "another hole, a shorter slot, a smaller bolt, or thinner stock with a sharper bend",
        )


def refuse_short_web(roots: tuple[Root, ...]) -> None:
    """Raise NoLayout where the two bends of a step leave no straight web between them."""
    for first, second in pairwise(roots):
        start = first.bend.allowance + first.neck
        web = min(
            *(first.bend.ahead(corner) - start for corner in map(second.before, second.ends)),
            *(-second.neck - second.bend.ahead(corner) for corner in map(first.after, first.ends)),
        )
        if web < 0:
            raise NoLayout(
                "bends",
                f"the web between the two bends is {-web:.1f} mm too short",
                f"{first.neck + second.neck:.1f} mm of flat metal between them",
                "a packer under one end, a sharper bend, or thinner stock",
            )


def refuse_coincident(names: tuple[str, ...], spots: Spots, width: float) -> None:
    """Raise NoLayout for two points of one end whose holes would run into each other."""
    for one, other in combinations(names, 2):
        apart = float(np.linalg.norm(spots.at(one) - spots.at(other)))
        if apart <= width:
            raise NoLayout(
                f"{one}, {other}",
                f"{apart:.1f} mm from one to the other, and the hole is {width:.1f} mm wide",
                "holes that stand apart",
                "measure both again, or name one of them only",
            )
