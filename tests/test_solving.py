"""The points of a job, solved group by group: as all together, and only those that are in use."""

from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from parts.job import JobError, JobFile, read_job
from parts.job.solving import spots_of
from parts.trade.tape import Distance, Measured, Point, adjust, joined

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "configs" / "tin_wren.toml"


def job_of(folder: Path, points: str, used: str = '["A1", "A2"]') -> JobFile:
    path = folder / "job.toml"
    path.write_text(
        '[job]\nname = "j"\n[stock.p]\nmaterial = "S235"\nthickness = 5\n[points]\n'
        f'{points}\n[parts.m]\nkind = "bumper_mount"\nstock = "p"\nhand = "right"\n'
        f'[parts.m.right]\nrail_holes = {used}\nbar_studs = ["S1", "S2"]\n'
        "bar_face = { sweep = 0, lean = 0 }\n",
        encoding="utf-8",
    )
    return read_job(path)


FIXED = """\
S1 = { at = [1098, 622, 485] }
S2 = { at = [1098, 622, 415] }
A1 = { at = [947, 580, 450] }
"""


def refusals(job: JobFile) -> list[str]:
    with pytest.raises(JobError) as caught:
        spots_of(job)
    return [f"{problem.field}: {problem.sentence}" for problem in caught.value.problems]


def test_groups_apart_are_solved_as_all_together() -> None:
    job = read_job(DEMO)
    spots, measurements = spots_of(job)
    points, distances = [], []
    for name, config in job.points.items():
        at = config.at or (None, None, None)
        values = [v and Measured(v.value, v.plus_minus or 0.0) for v in at]
        points.append(Point(name, *values, config.side))
        for other, length in config.tape.items():
            distances.append(Distance(other, name, Measured(length.value, length.plus_minus or 0)))
    whole = adjust(points, distances)
    # the right and the left mount, and ten points of the axle by coordinates alone
    assert len(joined([p.name for p in points], distances)) == 2 + 10
    assert list(spots.positions) == [p.name for p in whole.points]
    for point in whole.points:
        assert_allclose(spots.at(point.name), (point.x, point.y, point.z), atol=1e-6)
    assert_allclose(spots.covariance, np.array(whole.covariance), atol=1e-9)
    assert [m.name for m in measurements][: len(distances)] == [d.name for d in whole.distances]
    together = {r.name: r.residual for r in (*whole.distances, *whole.coordinates)}
    assert {m.name for m in measurements} == set(together)
    for one in measurements:
        assert one.residual == pytest.approx(together[one.name], abs=1e-6)


def test_only_what_is_used_or_joined_to_it_is_solved(tmp_path: Path) -> None:
    points = FIXED + (
        "A2 = { tape = { B1 = 50, B2 = 50, B3 = 50 }, side = 'above' }\n"
        "B1 = { at = [1000, 580, 400] }\nB2 = { at = [960, 580, 400] }\n"
        "B3 = { at = [980, 600, 400] }\nZ1 = { at = [1, 2, 3] }\n"
        "Z2 = { tape = { Z1 = 5 } }\n"
    )
    spots, measurements = spots_of(job_of(tmp_path, points))
    assert set(spots.positions) == {"S1", "S2", "A1", "A2", "B1", "B2", "B3"}
    assert not any("Z" in one.name for one in measurements)


def test_a_mirror_image_in_use_has_its_original_solved(tmp_path: Path) -> None:
    points = FIXED + "A2 = { mirror_of = 'L2' }\nL2 = { at = [1001, -580, 450] }\n"
    spots, _ = spots_of(job_of(tmp_path, points))
    assert_allclose(spots.at("A2"), (1001, 580, 450), atol=1e-6)


def test_a_misread_among_points_in_use_is_still_told(tmp_path: Path) -> None:
    points = FIXED + "A2 = { at = [1001, 580, 450], tape = { A1 = 64 } }\n"
    (only,) = refusals(job_of(tmp_path, points))
    assert "A1-A2 reads 64 (the others say 54.0)" in only


def test_advice_on_a_loose_point_names_points_of_other_groups(tmp_path: Path) -> None:
    (only,) = refusals(job_of(tmp_path, FIXED + "A2 = {}\n"))
    assert only.startswith("points.A2: points.A2: A2 is not fixed; nothing holds it")
    assert "measure A2-" in only


def test_what_is_wrong_in_several_groups_is_told_at_once(tmp_path: Path) -> None:
    points = FIXED.replace("A1 = { at = [947, 580, 450] }", "A1 = {}") + (
        "A2 = { at = [1001, 580, 450], tape = { B = 64 } }\nB = { at = [947, 580, 450] }\n"
    )
    said = refusals(job_of(tmp_path, points))
    assert len(said) == 2
    assert "A1 is not fixed" in said[0]
    assert "B-A2 reads 64" in said[1]


def test_without_any_part_all_points_are_solved(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(f'[job]\nname = "j"\n[points]\n{FIXED}')
    spots, _ = spots_of(read_job(path))
    assert list(spots.positions) == ["S1", "S2", "A1"]


def test_a_point_of_which_nothing_was_measured_is_not_fixed() -> None:
    (reason,) = adjust([Point("A")], []).reasons
    assert reason.cause == "not fixed"
    assert "the x of A and the y of A and the z of A" in reason.words


def test_points_are_joined_by_their_distances_and_by_nothing_else() -> None:
    def tape(a: str, b: str, dropped: bool = False) -> Distance:
        return Distance(a, b, Measured(100, 1), dropped)

    tapes = [tape("A", "D"), tape("E", "B"), tape("D", "B"), tape("C", "F", dropped=True)]
    assert joined("ABCDEF", tapes) == (("A", "B", "D", "E"), ("C", "F"))
