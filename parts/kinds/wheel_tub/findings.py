"""What is wrong with a wheel tub, or worth knowing before it is cut."""

from __future__ import annotations

from collections.abc import Iterator

from parts.kinds.bench import Bench
from parts.kinds.wheel_tub.config import TubSide, WheelTub
from parts.kinds.wheel_tub.envelope import SHORT
from parts.kinds.wheel_tub.figures import pose_words
from parts.kinds.wheel_tub.layout import Tub
from parts.kinds.wheel_tub.sweeps import Sweeps
from parts.report import Finding, Severity
from parts.sheet.loop import box
from parts.sheet.shop import SLACK, tenths_up
from parts.trade.gear import Gear

PRACTICE = "common practice"
TRAVEL = "the tyre swept over all travel"
SURROUND = "computed from the measured surround"
CURES = "see the table of what would cure it"
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
    yield from _closed_wall(tub)
    yield from _off_body(tub)
    yield from _rail(tub)
    yield from _formed(tub)
    yield from _on_roller(bench, tub)
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
        least, spread = found.clearance - found.may_miss, sweeps.plus_minus[name]
        where, pose = f"tyre to {name}", pose_words(tub.gear, found.travels)
        gap = f"{found.clearance:.1f} ± {spread:.1f} mm, {pose}"
        cure = CURES
        if name == "rail":
            cure += "; else the rail has to be cut there, which needs an engineer"
        elif name == "body side" and tub.room.arch is None:
            cure += "; the wall was taken as closed: give `arch`"
        if least <= 0:
            yield Finding(
                Severity.REFUSES, where, f"contact, {pose}", "no contact over all travel",
                cure, TRAVEL,
            )  # fmt: skip
        elif least < wished[name] - SHORT:
            yield Finding(
                Severity.REFUSES if config.if_less == "refuse" else Severity.MENTIONS,
                where, gap, f"{wished[name]:.1f} mm",
                f"find {wished[name] - least:.1f} mm: {cure}",
                "the clearance that the job asks for",
            )  # fmt: skip
        elif least - spread <= 0:
            yield Finding(
                Severity.MENTIONS, where, f"{gap}: it may touch",
                "more clearance than the measurements may be out",
                "measure tyre, wheel and axle closer", TRAVEL,
            )  # fmt: skip


def _closed_wall(tub: Tub) -> Iterator[Finding]:
    """No wheel opening was given: the body side counts as closed where the band meets it."""
    if tub.room.arch is None:
        yield Finding(
            Severity.MENTIONS, "wheel opening",
            "none is given: the wall was taken as closed inside the band",
            "the opening's lip, which is what a tyre meets",
            "give `arch` with its x, z, radius and lip to this side", SURROUND,
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
            SURROUND,
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
            "the blanks are trimmed; cutting the rail needs an engineer", SURROUND,
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


def of_tyre(gear: Gear) -> Iterator[Finding]:
    """What is found on the tyre itself, the same for both hands."""
    for note in gear.size.notes:
        yield Finding(
            Severity.MENTIONS, "tyre", note, "the real tyre, measured on its rim",
            "tape the tread, straight edges on the bulges", "UN R30 / ISO 4000-1",
        )  # fmt: skip
