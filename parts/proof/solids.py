"""The folded solid, read back from its STEP file, against the blank folded by other means."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from parts.part import Piece
from parts.place import Vector, cross
from parts.proof import bends
from parts.proof.bends import at_words, parallel
from parts.proof.drawing import Drawing
from parts.proof.folding import Chain, chains, folded_flat
from parts.proof.ledger import SMALL, Ledger
from parts.sheet import measure
from parts.sheet.curve import Arc, Point

if TYPE_CHECKING:
    from parts.solid.read import CylinderFace, PlaneFace, ShapeFacts, StepFacts

VOLUME = 1e-8  # relative
MASS_POINT = 1e-5  # mm; the kernel integrates to 1e-9 of the part's size
ALIKE = 0.5  # mm; a hole this near to where one should be is that hole, misplaced


def check_step(
    path: Path, piece: Piece, stem: str, drawing: Drawing | None, ledger: Ledger
) -> StepFacts | None:
    """Everything a STEP file should say of the piece; the drawing's holes are folded onto it."""
    from parts.solid.read import read_step

    try:
        facts = read_step(path)
    except (ValueError, OSError) as reason:
        ledger.wrong("the file", "one solid in a whole STEP file", str(reason))
        return None
    _check_heading(facts, piece, stem, ledger)
    shape = facts.shape
    ledger.same("number of solids", 1, shape.solids)
    ledger.same("kernel's check of the solid", "valid", "valid" if shape.valid else "not valid")
    ledger.near("volume", piece.volume, shape.volume, VOLUME * piece.volume, "mm3")
    center = measure.center_of_mass(piece.folded)
    off = float(np.linalg.norm(shape.center_of_mass - center))
    ledger.near("centre of mass", 0.0, off, MASS_POINT, "mm off")
    check_flats(shape, piece, ledger)
    bends.check_bends(shape, piece, ledger)
    check_rounds(shape, piece, drawing, ledger)
    return facts


def in_ascii(text: str) -> str:
    """A name as a STEP file should have it: accents dropped."""
    return unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()


def _check_heading(facts: StepFacts, piece: Piece, stem: str, ledger: Ledger) -> None:
    metal = piece.stock.material
    ledger.same("schema", "AUTOMOTIVE_DESIGN", facts.schema)
    ledger.same("length unit", "mm", facts.unit)
    ledger.same("product name", in_ascii(stem), facts.name)
    ledger.same("material", metal.name, facts.material)
    ledger.near("density", metal.density_kg_m3, facts.density_kg_m3, 1e-6, "kg/m3")
    ledger.same("whether it has a colour", True, facts.colour is not None)


def check_flats(shape: ShapeFacts, piece: Piece, ledger: Ledger) -> None:
    """Both faces of every flat region: in place, of the right area, one thickness apart."""
    folded = piece.folded
    t = folded.blank.thickness
    for region, chain in zip(folded.regions, chains(folded), strict=True):
        if region.bend is not None:
            continue
        corner = region.curves[0][0].start
        back, front = (folded_flat(folded.blank, chain, corner, w) for w in (0.0, t))
        out = (front - back) / t
        where = f"flat of {region.area:.3f} mm2 at {at_words(corner)}"
        faces = [
            face
            for face in shape.planes
            if parallel(face.normal, out) and float(face.normal @ out) < 0
            if abs(float((face.center - back) @ out)) <= SMALL
            if abs(face.area - region.area) <= SMALL * region.area
        ]
        if not ledger.same("back face of a flat", "there", "there" if faces else "missing", where):
            continue
        apart = _thickness(faces[0], shape.planes)
        if apart is None:
            ledger.wrong(f"thickness, {where}", f"{t:g} mm", "no face that lies opposite")
        else:
            ledger.near("thickness of a flat", t, apart, what=f"thickness, {where}")


def _thickness(face: PlaneFace, planes: Iterable[PlaneFace]) -> float | None:
    """Distance to the nearest face of the same size that lies square behind."""
    behind = []
    for other in planes:
        way = face.center - other.center
        apart = float(way @ face.normal)
        opposite = parallel(face.normal, other.normal) and float(face.normal @ other.normal) < 0
        square = float(np.linalg.norm(way - apart * face.normal)) <= 1e-5
        if opposite and square and apart > SMALL and abs(other.area / face.area - 1) < SMALL:
            behind.append(apart)
    return min(behind, default=None)


