"""Bolts: what they measure, what they hold, and the holes they go through."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from math import pi

from parts.sheet.stock import MM_PER_INCH
from parts.tables import Row, UnknownName, find, rows


@dataclass(frozen=True, slots=True)
class Bolt:
    """One row of bolts.csv, in mm; head, nut and washer are those usually sold with it."""

    name: str
    series: str  # metric coarse, metric fine, UNC or UNF
    diameter: float
    pitch: float
    stress_area: float  # mm2
    across_flats: float
    head_height: float
    washer_outside: float
    washer_thickness: float
    nut_height: float
    socket_outside: float
    source: str

    @property
    def shank_area(self) -> float:
        """Section of the plain shank, mm2."""
        return pi / 4 * self.diameter**2

    @property
    def size(self) -> str:
        """The size without its thread, as clearance_holes.csv has it."""
        return re.split(r"x|-", self.name)[0]


@dataclass(frozen=True, slots=True)
class PropertyClass:
    """Strength of a bolt: what its own standard promises, and what design counts on."""

    name: str
    proof_mpa: float
    yield_mpa: float
    ultimate_mpa: float
    design_yield_mpa: float  # f_yb of EN 1993-1-8 table 3.1
    design_ultimate_mpa: float  # f_ub of the same
    alpha_v: float  # threads in the shear plane, EN 1993-1-8 table 3.4
    source: str


@cache
def bolt(name: str) -> Bolt:
    """The bolt of that name, written as the trade writes it; raises UnknownName.

    >>> bolt("m 12 x 1.75").name, bolt("1/2 in UNC").name, bolt('1/2"-20').name
    ('M12', '1/2-13 UNC', '1/2-20 UNF')
    >>> round(bolt("M12").stress_area, 1)
    84.3
    """
    key = _key(name)
    for row in rows("bolts"):
        if key in _spellings(row):
            return _bolt(row)
    size = key.split("|")[0]
    same_size = [row["name"] for row in rows("bolts") if size in _spellings(row, loose=True)]
    if same_size:
        raise ValueError(
            f"bolt {name!r} is not a thread in bolts.csv; did you mean {' or '.join(same_size)}?"
        )
    raise UnknownName("bolt", name, "bolts.csv", [row["name"] for row in rows("bolts")])


def clearance_hole(bolt: Bolt, fit: str) -> tuple[float, str]:
    """Hole diameter in mm for a bolt, and its source.

    Metric: fine, medium or coarse (ISO 273); inch: close, normal or loose (ASME B18.2.8).

    >>> clearance_hole(bolt("M12"), "medium")[0]
    13.5

    Raises UnknownName for a fit that the bolt's standard does not have.
    """
    fits = {row["fit"]: row for row in rows("clearance_holes") if row["size"] == bolt.size}
    if fit not in fits:
        raise UnknownName("fit", fit, f"clearance_holes.csv for {bolt.size}", fits)
    return float(fits[fit]["hole_mm"]), fits[fit]["source"]


def property_class(name: str, diameter: float | None = None) -> PropertyClass:
    """The class of that name: 8.8, 10.9, grade 5 and so on; raises UnknownName.

    8.8 is stronger over 16 mm; without a `diameter` the smaller size's values are given,
    which are the lower ones.

    >>> property_class("8.8").ultimate_mpa, property_class("8.8", 20).ultimate_mpa
    (800.0, 830.0)
    """
    first = find("property_classes", name, what="property class")
    for row in rows("property_classes"):
        if row["name"] == first["name"] and (
            diameter is None or float(row["over_mm"]) < diameter <= float(row["to_mm"])
        ):
            return _class(row)
    raise ValueError(
        f"property class {first['name']} has no values for a bolt of {diameter:g} mm in "
        "property_classes.csv"
    )


def breaking_force_n(bolt: Bolt, strength: PropertyClass) -> float:
    """Least tensile force that breaks the bolt: ultimate times stress area (ISO 898-1).

    >>> round(breaking_force_n(bolt("M10"), property_class("8.8")), -2)
    46400.0
    """
    return strength.ultimate_mpa * bolt.stress_area


def proof_force_n(bolt: Bolt, strength: PropertyClass) -> float:
    """Tensile force that the bolt takes without staying longer (ISO 898-1).

    >>> round(proof_force_n(bolt("M8"), property_class("10.9")), -2)
    30400.0
    """
    return strength.proof_mpa * bolt.stress_area


def preload_n(bolt: Bolt, strength: PropertyClass) -> float:
    """Preload of a properly tightened bolt, 0.7 f_ub A_s (EN 1993-1-8, 3.6.1(2)).

    >>> round(preload_n(bolt("M20"), property_class("8.8")), -3)
    137000.0
    """
    return 0.7 * strength.design_ultimate_mpa * bolt.stress_area


def shear_resistance_n(
    bolt: Bolt,
    strength: PropertyClass,
    planes: int = 1,
    threads_in_plane: bool = True,
    hole: float | None = None,
) -> float:
    """What one bolt carries in shear, EN 1993-1-8 table 3.4.

    `hole`: its diameter; an M12 or M14 with more than 1 mm of play loses 15 % (3.6.1(5)).

    >>> round(shear_resistance_n(bolt("M20"), property_class("8.8")), -3)
    94000.0
    """
    if threads_in_plane:
        per_plane = strength.alpha_v * strength.design_ultimate_mpa * bolt.stress_area
    else:
        per_plane = 0.6 * strength.design_ultimate_mpa * bolt.shank_area
    if hole is not None and 12 <= bolt.diameter <= 14 and hole - bolt.diameter > 1 + 1e-9:
        per_plane *= 0.85
    return planes * per_plane / partial_factor("M2")


def tension_resistance_n(bolt: Bolt, strength: PropertyClass) -> float:
    """What one bolt carries in tension, 0.9 f_ub A_s / gamma_M2 (EN 1993-1-8 table 3.4).

    >>> round(tension_resistance_n(bolt("M20"), property_class("8.8")), -3)
    141000.0
    """
    return 0.9 * strength.design_ultimate_mpa * bolt.stress_area / partial_factor("M2")


def partial_factor(name: str) -> float:
    """gamma of EN 1993: M0 for yielding, M2 for bolts and net section, M3 for slip.

    >>> partial_factor("M2")
    1.25
    """
    return float(find("partial_factors", name, what="partial factor")["value"])


def _bolt(row: Row) -> Bolt:
    diameter = float(row["diameter_mm"])
    if row["pitch_mm"]:
        pitch = float(row["pitch_mm"])
        across_thread = diameter - 0.9382 * pitch  # ISO 898-1, 9.1.6
    else:
        pitch = MM_PER_INCH / float(row["threads_per_inch"])
        across_thread = diameter - 0.9743 * pitch  # ASME B1.1
    return Bolt(
        name=row["name"],
        series=row["series"],
        diameter=diameter,
        pitch=pitch,
        stress_area=pi / 4 * across_thread**2,
        across_flats=float(row["across_flats_mm"]),
        head_height=float(row["head_height_mm"]),
        washer_outside=float(row["washer_outside_mm"]),
        washer_thickness=float(row["washer_thickness_mm"]),
        nut_height=float(row["nut_height_mm"]),
        socket_outside=float(row["socket_outside_mm"]),
        source=row["source"],
    )


def _class(row: Row) -> PropertyClass:
    return PropertyClass(
        name=row["name"],
        proof_mpa=float(row["proof_mpa"]),
        yield_mpa=float(row["yield_mpa"]),
        ultimate_mpa=float(row["ultimate_mpa"]),
        design_yield_mpa=float(row["design_yield_mpa"]),
        design_ultimate_mpa=float(row["design_ultimate_mpa"]),
        alpha_v=float(row["alpha_v"]),
        source=row["source"],
    )


def _key(name: str) -> str:
    """A name as size|thread: 'm12x1.25' is 'm12|1.25', '1/2 in UNC' is '1/2|unc'."""
    text = re.sub(r"[″”“]|''", '"', name.casefold()).replace("×", "x").replace(",", ".")
    text = re.sub(r'(?<=\d)\s*(inches|inch|in\b\.?|")', " ", text)
    text = re.sub(r"(?<=\d)(?=un[cf])", " ", text)
    parts = [part for part in re.split(r"[\s\-x*]+", text.strip()) if part]
    if parts and parts[0] == "m":
        parts[:2] = ["".join(parts[:2])]
    size, thread = (parts or [""])[0], parts[1:]
    return "|".join([size, *(f"{float(p):g}" if _is_number(p) else p for p in thread)])


def _is_number(text: str) -> bool:
    return re.fullmatch(r"\d+(\.\d+)?|\.\d+", text) is not None


def _spellings(row: Row, loose: bool = False) -> set[str]:
    """Every key that means this row; `loose` adds its bare size, which may mean several."""
    key = _key(row["name"])
    size = key.split("|")[0]
    if row["series"].startswith("metric"):
        keys = {key, f"{size}|{float(row['pitch_mm']):g}"}
    else:
        tpi, series = row["threads_per_inch"], row["series"].casefold()
        keys = {key, f"{size}|{tpi}", f"{size}|{series}", f"{size}|{series}|{tpi}"}
    return keys | {size} if loose else keys
