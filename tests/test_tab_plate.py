"""Tabs in bending against a general finite-element library, and sections against the kernel.

The screening takes a tab as a beam. As a plate held along its root it sees more in places: the
load at which it first yields and the load that it carries at least are both worked out here, for a
tab coped onto a tube and one on a flat face, across its plane and in it, so that it is known on
which side the screening errs and by how much.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import ceil, pi, sqrt
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
import scipy.sparse as sparse
import scipy.sparse.linalg as linear
import shapely
from link_tabs import ON_FACE, ON_TUBE, laids
from scipy.spatial import Delaunay
from shapely.geometry import LineString, Polygon
from skfem import (
    Basis,
    ElementTriMorley,
    ElementTriP1,
    ElementVector,
    Functional,
    LinearForm,
    MeshTri,
)

from parts.kinds.link_tab.screens import sections
from parts.kinds.link_tab.tab import Tab
from parts.trade.lug import AtHole, section_screens

E_MPA, POISSON, YIELD = 210000.0, 0.3, 355.0
SPREAD = 15.0  # mm from the hole's centre, under an M16 washer, over which the load is laid on
SIDE = 3.0  # mm, of the triangles

FLAT = {**ON_FACE, "root": 70, "right": {"hole": "H", "face": {"point": "NEAR", "out": [0, 0, -1]}}}
NEAR = "NEAR = { at = [-68, 450, 331.75] }\n"  # the hole stands as high over it as over the tube
CASES = {"coped": ON_TUBE, "flat": FLAT}


@cache
def tab(case: str) -> Tab:
    with TemporaryDirectory() as folder:
        return laids(Path(folder), CASES[case], points=NEAR)[0].tabs[0]


@dataclass(frozen=True, eq=False)
class Meshed:
    mesh: MeshTri
    held: np.ndarray  # facets along the root


@cache
def meshed(case: str, side: float = SIDE) -> Meshed:
    outline = tab(case).outline
    edge = [c.at(k / n) for c in outline.outer for n in (max(2, ceil(c.length / side)),)
            for k in range(n)]  # fmt: skip
    rim = [(outline.hole / 2 * np.cos(a), outline.hole / 2 * np.sin(a))
           for a in np.linspace(0, 2 * pi, 24, endpoint=False)]  # fmt: skip
    metal = Polygon(edge, [rim])
    x0, y0, x1, y1 = metal.bounds
    rows = np.arange(y0, y1, side * sqrt(3) / 2)
    grid = np.array([(x, y) for j, y in enumerate(rows)
                     for x in np.arange(x0 + (j % 2) * side / 2, x1, side)])  # fmt: skip
    grid = grid[shapely.contains_xy(metal.buffer(-0.55 * side), *grid.T)]
    points = np.vstack([edge, rim, grid])
    cells = Delaunay(points).simplices
    cells = cells[shapely.contains_xy(metal, *points[cells].mean(axis=1).T)]
    a, b, c = (points[cells[:, k]] for k in range(3))
    cross = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    mesh = MeshTri(points.T.copy(), cells[np.abs(cross) > 1e-6].T.copy())
    facets = mesh.boundary_facets()
    ends = mesh.p[:, mesh.facets[:, facets]]
    on_root = _from_root(case, ends.reshape(2, -1)).reshape(2, -1).max(axis=0) < 1e-3
    return Meshed(mesh, facets[on_root])


def _from_root(case: str, points: np.ndarray) -> np.ndarray:
    """Distance of points (2, n) from the root."""
    foot = tab(case).outline.foot
    line = LineString([c.at(k / 400) for c in foot for k in range(401)])
    return shapely.distance(shapely.points(points.T), line)


def _laid_on(x: np.ndarray) -> np.ndarray:
    return 1.0 * (np.hypot(x[0], x[1]) < SPREAD)


@dataclass(frozen=True, eq=False)
class Model:
    """A tab in triangles of constant strain: `strain` (3n, dofs) of each, its area, the law (3, 3)
    from strain to moment or force per mm, and a load of 1 N at the hole. Equivalent moments or
    forces start to yield at `yields` and can grow to `gives`."""

    strain: sparse.csr_matrix
    area: np.ndarray
    law: np.ndarray
    load: np.ndarray
    free: np.ndarray
    yields: float
    gives: float

    def solver(self):
        cells = len(self.area)
        whole = sparse.kron(sparse.eye(cells), self.law).tocsr()
        weights = sparse.diags(np.repeat(self.area, 3))
        matrix = (self.strain.T @ weights @ whole @ self.strain).tocsc()
        return linear.splu(matrix[self.free][:, self.free])


LAW = np.array([[1, POISSON, 0], [POISSON, 1, 0], [0, 0, (1 - POISSON) / 2]]) / (1 - POISSON**2)


@cache
def plate(case: str, side: float = SIDE) -> Model:
    """Bent across its plane: thin plate theory, Morley's triangles."""
    t = tab(case).thickness

    def bent(field) -> tuple:
        hess = np.asarray(field.hess)[..., 0]
        return (hess[0, 0], hess[1, 1], 2 * hess[0, 1])

    return _model(case, side, ElementTriMorley(), bent, lambda v: v, E_MPA * t**3 / 12 * LAW,
                  (YIELD * t**2 / 6, YIELD * t**2 / 4))  # fmt: skip


