"""Link tabs that cannot be read, or should not be made: each problem and finding once."""

from __future__ import annotations

import pytest
from link_tabs import (
    JOINT,
    ON_FACE,
    ON_FOOT,
    ON_LINK,
    ON_TUBE,
    figure,
    job_text,
    part_of,
    text_of,
    told,
    write_job,
)

from parts.job import JobError, read_job
from parts.job.starter import starter

# Bad input


BAD = [
    ({"tube": None}, "parts.tab", "does not say what it stands on"),
    ({"plate": {"wall": 5}}, "parts.tab.plate", "is given beside tube"),
    ({"force": None}, "parts.tab", "is missing, and the right side names no link"),
    ({"hand": "pair"}, "parts.tab.hand", "the left side is not measured"),
    ({"right": {"axis": ["T1", "T2"]}}, "parts.tab.right", "does not say where the hole goes"),
    ({"right": {"hole": "H"}}, "parts.tab.right", "does not say where the tube runs"),
    ({"right": {"hole": "H", "axis": ["T1", "T1"]}}, "parts.tab.right.axis", "one point twice"),
    ({"right": {"hole": "X9", "axis": ["T1", "T2"]}}, "parts.tab.right.hole", "no point 'X9'"),
    ({"right": {"hole": "H", "from_axis": [1, 2, 3], "axis": ["T1", "T2"]}},
     "parts.tab.right.from_axis", "is given beside hole"),
    ({"right": {"link": "lower right"}}, "parts.tab.right.link", "belongs to no axle"),
    ({"right": {"hole": "H", "axis": ["T1", "T2"], "bolt_way": [0, 0, 0]}},
     "parts.tab.right.bolt_way", "is no direction"),
    ({"joint": {**JOINT, "body_width": 22}}, "parts.tab.joint.body_width", "wider than the ball"),
    ({"joint": {**JOINT, "head_diameter": 15}}, "parts.tab.joint.head_diameter", "no more than"),
    ({"tube": {"od": 76.1, "wall": 40}}, "parts.tab.tube.wall", "is 40 mm in a tube of 76.1"),
    ({"tube": {"od": 76.1, "wall": 6.3, "material": "S999"}}, "parts.tab.tube.material", "S999"),
    ({"edge": 8, "hole": 16.3}, "parts.tab.edge", "is 8 mm round a hole of 16.3"),
    ({"bolt": "5/8-18 UNF"}, "parts.tab.bolt", "the strength class is metric"),
    ({"bolt_class": "grade 8"}, "parts.tab.bolt_class", "M16 is a metric bolt"),
    ({"shear": "single", "strap": {"flange": 0}}, "parts.tab.strap", "needs two tabs"),
    ({"shear": "single", "gap": 37}, "parts.tab.gap", "lies between two tabs"),
    ({"holes": {"count": 3, "pitch": 25, "measured": 4}}, "parts.tab.holes.measured", "4 of 3"),
    ({"weld": {"ends": "wrapped", "length": 40}}, "parts.tab.weld.length", "run round the ends"),
    ({"weld": {"length": 40, "stop_short": 5}}, "parts.tab.weld.stop_short", "beside length"),
    ({"reserve": 0.5}, "parts.tab.reserve", "must be at least 1"),
    ({"thicker": ["s9"]}, "parts.tab.thicker", "there is no stock 's9'"),
    ({"raot": 70}, "parts.tab.raot", "did you mean 'root'"),
    ({"tube": None, "plate": {"wall": 5}}, "parts.tab.right", "where the face lies"),
    ({"tube": None, "plate": {"wall": 5}, "right": {"hole": "H", "face": {"point": "F1"}}},
     "parts.tab.right.face", "nor a out"),
    ({"tube": None, "plate": {"wall": 5},
      "right": {"hole": "H", "face": {"points": ["F1", "F2", "F2"]}}},
     "parts.tab.right.face.points", "has a point twice"),
    ({"tube": None, "plate": {"wall": 5},
      "right": {"from_axis": [1, 2, 3], "face": {"points": ["F1", "F2", "F3"]}}},
     "parts.tab.right.from_axis", "there is no tube to measure from"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "field", "words"), BAD, ids=[f"{b[1]} {b[2]}" for b in BAD])
