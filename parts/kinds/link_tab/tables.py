"""Forces and tilts side by side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from parts.kinds.link_tab.laid import Laid
from parts.report import Table
from parts.trade.joint import tilt_limit
from parts.trade.links import CaseForces, force_table, worst


def axle_tables(forces: tuple[CaseForces, ...]) -> Iterator[Table]:
    """Forces of every link by load case, and the worst of each with the case that gives it."""
    yield force_table(forces)
    rows, notes = [], []
    for link in worst(forces):
        for word, force, case in (
            ("pull", link.tension_n, link.tension_case),
            ("push", link.compression_n, link.compression_case),
        ):
            rows.append((f"{link.name}, {word}", (force,)))
            notes.append(case)
    yield Table(
        "greatest force of each link", "N", ("force",), tuple(rows), "shock factors counted in",
        noted="load case, pose", notes=tuple(notes),
    )  # fmt: skip


def tilt_table(every: Iterable[Laid]) -> Table | None:
    """The tilt of both joints of each link held, against what the fork allows."""
    rows: list[tuple[str, tuple[float | None, ...]]] = []
    notes = []
    for laid in every:
        limit = tilt_limit(laid.given.joint, laid.given.gap)
        for tilt in laid.tilts:
            swing = max(abs(value) for value in tilt.swing_deg)
            rows.append(
                (f"{tilt.link}, {tilt.end} end",
                 (tilt.most_deg, limit.angle_deg, tilt.lean_deg, tilt.twist_deg, swing))
            )  # fmt: skip
            notes.append(f"left wheel {tilt.left:+.0f}, right {tilt.right:+.0f} mm")
    if not rows:
        return None
    return Table(
        "tilt of the joints over all travel", "deg",
        ("tilt", "limit", "lean of the link", "twist between ends", "swing from ride"),
        tuple(rows), "the axle's motion, solved from its links; the far end taken as this one",
        noted="greatest at", notes=tuple(notes),
    )  # fmt: skip
