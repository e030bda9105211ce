"""All pieces of a part in one STEP file, each where it sits on the vehicle."""

from __future__ import annotations

from pathlib import Path

from parts.part import Part
from parts.writers.step import body


def write(part: Part, folder: Path) -> list[Path]:
    """Write `JOB-PART-on_vehicle.step`, in vehicle axes; returns the file."""
    from parts.solid import step

    stem = part.stem_of("on_vehicle")
    path = folder / f"{stem}.step"
    step.write_set(path, stem, ((body(part, p), p.place) for p in part.pieces), part.made_on)
    return [path]
