"""A whole job: all its parts together, once every one of them has passed."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from pathlib import Path

from parts.buying import cost_of_parts, nests_of
from parts.earlier import Earlier
from parts.nesting.given import Given
from parts.nesting.model import Nest
from parts.paper.setting import Setting
from parts.part import Part, plain
from parts.trade.cost import CostTable, Rates
from parts.trade.cutter import Cutter


@dataclass(frozen=True, eq=False)
class WholeJob:
    """All that a writer of papers for the whole job may read.

    `home` is the folder with one folder of proved files a part; None where there is none yet.
    """

    job: str
    parts: tuple[Part, ...]
    vehicle: str = ""
    stance: str = ""
    made_on: date | None = None
    paper: Setting = field(default_factory=Setting)
    cutters: tuple[Cutter, ...] = ()
    nesting: Given = field(default_factory=Given)
    rates: Rates | None = None
    home: Path | None = field(default=None, compare=False)

    @cached_property
    def nests(self) -> tuple[Nest, ...]:
        """All blanks on sheets, a nest for each material and thickness."""
        return nests_of(self.parts, self.nesting)

    @cached_property
    def cost(self) -> CostTable | None:
        """What all parts cost together; None where no rates are given."""
        return cost_of_parts(self.parts, self.rates, self.nesting)

    def stem_of(self, *words: str) -> str:
        """File name without ending of something of the whole job: the job and the words given."""
        return "-".join(plain(word) for word in (self.job, *words) if word)

    def proved(self, part: Part, name: str) -> bytes | None:
        """Bytes of a file in the part's folder, as they were proved; None where there is no such
        file, or it was changed since."""
        if self.home is None:
            return None
        folder = self.home / part.name
        row = Earlier.of(folder).rows.get(name)
        try:
            found = (folder / name).read_bytes()
        except OSError:
            return None
        good = row is not None and hashlib.sha256(found).hexdigest() == row.get("sha256")
        return found if good else None
