"""What standards and makers' lists say of a size: design width and diameter, growth, rules."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

from parts.sheet.stock import MM_PER_INCH
from parts.tables import Row, UnknownName, find, rows
from parts.trade.tyre.designation import Designation, Flotation, Letter, Metric, Numeric


@dataclass(frozen=True, slots=True)
class Standard:
    """What a standard or a maker's list says of a size, mm, on its measuring rim."""

    nominal_width: float
    nominal_diameter: float
    measuring_rim_in: float
    width: float
    diameter: float
    largest_diameter: float  # of a new tyre: with a traction pattern, or with the list's ±
    width_plus_minus: float  # of the list
    use: str  # passenger or light truck
    nominal_source: str
    source: str
    notes: tuple[str, ...] = ()


def standard_of(size: Designation, rim_diameter: float) -> Standard:
    """What is laid down for a size; raises UnknownName or ValueError where nothing is."""
    if isinstance(size, Metric):
        return _metric(size, rim_diameter)
    if isinstance(size, Flotation):
        return _flotation(size)
    return _old(size)


def _metric(size: Metric, rim_diameter: float) -> Standard:
    factors = _series_factors(size.series)
    measuring = _half_inches(size.width * float(factors["measuring_rim_factor"]) / MM_PER_INCH)
    theoretical = size.width * float(factors["theoretical_rim_factor"])
    over_rim = measuring * MM_PER_INCH - theoretical
    width = _nearest(size.width + rule("width per rim width") * over_rim)
    height = (size.width * size.series + 50) // 100  # to the nearest mm, halves up
    diameter = rim_diameter + 2 * height
    truck = size.service in ("LT", "ST", "C")
    return Standard(
        nominal_width=float(size.width),
        nominal_diameter=size.rim_code * MM_PER_INCH + 2 * size.width * size.series / 100,
        measuring_rim_in=measuring,
        width=width,
        diameter=diameter,
        largest_diameter=diameter,
        width_plus_minus=0.0,
        use="light truck" if truck else "passenger",
        nominal_source="sidewall",
        source="UN R30 6.1 and ISO 4000-1" if not truck else "UN R54 6.1 and ISO 4000-1",
    )


def _series_factors(series: int) -> Row:
    for row in rows("tyre_series_rims"):
        if float(row["least_series"]) <= series <= float(row["most_series"]):
            return row
    raise ValueError(f"series {series} is not in tyre_series_rims.csv; series go by 5, 25 to 95")


def _flotation(size: Flotation) -> Standard:
    label = size.outside_in * MM_PER_INCH
    over = rule("flotation label over real diameter")
    note = (
        f"a flotation label runs about {over:g} in over the tyre's real diameter, which differs "
        "from maker to maker"
    )
    wanted = (size.outside_in, size.width_in, size.rim_code)
    columns = ("outside_in", "width_in", "rim_code")
    row = next(
        (r for r in rows("tyre_flotation") if tuple(float(r[c]) for c in columns) == wanted), None
    )
    if row:
        measuring, width, diameter, traction, source = (
            float(row["measuring_rim_in"]), float(row["width_mm"]), float(row["diameter_mm"]),
            float(row["traction_diameter_mm"]), row["source"],
        )  # fmt: skip
    else:
        measuring = _half_inches(size.width_in * rule("flotation measuring rim per width"))
        width = size.width_in * MM_PER_INCH
        diameter = float(ceil((size.outside_in - over) * MM_PER_INCH))
        traction = diameter + rule("traction pattern over road pattern")
        source = "by the rule that the rows of UN R54 Annex 5 part II follow, from memory"
    return Standard(
        nominal_width=size.width_in * MM_PER_INCH,
        nominal_diameter=label,
        measuring_rim_in=measuring,
        width=width,
        diameter=diameter,
        largest_diameter=traction,
        width_plus_minus=0.0,
        use="light truck",
        nominal_source="sidewall",
        source=source,
        notes=(note,),
    )


def _old(size: Numeric | Letter) -> Standard:
    """From tyre_old_sizes.csv; the row's name is the size without its service letters."""
    build = "radial" if size.construction == "radial" else "bias"
    plain = str(size).removesuffix(size.service)
    row = _old_row(plain, plain.replace("R", "-"))
    known = row["construction"]
    width, diameter = (float(row[c]) * MM_PER_INCH for c in ("width_in", "diameter_in"))
    spread = float(row["diameter_plus_minus_in"]) * MM_PER_INCH
    note = f"{plain} says nothing of its diameter: this is from a list, ± {spread:.0f} mm"
    unlike = () if known == build else (f"the list has {row['name']} as {known}, not {build}",)
    return Standard(
        nominal_width=size.width_in * MM_PER_INCH if isinstance(size, Numeric) else width,
        nominal_diameter=diameter,
        measuring_rim_in=float(row["measuring_rim_in"]),
        width=width,
        diameter=diameter,
        largest_diameter=diameter + spread,
        width_plus_minus=float(row["width_plus_minus_in"]) * MM_PER_INCH,
        use="light truck" if size.service else "passenger",
        nominal_source=f"sidewall and {row['source']}",
        source=row["source"],
        notes=(note, *unlike),
    )


def _old_row(name: str, other: str) -> Row:
    """Numeric radials are listed with the bias-ply size they replace: 7.50R16 is 7.50-16."""
    names = {row["name"]: row for row in rows("tyre_old_sizes")}
    row = names.get(name) or names.get(other)
    if row is None:
        raise UnknownName("tyre size", name, "tyre_old_sizes.csv", names)
    return row


def rim_seat(code: float) -> tuple[float, str]:
    for row in rows("tyre_rim_codes"):
        if float(row["code"]) == code:
            return float(row["diameter_mm"]), row["source"]
    codes = [row["code"] for row in rows("tyre_rim_codes")]
    raise UnknownName("rim code", f"{code:g}", "tyre_rim_codes.csv", codes)


def growth_factors(use: str, construction: str) -> Row:
    """Factors on width and on section height; bias-belted tyres grow as bias-ply ones."""
    build = "radial" if construction == "radial" else "bias"
    for row in rows("tyre_growth"):
        if (row["use"], row["construction"]) == (use, build):
            return row
    raise UnknownName("growth", f"{use} {build}", "tyre_growth.csv", ["passenger radial"])


def widening(from_in: float, to_in: float) -> float:
    """How much wider a tyre gets on another rim: 0.4 mm per mm (UN R30)."""
    return rule("width per rim width") * (to_in - from_in) * MM_PER_INCH


def rule(name: str) -> float:
    return float(find("tyre_rules", name)["value"])


def _half_inches(inches: float) -> float:
    return floor(2 * inches + 0.5 + 1e-9) / 2


def _nearest(mm: float) -> float:
    """To the whole mm, halves up: Python's own round() goes to the even one."""
    return float(floor(mm + 0.5 + 1e-9))
