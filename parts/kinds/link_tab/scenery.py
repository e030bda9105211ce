"""What stands round link tabs: the joint's axis, the link, the tube or face they stand on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from parts.kinds.link_tab.given import Given
from parts.kinds.link_tab.stands import FlatFace, RoundTube
from parts.place import cross, unit
from parts.scenery import Dots, Lines, Revolved, Scenery, axis_line, line, rectangle

BOLT = 60.0  # mm of the joint's axis to either side of the ball
LINK = 250.0  # mm of a link drawn whose other end is not known
TUBE = 150.0  # mm of tube drawn to either side of the joint
FACE = 160.0  # mm, side of the square of a face that is drawn


def scenery(givens: Iterable[Given]) -> Iterator[Scenery]:
    """All that was told of each hand."""
    for one in givens:
        yield Scenery("joint, ball", "measured", Dots(one.at[None]), one.hand)
        yield Scenery("joint, axis", "measured", axis_line(one.at, one.bolt_way, BOLT), one.hand)
        if one.held is not None:
            link = one.held.link
            far = link.chassis if one.held.end == "axle" else link.axle
            yield Scenery("link", "fixed", line(one.at, far), one.hand)
        elif one.link_way is not None:
            end = one.at + LINK * unit(one.link_way)
            yield Scenery("link", "fixed", line(one.at, end), one.hand)
        if isinstance(one.stand, RoundTube):
            yield Scenery("tube", "fixed", _tube(one, one.stand), one.hand)
        else:
            yield Scenery("face", "fixed", _face(one, one.stand), one.hand)


def _tube(one: Given, tube: RoundTube) -> Revolved:
    outer, inner = tube.od / 2, max(tube.tube_od / 2 - tube.tube_wall, 0.0)
    profile = np.array([[-TUBE, inner], [TUBE, inner], [TUBE, outer], [-TUBE, outer]])
    return Revolved(profile, one.at - tube.from_axis(one.at), tube.along)


def _face(one: Given, face: FlatFace) -> Lines:
    foot = one.at - face.height(one.at) * face.out
    along = unit(one.bolt_way - (one.bolt_way @ face.out) * face.out)
    return rectangle(foot, along, cross(face.out, along), FACE, FACE)