@dataclass(frozen=True, slots=True)
class Round:
    """A round cut as drawn, and the flat axes it is drawn in."""

    name: str
    center: Point
    radius: float
    whole: bool
    chain: Chain


def check_rounds(shape: ShapeFacts, piece: Piece, drawing: Drawing | None, ledger: Ledger) -> None:
    """Holes, slot ends and round corners in flat metal: folded onto the solid's own cylinders."""
    folded = piece.folded
    t = folded.blank.thickness
    rounds = _rounds(piece)
    walls = [face for face in shape.cylinders if abs(face.reach - t) < 1e-3]
    whole, partly = (_Walls([f for f in walls if f.whole == sort]) for sort in (True, False))
    for cut in rounds:
        center, radius = _as_drawn(cut, drawing)
        back, front = (folded_flat(folded.blank, cut.chain, center, w) for w in (0.0, t))
        out = (front - back) / t
        kind = "hole" if cut.whole else "round cut"
        alike = whole if cut.whole else partly
        misfits = alike.misfits(back, out, radius)
        nearest = int(misfits.argmin()) if misfits.size else 0
        face = alike.faces[nearest] if misfits.size and misfits[nearest] <= ALIKE else None
        if face is None:
            ledger.wrong(
                f"{kind} {cut.name} at {at_words(center)}", "there", "no cylinder within reach"
            )
            continue
        off = max(_off(face, point) for point in (back, front))
        ledger.near(f"axis of a {kind}", 0.0, off, SMALL, "mm off", f"axis of {kind} {cut.name}")
        ledger.near(
            f"diameter of a {kind}",
            2 * radius,
            2 * face.radius,
            what=f"diameter of {kind} {cut.name}",
        )
    holes = sum(1 for face in walls if face.whole and face.concave)
    ledger.same("number of whole holes in flat metal", sum(cut.whole for cut in rounds), holes)


def _rounds(piece: Piece) -> list[Round]:
    folded = piece.folded
    found = []
    for region, chain in zip(folded.regions, chains(folded), strict=True):
        if region.bend is not None:
            continue
        for loop in region.curves:
            for curve in loop:
                if isinstance(curve, Arc):
                    name = _name_of(piece, curve)
                    found.append(Round(name, curve.center, curve.radius, curve.full, chain))
    return found


def _name_of(piece: Piece, arc: Arc) -> str:
    for cutout in piece.folded.blank.cutouts:
        for curve in cutout.loop:
            if (
                isinstance(curve, Arc)
                and np.hypot(curve.center[0] - arc.center[0], curve.center[1] - arc.center[1])
                < SMALL
            ):
                return cutout.name
    return "of the outline"


def _as_drawn(cut: Round, drawing: Drawing | None) -> tuple[Point, float]:
    """Centre and radius as the DXF has them, where there is one; else the blank's own."""
    found = []
    for contour in drawing.contours if drawing else ():
        for stroke in contour.strokes:
            if stroke.sweep and contour.whole_circle == cut.whole:
                off = np.hypot(stroke.center[0] - cut.center[0], stroke.center[1] - cut.center[1])
                found.append((off + abs(stroke.radius - cut.radius), stroke))
    off, nearest = min(found, key=lambda pair: pair[0], default=(ALIKE, None))
    if nearest is None or off >= ALIKE:
        return cut.center, cut.radius
    return nearest.center, nearest.radius


class _Walls:
    """Cylinder faces side by side: how ill each fits a round cut."""

    def __init__(self, faces: list[CylinderFace]) -> None:
        self.faces = faces
        self._points = np.array([face.point for face in faces]).reshape(-1, 3)
        self._along = np.array([face.along for face in faces]).reshape(-1, 3)
        self._reach = np.array([face.reach for face in faces])
        self._radius = np.array([face.radius for face in faces])

    def misfits(self, back: Vector, out: Vector, radius: float) -> Vector:
        """Of each face, from a cut of that radius that goes out of `back` (3,) along `out` (3,):
        off its axis, tilted, too low or high, too wide, added up; (n,)."""
        from_back = self._points - back
        off = np.linalg.norm(np.cross(from_back, self._along), axis=1)
        tilt = np.linalg.norm(np.cross(self._along, out), axis=1)
        level = np.abs(np.abs(from_back @ out) - self._reach / 2)
        found: Vector = off + 100 * tilt + level + np.abs(self._radius - radius)
        return found


def _off(face: CylinderFace, point: Vector) -> float:
    return float(np.linalg.norm(cross(point - face.point, face.along)))
