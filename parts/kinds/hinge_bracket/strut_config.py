"""What is asked of the struts: given ones, or areas in which to look for them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from parts.kinds.fields import Config, Count, OneLine, PositiveLength
from parts.kinds.hinge_bracket.bracket_config import StrutBracketConfig
from parts.kinds.hinge_bracket.places import Fence, NotNegative, Spot, as_spot
from parts.kinds.problems import FieldProblem, FieldProblems
from parts.tables import rows
from parts.trade.strut import Strut, usual_rules

Positive = Annotated[float, Field(gt=0)]
MOST_STEPS = 11  # of each side of two areas: what a search looks at
PROGRESSION = 1.3  # F2 over F1 of a pair that no table knows; common practice: 1.2 to 1.4


class FittedConfig(Config):
    """Struts that are chosen already, and where they are mounted."""

    rod: PositiveLength = Field(description="Diameter of the rod.", examples=[8])
    tube: PositiveLength = Field(description="Diameter of the tube.", examples=[18])
    stroke: PositiveLength = Field(description="Stroke.", examples=[200])
    extended: PositiveLength = Field(
        description="Length between the middles of its ends, all the way out.", examples=[485]
    )
    force: Positive = Field(
        description="F1, the force it is sold by, N: at 20 °C near full extension.", examples=[200]
    )
    progression: Annotated[float, Field(ge=1, le=3)] | None = Field(
        default=None,
        description="F2 over F1: how much more it pushes when pushed in. Left out: that of the "
        "common size, else 1.3.",
        examples=[1.3],
    )
    friction: NotNegative | None = Field(
        default=None,
        description="Its friction, N: half of what pushing it in takes more than it gives coming "
        "out. Left out: the most a strut of that force should have.",
        examples=[30],
    )
    count: Literal[1, 2] = Field(default=2, description="How many struts.", examples=[2])
    on_lid: Spot = Field(
        description="Middle of the ball on the lid, lid shut: [back, up] from the lid's front "
        "edge.",
        examples=[[60, -30]],
    )
    on_body: Spot = Field(
        description="Middle of the ball on the body: [back, up].", examples=[[260, -260]]
    )

    def strut(self) -> Strut:
        """The strut as ordered; raises ValueError for one that cannot be."""
        return Strut(
            self.rod, self.tube, self.stroke, self.extended, self.force,
            self.progression or _progression(self.rod, self.tube), friction_n=self.friction,
        )  # fmt: skip

    @model_validator(mode="after")
    def _can_be(self) -> Self:
        try:
            self.strut()
        except ValueError as error:
            message, _, remedy = str(error).partition("; ")
            raise FieldProblems(
                FieldProblem((), message.removeprefix("strut: "), remedy or "look at its label")
            ) from error
        if self.on_lid == self.on_body:
            raise FieldProblems(
                FieldProblem(("on_body",), "is the point on the lid", "write both ends' places")
            )
        return self


def _progression(rod: float, tube: float) -> float:
    for row in rows("struts"):
        if (float(row["rod_mm"]), float(row["tube_mm"])) == (rod, tube):
            return float(row["progression"])
    return PROGRESSION


class SearchConfig(Config):
    """Where the struts' mounts may be: the sizes commonly sold are tried in all of them."""

    lid_area: tuple[Spot, Spot] = Field(
        description="Two opposite corners of the area for the ball on the lid, lid shut: each "
        "[back, up] from the lid's front edge.",
        examples=[[[40, -40], [140, -20]]],
    )
    body_area: tuple[Spot, Spot] = Field(
        description="Two opposite corners of the area for the ball on the body.",
        examples=[[[160, -300], [360, -160]]],
    )
    counts: tuple[Literal[1, 2], ...] = Field(
        default=(2,),
        description="How many struts to try: [2], [1] or [1, 2]. One twists the lid.",
        examples=[[2]],
    )
    steps: Annotated[Count, Field(le=MOST_STEPS)] = Field(
        default=5,
        description="How many places to try along each side of an area.",
        examples=[5],
    )
    rods: tuple[PositiveLength, ...] = Field(
        default=(),
        description="Rod diameters to choose from. Left out: all that are common.",
        examples=[[8, 10]],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        counts = keys.get("counts")
        if isinstance(counts, list | tuple) and not counts:
            yield FieldProblem(("counts",), "names no number", "write [2], [1] or [1, 2]")
        yield from _overlap(keys)
        known = sorted({float(row["rod_mm"]) for row in rows("struts")})
        rods = keys.get("rods")
        for i, rod in enumerate(rods if isinstance(rods, list | tuple) else ()):
            if isinstance(rod, int | float) and rod > 0 and rod not in known:
                listed = ", ".join(f"{one:g}" for one in known)
                yield FieldProblem(("rods", i), f"{rod:g} is no common rod", f"known: {listed}")


def as_box(corners: object) -> tuple[float, float, float, float] | None:
    """Least and greatest coordinates of an area as written, or None where it cannot be read."""
    ends = [as_spot(end) for end in corners] if isinstance(corners, list | tuple) else []
    spots = [end for end in ends if end is not None]
    if len(spots) != 2 or len(ends) != 2:
        return None
    (u, v), (p, q) = spots
    return (min(u, p), min(v, q), max(u, p), max(v, q))


def _overlap(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    lid, body = as_box(keys.get("lid_area")), as_box(keys.get("body_area"))
    if lid is None or body is None:
        return
    if all(lid[k] <= body[k + 2] and body[k] <= lid[k + 2] for k in (0, 1)):
        yield FieldProblem(
            ("body_area",), "overlaps the area on the lid: a strut there has no length",
            "write areas that lie apart, lid shut",
        )  # fmt: skip


class StrutsConfig(Config):
    """Gas struts: given, or to be found in areas."""

    fitted: FittedConfig | None = Field(
        default=None, description="Struts that are chosen already: they are judged."
    )
    search: SearchConfig | None = Field(
        default=None, description="Instead: areas in which the best pair is looked for."
    )
    y: PositiveLength | None = Field(
        default=None,
        description="From the vehicle's centre plane to the middle of the ball on the body. Left "
        "out: 40 mm outboard of the hinge plane, beside the arm.",
        examples=[470],
    )
    aside: NotNegative = Field(
        default=0.0,
        validate_default=True,
        description="How much nearer the centre plane the ball on the lid sits.",
        examples=[0],
    )
    ends: OneLine = Field(
        default="ball sockets 10 mm, M6",
        description="Ends of the struts, for the order.",
        examples=["ball sockets 10 mm, M6"],
    )
    room: Fence | None = Field(
        default=None,
        description="Corners, in order, of the space that a strut may take with the lid shut: "
        "each [back, up]. Left out: no limit.",
        examples=[[[20, -15], [340, -15], [340, -330], [20, -330]]],
    )
    keep_clear: tuple[Spot, ...] = Field(
        default=(),
        description="Points of the body that a strut must miss at every angle, such as those of a "
        "bracket. The gutter's corners count without being named.",
        examples=[[[180, -320]]],
    )
    shut_at: float | None = Field(
        default=None,
        description="Hottest at which the lid must stay shut by its own weight, °C. Left out: 60.",
        examples=[60],
    )
    hold_at: float | None = Field(
        default=None,
        description="Coldest at which it must stay open, °C. Left out: -10.",
        examples=[-10],
    )
    aged: Annotated[float, Field(ge=0, lt=100)] | None = Field(
        default=None,
        description="Force an old strut has lost when it is replaced, %. Left out: 15.",
        examples=[15],
    )
    holds_from: Annotated[float, Field(ge=0)] | None = Field(
        default=None,
        description="Opening from which it must hold in the cold, degrees. Left out: fully open "
        "only; from where it holds is told.",
        examples=[60],
    )
    hand_force: Positive | None = Field(
        default=None,
        description="Most force wished at the handle, N. Left out: 100.",
        examples=[100],
    )
    slam_factor: Annotated[float, Field(ge=1)] | None = Field(
        default=None,
        description="How many times the strut's force its brackets are screened for, for a lid "
        "let fall or thrown open. Left out: 2. Usual: 1.5 to 2.",
        examples=[2],
    )
    brackets: StrutBracketConfig | None = Field(
        default=None, description="Brackets for the ball studs. Left out: none are drawn."
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        given = [key for key in ("fitted", "search") if keys.get(key) is not None]
        if len(given) != 1:
            what = "has both fitted struts and a search" if given else "has neither"
            yield FieldProblem((), what, "give one of the tables `fitted` and `search`")
        usual = usual_rules()
        cold, hot = keys.get("hold_at", usual.hold_at_c), keys.get("shut_at", usual.shut_at_c)
        if isinstance(cold, int | float) and isinstance(hot, int | float) and cold > hot:
            yield FieldProblem(
                ("hold_at",), f"is {cold:g} °C, warmer than the {hot:g} °C it must stay shut at",
                "write the coldest day there",
            )  # fmt: skip
        y, aside = keys.get("y"), keys.get("aside", 0)
        if isinstance(y, int | float) and isinstance(aside, int | float) and 0 < y <= aside:
            yield FieldProblem(
                ("aside",), f"puts the ball on the lid past the centre plane, {aside:g} from "
                f"{y:g} mm", "write how much nearer it sits",
            )  # fmt: skip
        clear = keys.get("keep_clear")
        spots = [as_spot(spot) for spot in clear] if isinstance(clear, list | tuple) else []
        for i, spot in enumerate(spots):
            if spot is not None and spot in spots[:i]:
                yield FieldProblem(("keep_clear", i), "is named twice", "write each point once")
