"""The set on the vehicle, read back from its STEP file: every piece there, whole, in its place."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from parts.part import Part
from parts.proof.ledger import SMALL, Ledger
from parts.proof.solids import in_ascii
from parts.sheet import measure

VOLUME = 1e-8  # relative
MASS_POINT = 1e-5  # mm
TURNED = 1e-9  # of the direction cosines


def check_set(path: Path, part: Part, ledger: Ledger) -> None:
    """Hold every member of the assembly against the piece of its name and the piece's place."""
    from parts.solid.read import read_set

    try:
        facts = read_set(path)
    except (ValueError, OSError) as reason:
        ledger.wrong("the file", "one assembly in a whole STEP file", str(reason))
        return
    ledger.same("schema", "AUTOMOTIVE_DESIGN", facts.schema)
    ledger.same("length unit", "mm", facts.unit)
    stems = [in_ascii(part.stem(piece)) for piece in part.pieces]
    if not ledger.same("members", sorted(stems), sorted(one.name for one in facts.members)):
        return
    members = {one.name: one for one in facts.members}
    for piece, stem in zip(part.pieces, stems, strict=True):
        member, place = members[stem], piece.place
        shape = member.shape
        ledger.same("solids of a member", 1, shape.solids, f"solids of {stem}")
        ledger.near("volume", piece.volume, shape.volume, VOLUME * piece.volume, "mm3",
                    f"volume of {stem}")  # fmt: skip
        turned = float(np.abs(member.turn - place.turn).max())
        ledger.near("turn", 0.0, turned, TURNED, "off", f"turn of {stem}")
        off = float(np.abs(member.origin - place.origin).max())
        ledger.near("origin", 0.0, off, SMALL, "mm off", f"origin of {stem}")
        found = member.turn @ shape.center_of_mass + member.origin
        wanted = place.apply(measure.center_of_mass(piece.folded))
        off = float(np.linalg.norm(found - wanted))
        ledger.near("centre of mass on the vehicle", 0.0, off, MASS_POINT, "mm off",
                    f"centre of mass of {stem}")  # fmt: skip
