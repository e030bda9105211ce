"""All ratios as one table: python tests/benchmarks/table.py [--keep]

With --keep the table also goes to `figures.txt` beside this file, with the commit it was made at.
"""

from __future__ import annotations

import os
import platform
import subprocess
import sys
from importlib import import_module
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))

GROUPS = ("ratios", "strips", "holes", "papers")
KEPT = HERE / "figures.txt"


def main() -> None:
    lines = [f"at {commit()}, Python {platform.python_version()}, {os.cpu_count()} cores"]
    print(lines[0])
    for name in GROUPS:
        for row in import_module(name).rows():
            lines.append(str(row))
            print(lines[-1], flush=True)
    if "--keep" in sys.argv[1:]:
        KEPT.write_text("\n".join(lines) + "\n", encoding="utf-8")


def commit() -> str:
    """Short name of the commit, with + where the tree has changed since."""
    say = {"capture_output": True, "text": True, "cwd": HERE}
    name = subprocess.run(["git", "rev-parse", "--short", "HEAD"], **say).stdout.strip()
    changed = subprocess.run(["git", "status", "--porcelain"], **say).stdout.strip()
    return (name or "no commit") + ("+" if changed else "")


if __name__ == "__main__":
    main()
