"""Link tabs from job file to solid, each number against geometry or statics done another way."""

from __future__ import annotations

from math import acos, asin, atan2, cos, degrees, hypot, pi, radians
from pathlib import Path

import numpy as np
import pytest
from kernel import common_volume, cylinders, volume
from link_tabs import (
    ON_FACE,
    ON_FOOT,
    ON_LINK,
    ON_TUBE,
    figure,
    part_of,
    told,
)
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

from parts import load
from parts.part import Part, Piece
from parts.trade.bolts import bolt

RIGHT = np.array([0.0, 1.0, 0.0])
HOLE = np.array([-68.0, 450.0, 290.0])  # points H and LRA of the job
OD, R = 76.1, 38.05
CANTED = {**ON_TUBE, "root": 60, "right": {"hole": "H", "axis": ["T1", "T2"],
                                           "bolt_way": [0.3, 1, 0]}}  # fmt: skip
CONFIGS = Path(__file__).parents[1] / "configs"


def placed(piece: Piece):
    """The built solid on the vehicle (TopoDS_Shape)."""
    from parts import solid

    return solid.as_cadquery(piece.kernel_solid, piece.place).wrapped


def round_bar(at, along, diameter: float, length: float = 400.0):
    """A solid cylinder about a line, `length` long, `at` in its middle."""
    along = np.asarray(along, float) / np.linalg.norm(along)
    start = np.asarray(at, float) - length / 2 * along
    axis = gp_Ax2(gp_Pnt(*start.tolist()), gp_Dir(*along.tolist()))
    return BRepPrimAPI_MakeCylinder(axis, diameter / 2, length).Shape()


def tube():
    return round_bar((0, 450, 331), RIGHT, OD)


def apart(one, other) -> float:
    return float(BRepExtrema_DistShapeShape(one, other).Value())


def tabs_of(part: Part) -> list[Piece]:
    return [piece for piece in part.pieces if piece.name != "strap"]


# Where it goes


@pytest.mark.parametrize(
    ("keys", "axle"),
    [
        (ON_TUBE, False),
        (CANTED, False),
        (ON_FACE, False),
        (ON_FOOT, False),
        ({**ON_TUBE, "tube": {"od": 76.1, "wall": 6.3, "spreader": 4}}, False),
        ({**ON_LINK, "hand": "right", "left": None}, True),
        ({**ON_TUBE, "shear": "single"}, False),
    ],
    ids=["tube", "canted", "face", "foot", "spreader", "link", "single"],
)
def test_every_hole_lies_on_the_bolts_axis_through_the_measured_point(tmp_path, keys, axle):
    part = part_of(tmp_path, keys, axle=axle)
    way = np.array(keys["right"].get("bolt_way", [0, 1, 0]), float)
    way /= np.linalg.norm(way)
    size = bolt(keys.get("bolt", "M16")).diameter + 0.3
    tabs = tabs_of(part)
    assert len(tabs) == (1 if keys.get("shear") == "single" else 2)
    for piece in tabs:
        found = [c for c in cylinders(placed(piece)) if c[2] == pytest.approx(size / 2)]
        assert found
        for at, axis, _ in found:
            assert abs(axis @ way) == pytest.approx(1, abs=1e-9)
            off = (at - HOLE) - ((at - HOLE) @ way) * way
            assert np.linalg.norm(off) == pytest.approx(0, abs=1e-6)


def test_the_pair_leaves_the_gap_of_ball_spacers_and_play(tmp_path):
    # 21 + 2 x 8 + .75, the middle of the play a steel ball wants
    one, two = (placed(piece) for piece in part_of(tmp_path, ON_TUBE).pieces)
    assert apart(one, two) == pytest.approx(37.75, abs=1e-6)
    middle = round_bar(HOLE, RIGHT, 1, 0.002)
    assert apart(one, middle) == pytest.approx(apart(two, middle), abs=1e-6)


