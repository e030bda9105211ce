"""`figures.json`, parsed again, against the blank, the drawing and the solid."""

from __future__ import annotations

import json
from math import hypot
from pathlib import Path
from typing import Any

import numpy as np

from parts.part import Part, Piece
from parts.proof.drawing import Contour, Drawing
from parts.proof.ledger import Ledger
from parts.sheet import measure
from parts.sheet.curve import Arc

HALF = 5.1e-5  # mm or degrees: half of the last decimal, and a hair
KG = 5.1e-7
MM3 = 5.1e-4


def check_figures(
    path: Path, part: Part, drawings: dict[int, Drawing], centers: dict[int, Any], ledger: Ledger
) -> None:
    """Masses, holes and bends as written; `centers` holds centres of mass read from STEP files."""
    try:
        said = json.loads(path.read_text(encoding="utf-8"))
        pieces = said["pieces"]
        ledger.same("part", [part.job, part.name, part.kind], [said[k] for k in _NAMES])
        ledger.same("number of findings", len(part.findings), len(said["findings"]))
        ledger.same("cautions", list(part.cautions), said["cautions"])
        ledger.same("assumptions", list(part.assumptions), said["assumptions"])
        _check_cases(part, said["load_cases"], ledger)
        given = [(row["key"], row["value"]) for row in said["as_given"]]
        ledger.same("keys of the job file", list(part.as_given), given)
        if ledger.same("number of pieces", len(part.pieces), len(pieces)):
            for number, (piece, row) in enumerate(zip(part.pieces, pieces, strict=True)):
                drawing = drawings.get(number)
                _check_piece(piece, row, drawing, centers.get(number), ledger)
    except (ValueError, KeyError, TypeError, OSError) as reason:
        ledger.wrong("the file", "figures of the part", f"{type(reason).__name__}: {reason}")


_NAMES = ("job", "part", "kind")


def _check_cases(part: Part, rows: list[dict[str, Any]], ledger: Ledger) -> None:
    """What the part was screened for, load by load."""
    if not ledger.same("load cases", [case.name for case in part.load_cases],
                       [row["name"] for row in rows]):  # fmt: skip
        return
    for case, row in zip(part.load_cases, rows, strict=True):
        said = [(load["of"], load["unit"], load["direction"]) for load in row["loads"]]
        wanted = [(load.of, load.unit, load.direction) for load in case.loads]
        ledger.near("factors of load cases", case.factor, row["factor"], KG, "", case.name)
        if ledger.same("loads", wanted, said, f"loads of {case.name}"):
            for load, found in zip(case.loads, row["loads"], strict=True):
                ledger.near("loads, as numbers", load.value, found["value"], KG, load.unit)


def _check_piece(
    piece: Piece, row: dict[str, Any], drawing: Drawing | None, center: Any, ledger: Ledger
) -> None:
    name, t = piece.name, piece.folded.blank.thickness
    metal = piece.stock.material
    ledger.same("name and hand", [name, piece.hand or None], [row["name"], row["hand"]])
    ledger.same("material", metal.name, row["material"], f"material of {name}")
    ledger.same("quantity", piece.quantity, row["quantity"], f"quantity of {name}")
    ledger.near("thickness", t, row["thickness_mm"], HALF, what=f"thickness of {name}")
    volume = measure.volume(piece.folded)
    ledger.near("volume", volume, row["volume_mm3"], MM3, "mm3", f"volume of {name}")
    mass = volume * metal.density_kg_m3 / 1e9
    ledger.near("mass", mass, row["mass_kg"], KG, "kg", f"mass of {name}")
    if center is None:
        center = measure.center_of_mass(piece.folded)
    on_vehicle = piece.place.turn @ center + piece.place.origin
    for key, wanted in (
        ("center_of_mass_mm", center),
        ("center_of_mass_on_vehicle_mm", on_vehicle),
    ):
        off = float(np.abs(np.array(row[key]) - wanted).max())
        ledger.near("centre of mass", 0.0, off, HALF, "mm off", f"{key} of {name}")
    _check_bends(piece, row["bends"], ledger)
    _check_openings(piece, row["openings"], drawing, ledger)


def _check_bends(piece: Piece, rows: list[dict[str, Any]], ledger: Ledger) -> None:
    bends = piece.folded.blank.bends
    if not ledger.same("number of bends", len(bends), len(rows)):
        return
    for bend, allowance, row in zip(bends, piece.allowances, rows, strict=True):
        name = f"of bend {bend.name}"
        way = "up" if bend.turn_deg > 0 else "down"
        ledger.same("bend names", bend.name, row["name"])
        ledger.same("direction of bends", way, row["direction"], f"direction {name}")
        for key, wanted in (
            ("turn_deg", abs(bend.turn_deg)),
            ("included_deg", 180 - abs(bend.turn_deg)),
            ("inside_radius_mm", bend.radius),
            ("allowance_mm", bend.allowance),
        ):
            unit = "degrees" if key.endswith("_deg") else "mm"
            ledger.near(f"bend table, {unit}", wanted, row[key], HALF, unit, f"{key} {name}")
        over = allowance.over
        source = None if over is None else over.source
        ledger.same("source of bending over", source, row["bend_over_source"], f"source {name}")
        if over is not None:
            wanted, found = abs(bend.turn_deg) + over.value, row["bend_over_to_deg"]
            ledger.near("turn to bend over to", wanted, found, HALF, "degrees", f"over-bend {name}")


def _check_openings(
    piece: Piece, rows: list[dict[str, Any]], drawing: Drawing | None, ledger: Ledger
) -> None:
    """Every round hole against the CIRCLE drawn for it, or the blank's own where none is."""
    cutouts = piece.folded.blank.cutouts
    ledger.same("names of openings", [c.name for c in cutouts], [row["name"] for row in rows])
    circles = [c for c in drawing.contours if c.whole_circle] if drawing else None
    for cutout, row in zip(cutouts, rows, strict=False):
        arc = cutout.loop[0]
        whole = len(cutout.loop) == 1 and isinstance(arc, Arc)
        ledger.same("round openings", whole, row["shape"] == "round", f"shape of {cutout.name}")
        if not whole or row["shape"] != "round" or not isinstance(arc, Arc):
            continue
        x, y, diameter = row["x_mm"], row["y_mm"], row["diameter_mm"]
        wanted_x, wanted_y, radius = *arc.center, arc.radius
        if circles:
            wanted_x, wanted_y, radius = _nearest(circles, x, y)
        off = max(abs(x - wanted_x), abs(y - wanted_y))
        ledger.near("place of holes", 0.0, off, HALF, "mm off", f"place of {cutout.name}")
        ledger.near("diameter of holes", 2 * radius, diameter, HALF, what=f"size of {cutout.name}")


def _nearest(circles: list[Contour], x: float, y: float) -> tuple[float, float, float]:
    strokes = [circle.strokes[0] for circle in circles]
    best = min(strokes, key=lambda s: hypot(s.center[0] - x, s.center[1] - y))
    return (*best.center, best.radius)
