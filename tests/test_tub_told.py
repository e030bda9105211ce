"""What is told of a wheel tub: what limits, pose by pose, what would cure it."""

from __future__ import annotations

from math import asin, degrees, sqrt

import pytest
from tub_job import laid

from parts.part import Part
from parts.report import Table
from parts.telling import told

POSES = (
    "both in bump", "both in droop", "left wheel in bump", "right wheel in bump",
    "cross-axled, left up", "cross-axled, right up",
)  # fmt: skip
WISHED = {"disc": 3, "band": 10, "body side": 2, "rail": 3, "floor": 20}


def table_of(part: Part, title: str, hand: str = "right") -> Table:
    (found,) = [t for t in part.tables if t.title.startswith(f"{hand}: {title}".removeprefix(": "))]
    return found


def test_a_job_with_a_tub_can_be_built_and_tells_what_limits() -> None:
    part = laid()
    assert not part.refused, [str(f) for f in part.findings]
    least = [f for f in part.figures if "least clearance" in f.name]
    assert len(least) == 5  # disc, band, body side, floor, rail
    values = [f.value for f in least]
    assert values == sorted(values)
    assert all(f.plus_minus and f.plus_minus > 1 for f in least)
    words = " ".join(f.name for f in part.figures)
    for what in (
        "tallest of them", "roll: rise inside over a chord", "front end: turn of the fold",
        "tyre diameter",
    ):  # fmt: skip
        assert what in words, what
    changes = [name for name, _ in table_of(part, "what would cure it").rows]
    for what in ("disc", "band radius", "band centre", "bump stop", "droop", "offset"):
        assert any(what in change for change in changes), what
    assert any("belt anchors" in caution for caution in part.cautions)
    assert any("rail" in caution for caution in part.cautions)


def test_what_limits_is_said_first_with_its_pose() -> None:
    part = laid()
    least = {f.name.removeprefix("right: least clearance to "): f for f in part.figures
             if "least clearance" in f.name}  # fmt: skip
    nearest = min(least, key=lambda name: least[name].value)
    first = part.summary[0]
    assert first.startswith(f"right: the {nearest} limits: {least[nearest].value:.1f} ± ")
    assert f"for {WISHED[nearest]} wished" in first
    (pose,) = [name for name in ("ride", *POSES) if name in first]
    assert least[nearest].source.startswith(pose)
    # in that pose the table has no less than the least of all travel, to within its 0.1 mm
    poses = table_of(part, "clearance by pose")
    row = dict(poses.rows)[pose]
    assert row[poses.columns.index(nearest)] == pytest.approx(least[nearest].value, abs=0.1)
    spare = {name: one.value - WISHED[name] for name, one in least.items()}
    scarce = min(spare, key=lambda name: spare[name])
    assert any(f"the {scarce}" in sentence for sentence in part.summary)


def test_clearances_by_pose_are_told_with_what_limits() -> None:
    poses = table_of(laid(), "clearance by pose")
    assert [name for name, _ in poses.rows] == ["ride", *POSES]
    assert set(poses.columns) == set(WISHED)
    for (_, values), tightest in zip(poses.rows, poses.notes, strict=True):
        given = [value for value in values if value is not None]
        assert values[poses.columns.index(tightest)] == min(given)


def test_the_axle_is_told_pose_by_pose() -> None:
    axle = table_of(laid(), "axle by pose", "")
    rows = {name: dict(zip(axle.columns, values, strict=True)) for name, values in axle.rows}
    assert rows["ride"] == pytest.approx(dict.fromkeys(axle.columns, 0.0), abs=1e-9)
    # one wheel 95 up on a track of 1520, along the arc of the axle: sin = 95 / 1520
    right = rows["right wheel in bump"]["roll"]
    assert right == pytest.approx(degrees(asin(95 / 1520)), abs=0.05)
    # the lateral bar, level at ride and 720 long, pulls its axle end by 720 - sqrt(720^2 - 95^2)
    assert rows["both in bump"]["right"] == pytest.approx(-(720 - sqrt(720**2 - 95**2)), abs=0.1)
    assert axle.unit_of == ("mm", "mm", "deg", "deg")


def test_the_change_and_the_least_it_leaves_agree() -> None:
    part = laid()
    cures, least = table_of(part, "what would cure it"), {
        f.name.removeprefix("right: least clearance to "): f.value for f in part.figures
        if "least clearance" in f.name
    }  # fmt: skip
    for (change, values), tightest in zip(cures.rows, cures.notes, strict=True):
        *gains, then = values
        after = {name: least[name] + (gain or 0.0)
                 for name, gain in zip(cures.columns, gains, strict=False)}  # fmt: skip
        assert then == pytest.approx(min(after.values()), abs=0.15), change
        assert after[tightest] == pytest.approx(min(after.values()), abs=0.15), change
    assert cures.signed == cures.columns[:-1]


def test_a_hand_is_told_in_about_sixty_lines_that_fit_a_hundred_columns() -> None:
    lines = list(told(laid()))
    assert max(map(len, lines)) <= 100
    start = lines.index("  right")
    end = next(i for i, line in enumerate(lines) if line == "  findings")
    assert end - start < 70


def test_a_wall_without_an_opening_is_said_to_be_taken_as_closed() -> None:
    part = laid()
    (found,) = [f for f in part.findings if f.where == "right: wheel opening"]
    assert "closed" in found.found
    assert "`arch`" in found.remedy
    assert not found.refuses
    (least,) = [f for f in part.figures if f.name == "right: least clearance to body side"]
    assert "`arch`" in least.source
    given = laid(("rail = [", "arch = { x = 0, z = 330, radius = 380 }\nrail = ["))
    assert not any("closed" in f.found for f in given.findings)
    assert not any("`arch`" in f.source for f in given.figures)


def test_the_same_job_gives_the_same_numbers_again() -> None:
    one, other = laid(), laid.__wrapped__()
    assert one is not other
    assert one.figures == other.figures
    assert one.findings == other.findings


def test_what_is_found_on_a_piece_names_hand_and_piece() -> None:
    # die V 8 needs 5.5 outside of a square flange (press-brake makers' chart)
    found = laid(("disc_face", "end_flange = 4\ndisc_face")).findings
    where = [f.where for f in found if f.refuses]
    assert where == [
        "right band: flange rear fold at bend rear fold",
        "right band: flange front fold at bend front fold",
    ]


def test_a_seam_is_told_where_it_falls() -> None:
    part = laid(("disc_face", "seam = 0.4\ndisc_face"))
    told = {f.name: f.value for f in part.figures}
    # 0.4 from the front end of the band is 0.6 from its rear end
    assert told["right: seam, from the rear end"] == pytest.approx(
        0.6 * told["right: band: length of the blank"], abs=1e-6
    )


def test_a_given_size_is_told_as_given_and_a_computed_one_is_not() -> None:
    names = {f.name: f.source for f in laid().figures}
    assert names["right: band inside radius"] == "given"
    free = {f.name: f.source for f in laid(("band_radius = 395\n", "")).figures}
    assert free["right: band inside radius"] == "computed from the tyre's travel"
    assert free["right: disc face from the centre plane"] == "given"
