"""Where a link tab's hole, and what it stands on, lie on one side of the vehicle."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from pydantic import Field

from parts.kinds.fields import Config, Length, OneLine, PointName
from parts.kinds.problems import FieldProblem

Triple = tuple[Length, Length, Length]
Way = tuple[float, float, float]
Pair = tuple[PointName, PointName]
Names3 = tuple[PointName, PointName, PointName]


class FaceConfig(Config):
    """A flat face of the vehicle."""

    points: Names3 | None = Field(
        default=None,
        description="Three points of the face, well apart and not in one line.",
        examples=[["P1", "P2", "P3"]],
    )
    point: PointName | None = Field(
        default=None, description="Instead: one point of the face.", examples=["P1"]
    )
    out: Way | None = Field(
        default=None,
        description="With one point: the way the face looks, as [X, Y, Z], such as [0, -1, 0] for "
        "the face of a rail that looks to the left.",
        examples=[[0, -1, 0]],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        names = keys.get("points")
        if names is not None:
            for key in ("point", "out"):
                if keys.get(key) is not None:
                    yield FieldProblem(
                        (key,), "is given as well as three points", "leave one of them out"
                    )
            if isinstance(names, list | tuple) and len(set(map(str, names))) < len(names):
                yield FieldProblem(("points",), "has a point twice", "name three points")
            return
        for key in ("point", "out"):
            if keys.get(key) is None:
                yield FieldProblem(
                    (), f"has neither three points nor a {key}", "give `points`, or `point` and "
                    "`out`",
                )  # fmt: skip
        yield from no_way(keys, "out")


class TabSide(Config):
    """Where the tab's hole goes on one side, left or right seen from the driver's seat."""

    hole: PointName | None = Field(
        default=None,
        description="Point at the middle of the joint's ball: where the hole's axis crosses the "
        "middle of the fork. One of hole, link and from_axis.",
        examples=["H"],
    )
    link: OneLine | None = Field(
        default=None,
        description="Instead: the link of the axle that it holds. Its end gives the hole, and its "
        "forces, worked out from the car, are the load.",
        examples=["lower right"],
    )
    end: Literal["axle", "chassis"] = Field(
        default="axle", description="Which end of that link.", examples=["axle"]
    )
    from_axis: Triple | None = Field(
        default=None,
        description="Instead: [X, Y, Z] of the middle of the ball from the tube's axis: from the "
        "first of the axis' points, or from the middle between the wheel centres.",
        examples=[[-68, 450, -41]],
    )
    link_to: PointName | None = Field(
        default=None,
        description="Point at the link's other end, where no link is named: the force runs "
        "toward it. Left out: the force may come from anywhere in the tab's plane.",
        examples=["C"],
    )
    bolt_way: Way | None = Field(
        default=None,
        description="Direction of the bolt as [X, Y, Z]. Left out: level and square to the link; "
        "without a link, across the vehicle.",
        examples=[[0, 1, 0]],
    )
    axis: Pair | None = Field(
        default=None,
        description="Two points of the tube's axis. Left out: the line between the axle's wheel "
        "centres.",
        examples=[["T1", "T2"]],
    )
    face: FaceConfig | None = Field(
        default=None, description="The flat face it stands on, for a plate, rail or folded foot."
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        given = [key for key in ("hole", "link", "from_axis") if keys.get(key) is not None]
        if not given:
            yield FieldProblem(
                (), "does not say where the hole goes", "give hole, link or from_axis"
            )
        for key in given[1:]:
            yield FieldProblem(
                (key,), f"is given beside {given[0]}", f"keep one of {', '.join(given)}"
            )
        if "link" in given and keys.get("link_to") is not None:
            yield FieldProblem(
                ("link_to",), "is given beside link", "leave it out: the link has two ends"
            )
        axis = keys.get("axis")
        if isinstance(axis, list | tuple) and len(axis) == 2 and axis[0] == axis[1]:
            yield FieldProblem(("axis",), "has one point twice", "name two points, well apart")
        yield from no_way(keys, "bolt_way")


def no_way(keys: Mapping[str, Any], key: str) -> Iterator[FieldProblem]:
    """A direction of no length."""
    way = keys.get(key)
    if isinstance(way, list | tuple) and way and all(value == 0 for value in way):
        yield FieldProblem((key,), "is no direction", "write it such as [0, 1, 0]")
