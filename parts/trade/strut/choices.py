"""What is asked of a search for struts, and what it answers."""

from __future__ import annotations

from dataclasses import dataclass

from parts.report import Finding
from parts.trade.strut.areas import Area
from parts.trade.strut.clear import Room
from parts.trade.strut.given import Point
from parts.trade.strut.hung import HungLid
from parts.trade.strut.lid import Lid, Seal
from parts.trade.strut.rules import Rules
from parts.trade.strut.spring import StrutSize


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the struts are for, and where their mounts may be; `sizes` None means all common."""

    lid: Lid
    open_deg: float
    handle: Point
    lid_area: Area
    body_area: Area
    rules: Rules
    seal: Seal | None = None
    aside: float = 0.0
    counts: tuple[int, ...] = (1, 2)
    sizes: tuple[StrutSize, ...] | None = None
    room: Room | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """A lid on struts that meets the rules, the best of its size, number and force."""

    hung: HungLid
    open_n: float  # cold and aged, at the handle
    close_n: float  # hot and new
    least_f1_n: float  # holds from this force up, on these mounts
    most_f1_n: float  # springs open from this force up

    @property
    def hand_n(self) -> float:
        """The greater of the two forces: what the choices are ranked by."""
        return max(self.open_n, self.close_n)


@dataclass(frozen=True, slots=True)
class Rejected:
    """A class of struts of which none will do, and why; `nearest` is the one that came closest."""

    name: str
    why: str
    tried: int
    nearest: HungLid | None = None
    findings: tuple[Finding, ...] = ()

    def __str__(self) -> str:
        return f"{self.name}: {self.why}"


@dataclass(frozen=True, slots=True)
class Found:
    """The outcome of a search: choices best first, and the classes that failed."""

    choices: tuple[Choice, ...]
    rejected: tuple[Rejected, ...]
    tried: int

    @property
    def best(self) -> Choice | None:
        return self.choices[0] if self.choices else None