@cache
def sheet(case: str, side: float = SIDE) -> Model:
    """Pushed along its root, in its plane: plane stress, linear triangles."""
    t = tab(case).thickness

    def stretched(field) -> tuple:
        grad = np.asarray(field.grad)[..., 0]
        return (grad[0, 0], grad[1, 1], grad[0, 1] + grad[1, 0])

    return _model(case, side, ElementVector(ElementTriP1()), stretched, lambda v: v[0],
                  E_MPA * t * LAW, (YIELD * t, YIELD * t))  # fmt: skip


def _model(case, side, element, strained, loaded, law, limits) -> Model:
    found = meshed(case, side)
    mesh = found.mesh
    basis, cells = Basis(mesh, element, intorder=1), mesh.t.shape[1]
    rows, columns, values = [], [], []
    for i in range(basis.Nbfun):
        for r, value in enumerate(strained(basis.basis[i][0])):
            rows.append(3 * np.arange(cells) + r)
            columns.append(basis.element_dofs[i])
            values.append(value)
    entries = (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))
    strain = sparse.csr_matrix(entries, (3 * cells, basis.N))
    (ax, bx, cx), (ay, by, cy) = mesh.p[:, mesh.t]
    area = np.abs((bx - ax) * (cy - ay) - (cx - ax) * (by - ay)) / 2
    fine = Basis(mesh, element, intorder=3)
    load = LinearForm(lambda v, w: _laid_on(w.x) * loaded(v)).assemble(fine)
    load = load / Functional(lambda w: _laid_on(w.x)).assemble(fine)
    held = basis.get_dofs(facets=found.held).flatten()
    free = np.setdiff1d(np.arange(basis.N), held)
    return Model(strain, area, law, load, free, *limits)


def equivalent(moments: np.ndarray) -> np.ndarray:
    """Von Mises' of moments or forces per length (n, 3)."""
    x, y, xy = moments.T
    return np.sqrt(x**2 + y**2 - x * y + 3 * xy**2)


def first_yield_n(one: Model) -> float:
    """Load at which the most stressed triangle starts to yield."""
    bent = one.solver().solve(one.load[one.free])
    return one.yields / equivalent((one.strain[:, one.free] @ bent).reshape(-1, 3) @ one.law).max()


def held_n(one: Model) -> float:
    """The greatest load for which moments or forces are found that balance it and nowhere pass
    what the metal gives way at: what the tab carries at least."""
    solver, strain = one.solver(), one.strain[:, one.free]
    weights, soft = np.repeat(one.area, 3), np.linalg.inv(one.law)
    load, start = one.load[one.free], first_yield_n(one)
    bent, kept = np.zeros(len(load)), np.zeros((len(one.area), 3))
    carried, at, step = 0.0, start, start / 8
    while step > 0.02 * start:
        now, plastic, balanced = bent.copy(), kept.copy(), False
        for _ in range(250):
            elastic = ((strain @ now).reshape(-1, 3) - plastic) @ one.law
            over = np.maximum(equivalent(elastic) / one.gives, 1.0)
            inside = elastic / over[:, None]
            plastic = (strain @ now).reshape(-1, 3) - inside @ soft
            rest = at * load - strain.T @ (weights * inside.ravel())
            if np.abs(rest).sum() < 1e-3 * at:
                balanced = True
                break
            now = now + 1.6 * solver.solve(rest)
        if balanced:
            bent, kept, carried = now, plastic, at
            at += step
        else:
            at, step = at - step / 2, step / 2
    return carried


