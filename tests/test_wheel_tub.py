"""A wheel tub from its job file: what is refused or mentioned, and where."""

from __future__ import annotations

from typing import Any

import pytest
import tubs
from pydantic import ValidationError
from tub_job import laid
from tubs import RAIL, SIDE, leaning

from parts.job import JobError
from parts.kinds.wheel_tub.config import WheelTub

BAD: dict[str, tuple[tuple[str, str], str, str]] = {
    "a missing axle": (('axle = "rear"\n', ""), "parts.tub.axle", "is missing"),
    "an unknown axle": (
        ('axle = "rear"', 'axle = "reer"'), "parts.tub.axle", "did you mean 'rear'"
    ),
    "a malformed size": (
        ('"275/45R18"', '"275-45R18"'), "axle.rear.tyre.size", "did you mean 275/45R18"
    ),
    "a size with a comma": (
        ('"275/45R18"', '"31x10,50R15"'), "axle.rear.tyre.size", "did you mean 31x10.50R15"
    ),
    "travel no link allows": (
        ("droop = 85", "droop = 700"), "axle.rear.links.lateral bar", "cannot follow"
    ),
    "a station given twice": (("x = -640", "x = -340"), "rail #2", "like the one before it"),
    "stations out of order": (("x = -640", "x = 100"), "right.rail", "out of order"),
    "a rail upside down": (
        ("{ x = -340, top = 580, bottom = 480", "{ x = -340, top = 480, bottom = 580"),
        "rail #2 bottom", "not under the top",
    ),
    "a word for a length": (("x = -640", 'x = "about 640"'), "rail #1 x", "cannot read"),
    "a body side of two points": (
        ("{ y = 960, height = 426 }", '{ points = ["P1", "P2"] }'), "body_side.points", "too few"
    ),
    "a body side by points and by a distance": (
        ("{ y = 960, height = 426 }", '{ points = ["P1", "P2", "P4"], y = 960 }'),
        "body_side.y", "as well as three points",
    ),
    "no body side": (("y = 960, ", ""), "right.body_side", "neither points nor a y"),
    "a point and a box": (
        ("front_floor", 'keep_clear = [{ point = "P1", corners = ["P1", "P2"], gap = 5 }]\n'
         "front_floor"), "keep_clear #1", "both a point and corners",
    ),
    "wheels on the wrong sides": (
        ('"780 ± 1.5"', '"-790 ± 1.5"'), "axle.rear", "left and right of each other"
    ),
    "a skin narrower than its gap": (
        ("disc_face", "arch_gap = 60\ndisc_face"), "skin_margin", "outside its opening"
    ),
    "a pair with one side": (('hand = "right"', 'hand = "pair"'), "hand", "left side is not"),
}  # fmt: skip


@pytest.mark.parametrize("what", BAD)
def test_bad_input_is_told_at_its_own_key(what: str) -> None:
    change, where, words = BAD[what]
    with pytest.raises(JobError) as told:
        laid(change)
    (problem,) = told.value.problems
    assert problem.field.endswith(where), problem.field
    assert words in f"{problem.message}; {problem.remedy}"


NO_TUB: dict[str, tuple[tuple[str, str], str]] = {
    "floors over the arch": (("front_floor = 400", "front_floor = 900"), "no arch is left"),
    "an end flange shorter than its bend": (
        ("disc_face", "end_flange = 1\ndisc_face"), "no longer than its own bend"
    ),
    "a disc outside the body": (("disc_face = 560", "disc_face = 990"), "the band has no width"),
    "a seam in a leg": (("disc_face", "seam = 0.01\ndisc_face"), "in a leg or flange"),
    "tabs shorter than their bend": (
        ("disc_face", 'style = "tabs"\ntab = 1\ndisc_face'), "no longer than their own bend"
    ),
    "a body side measured in one line": (
        ("{ y = 960, height = 426 }", '{ points = ["P1", "P2", "P3"] }'), "in one line"
    ),
    "a body side lying down": (
        ("height = 426 }", 'height = 426, lean = "90 deg" }'), "leans or runs out by 90"
    ),
    "a wish no car has room for": (
        ("disc_face = 560\nband_radius = 395\nband_center = [-3, 426]\nside_clearance = 3",
         "side_clearance = 5000"), "from the centre plane",
    ),
    "a tyre below the floor": (
        ("front_floor = 400\nrear_floor = 500", "front_floor = 1200\nrear_floor = 1200"),
        "no arch is left",
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", NO_TUB)
def test_what_leaves_no_tub_is_refused_in_words(what: str) -> None:
    change, words = NO_TUB[what]
    part = laid(change)
    assert part.refused
    assert part.pieces == ()
    (found,) = [f for f in part.findings if f.refuses]
    assert words in f"{found.where}: {found.found}", str(found)
    assert found.remedy


@pytest.mark.parametrize("points", [["P1", "P2", "P4"], ["P1", "P3", "P4", "P2"]])
def test_a_body_side_may_be_measured_by_points(points: list[str]) -> None:
    listed = ", ".join(f'"{p}"' for p in points)
    part = laid(("{ y = 960, height = 426 }", f"{{ points = [{listed}] }}"),
                ("disc_face = 560", "if_less = \"mention\"\ndisc_face = 560"))  # fmt: skip
    assert {spot.name for spot in part.spots} == set(points)


def test_a_wrinkled_body_side_is_mentioned() -> None:
    points: dict[str, tuple[float, float, float]] = {
        f"B{i}{j}": (200.0 * i - 200, 944.0 + (5 if i == j == 1 else 0), 300.0 + 150 * j)
        for i in range(3) for j in range(3)
    }  # fmt: skip
    side = {**SIDE, "rail": [], "body_side": {"points": list(points)}}
    part = tubs.made(side, on=tubs.bench(points=points))
    (found,) = [f for f in part.findings if f.where == "right: body side"]
    # the middle one of nine is 5 out: a plane takes 5/9 of it and leaves 40/9
    assert "4.4 mm off a flat face" in found.found
    assert not found.refuses


def test_a_rail_outboard_of_the_disc_is_told() -> None:
    part = tubs.made(SIDE)
    (found,) = [f for f in part.findings if f.where == "right: rail"]
    assert "12.0 mm outboard of the disc's face" in found.found
    clear = tubs.made({"rail": [{**s, "outer": 560} for s in RAIL]})
    assert not any(f.where == "right: rail" for f in clear.findings)


def test_a_leaning_skin_is_told_as_a_water_trap() -> None:
    part = tubs.made({"body_side": leaning(3, 0, 960), "rail": []})
    assert any("water" in f.found and "drain" in f.needed for f in part.findings)
    upright = tubs.made({"rail": []})
    assert not any("water" in f.found for f in upright.findings)


def test_a_formed_rim_that_shrinks_too_much_is_refused() -> None:
    def found(**keys: Any) -> Any:
        part = tubs.made({"rail": []}, style="formed", if_less="mention", **keys)
        return next(f for f in part.findings if "shrinks" in f.found)

    # R 392 + 1.2, round 12, straight 18: rim 393.8, blank 381.2 + pi/2 12.6 + 18 = 418.99
    assert "6.0 %" in found(tab=18, edge_radius=12).found
    assert not found(tab=18, edge_radius=12).refuses
    assert found(tab=60, edge_radius=12).refuses


def test_every_key_has_words_and_an_example() -> None:
    for name, field in WheelTub.model_fields.items():
        assert field.description, name


def test_a_config_from_code_is_checked_as_one_from_a_file() -> None:
    with pytest.raises(ValidationError, match="like the one before it"):
        tubs.config({"rail": [RAIL[0], RAIL[0]]})
