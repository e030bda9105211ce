"""The standalone script, run, against the exact figures and the STEP file."""

from __future__ import annotations

import ast
import io
import runpy
from contextlib import redirect_stdout
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from parts.part import Piece
from parts.proof.ledger import Ledger
from parts.sheet import measure

if TYPE_CHECKING:
    from parts.solid.read import ShapeFacts

VOLUME = 1e-6  # relative; the script joins its zones to the kernel's own tolerance
PLACE = 1e-4  # mm, for the same reason


def check_script(path: Path, piece: Piece, step: ShapeFacts | None, ledger: Ledger) -> None:
    """Run the script in this process, as a module and not as the main one."""
    from parts.solid.read import shape_facts

    try:
        lines = ast.parse(path.read_text(encoding="utf-8")).body
        ending = ast.unparse(lines[-1]) if lines else ""
        with redirect_stdout(io.StringIO()):
            part = runpy.run_path(str(path), run_name="proved")["part"]
        shape = shape_facts(part.wrapped)
    except Exception as reason:  # whatever goes wrong in there is a disagreement to report
        ledger.wrong("the script", "one solid", f"{type(reason).__name__}: {reason}")
        return
    whole = ending.startswith("if __name__ == '__main__'") and "exporters.export" in ending
    ledger.same("the end", "there", "there" if whole else "missing")
    ledger.same("number of solids", 1, shape.solids)
    ledger.same("kernel's check of the solid", "valid", "valid" if shape.valid else "not valid")
    ledger.near("volume", piece.volume, shape.volume, VOLUME * piece.volume, "mm3")
    off = float(np.abs(shape.center_of_mass - measure.center_of_mass(piece.folded)).max())
    ledger.near("centre of mass", 0.0, off, PLACE, "mm off")
    if step is not None:
        corners = np.abs(np.array([shape.low - step.low, shape.high - step.high]))
        ledger.near("box, against the STEP file", 0.0, float(corners.max()), PLACE, "mm off")
