"""A zip that is the same, byte for byte, whenever and wherever it is made from the same files."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

OLDEST = date(1980, 1, 1)  # a zip knows no day before it
RIGHTS = 0o100644 << 16  # a plain file that its owner may change and all may read
UNIX = 3
EFFORT = 9


def write(path: Path, files: Mapping[str, bytes], day: date | None) -> None:
    """Write the files in their order, each dated that day; raises OSError."""
    stamp = max(day or OLDEST, OLDEST)
    with ZipFile(path, "w") as pack:
        for name, content in files.items():
            entry = ZipInfo(name, (stamp.year, stamp.month, stamp.day, 0, 0, 0))
            entry.create_system, entry.external_attr = UNIX, RIGHTS
            pack.writestr(entry, content, ZIP_DEFLATED, EFFORT)
