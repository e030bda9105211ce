"""Hinge bracket: a goose-neck lid hinge, from its pivot to the struts that hold the lid.

panel    gap  lid
--------.   .-----------------------       seen from the side, lid shut:
  (o)   |   |____  ______                  the arm hangs from the pivot, passes under the
   \\    '--gutter-'  /  / pad              gutter and comes up to the lid behind the seal
    \\______________/  /
     '---- neck ------'
"""

from __future__ import annotations

from functools import partial

from parts.kinds.bench import Bench
from parts.kinds.hinge_bracket.assumed import assumptions, load_cases
from parts.kinds.hinge_bracket.cautions import cautions
from parts.kinds.hinge_bracket.charts import charts
from parts.kinds.hinge_bracket.config import Hand, HingeBracket
from parts.kinds.hinge_bracket.figures import cut_figures, figures
from parts.kinds.hinge_bracket.findings import findings, no_pivot, not_proved
from parts.kinds.hinge_bracket.layout import NoPivot, lay_out_lid
from parts.kinds.hinge_bracket.made import Made, pieces_swung
from parts.kinds.hinge_bracket.metal import Cut
from parts.kinds.hinge_bracket.pieces import metal_of
from parts.kinds.hinge_bracket.pieces_swing import pieces_findings
from parts.kinds.hinge_bracket.scenery import scenery
from parts.kinds.hinge_bracket.screening import (
    loads_of,
    screened,
    screens,
    strut_n,
    with_doubler,
)
from parts.kinds.hinge_bracket.sketches import pivots, sketches
from parts.kinds.hinge_bracket.strut_swing import strut_beside
from parts.kinds.hinge_bracket.summary import summary
from parts.kinds.hinge_bracket.swings import Swung
from parts.kinds.hinge_bracket.tables import tables
from parts.kinds.sides import made_as_mirror, of_hand
from parts.part import Part, Piece
from parts.report import Finding
from parts.scenery import Later
from parts.sheet.soundness import fold_or_findings
from parts.trade.screening import Screen
from parts.trade.swing import NotProved

__all__ = ["HingeBracket", "lay_out"]


def lay_out(name: str, config: HingeBracket, bench: Bench) -> Part:
    """The hinge of each hand asked for, with its pieces, figures and findings."""
    said = cautions(config.struts is not None)
    try:
        return _laid_out(name, config, bench, said)
    except NoPivot as no:
        return Part(
            bench.job, name, config.kind, bench.made_on, (), (), tuple(no_pivot(no)),
            said, note=config.note, sketches=(pivots(config, no.sought, None),),
        )  # fmt: skip
    except NotProved as error:
        return Part(
            bench.job, name, config.kind, bench.made_on, (), (), (not_proved(error),), said,
            note=config.note,
        )  # fmt: skip


def _laid_out(name: str, config: HingeBracket, bench: Bench, said: tuple[str, ...]) -> Part:
    """Raises NoPivot where one is looked for and none will do, NotProved where a clearance cannot
    be proved."""
    hung = lay_out_lid(config)
    pieces: list[Piece] = []
    found: list[Finding] = list(findings(config, hung))
    loads = loads_of(config, hung)
    made: dict[Hand, Made] = {}
    for one in hung.hinges:
        metal = with_doubler(config, bench, metal_of(config, hung, one, bench), loads)
        swung = pieces_swung(config, metal)
        made[one.hand] = Made(metal, swung)
        tried = screens(config, metal, loads, strut_n(hung))
        said_of = (
            *metal.refused, *pieces_findings(config, metal, swung),
            *strut_beside(config, hung, metal), *screened(config, metal, loads, tried),
        )  # fmt: skip
        found += of_hand(one.hand, said_of)
        for cut in metal.cuts:
            piece, wrong = _piece(config, bench, one, cut, tried.get(cut.name, ()))
            pieces += piece
            found += of_hand(f"{one.hand} {cut.name}", wrong)
    if hung.mirrored is not None:
        found.append(made_as_mirror(hung.mirrored))
    return Part(
        bench.job, name, config.kind, bench.made_on, tuple(pieces),
        tuple(figures(config, hung, made)), tuple(found), said, note=config.note,
        tables=tuple(tables(config, hung, made)), charts=tuple(charts(config, hung, made)),
        sketches=tuple(sketches(config, hung, made)), summary=tuple(summary(config, hung)),
        assumptions=tuple(assumptions(config, hung)),
        load_cases=tuple(load_cases(config, hung, loads)),
        later=Later(partial(scenery, config, hung, bench.racks[config.stock].stock.thickness)),
    )  # fmt: skip



def _piece(
    config: HingeBracket, bench: Bench, one: Swung, cut: Cut, tried: tuple[Screen, ...]
) -> tuple[list[Piece], tuple[Finding, ...]]:
    folded, wrong = fold_or_findings(cut.blank)
    if folded is None:
        return [], wrong
    rack = cut.sheet.rack
    piece = Piece(
        cut.name, one.hand, rack.stock, folded, cut.place,
        tuple(bench.allowance(rack, bend.turn_deg) for bend in cut.blank.bends), cut.faces,
        tuple(cut_figures(folded, rack.stock.material.density_kg_m3)), rack.die_v,
        config.quantity, rack.sheet, tried, rack.inside_radius,
    )  # fmt: skip
    return [piece], ()
