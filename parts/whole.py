"""A whole job: all its parts together, once every one of them has passed."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from parts.earlier import Earlier
from parts.paper.setting import Setting
from parts.part import Part, plain


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
    home: Path | None = field(default=None, compare=False)

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
