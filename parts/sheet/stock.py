"""What the sheet is: its material, its thickness, and the sharpest bend it will take."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from parts.tables import Row, UnknownName, find, rows

MM_PER_INCH = 25.4


@dataclass(frozen=True, slots=True)
class Material:
    """One row of materials.csv: the least values that its standard promises."""

    name: str
    family: str  # steel, stainless, aluminium or galvanised: which gauge counts
    density_kg_m3: float
    yield_mpa: float
    ultimate_mpa: float
    e_mpa: float
    poisson: float
    beta_w: float | None  # fillet weld factor of EN 1993-1-8; None for aluminium
    stock_class: str  # row of stock_classes.csv
    source: str


@dataclass(frozen=True, slots=True)
class Stock:
    """Sheet on the rack: a name for it, its material and its thickness.

    >>> round(Stock("tub", material("mild steel"), 2.0).mass_kg_m2, 2)
    15.7
    """

    name: str
    material: Material
    thickness: float

    def __post_init__(self) -> None:
        if not self.thickness > 0:
            raise ValueError(f"stock {self.name!r}: thickness {self.thickness} mm; needs over 0")

    @property
    def mass_kg_m2(self) -> float:
        """Mass of one square metre of the sheet."""
        return self.material.density_kg_m3 * self.thickness / 1000


@cache
def material(name: str) -> Material:
    """The material called `name`, or one of its other names; raises UnknownName.

    >>> material("S355").yield_mpa
    355.0
    >>> material("mild stel")
    Traceback (most recent call last):
    parts.tables.UnknownName: material 'mild stel' is not in materials.csv; did you mean ...
    """
    row = find("materials", name, also="also_called", what="material")
    return Material(
        name=row["name"],
        family=row["family"],
        density_kg_m3=float(row["density_kg_m3"]),
        yield_mpa=float(row["yield_mpa"]),
        ultimate_mpa=float(row["ultimate_mpa"]),
        e_mpa=float(row["e_mpa"]),
        poisson=float(row["poisson"]),
        beta_w=float(row["beta_w"]) if row["beta_w"] else None,
        stock_class=row["stock_class"],
        source=row["source"],
    )


def gauge_thickness(gauge: int, family: str) -> float:
    """Thickness in mm of a gauge number; the number means another thickness in each family.

    16 gauge is .0598 inch in steel and .0508 inch in aluminium:

    >>> round(gauge_thickness(16, "steel"), 3), round(gauge_thickness(16, "aluminium"), 3)
    (1.519, 1.29)

    Raises UnknownName for a family without gauges, ValueError for a gauge it does not have.
    """
    families = [row["family"] for row in rows("gauges")]
    if family not in families:
        raise UnknownName("family", family, "gauges.csv", families)
    known = {int(r["gauge"]): float(r["thickness_in"]) for r in rows("gauges")
             if r["family"] == family}  # fmt: skip
    if gauge not in known:
        raise ValueError(
            f"{family} has no {gauge} gauge in gauges.csv; it has {min(known)} to {max(known)}"
        )
    return known[gauge] * MM_PER_INCH


@dataclass(frozen=True, slots=True)
class LeastRadius:
    """The sharpest inside radii a sheet takes cold, mm, by the way the bend line runs.

    `across` is for a bend line across the rolling direction, the kinder way; `to_turn_deg` the
    turn up to which the source promises both, None where it does not say.
    """

    across: float
    along: float
    to_turn_deg: float | None
    source: str


def least_radii(material: Material, thickness: float) -> LeastRadius:
    """What least_radius.csv says of a sheet.

    >>> least = least_radii(material("S235"), 4)
    >>> least.across, least.along, least.to_turn_deg
    (5.0, 6.0, 90.0)

    Raises ValueError where least_radius.csv has no row for that thickness.
    """
    ours = [row for row in rows("least_radius") if row["material"] == material.name]
    for row in ours:
        if float(row["over_mm"]) < thickness <= float(row["to_mm"]):
            return LeastRadius(
                _radius(row, "across", thickness),
                _radius(row, "along", thickness),
                float(row["to_turn_deg"]) if row["to_turn_deg"] else None,
                row["source"],
            )
    thickest = max((float(row["to_mm"]) for row in ours), default=0.0)
    raise ValueError(
        f"least_radius.csv has no row for {material.name} {thickness:g} mm thick"
        + (f"; it has up to {thickest:g} mm" if ours else "")
    )


def _radius(row: Row, way: str, thickness: float) -> float:
    if row[f"{way}_mm"]:
        return float(row[f"{way}_mm"])
    return float(row[f"{way}_per_t"]) * thickness
