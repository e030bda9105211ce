"""Three hundred random parts, each folded and made once and held against everything at once.

The volume is the one worked out by hand; the skin closes; the kernel finds one valid solid; every
hole in flat metal lies where rotations put it; and the files written of it are proved, so that the
kernel's volume of the solid read back is the same, and the holes drawn in the DXF are folded back
onto the axes of the STEP file.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import kernel
import pytest
from blanks import random_blank
from by_hand import holes_landed, volume_by_hand
from hand_parts import part_of, written

from parts import solid
from parts.proof import prove
from parts.sheet import measure
from parts.sheet.body import body
from parts.sheet.closed import unclosed
from parts.sheet.fold import Folded, Unsound, fold
from parts.sheet.soundness import fold_or_findings
from parts.solid import build

PARTS, AT_ONCE = 320, 20


def with_another_base(folded: Folded) -> Folded:
    """The same part with its last region staying put, so bends are crossed from the other side."""
    side = folded.regions[-1].curves[0][0]
    (x, y), (dx, dy) = side.at(0.37), side.tangent(0.37)
    try:
        return fold(replace(folded.blank, base=(x - 0.3 * dy, y + 0.3 * dx)))
    except Unsound:  # that point is in a hole
        return folded


@pytest.mark.parametrize("first", range(0, PARTS, AT_ONCE))
def test_a_random_part_is_sound_and_its_files_are_believed(
    first: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    landed = drawn = 0
    for seed in range(first, first + AT_ONCE):
        blank = random_blank(seed)
        folded, findings = fold_or_findings(blank)
        assert folded is not None, (seed, findings)
        if seed % 2:
            folded = with_another_base(folded)
        assert measure.volume(folded) == pytest.approx(volume_by_hand(blank), rel=1e-10), seed
        shape = body(folded)
        assert unclosed(shape, len(blank.cutouts)) is None, seed
        made = build.solid(shape)
        assert kernel.valid(made), seed
        assert kernel.one_closed_solid(made), seed
        if seed % 2 == 0:  # the rotations start from the random blank's own base
            landed += holes_landed(blank, kernel.cylinders(made))
        monkeypatch.setattr(solid, "of", lambda _, made=made: made)
        part = part_of(folded.blank)
        proof = prove(part, tmp_path, written(part, tmp_path, ("step", "dxf", "figures")))
        counts = {c.what: c.count for c in proof.checks if c.file.endswith(".step")}
        assert counts["volume"] == 1
        drawn += counts.get("axis of a hole", 0)
    assert landed >= 1
    assert drawn >= 8
