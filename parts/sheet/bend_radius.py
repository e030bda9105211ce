"""Whether the metal takes every bend's inside radius, with the grain as it has to lie."""

from __future__ import annotations

from collections.abc import Iterator

from parts.report import Finding, Severity
from parts.sheet.bend_side import is_rolled
from parts.sheet.blank import Bend
from parts.sheet.fold import Folded
from parts.sheet.grain import grain_of
from parts.sheet.shop import SLACK, shown, tenths_up
from parts.sheet.stock import LeastRadius, Material, least_radii


def radii(folded: Folded, material: Material) -> Iterator[Finding]:
    """Every bend too sharp for the metal, or turned further than the source of its limit goes.

    The grain is taken to run as `grain_of` says. Under half the limit across the grain always
    refuses, and in aluminium anything under it; one that only runs the wrong way to the grain is
    mentioned.
    """
    thickness, bends = folded.blank.thickness, folded.blank.bends
    try:
        least = least_radii(material, thickness)
    except ValueError as error:
        for bend in bends:
            yield Finding(
                Severity.MENTIONS, f"bend {bend.name}",
                f"inside radius {bend.radius:g} mm was not checked",
                "a least radius that is known", f"ask the mill: {error}", "least_radius.csv",
            )  # fmt: skip
        return
    grain = grain_of(folded, material)
    against = grain.against if grain else ()
    for number, bend in enumerate(bends):
        along = number in against
        if bend.radius < (least.along if along else least.across) - SLACK:
            yield _sharp(bend, material, least, along)
        elif _turned_too_far(bend, least) and not is_rolled(bend, thickness):
            yield Finding(
                Severity.MENTIONS,
                f"bend {bend.name}",
                f"turn of {abs(bend.turn_deg):.4g} degrees with inside radius {shown(bend.radius)}",
                f"a turn to {least.to_turn_deg:g} degrees, as far as the least radius of "
                f"{material.name} is known",
                "widen the radius, or try it on an offcut and look for cracks",
                least.source,
            )


def _turned_too_far(bend: Bend, least: LeastRadius) -> bool:
    return least.to_turn_deg is not None and abs(bend.turn_deg) > least.to_turn_deg + SLACK


def _sharp(bend: Bend, material: Material, least: LeastRadius, along: bool) -> Finding:
    needed = least.along if along else least.across
    only_grain = bend.radius >= least.across - SLACK
    soft = only_grain or (
        material.family != "aluminium" and bend.radius >= least.across / 2 - SLACK
    )
    far = f", turn to {least.to_turn_deg:g} degrees" if _turned_too_far(bend, least) else ""
    remedy = f"widen the radius by {tenths_up(needed - bend.radius):g} mm"
    if only_grain:
        remedy += ", or lay the blank so that the grain runs square to this bend"
    if soft:
        remedy += ", or try it on an offcut and look for cracks"
    return Finding(
        Severity.MENTIONS if soft else Severity.REFUSES,
        f"bend {bend.name}",
        f"inside radius {shown(bend.radius)}",
        f"{needed:.2f} mm in {material.name}, bend line {'along' if along else 'across'} the "
        f"grain{far}",
        remedy,
        least.source,
    )
