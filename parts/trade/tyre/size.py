"""How large a tyre is: nominal, by design on the rim fitted, at most in service, as measured.

The sidewall number is nominal: measure the tyre. What was measured comes first; the standard's
values stand beside it, to show a misread and to say how large another tyre of that size may be.
"""

from __future__ import annotations

from dataclasses import dataclass

from parts.trade.lengths import Measured
from parts.trade.tyre.designation import Designation, parse_designation
from parts.trade.tyre.standard import growth_factors, rim_seat, rule, standard_of, widening


@dataclass(frozen=True, slots=True)
class Dimension:
    """A width or diameter in mm, its ± where one is known, and who says so.

    The ± of a design value is what its standard allows a tyre to be larger in service; that of
    a measured value is the reading's own (95 %).
    """

    value: float
    plus_minus: float | None
    source: str


@dataclass(frozen=True, slots=True)
class TyreSize:
    """One tyre on one rim, free (unloaded), mm; width is the section, without lettering.

    `nominal`: the sidewall's arithmetic. `design`: the standard's, on the rim fitted.
    `greatest`: the largest that a tyre of this size may be in service on this rim, or the
    measured one with its ± where that is more. `measured` is None where nothing was measured.
    """

    designation: Designation | None  # None: known by measuring alone
    rim_diameter: float  # bead seat
    rim_width_in: float  # fitted
    measuring_rim_in: float  # the rim that the standard measures on
    nominal_width: Dimension
    nominal_diameter: Dimension
    measuring_rim_width: Dimension  # design section width on the measuring rim
    design_width: Dimension
    design_diameter: Dimension
    greatest_width: Dimension
    greatest_diameter: Dimension
    measured_width: Dimension | None
    measured_diameter: Dimension | None
    notes: tuple[str, ...]

    @property
    def width(self) -> Dimension:
        """The width to work with: measured, else by design."""
        return self.measured_width or self.design_width

    @property
    def diameter(self) -> Dimension:
        """The diameter to work with: measured, else by design."""
        return self.measured_diameter or self.design_diameter


def tyre_size(
    designation: str | Designation,
    rim_width_in: float | None = None,
    *,
    measured_width: Measured | None = None,
    measured_diameter: Measured | None = None,
    measured_on_rim_in: float | None = None,
    rim_rib: bool = False,
    snow_pattern: bool = False,
) -> TyreSize:
    """All that is known of the size of a tyre on a rim, by UN R30 / ISO 4000-1 or R54.

    `rim_width_in`: the rim fitted, else the measuring rim. `measured_on_rim_in`: the rim on
    which the width was measured, where that is another. `rim_rib`: the sidewall has a rib that
    guards the rim. `snow_pattern`: both only raise what is greatest in service.

    By hand: 205/60R15, height 123, on its measuring rim of 6 in; half an inch adds 5.08.

    >>> size = tyre_size("205/60R15", 6.5)
    >>> size.design_diameter.value, round(size.design_width.value, 2)
    (627.0, 214.08)
    >>> round(size.greatest_diameter.value, 2)
    636.84

    Raises DesignationError for a malformed size, UnknownName for one that only a table could
    tell and does not, ValueError for an impossible rim or a reading without ±.
    """
    if isinstance(designation, str):
        designation = parse_designation(designation)
    rim_diameter, rim_source = rim_seat(designation.rim_code)
    standard = standard_of(designation, rim_diameter)
    fitted = standard.measuring_rim_in if rim_width_in is None else rim_width_in
    _check_rim(fitted)
    growth = growth_factors(standard.use, designation.construction)

    design_width = standard.width + widening(standard.measuring_rim_in, fitted)
    greatest_width = (design_width + standard.width_plus_minus) * float(growth["width_factor"])
    greatest_width += rule("protective rib") if rim_rib else 0.0
    height_factor = float(growth["height_factor"])
    greatest = rim_diameter + (standard.largest_diameter - rim_diameter) * height_factor
    greatest *= rule("snow pattern") if snow_pattern else 1.0
    greatest = max(greatest, standard.nominal_diameter)

    width, diameter = _readings(
        measured_width, measured_diameter, measured_on_rim_in or fitted, fitted
    )
    grown = f"{standard.source}; {growth['source']}"
    return TyreSize(
        designation=designation,
        rim_diameter=rim_diameter,
        rim_width_in=fitted,
        measuring_rim_in=standard.measuring_rim_in,
        nominal_width=Dimension(standard.nominal_width, None, standard.nominal_source),
        nominal_diameter=Dimension(
            standard.nominal_diameter, None, f"{standard.nominal_source}; {rim_source}"
        ),
        measuring_rim_width=Dimension(
            standard.width,
            standard.width_plus_minus + standard.width * (float(growth["width_factor"]) - 1),
            standard.source,
        ),
        design_width=Dimension(
            design_width, greatest_width - design_width, f"{standard.source}; {_RIM_RULE}"
        ),
        design_diameter=Dimension(standard.diameter, greatest - standard.diameter, standard.source),
        greatest_width=_larger(Dimension(greatest_width, None, grown), width),
        greatest_diameter=_larger(Dimension(greatest, None, grown), diameter),
        measured_width=width,
        measured_diameter=diameter,
        notes=(
            *standard.notes,
            *_rim_notes(fitted, standard.measuring_rim_in),
            *_reading_notes(width, greatest_width, "width"),
            *_reading_notes(diameter, greatest, "diameter"),
            *(() if width and diameter else (_MEASURE,)),
        ),
    )


