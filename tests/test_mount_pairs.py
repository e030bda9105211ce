"""Bumper mounts of both hands: mirrored, or each as measured; and nonsense refused."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from mount_by_hand import bar_normal, rail_normal
from mount_made import (
    LEAN,
    SIDE,
    WORKED,
    T,
    assert_bolts_up,
    assert_hole_lies,
    bench,
    config,
    creases,
    faceted,
    made,
    size,
    skins,
)
from pydantic import ValidationError
from shapely.affinity import scale
from shapely.geometry import Polygon

from parts.kinds.bumper_mount import lay_out
from parts.kinds.fields import FieldProblems


def mirrored(shape: Polygon) -> Polygon:
    return scale(shape, -1, 1, origin=(0, 0))


def test_mirror_makes_the_exact_mirror_image() -> None:
    for flange in (0, 22):
        part = made(hand="pair", mirror=True, return_flange=flange)
        right, left = part.pieces
        assert (right.hand, left.hand) == ("right", "left")
        assert right.volume == pytest.approx(left.volume, rel=1e-12)
        gap = mirrored(faceted(right.blank.outline)).symmetric_difference(
            faceted(left.blank.outline)
        )
        assert gap.area < 1e-6
        other = {n: (x, -y, z) for n, (x, y, z) in WORKED.items()}
        assert_bolts_up(left, other, rail_normal(0, 0, -1), bar_normal(6, LEAN, -1, 1))
        # the same number twice would be two lefts: the outlines cannot be laid on each other
        assert faceted(right.blank.outline).symmetric_difference(
            faceted(left.blank.outline)
        ).area > 100
        assert [f for f in part.findings if "mirror image" in f.found and f.where == "left"]


def test_mirrored_errors_give_slots_of_the_same_length() -> None:
    half = np.random.default_rng(11).normal(size=(12, 12)) * 0.3
    asked = config(hand="pair", mirror=True, right=SIDE, bar_slots="sideways", bar_adjust=3)
    part = lay_out("mount", asked, bench(WORKED, half @ half.T))
    right, left = ({c.name: size(c) for c in p.blank.cutouts} for p in part.pieces)
    assert right["S1"][0] > 10 + 2 * 3 + 0.5
    for name, found in right.items():
        assert left[name] == pytest.approx(found, abs=1e-6)
    turns = [[f.plus_minus for f in p.figures] for p in part.pieces]
    assert [x is None for x in turns[0]] == [x is None for x in turns[1]]
    assert [x for x in turns[0] if x] == pytest.approx([x for x in turns[1] if x], abs=1e-6)


def test_mirror_of_a_face_by_points_and_words_is_the_mirror_too() -> None:
    points = {"F1": (900, 580, 440), "F2": (1000, 580, 440), "F3": (950, 580, 480)}
    side = {**SIDE, "rail_face": {"points": list(points), "metal": "outboard"}}
    part = made(points, hand="pair", mirror=True, right=side, bar_slots="sideways",
                bar_adjust=2)  # fmt: skip
    right, left = part.pieces
    gap = mirrored(faceted(right.blank.outline)).symmetric_difference(faceted(left.blank.outline))
    assert gap.area < 1e-6


def test_both_sides_measured_each_get_their_own() -> None:
    own = {"A1L": (945, -580, 453), "A2L": (999.5, -580, 449), "S1L": (1098, -625, 479),
           "S2L": (1094.5, -625, 409)}  # fmt: skip
    left_side = {**SIDE, "rail_holes": ["A1L", "A2L"], "bar_studs": ["S1L", "S2L"],
                 "bar_face": {"sweep": "4 ± 0", "lean": f"{LEAN:.12f} ± 0"}}  # fmt: skip
    part = made(own, hand="pair", right=SIDE, left=left_side)
    right, left = part.pieces
    assert_bolts_up(right, WORKED, rail_normal(0, 0, 1), bar_normal(6, LEAN, 1, 1))
    n, m = rail_normal(0, 0, -1), bar_normal(4, LEAN, -1, 1)
    for name in ("A1L", "A2L"):
        assert_hole_lies(skins(left, name, []), np.array(own[name]), n, T)
    for name in ("S1L", "S2L"):
        assert_hole_lies(skins(left, name, creases(left.blank)), np.array(own[name]), m, T)


def problems(**keys: Any) -> list[tuple[tuple[str | int, ...], str]]:
    with pytest.raises(ValidationError) as caught:
        config(**keys)
    found = []
    for error in caught.value.errors():
        inner = error["ctx"]["error"]
        assert isinstance(inner, FieldProblems)
        found += [((*error["loc"], *p.loc), f"{p.message}; {p.remedy}") for p in inner.problems]
    return found


def test_pair_with_one_side_measured_names_the_missing_key() -> None:
    ((loc, words),) = problems(hand="pair", right=SIDE)
    assert loc == ("hand",)
    assert "left side is not measured" in words and "mirror = true" in words
    ((loc, words),) = problems(hand="left", right=SIDE)
    assert "left side is not measured" in words


def test_mirror_with_both_sides_measured_is_refused() -> None:
    other = {**SIDE, "rail_holes": ["B1", "B2"], "bar_studs": ["T1", "T2"]}
    ((loc, _),) = problems(hand="pair", mirror=True, right=SIDE, left=other)
    assert loc == ("mirror",)


@pytest.mark.parametrize(
    ("side", "loc", "words"),
    [
        ({"rail_holes": ["A1", "A1"]}, "rail_holes", "'A1' is named twice"),
        ({"bar_studs": ["S1", "S2", "S1"]}, "bar_studs", "'S1' is named twice"),
        ({"bar_face": {"points": ["B", "B", "C"]}}, "points", "'B' is named twice"),
        ({"bar_face": {"sweep": 1000, "lean": 0}}, "sweep", "1000 degrees"),
        ({"rail_face": {"lean": -91}}, "lean", "between -90 and 90"),
        ({"bar_face": {"points": ["B", "D", "C"], "sweep": 6}}, "sweep", "as well as three points"),
    ],
)
def test_nonsense_of_a_side_is_refused_at_its_key(
    side: dict[str, Any], loc: str, words: str
) -> None:
    ((where, said),) = problems(right={**SIDE, **side})
    assert loc in where
    assert words in said


@pytest.mark.parametrize(
    ("keys", "locs"),
    [
        ({"bolt_class": "grade 8"}, ["bolt_class", "bolt_class"]),
        ({"bolt_class": "grade 8", "rail_bolt": "M12", "bar_bolt": "3/8-16 UNC"}, ["rail_bolt"]),
        ({"bolt_class": "Grade 5", "rail_bolt": "1/2-13 UNC", "bar_bolt": "M10x1.25"},
         ["bar_bolt"]),
        ({"bolt_class": "8.8", "rail_bolt": "1/2-13 UNC"}, ["rail_bolt"]),
        ({"rail_bolt": "1/2-13 UNC", "bar_bolt": "3/8-16 UNC"}, ["rail_bolt", "bar_bolt"]),
    ],
)  # fmt: skip
def test_bolts_and_their_strength_are_both_metric_or_both_inch(
    keys: dict[str, str], locs: list[str]
) -> None:
    said = problems(right=SIDE, **keys)
    assert [loc[-1] for loc, _ in said] == locs
    assert all("inch" in words and "bolt_class" in words for _, words in said)
