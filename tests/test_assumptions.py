"""Load cases and assumptions of every kind, against sums done by hand from the demo's job file."""

import json
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hand_parts import named

from parts import load
from parts.part import Part
from parts.proof.ledger import Ledger
from parts.proof.numbers import check_figures
from parts.report import Load, LoadCase
from parts.writers import figures

ROOT = Path(__file__).parents[1]
G = 9.80665  # m/s2, standard gravity (3rd CGPM, 1901)


@cache
def demo(name: str) -> Part:
    return load(ROOT / "configs" / "tin_wren.toml").part(name)


def case(part: Part, name: str) -> LoadCase:
    (found,) = (one for one in part.load_cases if one.name == name)
    return found


def test_a_bumper_mount_is_screened_for_the_weight_of_its_bar_times_the_factor() -> None:
    (only,) = demo("rear_mount").load_cases
    (pull,) = only.loads
    # tin_wren.toml: 8 kg on each bracket, 3 g
    assert (pull.value, pull.unit, only.factor) == (pytest.approx(8 * G * 3), "N", 3)
    screens = [s for piece in demo("rear_mount").pieces for s in piece.screens]
    bend = next(s for s in screens if s.name.startswith("bending at"))
    # 6 F e / (w t^2) by the arm and width that the screen itself tells, to their rounding
    arm, width = (float(bend.note.split()[k]) for k in (1, 4))
    assert bend.found == pytest.approx(6 * pull.value * arm / (width * 5**2), rel=0.01)


def test_a_tub_carries_no_load_and_tells_the_tyre_and_its_travel() -> None:
    part = demo("rear_tub")
    assert part.load_cases == ()
    said = " ".join(part.assumptions)
    # as tin_wren.toml has them: the tyre by tape, the stops, and the wishes
    for words in ("280.0 mm wide", "704.7 in diameter", "95 mm up", "85 down", "disc 10 mm"):
        assert words in said


def test_a_pivot_carries_half_of_the_struts_and_of_the_weight_and_twice_that_slammed() -> None:
    part = demo("boot_lid")
    strut = case(part, "strut slammed").loads[0].value / 2  # slam factor 2
    standing, slammed = (case(part, name) for name in ("standing", "slammed"))
    # two struts and a lid of 14.8 kg on two hinges
    assert standing.loads[0].value == pytest.approx((2 * strut + 14.8 * G) / 2)
    assert slammed.loads[0].value == pytest.approx(2 * standing.loads[0].value)
    assert (standing.factor, slammed.factor) == (1, 2)
    # 200 N at 20 C as it comes out, at most 1.3 times that pushed in, at 60 C by the absolute
    # temperature; pushing it in takes twice its friction of 30 N more
    hot = (273.15 + 60) / (273.15 + 20)
    assert 200 * hot + 60 < strut <= 200 * 1.3 * hot + 60


def test_a_hand_that_pushes_a_lid_aside_is_carried_as_a_couple_of_the_hinges() -> None:
    part = demo("boot_lid")
    hand, pivot = case(part, "pushed aside").loads
    more = pivot.value - case(part, "standing").loads[0].value
    assert hand.value == 100  # N, as every hinge has it that states none
    assert more == pytest.approx(100 * _number(hand.direction) / 860, rel=0.01)  # hinges 860 apart


def test_the_lids_weight_tells_how_it_was_found() -> None:
    said = demo("boot_lid").assumptions
    assert any("14.80 kg" in words and "two scales" in words for words in said)
    assert any("+60 °C" in words and "-10 °C, 15 % lost" in words for words in said)