@pytest.mark.parametrize(("side", "y"), [("inboard", 1), ("outboard", -1)])
def test_in_single_shear_the_joint_hangs_on_the_side_asked_for(tmp_path, side, y):
    part = part_of(tmp_path, {**ON_TUBE, "shear": "single", "joint_on": side})
    (piece,) = part.pieces
    # half the ball and the spacer lie between the ball's middle and the tab: 10.5 + 8
    near = piece.place.apply(np.array([[*piece.blank.base, 0.0], [*piece.blank.base, 6.0]]))[:, 1]
    assert sorted(y * (near - 450)) == pytest.approx([18.5, 24.5])
    assert "single shear" in told(part)


def test_adjustment_holes_keep_their_pitch_and_the_measured_one_its_place(tmp_path):
    for way, measured in (("up", 1), ("across", 2), ("arc", None)):
        holes = {"count": 3, "pitch": 28, "way": way, "measured": measured}
        holes = {k: v for k, v in holes.items() if v is not None}
        keys = {**ON_TUBE, "holes": holes, "force": 5000, "root": 72}
        part = part_of(tmp_path, keys)
        piece = part.pieces[0]
        at = {}
        for cutout in piece.blank.cutouts:
            x, y = cutout.round_hole.center
            at[cutout.name] = piece.place.apply([x, y, 3.0])[[0, 2]]
        steps = [np.linalg.norm(at[f"hole {n}"] - at[f"hole {n + 1}"]) for n in (1, 2)]
        assert steps == pytest.approx([28, 28])
        named = at[f"hole {measured or 2}"]
        assert named == pytest.approx(HOLE[[0, 2]], abs=1e-9)
        from_axis = [np.linalg.norm(p - np.array([0, 331])) for p in at.values()]
        if way == "arc":
            assert from_axis == pytest.approx([hypot(68, 41)] * 3)
        if way == "up":
            assert from_axis == pytest.approx([hypot(68, 41) + 28 * n for n in range(3)])
        if way != "up":  # this tab's root runs more up than back: told from below
            assert at["hole 1"][1] < at["hole 2"][1] < at["hole 3"][1]


def test_left_is_the_mirror_image_of_right_and_takes_its_own_links_load(tmp_path):
    both = part_of(tmp_path, ON_LINK, axle=True)
    mirrored = part_of(tmp_path, {**ON_LINK, "left": None, "mirror": True}, axle=True)
    assert "mirror image" in told(mirrored)
    for one, other in zip(both.pieces, mirrored.pieces, strict=True):
        assert (one.name, one.hand) == (other.name, other.hand)
        assert one.place.gap_to(other.place) < 1e-9
        assert [s.found for s in one.screens] == pytest.approx([s.found for s in other.screens])
    names = {(piece.hand, piece.name): piece.place.origin[1] for piece in both.pieces}
    assert names["right", "outboard tab"] > 450 > names["right", "inboard tab"]
    assert names["left", "outboard tab"] < -450 < names["left", "inboard tab"]


def test_from_the_axis_and_by_a_point_are_one_place(tmp_path):
    by_point = part_of(tmp_path, ON_TUBE)
    side = {"from_axis": [-68, 450, -41], "axis": ["T1", "T2"]}
    by_axis = part_of(tmp_path, {**ON_TUBE, "right": side})
    by_axle = part_of(
        tmp_path, {**ON_TUBE, "axle": "rear", "right": {"from_axis": [-68, 450, -41]}}, axle=True
    )
    for other in (by_axis, by_axle):
        for one, two in zip(by_point.pieces, other.pieces, strict=True):
            assert one.place.gap_to(two.place) < 1e-9
            assert one.blank == two.blank


# The cope


@pytest.mark.parametrize("keys", [ON_TUBE, CANTED, {**ON_TUBE, "fit_gap": 0, "root_shift": 6}])
def test_the_gap_stated_is_the_gap_the_kernel_finds(tmp_path, keys):
    part = part_of(tmp_path, keys)
    for piece in part.pieces:
        shape = placed(piece)
        stated = {f.name: f.value for f in piece.figures}
        assert apart(shape, tube()) == pytest.approx(stated["fit-up gap, nearest"], abs=0.011)
        assert common_volume(shape, tube()) == pytest.approx(0, abs=1e-6)
        widest = max(foot_gaps(piece))
        assert stated["gap at the root, widest"] == pytest.approx(widest, abs=0.02)


