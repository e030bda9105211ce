"""The solids that turn on the job sheet, measured again."""

import base64
import json
from collections import Counter
from math import pi
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hand_parts import named, written
from pages import Reader, demo, page_of

from parts.solid.mesh import mesh, pack


def volume_of(points: Any, triangles: Any) -> float:
    """Divergence theorem over the triangles, mm3."""
    a, b, c = (points[triangles[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


def test_a_mesh_holds_the_volume_and_closes() -> None:
    # l_bracket by hand: 2 mm sheet, base 60 x 40 with a corner of radius 8 and two holes of 6.5,
    # flange 60 x 50 with holes of 6.5 and 9, and a quarter ring of inside radius 3, 60 long
    base = 60 * 40 - (1 - pi / 4) * 8**2 - pi / 2 * 6.5**2
    flange = 60 * 50 - pi / 4 * (6.5**2 + 9**2)
    by_hand = 2 * (base + flange) + pi / 4 * (5**2 - 3**2) * 60
    piece = named("l_bracket").pieces[0]
    made = mesh(piece.kernel_solid, piece.place)
    assert volume_of(made.points, made.triangles) == pytest.approx(by_hand, rel=2e-3)
    keys = {tuple(p): k for k, p in enumerate(np.unique(made.points.round(5), axis=0))}
    at = [keys[tuple(p)] for p in made.points.round(5)]
    sides = Counter((at[t[i]], at[t[i - 2]]) for t in made.triangles for i in range(3))
    assert all(sides[b, a] == count == 1 for (a, b), count in sides.items())
    a, b, c = (made.points[made.triangles[:, k]] for k in range(3))
    outward = np.cross(b - a, c - a)
    assert np.all(np.einsum("ij,ij->i", outward, made.normals[made.triangles[:, 0]]) > 0)


def test_corners_are_edges_and_the_starts_of_a_bend_are_seams() -> None:
    piece = named("l_bracket").pieces[0]
    made = mesh(piece.kernel_solid)
    ends = made.points[made.seams]
    lengths = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    # by hand: the bend starts and ends on both faces of the sheet, 60 long
    assert np.sum(np.isclose(lengths, 60)) == 4
    ends = made.points[made.edges]
    lengths = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    # by hand: the outer edge of the flange, 60 long on both faces; the base's far edge less 8
    assert np.sum(np.isclose(lengths, 60)) == 2 and np.sum(np.isclose(lengths, 52)) == 2


def test_meshing_leaves_the_solid_as_it_was(tmp_path: Path) -> None:
    part = named("l_bracket")
    (before,) = written(part, tmp_path, ["step"])
    data = before.read_bytes()
    mesh(part.pieces[0].kernel_solid)
    (after,) = written(part, tmp_path, ["step"])
    assert after.read_bytes() == data


def test_the_page_carries_the_solids_at_their_places() -> None:
    part = demo("rear_mount")
    data = json.loads(Reader(page_of("rear_mount")).scripts[0])
    points = np.frombuffer(base64.b64decode(data["points"]), "<i2").reshape(-1, 3).astype(float)
    triangles = np.frombuffer(base64.b64decode(data["triangles"]), "<u2").reshape(-1, 3)
    # the step is not told: the pair's own spread gives it, X rearward as in the points of the job
    (s0, n0), (s1, n1) = (solid[0] for solid in data["solids"])
    sizes = [volume_of(points, triangles[s : s + n].astype(int)) for s, n in ((s0, n0), (s1, n1))]
    wanted = [piece.volume for piece in part.pieces]
    assert sizes[0] / sizes[1] == pytest.approx(wanted[0] / wanted[1], rel=1e-3)
    sides = [points[np.unique(triangles[s : s + n])][:, 1] for s, n in ((s0, n0), (s1, n1))]
    assert part.pieces[0].hand == "right" and sides[0].min() > sides[1].max()  # Y to the right
    assert [view["solids"] for view in data["views"]] == [[0], [1], [0, 1]]
    for solid in data["solids"]:
        for name, wide, (start, count) in zip(("triangles", "edges", "seams"), (3, 2, 2), solid,
                                              strict=True):  # fmt: skip
            held = len(np.frombuffer(base64.b64decode(data[name]), "<u2")) // wide
            assert start >= 0 and start + count <= held and count > 0


def test_packed_points_lie_within_half_a_step_of_the_solid() -> None:
    piece = named("z_with_gusset").pieces[0]
    made = mesh(piece.kernel_solid, piece.place)
    packed = pack([made, made])
    back = packed.middle + packed.step * packed.points
    off = np.abs(back[: len(made.points)] - made.points).max()
    assert off <= packed.step / 2 * (1 + 1e-6) and packed.step < 0.01
    assert np.array_equal(packed.triangles[len(made.triangles) :] - len(made.points),
                          made.triangles)  # fmt: skip