def measured_tyre(
    width: Measured, diameter: Measured, rim_code: float, rim_width_in: float
) -> TyreSize:
    """A tyre known by measuring alone: no size on the sidewall, or none that a table holds.

    Its greatest size in service is the reading with its ±: nothing is said of other tyres.
    Raises ValueError for an unknown rim or a reading without ±.
    """
    rim_diameter, _ = rim_seat(rim_code)
    _check_rim(rim_width_in)
    w, d = _readings(width, diameter, rim_width_in, rim_width_in)
    assert w is not None and w.plus_minus is not None
    assert d is not None and d.plus_minus is not None
    if d.value <= rim_diameter:
        raise ValueError(
            f"a diameter of {d.value:g} mm is not over the rim's own {rim_diameter:g} mm; "
            "measure round the tread"
        )
    return TyreSize(
        designation=None,
        rim_diameter=rim_diameter,
        rim_width_in=rim_width_in,
        measuring_rim_in=rim_width_in,
        nominal_width=w,
        nominal_diameter=d,
        measuring_rim_width=w,
        design_width=w,
        design_diameter=d,
        greatest_width=Dimension(w.value + w.plus_minus, None, f"{w.source}, with its ±"),
        greatest_diameter=Dimension(d.value + d.plus_minus, None, f"{d.source}, with its ±"),
        measured_width=w,
        measured_diameter=d,
        notes=("no size given: another tyre in its place may be larger",),
    )


_MEASURE = "measure the tyre; the sidewall number is nominal"
_RIM_RULE = "0.4 mm of width per mm of rim, UN R30 6.1.1.1"


def _readings(
    width: Measured | None, diameter: Measured | None, on_rim_in: float, fitted_in: float
) -> tuple[Dimension | None, Dimension | None]:
    _check_rim(on_rim_in)
    source = "measured" if on_rim_in == fitted_in else f"measured on {on_rim_in:g} in; {_RIM_RULE}"
    return (
        _reading(width, "width", widening(on_rim_in, fitted_in), source),
        _reading(diameter, "diameter", 0.0, "measured"),
    )


def _reading(
    measured: Measured | None, what: str, correction: float, source: str
) -> Dimension | None:
    if measured is None:
        return None
    if measured.plus_minus is None:
        raise ValueError(f"the tyre's {what} has no ±; give it, or the tool it was read with")
    if measured.value <= 0:
        raise ValueError(f"a tyre {what} of {measured.value:g} mm is none; needs over 0")
    return Dimension(measured.value + correction, measured.plus_minus, source)


def _larger(greatest: Dimension, measured: Dimension | None) -> Dimension:
    if measured is None or measured.plus_minus is None:
        return greatest
    most = measured.value + measured.plus_minus
    if most <= greatest.value:
        return greatest
    return Dimension(most, None, f"{measured.source}, with its ±")


def _reading_notes(measured: Dimension | None, greatest: float, what: str) -> tuple[str, ...]:
    if measured is None or measured.value <= greatest:
        return ()
    return (
        f"the measured {what} of {measured.value:.1f} mm is over the {greatest:.1f} mm that a "
        "tyre of this size may have: check the reading and the size",
    )


def _rim_notes(fitted: float, measuring: float) -> tuple[str, ...]:
    usual, off = rule("rim off the measuring rim"), fitted - measuring
    if abs(off) <= usual:
        return ()
    wider = "wider" if off > 0 else "narrower"
    return (
        f"the rim of {fitted:g} in is {abs(off):g} in {wider} than the measuring rim of "
        f"{measuring:g} in: ask the tyre's maker, and measure the tyre on it",
    )


def _check_rim(width_in: float) -> None:
    if not 2 <= width_in <= 20:
        raise ValueError(f"a rim width of {width_in:g} in is none; needs 2 to 20 inches")
