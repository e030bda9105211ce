"""What is handed to a viewer: pieces and scenery by part, in colours that a legend tells."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from parts import solid
from parts.part import Part
from parts.scenery import Dots, Lines, Role, Scenery
from parts.solid.scenery import Thing, scene, shape

Color = tuple[float, float, float]
METAL: dict[str, tuple[str, Color]] = {
    "left": ("blue", (0.25, 0.50, 0.75)),
    "right": ("orange", (0.90, 0.55, 0.20)),
    "": ("grey", (0.62, 0.64, 0.66)),
}
ROLES: dict[Role, tuple[str, str, Color]] = {
    "tyre": ("tyre", "black", (0.15, 0.15, 0.15)),
    "lid": ("lid and struts", "green", (0.15, 0.60, 0.30)),
    "fixed": ("what stays on the vehicle", "brown", (0.55, 0.35, 0.25)),
    "measured": ("measured points and axes", "red", (0.85, 0.05, 0.15)),
}
CLEAR = 0.30  # opacity of scenery
ASIDE = "hidden: more poses"


@dataclass(frozen=True, slots=True, eq=False)
class Aside:
    """Shapes by name that are handed over hidden, all of one colour."""

    name: str
    shapes: dict[str, Any]
    color: Color


@dataclass(frozen=True, slots=True, eq=False)
class Picture:
    """All that is shown: `main`, a `cadquery.Assembly`, and what is put `aside`."""

    main: Any
    aside: tuple[Aside, ...]
    count: str
    legend: tuple[str, ...]


def picture(parts: Sequence[Part], with_scenery: bool = True) -> Picture | None:
    """The parts as a viewer takes them; None where there is nothing to show.

    Every thing is named "part hand piece", or "part" and what it is, and stands in its part's
    group.
    """
    pieces = [(part, piece) for part in parts for piece in part.pieces]
    if not pieces:
        return None
    beside = {part.name: _beside(part) if with_scenery else [] for part in parts}
    main = [(part.name, [*_metal(part), *_things(part.name, beside[part.name])]) for part in parts]
    aside = tuple(_aside(beside))
    hands = [piece.hand for _, piece in pieces]
    roles = [one.role for told in beside.values() for one in told]
    count = f"{_of(len(pieces), 'piece')} of {_of(len(parts), 'part')}"
    return Picture(
        scene(parts[0].job, main), aside, count, tuple(_legend(hands, roles, bool(aside))),
    )  # fmt: skip


def _metal(part: Part) -> Iterable[Thing]:
    for piece in part.pieces:
        name = " ".join(word for word in (part.name, piece.hand, piece.name) if word)
        made = solid.as_cadquery(piece.kernel_solid, piece.place)
        yield Thing(name, made, METAL[piece.hand][1])


def _beside(part: Part) -> list[Scenery]:
    """Its scenery, and its measured points."""
    found = list(part.scenery)
    if part.spots:
        at = np.array([spot.at for spot in part.spots])
        found.append(Scenery("measured points", "measured", Dots(at)))
    return found


def _things(part: str, beside: Iterable[Scenery]) -> Iterable[Thing]:
    """Scenery as it is shown at once: lines solid, the rest to be looked through."""
    for one in beside:
        if not one.aside:
            opacity = 1.0 if isinstance(one.form, Lines | Dots) else CLEAR
            yield Thing(f"{part} {one.title}", shape(one.form), ROLES[one.role][2], opacity)


def _aside(beside: Mapping[str, Iterable[Scenery]]) -> Iterable[Aside]:
    for role, (_, _, color) in ROLES.items():
        shapes = {
            f"{part} {one.title}": shape(one.form)
            for part, told in beside.items()
            for one in told
            if one.aside and one.role == role
        }
        if shapes:
            yield Aside(f"{ASIDE} ({role})", shapes, color)


def _legend(hands: Sequence[str], roles: Sequence[Role], hidden: bool) -> Iterable[str]:
    metal = [f"{hand or 'no hand'} {word}" for hand, (word, _) in METAL.items() if hand in hands]
    yield f"metal: {', '.join(metal)}"
    rest = [f"{name} {word}" for role, (name, word, _) in ROLES.items() if role in roles]
    if rest:
        yield f"not metal to make: {', '.join(rest)}"
    if hidden:
        yield f'more poses are in the groups named "{ASIDE}": click the eye to see them'


def _of(count: int, noun: str) -> str:
    """
    >>> _of(1, "part"), _of(2, "part")
    ('1 part', '2 parts')
    """
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