def screened_n(case: str, name: str) -> float:
    """Load across the tab, or along its root, at which that line of its screening just holds."""
    along, across = (1.0, 0.0) if name == "bending in plane" else (0.0, 1.0)
    found = [
        screen.found
        for height, middle, section in sections(tab(case), (0, 0))
        for screen in section_screens(AtHole(along, 0, across, -height, -middle), section, YIELD)
        if screen.name == name
    ]
    return YIELD / max(found)


def test_a_clamped_strip_bends_as_a_beam() -> None:
    # the same element on a case known by hand: a wide plate held at one end gives way between a
    # strip that is free to curl (M = fy t^2 / 4) and one that is not (2 / sqrt 3 more)
    one = tab("flat")
    height = -one.foot.crown
    width = next(section.width for _, _, section in sections(one, (0, 0)))
    strip = YIELD * one.thickness**2 / 4 * width / height
    assert 0.95 * strip < held_n(plate("flat")) < 1.1 * 2 / sqrt(3) * strip


ACROSS, IN_PLANE = "bending out of plane", "bending in plane"


@pytest.mark.parametrize(
    ("model", "case", "least", "most"),
    [(plate, "coped", 1.5, 1.65), (plate, "flat", 1.53, 1.7),
     (sheet, "coped", 1.23, 1.36), (sheet, "flat", 1.25, 1.38)],
)  # fmt: skip
def test_a_tab_carries_more_than_the_screening_lets_it(model, case, least, most) -> None:
    # on the safe side: by 1.58 (coped) and 1.61 (flat) across its plane, by 1.29 and 1.31 in it
    name = ACROSS if model is plate else IN_PLANE
    assert least < held_n(model(case)) / screened_n(case, name) < most


@pytest.mark.parametrize(
    ("model", "case", "least", "most"),
    [(plate, "coped", 0.6, 0.71), (plate, "flat", 0.87, 0.97),
     (sheet, "coped", 0.84, 0.95), (sheet, "flat", 0.66, 0.78)],
)  # fmt: skip
def test_in_places_it_yields_before_that(model, case, least, most) -> None:
    # across its plane the crown of a cope, which lies nearest to the hole, sees half as much again
    # as the beam, in its plane the sharp corners of a straight root do: it matters for fatigue,
    # which is not screened
    name = ACROSS if model is plate else IN_PLANE
    assert least < first_yield_n(model(case)) / screened_n(case, name) < most


def test_a_finer_mesh_says_the_same() -> None:
    coarse, fine = (first_yield_n(plate("coped", side)) for side in (SIDE, 2.2))
    assert fine == pytest.approx(coarse, rel=0.04)


@pytest.mark.parametrize("keys", [ON_TUBE, {**ON_FACE, "edge": 30, "root": 100, "lightening": True,
                                            "web": 12, "force": 4000}])  # fmt: skip
def test_the_kernel_finds_the_same_sections(tmp_path: Path, keys: dict) -> None:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.BRepGProp import BRepGProp
    from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
    from OCP.GProp import GProp_GProps

    from parts import solid
    from parts.sheet.fold import fold

    one = laids(tmp_path, keys)[0].tabs[0]
    shape = solid.of(fold(one.blank))
    for height, middle, section in sections(one, (0, 0)):
        plane = gp_Pln(gp_Pnt(middle, height, 3.0), gp_Dir(0, 1, 0))
        sheet = BRepBuilderAPI_MakeFace(plane, -200, 200, -200, 200).Face()
        cut = GProp_GProps()
        BRepGProp.SurfaceProperties_s(BRepAlgoAPI_Common(shape, sheet).Shape(), cut)
        assert cut.Mass() == pytest.approx(section.area, rel=1e-6)
        assert cut.CentreOfMass().X() == pytest.approx(middle + section.middle, abs=1e-6)
        inertia = cut.MatrixOfInertia()  # about the centre: zz holds x x, xx holds z z
        far = section.width / 2 + abs(section.middle)
        assert inertia.Value(3, 3) == pytest.approx(section.modulus_in_plane * far, rel=1e-6)
        assert inertia.Value(1, 1) == pytest.approx(
            section.modulus_out_of_plane * section.thickness / 2, rel=1e-6
        )