def test_tabs_are_screened_for_every_load_case_with_its_shock_factor() -> None:
    part = demo("lower_tabs")
    factors = {one.name: one.factor for one in part.load_cases}
    # common practice 3 for pulling away; 1.75 for braking, Motor Vehicle Structures (2002)
    assert factors["pulling away"] == 3 and factors["braking"] == 1.75
    assert "pulling away at full lock" not in factors  # nothing steers here
    pull = next(table for table in part.tables if table.title.startswith("link forces"))
    for name in ("lower right", "lower left"):
        row = next(values for title, values in pull.rows if title.startswith("pulling away, "))
        told = row[pull.columns.index(name)]
        assert told is not None
        (push,) = (one for one in case(part, "pulling away").loads if one.of == name)
        assert push.value == pytest.approx(abs(told)) and push.direction.startswith("push")
    # thrust of both tyres, all drive on this axle: N = share W / (1 - h / l), times 3; the two
    # lower links carry more than all of it, for the upper ones are pulled by the axle's torque
    thrust = 3 * 1420 * G * 0.46 / (1 - 560 / 2700)
    assert push.value > thrust / 2


def test_strengths_of_metal_and_bolt_are_those_of_their_standards() -> None:
    said = " ".join(demo("lower_tabs").assumptions)
    # ISO 898-1: 10.9 has 1000 and 900 MPa; EN 10025-2 table 7: S355 has 355 and 470 at least
    assert "yield 900 and tensile strength 1000" in said
    assert "S355, yield 355 and tensile strength 470" in said


def test_a_side_that_was_not_measured_is_an_assumption() -> None:
    job = load(ROOT / "configs" / "tin_wren.toml")
    config = job.file.parts["rear_mount"]
    alone = config.model_copy(update={"left": None, "mirror": True})
    from parts import kinds

    part = kinds.lay_out("rear_mount", alone, job.bench)
    assert any("left hand was not measured" in words for words in part.assumptions)


def test_vehicle_and_stance_of_the_job_reach_every_part() -> None:
    part = demo("rear_mount")
    assert part.vehicle == "Tin Wren, two-door coupe on a ladder frame"
    assert part.stance.startswith("ride height, on stands")


def test_what_was_measured_for_a_part_and_its_axle_is_handed_on_with_tool_and_spread() -> None:
    lid, tub = (dict(demo(name).as_given) for name in ("boot_lid", "rear_tub"))
    # as tin_wren.toml has them
    assert lid["lid, depth"] == "760" and lid["lid, fold"] == "10 ± 0.5, by rule"
    assert lid["weight, scales, hinge edge"] == "7.63" and lid["pivot"] == "(-72, -18)"
    assert tub["right, rail 1, top"] == "380"
    assert tub["axle rear: tyre, diameter"] == "704.7 ± 1, by tape"
    assert tub["axle rear: links, lateral bar"] == "BC, BA"


def _spoiled(part: Part, folder: Path, spoil: Callable[[dict[str, Any]], None]) -> list[str]:
    (path,) = figures.write(part, folder)
    data = json.loads(path.read_text(encoding="utf-8"))
    spoil(data)
    path.write_text(json.dumps(data), encoding="utf-8")
    ledger = Ledger("figures.json")
    check_figures(path, part, {}, {}, ledger)
    return [str(one) for one in ledger.disagreements]


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda d: d["assumptions"].pop(), "assumptions"),
        (lambda d: d["load_cases"][0].update(factor=2), "kerb"),
        (lambda d: d["load_cases"][0]["loads"][0].update(value=1), "loads, as numbers"),
        (lambda d: d["load_cases"][0]["loads"][0].update(unit="kN"), "loads of kerb"),
        (lambda d: d["load_cases"].clear(), "load cases"),
        (lambda d: d["as_given"][0].update(value="6"), "keys of the job file"),
    ],
)
def test_figures_that_tell_other_loads_are_found_out(
    tmp_path: Path, spoil: Callable[[dict[str, Any]], None], said: str
) -> None:
    kerb = LoadCase("kerb", "a kerb", (Load("stud", 1200.5, "N", "up"),), 1.75, "common practice")
    part = replace(named("l_bracket"), assumptions=("sound",), load_cases=(kerb,),
                   as_given=(("gap", "5"),))  # fmt: skip
    assert _spoiled(part, tmp_path, lambda d: None) == []
    assert any(said in one for one in _spoiled(part, tmp_path, spoil))


def _number(words: str) -> float:
    return float(next(word for word in words.split() if word.isdigit()))
