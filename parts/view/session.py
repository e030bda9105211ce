"""Showing: from the first picture to Ctrl-C."""

from __future__ import annotations

import time
import webbrowser
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

from parts.part import Part
from parts.view import places
from parts.view.client import Client, NoViewer, client_on, loaded_client
from parts.view.scene import Picture, picture
from parts.view.standalone import Standalone
from parts.view.watch import Watched

TICK_S = 0.25
AGAIN_S = (2.0, 10.0)  # seconds from one try to the next without a page: at first, and later
LATER_S = 30.0
PATIENCE_S = 10.0  # for a page, where the command is not to stay

Say = Callable[[str], None]
Draw = Callable[[], Sequence[Part]]


class Unreadable(Exception):
    """The job cannot be drawn as it is; the message says why."""


@dataclass(frozen=True, slots=True)
class Asked:
    """How to show: on which port, whether to `watch` files and draw again when they are saved,
    whether to `open_page` in the browser, whether to show `once` in a viewer that is open
    already and then end, and whether to show what stands round the parts too."""

    port: int | None = None
    watch: tuple[Path, ...] = ()
    open_page: bool = False
    once: bool = False
    scenery: bool = True


def show(draw: Draw, asked: Asked, say: Say, warn: Say) -> bool:
    """Show what `draw` gives until a viewer that was open has it, else until Ctrl-C; whether it
    was that.

    Where no viewer is open one is started, and goes on for as long as this does: it is ours, and
    so is the model that it forgets. With files to watch this goes on too. Raises NoViewer, and
    Unreadable of the first drawing where nothing is watched.
    """
    loaded_client()
    watched = Watched(asked.watch)  # before the first drawing: what is saved meanwhile counts
    drawn = _Drawn(draw, asked.scenery, say, warn)
    if not asked.watch:
        drawn.again()
    spot = places.where(asked.port)
    if asked.once and not spot.there:
        raise NoViewer(
            f"no viewer answers on {places.HOST}:{spot.port}; open the viewer of your editor, or "
            "leave --once out and one is started"
        )
    try:
        with ExitStack() as stack:
            own = None if spot.there else stack.enter_context(Standalone(spot.port))
            session = _Session(client_on(spot.port), own, asked, say, spot.others)
            if asked.watch:
                drawn.again_or_told()
            session.run(drawn, watched)
    except KeyboardInterrupt:
        say("put away")
        return True
    return False


class _Drawn:
    """The last good picture, and how often there was a new one."""

    def __init__(self, draw: Draw, scenery: bool, say: Say, warn: Say) -> None:
        self.draw, self.scenery, self.say, self.warn = draw, scenery, say, warn
        self.picture: Picture | None = None
        self.number = 0

    def again(self) -> None:
        """Draw; raises Unreadable, or NoViewer where there is nothing to show."""
        parts = self.draw()
        found = picture(parts, self.scenery)
        if found is None:
            raise NoViewer("there is nothing to show: no part could be laid out")
        self.picture = found
        self.number += 1
        self.said = f"{found.count}, {_findings(parts)}"

    def again_or_told(self) -> None:
        """Draw; what is wrong is told, and the last picture stays."""
        try:
            self.again()
        except (Unreadable, NoViewer) as error:
            kept = "" if self.picture is None else "; the last picture stays"
            self.warn(f"{_now()} not drawn{kept}:\n{error}")


class _Session:
    """One viewer, from the first picture to the last.

    `shown` is the number of the picture that a page has, 0 for none; `pages` how many were opened
    when it was handed over last.
    """

    def __init__(
        self, client: Client, own: Standalone | None, asked: Asked, say: Say,
        others: tuple[int, ...],
    ) -> None:  # fmt: skip
        self.client, self.own, self.asked, self.say = client, own, asked, say
        self.shown = self.pages = 0
        self.began = time.monotonic()
        self.next = 0.0
        self.told_of_none = self.told_colours = False
        page = places.page_of(client.port)
        self.where = page or f"the viewer of your editor, port {client.port}"
        if own is not None:
            say(f"viewer started, until Ctrl-C: open {self.where}")
        if others:
            rest = ", ".join(map(str, others))
            say(
                f"several viewers are open; this goes to port {client.port}, not to {rest}: "
                "--port chooses"
            )
        if asked.open_page and page is not None:
            webbrowser.open(page)

    def run(self, drawn: _Drawn, watched: Watched) -> None:
        """Hand over what is drawn until a page has it, and again as files or pages ask for it."""
        while not self._done(drawn):
            if self.own is not None and not self.own.alive:
                raise NoViewer(f"the viewer ended by itself; it said: {self.own.last_words}")
            if watched.changed():
                drawn.again_or_told()
                self.next = 0.0
            if self.own is not None and self.own.pages != self.pages:
                self.pages, self.shown, self.next = self.own.pages, 0, 0.0
            wanted = self.shown != drawn.number and time.monotonic() >= self.next
            if drawn.picture is not None and wanted:
                self._hand_over(drawn, drawn.picture)
            time.sleep(TICK_S)

    def _done(self, drawn: _Drawn) -> bool:
        """Whether nothing more can come; raises NoViewer where no page came in time."""
        if self.own is None and not self.asked.watch and self.shown == drawn.number:
            return True
        if self.asked.once and time.monotonic() - self.began > PATIENCE_S:
            raise NoViewer(
                f"a viewer runs on port {self.client.port} but no page is open: open "
                f"{self.where}, then show again"
            )
        return False

    def _hand_over(self, drawn: _Drawn, whole: Picture) -> None:
        number = drawn.number
        if self.client.hand_over(whole, fresh=self.shown == 0):
            self.shown, self.told_of_none = number, False
            self.say(f"{_now()} shown: {drawn.said}")
            if not self.told_colours:
                self.told_colours = True
                for line in whole.legend:
                    self.say(f"  {line}")
        elif not self.told_of_none:
            self.told_of_none = True
            self.say(f"no page is open yet: open {self.where}; the parts come as soon as it is")
        late = time.monotonic() - self.began > LATER_S
        self.next = time.monotonic() + AGAIN_S[late]


def _findings(parts: Sequence[Part]) -> str:
    """How many findings there are, in words."""
    found = [finding for part in parts for finding in part.findings]
    refuse = sum(finding.refuses for finding in found)
    if not found:
        return "no findings"
    noun = "finding" if len(found) == 1 else "findings"
    return f"{len(found)} {noun}" + (f", {refuse} of them refuse" if refuse else ", none refuses")


def _now() -> str:
    return time.strftime("%H:%M:%S")
