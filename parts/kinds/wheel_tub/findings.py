"""What is wrong with a wheel tub, or worth knowing before it is cut."""

from __future__ import annotations

from collections.abc import Iterator

from parts.kinds.bench import Bench
from parts.kinds.wheel_tub.config import TubSide, WheelTub
from parts.kinds.wheel_tub.envelope import SHORT
from parts.kinds.wheel_tub.figures import GEOMETRY
from parts.kinds.wheel_tub.layout import Tub
from parts.kinds.wheel_tub.sweeps import Sweeps
from parts.report import Finding, Severity
from parts.sheet.loop import box
from parts.sheet.shop import SLACK, tenths_up

PRACTICE = "common practice"
OFF_BODY = 2.0  # mm that points of the body side may be off a flat face; the free edge is scribed
MOST_SHRINK = 0.035  # of a formed rim; common practice: 3 to 4 %


def wishes(config: WheelTub, side: TubSide) -> dict[str, float]:
    """The clearance wished to each surface."""
    found = {
        "disc": config.side_clearance,
        "band": config.crown_clearance,
        "body side": config.skin_clearance,
        "rail": config.rail_clearance,
        "floor": config.floor_clearance,
        "formed rim": min(config.side_clearance, config.crown_clearance),
    }
    return found | {clear.name: clear.gap for clear in side.keep_clear}


def findings(
    config: WheelTub, side: TubSide, bench: Bench, tub: Tub, sweeps: Sweeps
) -> Iterator[Finding]:
    """What is found on one hand's tub, besides what the sheet itself shows."""
    yield from _clearances(wishes(config, side), config, tub, sweeps)
    yield from _off_body(tub)
    yield from _rail(tub)
    yield from _formed(tub)
    yield from _on_sheet(config, bench, tub, sweeps)
    yield from _on_roller(bench, tub)
    yield from _tyre(tub)
    if tub.room.skin.up < 0:
        yield Finding(
            Severity.MENTIONS, "inner skin",
            "it leans inboard over the body side: water can stand behind it",
            "a drain at its foot, and sealer all round",
            "leave a gap of 10 mm at the lowest point, seal and coat both faces", PRACTICE,
        )  # fmt: skip


def _clearances(
    wished: dict[str, float], config: WheelTub, tub: Tub, sweeps: Sweeps
) -> Iterator[Finding]:
    for name, found in sweeps.least.items():
        least = found.clearance - found.may_miss
        where = f"tyre to {name}"
        pose = f"left {found.travels[0]:+.0f}, right {found.travels[1]:+.0f} mm from ride"
        spread = sweeps.plus_minus[name]
        if least <= 0:
            yield Finding(
                Severity.REFUSES, where, f"contact at {pose}", "no contact over all travel",
                "see what would cure it in the figures", GEOMETRY,
            )  # fmt: skip
        elif least < wished[name] - SHORT:
            yield Finding(
                Severity.REFUSES if config.if_less == "refuse" else Severity.MENTIONS,
                where,
                f"{found.clearance:.1f} ± {spread:.1f} mm at {pose}",
                f"{wished[name]:.1f} mm",
                f"find {wished[name] - least:.1f} mm: see what would cure it in the figures",
                "the clearance that the job asks for",
            )
        elif least - spread <= 0:
            yield Finding(
                Severity.MENTIONS, where,
                f"{found.clearance:.1f} ± {spread:.1f} mm at {pose}: it may touch",
                "more clearance than the measurements may be out",
                "measure tyre, wheel and axle closer", GEOMETRY,
            )  # fmt: skip


def _off_body(tub: Tub) -> Iterator[Finding]:
    """Points of the body side that are off the plane laid through them."""
    if tub.body_off > OFF_BODY:
        yield Finding(
            Severity.MENTIONS,
            "body side",
            f"its points are up to {tub.body_off:.1f} mm off a flat face",
            f"at most {OFF_BODY:.1f} mm",
            "leave the free edge long and scribe it, or measure again",
            GEOMETRY,
        )


