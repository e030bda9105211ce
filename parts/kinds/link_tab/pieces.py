"""The pieces of one hand: its tabs, and the strap between them."""

from __future__ import annotations

from dataclasses import replace

from parts.kinds.link_tab.figures import strap_figures, tab_figures
from parts.kinds.link_tab.laid import Laid
from parts.kinds.link_tab.strap import Strap
from parts.kinds.link_tab.tab import Tab
from parts.part import Piece
from parts.place import Vector
from parts.report import Finding
from parts.sheet.fold import Folded
from parts.sheet.soundness import fold_or_findings

WORDS = (("rearward", "forward"), ("to the right", "to the left"), ("up", "down"))


def pieces_of(laid: Laid) -> tuple[list[Piece], list[Finding]]:
    """Every piece of a hand that can be folded, and why the others cannot. The first tab carries
    the screening of joint, bolt and what the tabs stand on."""
    pieces: list[Piece] = []
    said: list[Finding] = []
    for number, tab in enumerate(laid.tabs):
        folded, wrong = fold_or_findings(tab.blank)
        said += (_named(laid, tab.name, one) for one in wrong)
        if folded is not None:
            pieces.append(_tab(laid, number, tab, folded))
    if laid.strap is not None:
        folded, wrong = fold_or_findings(laid.strap.blank)
        said += (_named(laid, "strap", one) for one in wrong)
        if folded is not None:
            pieces.append(_strap(laid, laid.strap, folded))
    return pieces, said


def _named(laid: Laid, name: str, finding: Finding) -> Finding:
    return replace(finding, where=f"{laid.given.hand} {name}: {finding.where}")


def _tab(laid: Laid, number: int, tab: Tab, folded: Folded) -> Piece:
    rack = tab.sizes.rack
    allowances = () if tab.folded is None else (tab.folded.allowance,)
    toward = "away from the joint" if tab.way > 0 else "toward the joint"
    return Piece(
        tab.name, laid.given.hand, rack.stock, folded, tab.blank_place, allowances,
        f"{looks(tab.place.turn[:, 2])}, {toward}", tuple(tab_figures(laid, tab, folded)),
        rack.die_v, laid.given.config.quantity, rack.sheet,
        laid.own[number] + (laid.shared if number == 0 else ()), rack.inside_radius,
    )  # fmt: skip


def _strap(laid: Laid, strap: Strap, folded: Folded) -> Piece:
    rack = strap.rack
    return Piece(
        "strap", laid.given.hand, rack.stock, folded, strap.place, strap.allowances,
        f"{looks(strap.place.turn[:, 2])}, away from the joint",
        tuple(strap_figures(strap, folded)), rack.die_v, laid.given.config.quantity, rack.sheet,
        inside_radius=rack.inside_radius,
    )  # fmt: skip


def looks(way: Vector) -> str:
    """The vehicle's direction that a direction is nearest to.

    >>> import numpy as np
    >>> looks(np.array([0.1, -0.9, 0.2]))
    'to the left'
    """
    main = max(range(3), key=lambda n: abs(float(way[n])))
    return WORDS[main][0 if way[main] > 0 else 1]
