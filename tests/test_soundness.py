"""A blank that is drawn wrongly is refused, and the finding says where."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import inf, nan, pi

import pytest
from blanks import NAMED, bend, random_blank, spoilt_blank

from parts.sheet.blank import Blank, Cutout
from parts.sheet.curve import Arc, Line, arc
from parts.sheet.loop import circle, polygon, reversed_loop, slot
from parts.sheet.soundness import fold_or_findings, unsound

PLATE = polygon([(0, 0), (60, 0), (60, 40), (0, 40)])


def plate(*cutouts: Cutout, outline=PLATE) -> Blank:
    return Blank(2, outline, cutouts, (), (3, 37))


def refusals(blank: Blank) -> list[str]:
    findings = list(unsound(blank))
    assert all(f.refuses and f.where and f.found and f.needed and f.remedy for f in findings)
    return [f"{f.where}: {f.found}" for f in findings]


@pytest.mark.parametrize("name", NAMED)
def test_the_named_parts_are_sound(name: str):
    assert refusals(NAMED[name]()) == []


@pytest.mark.parametrize("seed", range(40))
def test_a_random_blank_made_to_be_sound_is_found_sound(seed: int):
    assert refusals(random_blank(seed)) == []


def hole(x: float, y: float, diameter: float, name: str = "drain") -> Cutout:
    return Cutout(name, circle((x, y), diameter))


@pytest.mark.parametrize(
    ("blank", "said"),
    [
        (
            plate(outline=(*PLATE[:3], Line((0, 40), (0, 0.5)))),
            ["outline at (0.000, 0.500): open by 0.500000 mm"],
        ),
        (
            plate(outline=polygon([(0, 0), (60, 40), (60, 0), (0, 40)])),
            ["outline at (30.000, 20.000): it crosses or touches itself"],
        ),
        (  # a corner that comes back to touch the opposite edge
            plate(outline=polygon([(0, 0), (60, 0), (60, 40), (30, 0), (0, 40)])),
            ["outline at (30.000, 0.000): it crosses or touches itself"],
        ),
        (  # a spike without width
            plate(outline=polygon([(0, 0), (60, 0), (60, 40), (60, 50), (60, 40), (0, 40)])),
            [
                "outline at (60.000, 40.000): it crosses or touches itself",
                "outline at (60.000, 50.000): it crosses or touches itself",
            ],
        ),
        (plate(outline=reversed_loop(PLATE)), ["outline: it runs the wrong way round"]),
        (plate(outline=()), ["outline: no curves"]),
        (
            plate(outline=(*PLATE, Line((0, 0), (0, 0)))),
            ["outline at (0.000, 0.000): a cut 0.000000 mm long"],
        ),
        (
            plate(outline=(*PLATE[:1], Arc((60, 0), (60, 40), (60, 20), pi / 2), *PLATE[2:])),
            ["outline at (60.000, 40.000): an arc that stops 28.284271 mm from its end"],
        ),
        (
            plate(Cutout("drain", reversed_loop(circle((30, 20), 8)))),
            ["drain: it runs the wrong way round"],
        ),
        (plate(hole(80, 20, 8)), ["drain at (80.000, 24.000): it lies off the metal"]),
        (plate(hole(58, 20, 8)), ["drain at (60.000, 23.464): it runs into the edge"]),
        (plate(hole(56, 20, 8)), ["drain at (60.000, 20.000): it runs into the edge"]),
        (plate(hole(30, 20, 90)), ["drain at (30.000, 65.000): it lies off the metal"]),
        (
            plate(hole(20, 20, 8), hole(28, 20, 8, "eye")),
            ["drain at (24.000, 20.000): it runs into eye"],
        ),
        (
            plate(hole(20, 20, 8), hole(20.0005 + 8, 20, 8, "eye")),  # half a micrometre apart
            ["drain at (24.000, 20.000): it runs into eye"],
        ),
        (
            plate(hole(20, 20, 4), hole(20, 20, 12, "eye")),
            ["drain at (20.000, 22.000): it lies inside eye"],
        ),
        (
            plate(hole(20, 20, 12), hole(20, 20, 4, "eye")),
            ["drain at (20.000, 22.000): eye lies inside it"],
        ),
        (
            plate(hole(nan, 20, 12)),
            ["drain: a coordinate or size that is no number"],
        ),
        (
            replace(plate(), thickness=inf),
            ["thickness: inf mm"],
        ),
        (replace(plate(), thickness=0), ["thickness: 0 mm"]),
        (replace(plate(), base=(70, 5)), ["base at (70.000, 5.000): it lies off the metal"]),
        (replace(plate(), base=(nan, 5)), ["base: a coordinate or size that is no number"]),
    ],
)
def test_a_flaw_is_named_with_its_place(blank: Blank, said: list[str]):
    assert refusals(blank) == said


def test_five_flaws_are_told_in_one_go():
    cutouts = (hole(80, 20, 8, "a"), hole(58, 20, 8, "b"), hole(20, 20, 8, "c"))
    found = refusals(plate(*cutouts, hole(26, 20, 8, "d"), hole(20, 21, 3, "e")))
    assert [line.split(" at ")[0] for line in found] == ["a", "b", "c", "c"]


def test_openings_a_hundredth_of_a_millimetre_apart_are_sound():
    # too close to cut well, but there is metal between: other checks speak of that
    assert refusals(plate(hole(20, 20, 8), hole(28.01, 20, 8, "eye"))) == []
    assert refusals(plate(hole(55.99, 20, 8))) == []


def test_two_arcs_make_a_sound_disc():
    disc = (arc((0, 0), 20, 0, pi), arc((0, 0), 20, pi, pi))
    closed = (disc[0], Arc(disc[0].end, disc[0].start, (0, 0), pi))
    assert refusals(replace(plate(outline=closed), base=(0, 0))) == []


def test_a_slot_across_another_is_refused_where_they_cross():
    one = Cutout("one", slot((30, 20), 30, 6, 0))
    other = Cutout("other", slot((30, 20), 30, 6, 90))
    assert refusals(plate(one, other))[0].startswith("one at ")


@pytest.mark.parametrize(
    ("make", "found", "remedy"),
    [
        (
            lambda: (bend("tab", (70, 0), (70, 40), 90, 3, 2),),
            "bend tab does not cross the metal",
            "its line must run from edge to edge",
        ),
        (
            lambda: (
                bend("tab", (60, 20), (0, 20), -90, 3, 2),
                bend("lip", (30, 40), (30, 0), 90, 3, 2),
            ),
            "the lines of bends tab and lip cross in the metal at (30.00, 20.00)",
            "separate them by a relief",
        ),
    ],
)
def test_what_the_fold_refuses_comes_back_as_a_finding(make: Callable, found: str, remedy: str):
    folded, findings = fold_or_findings(replace(plate(), bends=make()))
    assert folded is None
    assert [(f.found, f.remedy) for f in findings] == [(found, remedy)]


@pytest.mark.parametrize("first", range(0, 200, 25))
def test_a_spoilt_blank_folds_or_is_refused_with_a_reason(first: int):
    for seed in range(first, first + 25):
        folded, findings = fold_or_findings(spoilt_blank(seed))
        assert (folded is None) == bool(findings), seed
        assert all(f.refuses and f.found and f.remedy for f in findings), seed