def test_bad_input_is_told_at_its_field(tmp_path, change, field, words):


    with pytest.raises(JobError) as error:
        read_job(write_job(tmp_path, {**ON_TUBE, **change}))
    problems = error.value.problems
    hit = [p for p in problems if p.field.startswith(field) and words in f"{p.message}; {p.remedy}"]
    assert hit, [str(p) for p in problems]
    assert all(p.remedy for p in problems)


@pytest.mark.parametrize(
    ("change", "axle", "words"),
    [
        ({"mass": 100, "share": 0.5, "wheelbase": 2700, "mass_height": 560, "axle_mass": 60},
         "axle_mass", "50 kg stand on this axle"),
        ({"mass": 1000, "share": 1.5, "wheelbase": 2700, "mass_height": 560}, "share",
         "must be less than 1"),
        ({"mass": 1000, "share": 0.5, "wheelbase": 560, "mass_height": 2700}, "mass_height",
         "as much as the wheelbase"),
    ],
)  # fmt: skip
def test_a_car_that_cannot_be_is_told_at_its_field(tmp_path, change, axle, words):


    path = tmp_path / "job.toml"
    text = job_text(ON_LINK, axle=True, car=False)
    path.write_text(f"{text}\n[axle.rear.car]\n" + "\n".join(
        f"{k} = {text_of(v)}" for k, v in change.items()), encoding="utf-8")  # fmt: skip
    with pytest.raises(JobError) as error:
        read_job(path)
    assert [p for p in error.value.problems if p.field == f"axle.rear.car.{axle}"]
    assert words in str(error.value)


# Findings, each provoked once


FOUND = [
    ({"edge": 19}, "screening, both tabs, edge distance: 19.00 mm", True),
    ({"edge": 22}, "edge distance of a loaded bolt: 22.00 mm", False),
    ({"hole": 15.9}, "hole for the bolt: 15.90 mm (not to be mixed up with 5/8 in)", True),
    ({"hole": 17.0}, "play of the bolt in its hole: 17.00 mm (not to be mixed up", False),
    ({"bolt": "5/8-18 UNF", "bolt_class": "grade 8", "hole": 16.3},
     "play of the bolt in its hole: 16.30 mm (not to be mixed up with M16)", False),
    ({"joint": {**JOINT, "bore": 15.875}}, "joint's bore for the bolt: 15.88 mm", True),
    ({"bolt_length": 75}, "threads out of the shear plane: 37.00 mm; needs 46.75 mm", False),
    ({"bolt_length": 110}, "plain shank within what it clamps: 72.00 mm", False),
    ({"gap": 36.9}, "gap for the joint: 36.90 mm", True),
    ({"gap": 37.2}, "least play of the joint: 0.20 mm", False),
    ({"gap": 38.4}, "most play of the joint: 1.40 mm", False),
    ({"gap": 20}, "a ball 21 wide does not go between plates 20 apart", True),
    ({"joint": {**JOINT, "head_diameter": 76}}, "room for the joint's head", True),
    ({"joint": {**JOINT, "head_diameter": 66}}, "room for the joint's head", False),
    ({"root": 77}, "root: the root's end at -38.50 mm lies beside the tube", True),
    ({"root": 20, "edge": 45}, "outline: the edge of 45 mm round a hole reaches past the root",
     True),
    ({"weld": {"length": 100}}, "weld against the root: 100.00 mm", True),
    ({"weld": {"stop_short": 44}}, "has no weld left", True),
    ({"weld": {"leg": 3}}, "weld throat: 2.12 mm", True),
    ({"weld": {"length": 25}}, "weld length", True),
    ({"tube": {"od": 76.1, "wall": 2}}, "spreader plate: ", False),
    ({"tube": {"od": 76.1, "wall": 2.6}, "force": 3000}, "wall to tab: 2.60 mm", False),
    ({"force": 40000, "tube": {"od": 76.1, "wall": 2.6}}, "tube wall", True),
    ({"force": 42000}, "bending both ways with the pull", True),
    ({"force": 30000, "reserve": 1.4}, "a reserve of 1.12; needs the 1.4 wished", False),
    ({"force": 90000, "edge": None, "root": None}, "sizes: no edge or root tried holds", True),
    ({"shear": "single", "force": 2000}, "single shear: the joint hangs beside one tab", False),
    ({"lightening": True}, "lightening hole: left out", False),
    ({"strap": {"stock": "s5", "clearance": 25}}, "of room along the edge", True),
    ({"stock": "alu"}, "stock: EN 1993-1-8 has no beta_w", True),
    ({"right": {**ON_TUBE["right"], "bolt_way": [0.7, 1, 0]}, "root": 50}, "and 125 degrees",
     True),
    ({"right": {**ON_TUBE["right"], "bolt_way": [0.5, 1, 0]}}, "a leg of ", False),
    ({"right": {**ON_TUBE["right"], "bolt_way": [0.86, 0, 0.52]}}, "the bolt points at the tube",
     True),
    ({"right": {"from_axis": [10, 450, 0], "axis": ["T1", "T2"]}},
     "10.0 mm from the tube's axis", True),
    ({"right": {**ON_TUBE["right"], "link_to": "H"}}, "link_to: it lies at the hole itself", True),
    ({"right": {**ON_TUBE["right"], "face": {"point": "F1", "out": [0, 0, -1]}}},
     "face: is not used", False),
    ({"holes": {"count": 3, "pitch": 200, "way": "arc"}}, "a pitch of 200 mm does not fit", True),
]  # fmt: skip