def foot_gaps(piece: Piece) -> list[float]:
    """How far points along the root stand off the tube, on both faces, from the blank's drawn
    curves carried to the vehicle; the axis runs along Y at (0, 331)."""
    root = [c for c in piece.blank.outline if max(_off(piece, c.at(f), 3) for f in (0, 1)) < 8]
    return [
        _off(piece, curve.at(f), w)
        for curve in root
        for f in np.linspace(0, 1, 60)
        for w in (0.0, 6.0)
    ]


def _off(piece: Piece, at, w: float) -> float:
    x, _, z = piece.place.apply([*at, w])
    return hypot(x, z - 331) - R


def test_the_kernel_cuts_the_same_tab_out_of_one_that_reaches_into_the_tube(tmp_path):
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut

    from parts import solid
    from parts.sheet.blank import Blank
    from parts.sheet.curve import Line
    from parts.sheet.fold import fold
    from parts.sheet.loop import area

    piece = part_of(tmp_path, ON_TUBE).pieces[0]
    outline = piece.blank.outline
    arcs = [c for c in outline if _off(piece, c.at(0.5), 3) < 1]
    (cope,) = arcs  # square across the tube the cut is one arc
    straight = tuple(Line(c.start, c.end) if c is cope else c for c in outline)
    whole = fold(Blank(6, straight, piece.blank.cutouts, (), piece.blank.base))
    plate = solid.as_cadquery(solid.of(whole), piece.place).wrapped
    cut = BRepAlgoAPI_Cut(plate, round_bar((0, 450, 331), RIGHT, OD + 0.8)).Shape()
    # the tube also takes what lies under the root's ends: nothing, the root's chord crosses it
    assert volume(cut) == pytest.approx(piece.volume, rel=1e-6)
    assert area(straight) * 6 > piece.volume + 1000


def test_a_canted_tab_is_cut_so_that_its_nearer_face_rides_on_the_tube(tmp_path):
    part = part_of(tmp_path, CANTED)
    cant = degrees(atan2(0.3, 1))
    assert figure(part, "right: tab off square to the tube") == pytest.approx(cant)
    assert figure(part, "cope, long half axis of the ellipse") == pytest.approx(
        R / cos(radians(cant))
    )
    # where the cut is widest the faces stand t tan(cant) apart on the steepest flank, and less
    # than that everywhere
    assert 0.4 < figure(part, "gap at the root, widest") < 0.4 + 6 * 0.3 + 0.05


def test_a_canted_tab_left_to_choose_its_leg_lays_one_that_has_the_least_throat(tmp_path):
    # EN 1993-1-8 4.5.2(2): 3 mm. Between faces that open by 90 + c degrees the throat is the leg's
    # cos(45 + c / 2), and c is the part of the cant that lies square to the tube at the root's end
    part = part_of(tmp_path, {**CANTED, "force": 3000})
    assert not part.refused, told(part)
    throats = [f.value for p in part.pieces for f in p.figures if f.name == "weld, throat"]
    legs = [f.value for p in part.pieces for f in p.figures if f.name == "weld, leg"]
    for throat, leg in zip(throats, legs, strict=True):
        assert throat >= 3 > (leg - 0.5) / leg * throat
        assert throat > leg * cos(radians(45 + degrees(atan2(0.3, 1)) / 2))


def test_along_the_tube_the_root_is_straight(tmp_path):
    side = {"hole": "H", "axis": ["T1", "T2"], "bolt_way": [0.52, 0, -0.86]}
    part = part_of(tmp_path, {**ON_TUBE, "right": side, "root": 70})
    for piece in part.pieces:
        assert apart(placed(piece), tube()) == pytest.approx(0.4, abs=0.02)
    assert figure(part, "cope, depth") == pytest.approx(0, abs=1e-9)


