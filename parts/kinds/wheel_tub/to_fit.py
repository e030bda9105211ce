"""What would make a blank fit a sheet that it misses: by how much to change what."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor

from parts.kinds.wheel_tub.config import LEAST_SKIN, WheelTub
from parts.kinds.wheel_tub.layout import Tub
from parts.kinds.wheel_tub.sweeps import Sweeps
from parts.sheet.fold import Folded
from parts.sheet.loop import box
from parts.sheet.on_sheet import OffSheet, off_sheet
from parts.sheet.shop import SLACK, Shop, tenths_up

MOST_OF_RADIUS = 0.1  # a radius smaller by more than this share would be another tub


def to_fit(
    config: WheelTub, tub: Tub, sweeps: Sweeps, name: str, folded: Folded, shop: Shop
) -> str:
    """What would make the named piece fit its sheet; "" where it does, or nothing is known."""
    off = off_sheet(folded, tub.rack, shop)
    if off is None:
        return ""
    if name == "skin":
        return _narrower(config, off)
    return _band(config, tub, sweeps, folded, off) if name.startswith("band") else ""


def _narrower(config: WheelTub, off: OffSheet) -> str:
    """A skin gets shorter by its margin at both ends, and lower by it at the top alone."""
    by = tenths_up(max(off.too_long / 2, off.too_wide))
    if config.skin_margin - by < config.arch_gap + LEAST_SKIN:
        return "a longer sheet, or the skin cut in two and welded"
    return f"a `skin_margin` {by:g} mm less; or cut it in two and weld"


def _band(
    config: WheelTub, tub: Tub, sweeps: Sweeps, folded: Folded, off: OffSheet
) -> str:
    left, low, right, high = box(folded.blank.outline)
    ways = []
    if right - left > off.sheet[0] + SLACK:
        if config.seam is None:
            ways.append("; or ".join(_shorter(config, tub, sweeps, right - left - off.sheet[0])))
        else:
            ways.append(_other_seam(tub, off.sheet[0]))
    if high - low > off.sheet[1] + SLACK:
        by = tenths_up(high - low - off.sheet[1])
        allowed = _spare(sweeps, "disc", config.side_clearance)
        ways.append(f"the disc {by:g} mm further outboard, {_said(by, allowed)}")
    return "; and ".join(ways)


def _shorter(config: WheelTub, tub: Tub, sweeps: Sweeps, over: float) -> Iterator[str]:
    """Ways to take that much off the length of a band in one piece."""
    path, by = tub.room.path, over / _length_of_radius(tub)
    if by < MOST_OF_RADIUS * path.radius:
        by = tenths_up(by)
        allowed = _spare(sweeps, "band", config.crown_clearance)
        yield f"a radius {by:g} mm less, {_said(by, allowed)}"
    if over / 2 < min(path.first.flat, path.last.flat):
        yield f"both end flanges {tenths_up(over / 2):g} mm shorter"
    if path.length / 2 <= path.length - over:
        yield "a seam: `seam = 0.5`"
    else:
        yield "a longer sheet: half of it is too long"


def _other_seam(tub: Tub, longest: float) -> str:
    """Where a seam would leave both parts short enough, as shares of the whole."""
    share = longest / tub.room.path.length
    low, high = ceil(100 * (1 - share)) / 100, floor(100 * share) / 100
    if low > high:
        return "a longer sheet: half of it is too long"
    return f"another seam: `seam` from {low:g} to {high:g}"


def _length_of_radius(tub: Tub) -> float:
    """How much longer the band's blank is for each millimetre of radius."""
    path, step = tub.room.path, 0.1
    return (tub.shape(path.center, path.radius + step).length - path.length) / step


def _spare(sweeps: Sweeps, name: str, wish: float) -> float:
    least = sweeps.least[name]
    return least.clearance - least.may_miss - wish


def _said(by: float, allowed: float) -> str:
    if by <= allowed:
        return "which the clearance allows"
    return f"of which the clearance allows {max(allowed, 0.0):.1f}"
