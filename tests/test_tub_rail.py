"""Disc and band trimmed round the rail, measured by the kernel."""

from __future__ import annotations

import itertools
from typing import Any

import pytest
from tub_solids import FLOORS, cut, kernel_gap, placed, rail_solid
from tubs import RAIL, SIDE, tapered, tub

from parts.kinds.wheel_tub.blanks import NoTub
from parts.sheet.loop import box

RAILS: dict[str, list[dict[str, Any]]] = {
    "straight": RAIL,
    "leaning": tapered(6, 0),
    "leaning the other way": tapered(-6, 2),
    "tapered": tapered(0, 4),
    "tapered and leaning": tapered(5, -3),
    "kinked": [
        {**s, "outer": 590 + 12 * (n % 2), "lean": 3 * n} for n, s in enumerate(RAIL)
    ],
}  # fmt: skip


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("floors", ["mixed", "below", "above"])
@pytest.mark.parametrize("rail", RAILS)
def test_the_notched_band_and_the_disc_keep_their_gaps_to_the_rail(
    rail: str, floors: str, hand: str
) -> None:
    front, rear = FLOORS[floors]
    side = {**SIDE, "front_floor": front, "rear_floor": rear, "rail": RAILS[rail]}
    of = tub(hand=hand, band_rail_gap=3, disc_rail_gap=2, **{hand: side})
    assert of.notches
    boxes = [rail_solid(a, b, hand) for a, b in itertools.pairwise(RAILS[rail])]
    band = min(kernel_gap(placed(cut(of, "band")), one) for one in boxes)
    assert 3 - 0.01 <= band <= 3 + 0.05
    discs = [c for c in of.cuts if c.name.startswith("disc")]
    assert min(kernel_gap(placed(c), one) for c in discs for one in boxes) >= 2 - 0.01


def test_a_rail_that_leaves_the_disc_part_way_notches_the_band_only_there() -> None:
    # where the band's front comes down the face is 14 outboard of the disc, at its rear 4 inboard
    rail = [{**s, "outer": 612 - 16 * n} for n, s in enumerate(RAIL)]
    of = tub({"rail": rail})
    front = of.room.path.length / 2
    assert of.notches
    assert all(box(notch)[0] > front for notch in of.notches)
    boxes = [rail_solid(a, b, "right") for a, b in itertools.pairwise(rail)]
    assert min(kernel_gap(placed(cut(of, "band")), b) for b in boxes) >= 2.99


def test_a_rail_right_across_the_band_is_refused_in_words() -> None:
    with pytest.raises(NoTub, match="cuts the band right through"):
        tub({"rail": [{**s, "outer": 980} for s in RAIL]})