def test_on_a_spreader_the_tab_stands_on_its_outside(tmp_path):
    keys = {**ON_TUBE, "tube": {"od": 76.1, "wall": 3, "spreader": 4}}
    piece = part_of(tmp_path, keys).pieces[0]
    bar = round_bar((0, 450, 331), RIGHT, OD + 8)
    assert apart(placed(piece), bar) == pytest.approx(0.4, abs=0.011)


# Flat faces and folded feet


def test_on_a_face_the_root_stands_off_by_the_gap(tmp_path):
    part = part_of(tmp_path, ON_FACE)
    for piece in part.pieces:
        heights = 360 - vertices(placed(piece))[:, 2]
        assert heights.min() == pytest.approx(0.4)
        assert (heights < 0.4 + 1e-6).sum() == 4  # both ends of the root on both faces
    leaning = {**ON_FACE, "right": {"hole": "H", "face": {"point": "F1", "out": [0, 0.2, -1]}}}
    stated = part_of(tmp_path, leaning)
    out = np.array([0, 0.2, -1]) / hypot(0.2, 1)
    for piece in stated.pieces:
        off = (vertices(placed(piece)) - [-68, 450, 360]) @ out
        assert off.min() == pytest.approx(0.4)
        low = np.sort(off)[:4]
        assert low[-1] == pytest.approx(figure(stated, "gap at the root, widest"))


def vertices(shape) -> np.ndarray:
    from OCP.BRep import BRep_Tool
    from OCP.TopAbs import TopAbs_VERTEX
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    explorer, found = TopExp_Explorer(shape, TopAbs_VERTEX), set()
    while explorer.More():
        p = BRep_Tool.Pnt_s(TopoDS.Vertex_s(explorer.Current()))
        found.add((round(p.X(), 9), round(p.Y(), 9), round(p.Z(), 9)))
        explorer.Next()
    return np.array(sorted(found))


@pytest.mark.parametrize("turn", ["away", "under"])
@pytest.mark.parametrize("lean", [0.0, 0.25, -0.25])
def test_a_folded_foot_lies_on_its_face(tmp_path, turn, lean):
    face = {"point": "F1", "out": [0, lean, -1]}
    foot = {"wall": 5, "length": 55, "turn": turn}
    part = part_of(tmp_path, {**ON_FOOT, "foot": foot, "right": {"hole": "H", "face": face}})
    out = np.array([0, lean, -1]) / hypot(lean, 1)
    for piece in part.pieces:
        shape = placed(piece)
        on_face = (vertices(shape) - [-68, 450, 360]) @ out
        assert on_face.min() == pytest.approx(0, abs=1e-6)
        (bend,) = piece.blank.bends
        # all of the flat foot lies on it: its length less the setback, (r + t) tan(turn / 2)
        setback = 13 * np.tan(radians(abs(bend.turn_deg)) / 2)
        corners = 2 * 5**2 * (1 - pi / 4)
        flat = 90 * (55 - setback) - corners
        assert area_on(shape, np.array([-68, 450, 360]), out) == pytest.approx(flat, rel=1e-6)
        # the toe points away from the joint, or under it
        toe = vertices(shape)[np.argsort(on_face)[:4], 1].mean()
        side = 1 if piece.name == "outboard tab" else -1
        outside = side * (toe - piece.place.origin[1])
        assert (outside > 0) == (turn == "away")
    lean_deg = degrees(atan2(lean, 1))
    turns = {p.name: abs(p.blank.bends[0].turn_deg) for p in part.pieces}
    sign = 1 if turn == "away" else -1
    assert turns["outboard tab"] == pytest.approx(90 - sign * lean_deg)
    assert turns["inboard tab"] == pytest.approx(90 + sign * lean_deg)