@pytest.mark.parametrize(("change", "words", "refused"), FOUND, ids=[f[1] for f in FOUND])
def test_each_finding_is_told(tmp_path, change, words, refused):
    part = part_of(tmp_path, {**ON_TUBE, **change})
    hits = [f for f in part.findings if words in str(f)]
    assert hits, told(part)
    if not refused:
        assert not any(f.refuses for f in hits)
    assert part.refused or not refused
    assert all(f.needed and f.remedy and f.source for f in hits)


FOUND_BY_LINK = [
    ({"joint": {**JOINT, "tilt_limit": 3}}, "joint tilt, axle end: 3.5", True),
    ({"joint": {**JOINT, "spacer": 0, "tilt_limit": 40, "shank": 21.2}}, "lean of the link", True),
    ({"joint": {**JOINT, "shank": 80}}, "80 wide does not go between plates", True),
    ({"right": {"link": "lower rihgt"}}, "did you mean 'lower right'?", True),
]


@pytest.mark.parametrize(
    ("change", "words", "refused"), FOUND_BY_LINK, ids=[f[1] for f in FOUND_BY_LINK]
)
def test_each_finding_of_a_held_link_is_told(tmp_path, change, words, refused):
    part = part_of(tmp_path, {**ON_LINK, **change}, axle=True)
    assert words in told(part), told(part)
    assert part.refused == refused


