"""Sheet parts for rebuilt vehicles: measurements in, parts that fit out.

>>> from parts import load
>>> job = load("configs/tin_wren.toml")
>>> part = job.part(job.names[0])
>>> part.refused, part.pieces[0].hand, round(part.pieces[0].mass_kg, 1)
(False, 'right', 0.5)

`part.pieces[0].blank` is the flat sheet, `.figures` its numbers, `.solid()` a cadquery solid.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from parts.make import Job, load

__all__ = ["Job", "load"]


def __getattr__(name: str) -> object:
    """Load the walk only when somebody wants it: `import parts` itself costs nothing."""
    if name in __all__:
        from parts import make

        return getattr(make, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