def area_on(shape, point, normal) -> float:
    """Area of the shape's flat faces that lie in a plane."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.BRepGProp import BRepGProp
    from OCP.GeomAbs import GeomAbs_Plane
    from OCP.GProp import GProp_GProps
    from OCP.TopAbs import TopAbs_FACE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    explorer, total = TopExp_Explorer(shape, TopAbs_FACE), 0.0
    while explorer.More():
        face = TopoDS.Face_s(explorer.Current())
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() == GeomAbs_Plane:
            plane = surface.Plane()
            p, d = plane.Location(), plane.Axis().Direction()
            off = (np.array([p.X(), p.Y(), p.Z()]) - point) @ normal
            if abs(off) < 1e-6 and abs(np.array([d.X(), d.Y(), d.Z()]) @ normal) > 1 - 1e-9:
                found = GProp_GProps()
                BRepGProp.SurfaceProperties_s(face, found)
                total += found.Mass()
        explorer.Next()
    return total


def test_a_bolted_foots_bolts_are_judged_by_statics(tmp_path):
    foot = {"wall": 5, "length": 75, "fixing": "bolted", "bolt": "M12"}
    part = part_of(tmp_path, {**ON_FOOT, "foot": foot, "force": 1000,
                              "right": {**ON_FOOT["right"], "link_to": "C"}})  # fmt: skip
    screens = {screen.name: screen for screen in part.pieces[0].screens}
    pitch = figure(part, "foot: holes, pitch")
    row = figure(part, "foot: holes from the outside of the tab")
    # 1 kN runs toward C, 560 forward and 10 up: half on each tab; the face is 70 over the hole
    # and looks down, so that up is toward it
    along, toward = 500 * 560 / hypot(560, 10), 500 * 10 / hypot(560, 10)
    toe, across = 75 - row, 0.1 * 500
    tension = (toward * (1 + row / toe) + across * 70 / min(toe, row)) / 2 + along * 70 / pitch
    assert screens["foot bolt, tension"].found == pytest.approx(tension, rel=1e-6)
    assert screens["foot bolt, shear"].found == pytest.approx(hypot(along, across) / 2, rel=1e-6)
    # M12 8.8 by hand: .9 x 800 x 84.27 / 1.25 and .6 x 800 x 84.27 / 1.25, less 15 % for a hole of
    # 13.5 (EN 1993-1-8 3.6.1(5))
    assert screens["foot bolt, tension"].limit == pytest.approx(48.54e3, rel=1e-3)
    assert screens["foot bolt, shear"].limit == pytest.approx(0.85 * 32.36e3, rel=1e-3)
    # the wall, 5 mm of S235: .6 pi x 19.39 x 5 x 360 / 1.25 under the head, 18 over flats and
    # 20.78 over corners, and k1 x 12 x 5 x 360 / 1.25 for bearing, k1 = 1.4 p / 13.5 - 1.7 <= 2.5
    punched, borne = (screens[f"foot bolt, {n}"] for n in ("punching the wall",
                                                            "bearing in the wall"))  # fmt: skip
    assert (punched.found, punched.limit) == pytest.approx((tension, 52.64e3), rel=1e-3)
    k1 = min(1.4 * pitch / 13.5 - 1.7, 2.5)
    assert borne.limit == pytest.approx(k1 * 17.28e3, rel=1e-6)


# The strap


@pytest.mark.parametrize("flange", [0, 14])
def test_a_strap_closes_the_pair_and_touches_nothing(tmp_path, flange):
    strap = {"stock": "s2", "flange": flange}
    keys = {**ON_TUBE, "edge": 32, "root": 72, "strap": strap,
            "right": {**ON_TUBE["right"], "link_to": "C"}}  # fmt: skip
    part = part_of(tmp_path, keys)
    assert not part.refused, told(part)
    one, two, closing = (placed(piece) for piece in part.pieces)
    head = round_bar(HOLE, RIGHT, 42, 37.75)
    for tab in (one, two):
        assert apart(tab, closing) == pytest.approx(0.25, abs=1e-6)
    # a flat one ends where the edge's round begins, 32 - 2 from the hole; a flange has to stop
    clear = apart(closing, head)
    assert 3 - 1e-6 <= clear < 3.3 if flange else clear == pytest.approx(32 - 2 - 21)
    assert 0.4 - 1e-6 <= apart(closing, tube()) < 0.8
    # its outside is flush with the edge: no further out than the tabs
    middle = part.pieces[2]
    along, out = middle.place.turn[:, 0], middle.place.turn[:, 2]
    for shape in (one, two):
        assert (vertices(shape) @ out).max() <= (vertices(closing) @ out).max() + 40
    flush = middle.place.apply([0, 0, 2.0])
    assert min(edge_distance(part.pieces[0], flush)) == pytest.approx(0, abs=1e-6)
    # and away from the link, which runs forward
    assert out @ np.array([1.0, 0, 0]) > 0
    assert abs(along @ RIGHT) < 1e-9


def edge_distance(piece: Piece, point) -> list[float]:
    x, y, _ = piece.place.inverse().apply(point)
    return [hypot(*np.subtract(c.nearest((x, y)), (x, y))) for c in piece.blank.outline]


# Papers


def test_the_wrap_paper_lies_the_foot_and_the_hole_where_they_are_on_the_tube(tmp_path):
    part = part_of(tmp_path, ON_TUBE)
    (paper,) = part.sketches
    assert paper.full_size
    shapes = {shape.name: shape for shape in paper.shapes}
    for name, y in (("outboard tab", 1), ("inboard tab", -1)):
        xs, ys = zip(*(c.at(f) for c in shapes[name].curves for f in (0, 0.5)), strict=True)
        # 70 wide across a tube of 38.05: 2 R asin(35 / R) round it, at half gap and half tab
        assert max(xs) - min(xs) == pytest.approx(2 * R * asin(35 / R), abs=0.02)
        assert sorted((y * min(ys), y * max(ys))) == pytest.approx([18.875, 24.875], abs=1e-6)
    # straight up is acos(-41 / hole distance) round from the hole, to the right seen along +Y
    up = shapes["straight up"].curves[0].start[0]
    assert up == pytest.approx(R * acos(-41 / hypot(68, 41)))
    assert f"{pi * OD:.1f} mm in all" in paper.across


# The demo


def test_the_demos_tabs_stand_at_the_axle_and_hold_with_the_solvers_loads():
    part = load(CONFIGS / "tin_wren.toml").part("lower_tabs")
    assert not part.refused, told(part)
    assert [piece.hand for piece in part.pieces] == ["right", "right", "left", "left"]
    # from the demo's numbers: hole 68 forward of and 41 under the axle, tab 6, root 70, edge 26
    assert figure(part, "right: hole from the tube's axis") == pytest.approx(hypot(68, 41))
    assert figure(part, "cope, depth") == pytest.approx(
        (R + 0.4) - (R + 0.4) * cos(asin(35 / (R + 0.4))), abs=1e-6
    )
    centres = {piece.hand: [] for piece in part.pieces}
    for piece in part.pieces:
        centres[piece.hand].append(piece.place.origin)
    for hand, y in (("right", 450), ("left", -450)):
        assert np.mean(centres[hand], axis=0)[[0, 2]] == pytest.approx([-68, 290], abs=1e-6)
        assert np.mean(centres[hand], axis=0)[1] == pytest.approx(y, abs=3.1)  # back faces


BUILT = {
    "tube": ON_TUBE,
    "canted": {**CANTED, "force": 3000},
    "face": ON_FACE,
    "foot": ON_FOOT,
    "strap": {**ON_TUBE, "edge": 32, "root": 72, "strap": {"stock": "s2", "flange": 14}},
}


@pytest.mark.parametrize("keys", BUILT.values(), ids=BUILT)
def test_a_tab_builds_and_is_proved(tmp_path, keys):
    from parts.building import build

    part = part_of(tmp_path, keys)
    built = build(part, tmp_path / "out", only=("step", "dxf", "script"))
    assert {path.suffix for path in built.files} >= {".step", ".dxf", ".py"}
