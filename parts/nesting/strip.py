"""The process that lays one strip by true shape: a task comes in as JSON, the answer goes out.

A failure of the library ends the process, and only that.
"""

from __future__ import annotations

import json
import sys
from typing import Any

MISSING = 4  # exit status without the library


def main() -> int:
    """Lay the strip on stdin; returns the exit status."""
    try:
        import spyrrow
    except ImportError:
        return MISSING
    task: dict[str, Any] = json.load(sys.stdin)
    items = [
        spyrrow.Item(one["id"], [tuple(p) for p in one["outline"]], one["count"], one["turns"])
        for one in task["items"]
    ]
    settings = spyrrow.StripPackingConfig(
        early_termination=True,
        total_computation_time=task["seconds"],
        min_items_separation=task["gap"],
        num_workers=1,
        seed=task["seed"],
    )
    found = spyrrow.StripPackingInstance("", task["height"], items).solve(settings)
    answer = [
        {"id": one.id, "turn_deg": one.rotation, "x": one.translation[0], "y": one.translation[1]}
        for one in found.placed_items
    ]
    json.dump(answer, sys.stdout)
    return 0


if __name__ == "__main__":
    sys.exit(main())