BOLTED = {"wall": 5, "length": 75, "fixing": "bolted", "bolt": "M12"}
FOUND_OF_FOOT = [
    ({"foot": {"wall": 5, "length": 20}}, "foot.length: 20 mm, of which the fold takes 13.0", True),
    ({"foot": {**BOLTED, "length": 45}}, "foot.length: 45 mm, too short for its M12 bolts", True),
    ({"foot": {**BOLTED, "bolt_pitch": 20}}, "foot.bolt_pitch: 20.0 mm on a foot 90.0 mm wide",
     True),
    # two M12 in holes of 13.5 stand 29.7 apart at least, with 18 beside each
    ({"foot": BOLTED, "root": 60}, "root: 60.0 mm, too narrow for two M12 bolts in its foot; "
     "needs 65.7 mm or more", True),
    ({"foot": BOLTED, "force": 90000}, "foot bolt, tension", True),
    ({"foot": BOLTED, "force": 30000}, "bending of the foot", True),
    ({"right": {**ON_FOOT["right"], "bolt_way": [0, 1, 3]}}, "foot: it would have to be folded by",
     True),
    ({"foot": {"wall": 2, "length": 55}}, "wall to tab: 2.00 mm", False),
    # outside of the pair: ball 14, spacers of 6, play .75, two tabs
    ({"foot": {"wall": 5, "length": 55, "turn": "under"}}, "under the joint lie 71.2 mm over each",
     True),
    ({"stock": "s2", "force": 200, "foot": {"wall": 5, "length": 15, "turn": "under"}},
     "under the joint leave 0.8 mm between", False),
]  # fmt: skip


@pytest.mark.parametrize(
    ("change", "words", "refused"), FOUND_OF_FOOT, ids=[f[1] for f in FOUND_OF_FOOT]
)
def test_each_finding_of_a_folded_foot_is_told(tmp_path, change, words, refused):
    part = part_of(tmp_path, {**ON_FOOT, **change})
    hits = [f for f in part.findings if words in str(f)]
    assert hits, told(part)
    assert any(f.refuses for f in hits) == refused


def test_an_edge_left_to_strength_grows_no_wider_than_the_root_given(tmp_path):
    part = part_of(tmp_path, {**ON_TUBE, "edge": None, "force": 90000})
    assert "sizes: no edge tried holds" in told(part)
    assert figure(part, "edge round the hole") <= 35


def test_a_link_without_a_car_asks_for_one(tmp_path):
    part = part_of(tmp_path, ON_LINK, axle=True, car=False)
    assert "add the table [axle.rear.car], or write the force" in told(part)
    by_force = part_of(tmp_path, {**ON_LINK, "force": 15000, "shock": 2}, axle=True, car=False)
    assert figure(by_force, "right: greatest force on the joint") == pytest.approx(30000)


def test_a_face_behind_the_hole_or_square_to_the_bolt_is_refused(tmp_path):
    behind = {"hole": "H", "face": {"point": "F1", "out": [0, 0, 1]}}
    assert "behind the face" in told(part_of(tmp_path, {**ON_FACE, "right": behind}))
    square = {"hole": "H", "face": {"point": "F1", "out": [0, 0, -1]}, "bolt_way": [0, 0, 1]}
    assert "runs square to the face" in told(part_of(tmp_path, {**ON_FACE, "right": square}))
    line = {"hole": "H", "face": {"points": ["F1", "F2", "L"]}}
    part = part_of(tmp_path, {**ON_FACE, "right": line}, points="L = { at = [-268, 450, 360] }\n")
    assert "lie in one line" in told(part)


def test_every_section_of_the_starter_may_be_taken_into_use(tmp_path):

    lines = starter("link_tab").splitlines()
    for name in ("weld", "holes", "strap", "joint", "right"):
        start = next(n for n, line in enumerate(lines) if line.endswith(f"parts.link_tab.{name}]"))
        end = next(
            (n for n in range(start + 1, len(lines)) if lines[n].lstrip("#").startswith("[")),
            len(lines),
        )
        keys = [n for n in range(start + 1, end) if lines[n].startswith("#") and lines[n][1] != " "]
        for one in keys:
            used = list(lines)
            own = lines[one].split(" = ")[0].lstrip("#")
            used[start] = used[start].lstrip("#")
            used[one] = used[one].lstrip("#")
            if name == "holes" and own == "way":
                continue
            if name == "right" and own in ("link", "from_axis", "axis"):
                continue  # instead of another key, or with points of its own
            path = tmp_path / "job.toml"
            for n in range(start + 1, end):  # what a section needs besides
                if lines[n].startswith(("#count", "#pitch")):
                    used[n] = lines[n][1:]
            path.write_text("\n".join(used), encoding="utf-8")
            read_job(path)
