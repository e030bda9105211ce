"""What is wrong with laid-out tabs, or worth knowing before they are cut."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from parts.kinds.link_tab.foot_screens import between_toes
from parts.kinds.link_tab.laid import Laid
from parts.kinds.link_tab.screens import COUNTED_DEG, leg_of
from parts.kinds.link_tab.search import FORCES, least_hole
from parts.kinds.link_tab.stands import NoTab
from parts.report import Finding, Severity, digits
from parts.trade.reserve import JUST, Screen
from parts.trade.weld import leg_for_gap

GEOMETRY = "computed from the measured points"
REFUSES, MENTIONS = Severity.REFUSES, Severity.MENTIONS


@dataclass(frozen=True, slots=True)
class Cure:
    """What a screen that fails does, and what helps, by how its name begins."""

    name: str
    severity: Severity
    remedy: str


CURES = (
    Cure("edge distance of a loaded bolt", MENTIONS, "give it more edge"),
    Cure("edge distance", REFUSES, "give it more edge"),
    Cure("weld throat", REFUSES, "lay a larger leg"),
    Cure("weld leg", MENTIONS, "lay a larger leg"),
    Cure("weld length for its leg", MENTIONS, "make the root wider, or wrap the weld"),
    Cure("weld length", REFUSES, "make the root wider, or wrap the weld"),
    Cure("weld against the root", REFUSES, "make the root wider, or the weld shorter"),
    Cure("weld", REFUSES, "a wider root, or a larger leg"),
    Cure("gap for the joint", REFUSES, "widen the gap, or take shorter spacers"),
    Cure("least play of the joint", MENTIONS, "widen the gap, or take shorter spacers"),
    Cure("most play of the joint", MENTIONS, "narrow the gap, or take longer spacers"),
    Cure("hole for the bolt", REFUSES, "make the hole for the bolt that is used"),
    Cure("play of the bolt in its hole", MENTIONS, "make the hole for the bolt that is used"),
    Cure("joint's bore for the bolt", REFUSES, "take a joint and a bolt of one size"),
    Cure("threads", MENTIONS, "take a longer bolt, and washers under its nut"),
    Cure("plain shank", MENTIONS, "take a shorter bolt, or more washers under its nut"),
    Cure("lean of the link", REFUSES, "longer spacers and a wider gap, or less edge"),
    Cure("link clear of the tube", MENTIONS, "move the hole away from the tube"),
    Cure("wall to tab", MENTIONS, "put a spreader plate under the tabs"),
    Cure("tube wall", REFUSES, "put a spreader plate under the tabs, or stand them wider"),
    Cure("foot bolt, punching the wall", REFUSES, "a plate behind the wall, or larger bolts"),
    Cure("foot bolt, bearing in the wall", REFUSES, "a plate behind the wall, or larger bolts"),
    Cure("foot bolt", REFUSES, "larger bolts, a longer foot, or a wider root"),
    Cure("bending of the foot", REFUSES, "thicker sheet, a wider root, or a welded foot"),
    Cure("bolt", REFUSES, "a larger bolt, a higher class, or shorter spacers"),
    Cure("bending", REFUSES, "thicker sheet, a wider root, or a hole nearer to the root"),
    Cure("shear", REFUSES, "thicker sheet, or a wider root"),
    Cure("", REFUSES, "thicker sheet, or more edge"),
)


def findings(laid: Laid) -> Iterator[Finding]:
    """Everything to be said of one hand."""
    given = laid.given
    for name, screen in _once(laid):
        if not screen.holds:
            yield _failed(laid, name, screen)
        elif screen.unit in FORCES and screen.reserve < given.config.reserve - JUST:
            yield Finding(
                MENTIONS, f"screening, {_named(name, screen)}",
                f"a reserve of {screen.reserve:.2f}",
                f"the {given.config.reserve:g} wished", cure_of(screen).remedy, screen.source,
            )  # fmt: skip
    yield from _root_gap(laid)
    yield from _lean(laid)
    yield from _toes(laid)
    if laid.spreader is not None:
        yield Finding(
            MENTIONS, "spreader plate", laid.spreader.why,
            f"a plate of {laid.spreader.thickness:.1f} mm rolled to the tube, "
            f"{laid.spreader.beyond:g} mm beyond the tabs on every side",
            "fit it, write it as the tube's `spreader`, and lay the tabs out again on it",
            laid.spreader.source,
        )  # fmt: skip
    if not given.double:
        yield Finding(
            MENTIONS, "single shear", "the joint hangs beside one tab",
            "a joint between two tabs, or a stud that was designed for it",
            "let an engineer judge the stud, or put a second tab beside the joint",
            "common practice",
        )  # fmt: skip
    if given.config.lightening and laid.tabs[0].opening is None:
        yield Finding(
            MENTIONS, "lightening hole", "left out: there is no room for one",
            f"a hole of {least_hole():g} mm or more with {given.config.web:g} mm of metal round "
            "it, and every line of screening as wished", "a wider root, or less `web`", GEOMETRY,
        )  # fmt: skip
    side = given.config.side(given.hand)
    if given.config.tube is not None and side is not None and side.face is not None:
        yield Finding(
            MENTIONS, "face", "is not used: these tabs stand on a tube", "a plate or foot for it",
            "leave it out", GEOMETRY,
        )  # fmt: skip


def _once(laid: Laid) -> Iterator[tuple[str, Screen]]:
    """Every screen with its tab; what is the same of both tabs is told once."""
    said = set()
    for name, screen in laid.screens():
        same = name and len(laid.tabs) > 1 and all(screen in own for own in laid.own)
        if same and screen in said:
            continue
        said.add(screen)
        yield ("both tabs" if same else name), screen


def _failed(laid: Laid, name: str, screen: Screen) -> Finding:
    cure = cure_of(screen)
    severity = cure.severity
    if screen.name.startswith("joint tilt"):
        held = laid.given.held
        own = held is not None and screen.name.endswith(f"{held.end} end")
        severity = REFUSES if own else MENTIONS
        cure = Cure("", severity, "longer spacers and a wider gap, or a joint that tilts further")
    if screen.name.startswith("room for the") and screen.found >= screen.limit - 5:
        severity = MENTIONS  # short of room, but nothing touches
    if screen.name.startswith("room for the"):
        cure = Cure("", severity, "move the hole away from what the tab stands on")
    if screen.name == "link clear of the tube" and screen.found <= 0:
        severity = REFUSES
    note = f" ({screen.note})" if screen.note else ""
    return Finding(
        severity,
        f"screening, {_named(name, screen)}",
        f"{digits(screen.found, screen.unit)} {screen.unit}".rstrip() + note,
        f"{digits(screen.limit, screen.unit)} {screen.unit}".rstrip(),
        cure.remedy,
        screen.source,
    )


def cure_of(screen: Screen) -> Cure:
    """What helps where that screen fails."""
    return next(cure for cure in CURES if screen.name.startswith(cure.name))


def _named(name: str, screen: Screen) -> str:
    return f"{name}, {screen.name}" if name else screen.name


def _root_gap(laid: Laid) -> Iterator[Finding]:
    """A gap at the root that asks for a larger leg, or that no fillet bridges."""
    given = laid.given
    for tab in laid.tabs:
        leg, widest = leg_of(given, tab), tab.foot.gaps[1]
        try:
            lay = leg_for_gap(leg, widest)
        except ValueError as error:
            found, _, needed = str(error).partition("; ")
            yield Finding(
                REFUSES, f"{tab.name}, root", found, needed,
                "cut the root at a bevel by hand, or stand the tab squarer", "AWS D1.1 5.21",
            )  # fmt: skip
            continue
        if lay > leg:
            yield Finding(
                MENTIONS, f"{tab.name}, root",
                f"a gap of {widest:.1f} mm on one face, as a cut square through the plate leaves",
                f"a leg of {lay:.1f} mm there", "lay that, or bevel the root to the surface",
                "AWS D1.1 5.21",
            )  # fmt: skip


def _lean(laid: Laid) -> Iterator[Finding]:
    for tab in laid.tabs:
        low, high = tab.foot.openings_deg
        if low < COUNTED_DEG[0] - 1e-6:
            yield Finding(
                MENTIONS, f"{tab.name}, weld",
                f"the tab meets what it stands on at {low:.0f} and {high:.0f} degrees",
                "60 to 120 degrees for a weld that counts as a fillet",
                "bevel the open side and weld it through, or stand the tab squarer",
                "EN 1993-1-8 4.3.2.1",
            )  # fmt: skip


def _toes(laid: Laid) -> Iterator[Finding]:
    """Feet that are turned toward each other and leave no room between them."""
    given, config = laid.given, laid.given.config.foot
    room = between_toes(given, laid.tabs)
    if room is None or config is None:
        return
    welded = config.fixing == "welded"
    need = 2 * leg_of(given, laid.tabs[0]) if welded else 0.0
    if room < need:
        most = config.length - (need - room) / 2
        over = f"lie {-room:.1f} mm over each other" if room < 0 else f"leave {room:.1f} mm between"
        yield Finding(
            REFUSES if room < 0 else MENTIONS, "foot.length",
            f"two feet of {config.length:g} mm under the joint {over}",
            f"{need:.1f} mm between their toes" + (", for a weld on each" if welded else ""),
            f"make them {most:.1f} mm long at most, or turn them away" if most > 0
            else "turn them away", GEOMETRY,
        )  # fmt: skip


def no_tab(no: NoTab, hand: str) -> Finding:
    """Said where no tab can be laid out."""
    return Finding(REFUSES, f"{hand}: {no.where}", no.found, no.needed, no.remedy, GEOMETRY)


def too_weak(laid: Laid) -> Iterator[Finding]:
    """Said where sizes were left to strength and none holds."""
    chosen, config = laid.chosen, laid.given.config
    if chosen.searched and not chosen.holds:
        name, screen = laid.weakest()
        yield Finding(
            REFUSES if screen.reserve < 1 - JUST else MENTIONS, "sizes",
            f"no {' or '.join(chosen.searched)} tried holds: the best leaves a reserve of "
            f"{screen.reserve:.2f} ({_named(name, screen)})",
            f"a reserve of {config.reserve:g} on every line",
            "name thicker sheets in `thicker`, raise `most_root`, or see the lines that fail",
            screen.source,
        )  # fmt: skip
