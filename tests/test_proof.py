"""The proof believes good files and names what is wrong with bad ones."""

import hashlib
import json
from dataclasses import replace
from math import hypot, pi
from pathlib import Path

import numpy as np
import pytest
from blanks import NAMED, l_bracket
from hand_parts import named, written

from parts.part import Part
from parts.proof import Proof, ProofFailed, prove
from parts.proof.drawing import gap, inside, read_dxf, stroke
from parts.proof.folding import chains, folded_flat
from parts.sheet.fold import fold

STEM = "trial-l_bracket-l_bracket-left-mild_steel-2mm-1off"


def proved(part: Part, folder: Path, names: tuple[str, ...]) -> Proof:
    return prove(part, folder, written(part, folder, names))


def objection(part: Part, folder: Path, paths: list[Path]) -> str:
    """What the proof says against the files; fails where it says nothing."""
    with pytest.raises(ProofFailed) as failure:
        prove(part, folder, paths)
    return str(failure.value)


# --- good files -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMED)
def test_good_files_are_believed(name: str, tmp_path: Path) -> None:
    part = named(name)
    proof = proved(part, tmp_path, ("step", "on_vehicle", "dxf", "script", "figures"))
    made = {check.what: check.count for check in proof.checks if check.file.endswith(".step")}
    blank = part.pieces[0].folded.blank
    assert made["turn of a bend"] == len(blank.bends)
    flat_rounds = {"l_bracket": 4, "z_with_gusset": 6, "box": 7, "skew": 4}  # counted by hand
    assert made["axis of a hole"] == flat_rounds[name]
    for check in proof.checks:
        assert check.worst is None or check.allowed is None or check.worst <= check.allowed


def test_the_proof_writes_nothing_and_hashes_what_it_read(tmp_path: Path) -> None:
    part = named("l_bracket")
    paths = written(part, tmp_path, ("step", "dxf", "figures"))
    before = {path.name: path.read_bytes() for path in paths}
    told = prove(part, tmp_path, paths).as_dict()
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before
    hashes = {row["name"]: row["sha256"] for row in told["files"]}
    assert hashes == {name: hashlib.sha256(data).hexdigest() for name, data in before.items()}
    assert json.loads(json.dumps(told)) == told
    assert all(row["checks"] for row in told["files"])


@pytest.mark.parametrize("name", ["step", "on_vehicle", "dxf", "script", "figures"])
def test_only_what_was_written_is_proved(name: str, tmp_path: Path) -> None:
    part = named("l_bracket")
    paths = written(part, tmp_path, (name,))
    (tmp_path / f"{STEM}.step").touch()  # of an earlier build, and no STEP file at all
    if name == "step":
        paths = written(part, tmp_path, (name,))
    proof = prove(part, tmp_path, paths)
    assert {check.file for check in proof.checks} == {path.name for path in paths}


def test_two_pieces_of_one_name_are_refused(tmp_path: Path) -> None:
    part = named("l_bracket")
    twice = replace(part, pieces=part.pieces * 2)
    said = objection(twice, tmp_path, written(twice, tmp_path, ("figures",)))
    assert "two pieces of the same name" in said


# --- the proof's own tools --------------------------------------------------------------------


def test_a_hole_folds_to_where_the_square_shows_it() -> None:
    """Hole c of l_bracket lies 36 past the bend: 5 out from the bend line, 5 + 36 up."""
    folded = fold(l_bracket())
    (chain,) = {chain for chain in chains(folded) if chain}
    hole = (15.0, pi / 2 * 3.84 + 36)
    assert folded_flat(folded.blank, chain, hole, 0.0) == pytest.approx([15, 5, 41], abs=1e-12)
    assert folded_flat(folded.blank, chain, hole, 2.0) == pytest.approx([15, 3, 41], abs=1e-12)


def test_folding_by_rotation_agrees_with_the_regions_own_maps() -> None:
    rng = np.random.default_rng(5)
    for make in NAMED.values():
        folded = fold(make())
        for region, chain in zip(folded.regions, chains(folded), strict=True):
            if region.bend is None:
                x, y, w = rng.uniform(-100, 100, 3)
                theirs = folded.space(region, (x, y), w)
                assert folded_flat(folded.blank, chain, (x, y), w) == pytest.approx(
                    theirs, abs=1e-10
                )


@pytest.mark.parametrize("bulge", [0.2, 1.0, 3.0, -0.5, -1.0, -2.5])
def test_a_bulge_is_read_as_its_arc(bulge: float) -> None:
    """Sagitta over half the chord, by the DXF reference's own definition of bulge."""
    arc = stroke((2.0, 1.0), (6.0, 4.0), bulge)
    for point in (arc.start, arc.middle, arc.end):
        away = hypot(point[0] - arc.center[0], point[1] - arc.center[1])
        assert away == pytest.approx(arc.radius, rel=1e-12)
    rise = hypot(arc.middle[0] - 4.0, arc.middle[1] - 2.5)
    assert rise / 2.5 == pytest.approx(abs(bulge))  # half the chord is 2.5
    left_of_chord = 4 * (arc.middle[1] - 1) - 3 * (arc.middle[0] - 2)
    assert (left_of_chord < 0) == (bulge > 0)  # anticlockwise bows to the right


def test_inside_and_gap_read_a_drawing_with_arcs(tmp_path: Path) -> None:
    path, _ = written(named("l_bracket"), tmp_path, ("dxf",))
    cuts = read_dxf(path).contours
    assert inside(cuts, (30, -20))
    assert not inside(cuts, (12, -28))  # in hole a
    assert not inside(cuts, (59, -39))  # beyond the rounded corner
    corner = max(gap(s, (60, -40)) for s in cuts[-1].strokes if s.sweep)
    assert corner == pytest.approx(8 * (2**0.5 - 1))
