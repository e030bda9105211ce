"""Link geometry and forces as figures, charts and tables."""

from __future__ import annotations

from collections.abc import Callable

from parts.report import Chart, ChartLine, Figure, Table
from parts.trade.links.car import Car
from parts.trade.links.forces import SHARE_NOTE, CaseForces, LinkForce, Worst
from parts.trade.links.geometry import SOURCE, Anti, LinkGeometry, anti_words

FAR = 20000.0  # mm: an instant centre further off is left out of a chart
MOTION = "the axle's motion, solved from its links"
_Read = Callable[[LinkGeometry], float | None]


def figures(ride: LinkGeometry, car: Car) -> tuple[Figure, ...]:
    """What an axle is at ride; points that are not there have no figure."""
    out = []
    for name, point, axes in (
        ("side-view instant centre", ride.side_centre, "XZ"),
        ("plan-view instant centre", ride.plan_centre, "XY"),
        ("roll centre", ride.roll_centre, "YZ"),
    ):
        if point is not None:
            out += [
                Figure(f"{name}, {axis}", value, "mm", MOTION)
                for axis, value in zip(axes, point, strict=True)
            ]
    if ride.roll_axis_deg is not None:
        out.append(Figure("roll axis, + rising to the rear", ride.roll_axis_deg, "deg", MOTION))
    out.append(
        Figure("roll steer, + to the left as the body rolls right", ride.roll_steer, "deg per deg",
               MOTION)
    )  # fmt: skip
    for word, anti in zip(anti_words(car), (ride.drive, ride.brake), strict=True):
        out.append(Figure(f"{word}, torque taken by the links", anti.links, "%", SOURCE))
        out.append(Figure(f"{word}, torque taken by the body", anti.body, "%", SOURCE))
    return tuple(out)


def charts(
    bump: tuple[LinkGeometry, ...], roll: tuple[LinkGeometry, ...], car: Car
) -> tuple[Chart, ...]:
    """Curves over both wheels' travel, then over the axle's roll; charts without points are
    left out."""
    drive, brake = anti_words(car)
    travel = (bump, lambda g: g.travels.left, "travel of both wheels, bump +", "mm")
    rolled = (roll, lambda g: g.roll_deg, "roll of the axle, right wheel up +", "deg")
    antis: list[tuple[str, _Read]] = [
        (f"{word}, torque taken by the {who}", _anti(which, who))
        for word, which in ((drive, "drive"), (brake, "brake"))
        for who in ("links", "body")
    ]
    every = [
        _chart(f"{drive} and {brake}", travel, "of the load shifted", "%", antis, SOURCE),
        _chart("final drive, nose up +", travel, "turn from ride", "deg",
               [("nose of the final drive", lambda g: g.pinion_deg)]),
        _chart("axle's shift", travel, "shift from ride", "mm",
               [("rearward", lambda g: g.shift_back), ("to the right", lambda g: g.shift_right)]),
        _chart("roll centre over both wheels' travel", travel, "height", "mm",
               [("roll centre", lambda g: g.roll_centre and g.roll_centre[1])]),
        _path("side-view instant centre", bump),
        _chart("steer of the axle in roll, + to the left", rolled, "steer", "deg",
               [("steer", lambda g: g.yaw_deg)]),
        _chart("roll centre over roll", rolled, "from the centre plane, and height", "mm",
               [("to the right", lambda g: g.roll_centre and g.roll_centre[0]),
                ("height", lambda g: g.roll_centre and g.roll_centre[1])]),
        _chart("roll axis over roll, + rising to the rear", rolled, "slope", "deg",
               [("roll axis", lambda g: g.roll_axis_deg)]),
        _chart("final drive in roll, nose up +", rolled, "turn from ride", "deg",
               [("nose of the final drive", lambda g: g.pinion_deg)]),
    ]  # fmt: skip
    return tuple(chart for chart in every if chart.lines)


_Over = tuple[tuple[LinkGeometry, ...], Callable[[LinkGeometry], float], str, str]


def _anti(which: str, who: str) -> _Read:
    def read(geometry: LinkGeometry) -> float:
        anti: Anti = geometry.drive if which == "drive" else geometry.brake
        return anti.links if who == "links" else anti.body

    return read


def _chart(
    title: str,
    over: _Over,
    up: str,
    up_unit: str,
    reads: list[tuple[str, _Read]],
    source: str = MOTION,
) -> Chart:
    steps, across, words, unit = over
    lines = []
    for name, read in reads:
        points = [(across(g), value) for g in steps if (value := read(g)) is not None]
        if len(points) > 1:
            lines.append(ChartLine(name, tuple(points)))
    return Chart(title, words, unit, up, up_unit, tuple(lines), source)


def _path(title: str, steps: tuple[LinkGeometry, ...]) -> Chart:
    """Where the centre goes from droop to bump, X across and Z up."""
    points = tuple(
        g.side_centre for g in steps if g.side_centre and max(map(abs, g.side_centre)) < FAR
    )
    lines = (ChartLine("from full droop to full bump", points),) if len(points) > 1 else ()
    return Chart(title, "X, rearward", "mm", "Z", "mm", lines, MOTION)


def force_table(forces: tuple[CaseForces, ...]) -> Table:
    """A row for each case at the pose where its largest link force is, a column for each link;
    + pulls."""
    worst: dict[str, CaseForces] = {}
    for one in forces:
        if one.case not in worst or _largest(one) > _largest(worst[one.case]):
            worst[one.case] = one
    columns = tuple(link.name for link in forces[0].links) if forces else ()
    rows = tuple((one.name, tuple(map(_shown, one.links))) for one in worst.values())
    spare = SHARE_NOTE if any(one.spare for one in forces) else ""
    return Table("link forces, + pulls", "N", columns, rows, spare or "statics of the axle")


def _shown(link: LinkForce) -> float:
    """A link's force; one that rounds to nothing has no sign."""
    return link.force_n if abs(link.force_n) >= 0.5 else 0.0


def worst_figures(worst: tuple[Worst, ...]) -> tuple[Figure, ...]:
    """The most each link is pulled and pushed, its source the case that does it."""
    out = []
    for link in worst:
        out.append(Figure(f"{link.name}, most pull", link.tension_n, "N", link.tension_case))
        out.append(Figure(f"{link.name}, most push", link.compression_n, "N",
                          link.compression_case))  # fmt: skip
    return tuple(out)


def _largest(forces: CaseForces) -> float:
    return max((abs(link.force_n) for link in forces.links), default=0.0)