def _rail(tub: Tub) -> Iterator[Finding]:
    rail, room = tub.room.rail, tub.room
    if rail is None:
        return
    ends = [room.path.center[0] + side * room.path.radius for side in (-1.0, 1.0)]
    stick = rail.furthest_out(*ends) - room.disc_face
    if stick > 0:
        yield Finding(
            Severity.MENTIONS, "rail",
            f"stands {stick:.1f} mm outboard of the disc's face",
            "disc and band trimmed round it, or the rail cut",
            "the blanks are trimmed; cutting the rail needs an engineer", GEOMETRY,
        )  # fmt: skip


def _formed(tub: Tub) -> Iterator[Finding]:
    if tub.spun is None:
        return
    shrink = tub.spun.shrink
    yield Finding(
        Severity.REFUSES if shrink > 2 * MOST_SHRINK else Severity.MENTIONS, "disc",
        f"a formed rim shrinks by {100 * shrink:.1f} %: its blank is approximate",
        f"a trial on an offcut; under {100 * MOST_SHRINK:.1f} % without relief",
        "trim after forming; or choose tabs, or a welded corner", PRACTICE,
    )  # fmt: skip


def _length_of_radius(tub: Tub) -> float:
    """How much longer the band's blank is for each millimetre of radius."""
    path, step = tub.room.path, 0.1
    return (tub.shape(path.center, path.radius + step).length - path.length) / step


def _on_roller(bench: Bench, tub: Tub) -> Iterator[Finding]:
    """A band wider than the rolls are long."""
    longest = bench.shop.roller_length
    for cut in tub.cuts:
        if longest is None or not cut.name.startswith("band"):
            continue
        _, low, _, high = box(cut.blank.outline)
        if high - low > longest + SLACK:
            yield Finding(
                Severity.REFUSES, cut.name,
                f"it is {high - low:.1f} mm wide across the roll",
                f"{longest:.1f} mm or less, the length of the rolls",
                f"move the disc {tenths_up(high - low - longest):.1f} mm outboard, or have it "
                "rolled elsewhere and correct roller_length",
                "the shop's own limit",
            )  # fmt: skip


def _on_sheet(
    config: WheelTub, bench: Bench, tub: Tub, sweeps: Sweeps
) -> Iterator[Finding]:
    """A band in one piece that is too long for the sheet, and what would make it fit."""
    rack, path = tub.rack, tub.room.path
    sheets = (rack.sheet,) if rack.sheet is not None else bench.shop.sheets
    if not sheets or config.seam is not None:
        return
    over = path.length - max(max(sheet) for sheet in sheets)
    if over <= SLACK:
        return
    spare = sweeps.least["band"].clearance - sweeps.least["band"].may_miss - config.crown_clearance
    ways = []
    by = over / _length_of_radius(tub)
    if tenths_up(by) <= spare:
        ways.append(f"a radius {tenths_up(by):g} mm less, which the clearance allows")
    elif by < path.radius / 10:
        allowed = max(spare, 0.0)
        ways.append(
            f"a radius {tenths_up(by):g} mm less, of which the clearance allows {allowed:.1f}"
        )
    if over / 2 < min(path.first.flat, path.last.flat):
        ways.append(f"both end flanges {tenths_up(over / 2):g} mm shorter")
    ways.append("a seam: `seam = 0.5`")
    yield Finding(
        Severity.MENTIONS, "band",
        f"its blank is {path.length:.1f} mm long and misses the sheet by {tenths_up(over):.1f} mm",
        f"{path.length - over:.1f} mm or less", "; or ".join(ways), "the sheet on the rack",
    )  # fmt: skip


def _tyre(tub: Tub) -> Iterator[Finding]:
    for note in tub.gear.size.notes:
        yield Finding(
            Severity.MENTIONS, "tyre", note, "the real tyre, measured on its rim",
            "tape the tread, straight edges on the bulges", "UN R30 / ISO 4000-1",
        )  # fmt: skip
