"""What is wrong between the tables of a hinge bracket, as they are written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import hypot
from typing import Any

from parts.kinds.fields import Config
from parts.kinds.hinge_bracket.places import as_length, as_spot, in_keys, no_room
from parts.kinds.hinge_bracket.strut_config import as_box
from parts.kinds.problems import FieldProblem
from parts.trade.lengths import LengthError, parse_angle

ARM = "arm"
BODY_FACE = "body face"
OWN_NAMES = (
    "lid fold", "lid skin", "panel ahead", "gutter", "seal, free", "seal, squeezed", ARM, BODY_FACE,
)  # fmt: skip
LEAST_LEVER = 5.0  # mm from the pivot to what should turn about it
MOST = 1e5  # mm, N or kg; nothing on a vehicle comes to more


def judged(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    """Problems that no table shows by itself; each names its field and what would be right."""
    if beyond := list(_too_much(keys, ())):
        yield from beyond  # what the others would say of such numbers is noise
        return
    yield from _rooms(keys)
    yield from _names(keys)
    yield from _sizes(keys)
    yield from _seal(keys)
    yield from _weight(keys)
    yield from _struts(keys)


def _too_much(value: object, loc: tuple[str | int, ...]) -> Iterator[FieldProblem]:
    """Said of every number that is no size of anything on a vehicle."""
    if isinstance(value, Mapping | Config):
        pairs = value.items() if isinstance(value, Mapping) else value
        for key, inner in pairs:
            yield from _too_much(inner, (*loc, str(key)))
    elif isinstance(value, list | tuple):
        for i, inner in enumerate(value):
            yield from _too_much(inner, (*loc, i))
    elif isinstance(value, int | float) and not isinstance(value, bool) and abs(value) > MOST:
        yield FieldProblem(
            loc, f"is {value:g}: nothing on a vehicle comes to so much",
            "write it in mm, or as text with its unit",
        )  # fmt: skip


def _rooms(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    yield from no_room(("pivot_room",), keys.get("pivot_room"))
    yield from no_room(("arm_room",), keys.get("arm_room"))
    yield from no_room(("struts", "room"), in_keys(keys, "struts", "room"))
    if keys.get("pivot", "found") == "found" and keys.get("pivot_room") is None:
        yield FieldProblem(
            ("pivot",), "is to be found, but its room is not known",
            "add pivot_room, the corners of the space for it; or give the pivot",
        )  # fmt: skip


def _names(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    things = keys.get("things")
    seen: list[str] = []
    for i, thing in enumerate(things if isinstance(things, list | tuple) else ()):
        name = in_keys(thing, "name")
        if not isinstance(name, str):
            continue
        if not name.strip():
            yield FieldProblem(("things", i, "name"), "is empty", "say what the thing is")
        elif name in OWN_NAMES:
            yield FieldProblem(
                ("things", i, "name"), f"{name!r} is the tool's own name for another outline",
                "call it otherwise",
            )  # fmt: skip
        elif name in seen:
            yield FieldProblem(
                ("things", i, "name"), f"{name!r} is given twice", "give each its own name"
            )
        seen.append(name)


def _sizes(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    width = as_length(in_keys(keys, "lid", "width"))
    depth = as_length(in_keys(keys, "lid", "depth"))
    for side in ("right", "left"):
        y = as_length(in_keys(keys, side, "y"))
        if width is not None and y is not None and y >= width / 2:
            yield FieldProblem(
                (side, "y"), f"is {y:g} mm, past the side of a lid {width:g} mm wide",
                f"measure from the centre plane: less than {width / 2:g}",
            )  # fmt: skip
    pad = in_keys(keys, "arm", "pad")
    ends = [as_spot(end) for end in pad] if isinstance(pad, list | tuple) else []
    for i, end in enumerate(ends):
        if end is None:
            continue
        if depth is not None and not 0 < end[0] < depth:
            yield FieldProblem(
                ("arm", "pad", i), f"lies {end[0]:g} mm back, not under the lid",
                f"write how far behind the lid's front edge it is: between 0 and {depth:g}",
            )  # fmt: skip
        elif end[1] > 0:
            yield FieldProblem(
                ("arm", "pad", i), f"lies {end[1]:g} mm above the lid's top",
                "below the top is negative: write it with its sign",
            )  # fmt: skip
    pivot = as_spot(keys.get("pivot"))
    if pivot is None:
        return
    if depth is not None and pivot[0] >= depth:
        yield FieldProblem(
            ("pivot",), f"lies {pivot[0]:g} mm back, behind the lid",
            "ahead of the lid's front edge is negative: write it with its sign",
        )  # fmt: skip
    for i, end in enumerate(ends):
        if end is not None and hypot(end[0] - pivot[0], end[1] - pivot[1]) < LEAST_LEVER:
            yield FieldProblem(("arm", "pad", i), "lies on the pivot", "measure both again")


def _seal(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    foot = as_spot(in_keys(keys, "seal", "foot"))
    squeezed = as_length(in_keys(keys, "seal", "squeezed"))
    if foot is None:
        return
    if squeezed is not None and foot[1] + squeezed > 0:
        yield FieldProblem(
            ("seal", "squeezed"),
            f"puts the seal's top {foot[1] + squeezed:g} mm above the lid's top, lid shut",
            "measure the foot below the lid's top, and the seal's height over its foot",
        )
    depth = as_length(in_keys(keys, "lid", "depth"))
    rear = as_length(in_keys(keys, "seal", "rear"))
    if rear is not None and rear <= foot[0]:
        yield FieldProblem(
            ("seal", "rear"), f"is {rear:g} mm, not behind the front run at {foot[0]:g}",
            "measure both from the lid's front edge",
        )  # fmt: skip
    elif rear is not None and depth is not None and rear > depth:
        yield FieldProblem(
            ("seal", "rear"), f"is {rear:g} mm, behind a lid {depth:g} mm deep",
            "measure it from the lid's front edge",
        )  # fmt: skip
    width = as_length(in_keys(keys, "lid", "width"))
    across = as_length(in_keys(keys, "seal", "across"))
    if across is not None and width is not None and across > width:
        yield FieldProblem(
            ("seal", "across"), f"is {across:g} mm, wider than the lid at {width:g}",
            "measure from one side run of the seal to the other",
        )  # fmt: skip


def _weight(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    depth = as_length(in_keys(keys, "lid", "depth"))
    centre = as_spot(in_keys(keys, "weight", "centre"))
    if depth is None:
        return
    if centre is not None and not 0 < centre[0] < depth:
        yield FieldProblem(
            ("weight", "centre"), f"lies {centre[0]:g} mm back, not within the lid",
            f"write how far behind the lid's front edge it is: between 0 and {depth:g}",
        )  # fmt: skip
    start = as_length(in_keys(keys, "weight", "scales", "hinge_at") or 0.0)
    apart = as_length(in_keys(keys, "weight", "scales", "apart"))
    if start is not None and apart is not None and start + apart > depth + 1:
        yield FieldProblem(
            ("weight", "scales", "apart"),
            f"puts the rear support {start + apart:g} mm back, behind a lid {depth:g} mm deep",
            "measure from one support to the other, along the lid",
        )


def _struts(keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
    try:
        opening: float | None = parse_angle(keys.get("opening"))
    except LengthError:
        opening = None
    holds = in_keys(keys, "struts", "holds_from")
    if isinstance(holds, int | float) and opening is not None and holds > opening:
        yield FieldProblem(
            ("struts", "holds_from"),
            f"is {holds:g} degrees, but the lid opens to {opening:g} only",
            f"write {opening:g} or less",
        )  # fmt: skip
    pivot = as_spot(keys.get("pivot"))
    for key in ("on_lid", "on_body"):
        spot = as_spot(in_keys(keys, "struts", "fitted", key))
        if spot is None or pivot is None:
            continue
        if hypot(spot[0] - pivot[0], spot[1] - pivot[1]) < LEAST_LEVER:
            yield FieldProblem(
                ("struts", "fitted", key), "lies on the pivot: a strut there turns nothing",
                "measure both from the lid's front edge",
            )  # fmt: skip
    for key in ("lid_area", "body_area"):
        box = as_box(in_keys(keys, "struts", "search", key))
        if box is None or pivot is None:
            continue
        if box[0] <= pivot[0] <= box[2] and box[1] <= pivot[1] <= box[3]:
            yield FieldProblem(
                ("struts", "search", key), "takes in the pivot: a strut there turns nothing",
                "write an area beside the pivot",
            )  # fmt: skip
    handle = as_spot(in_keys(keys, "lid", "handle"))
    if handle is None or pivot is None:
        return
    if hypot(handle[0] - pivot[0], handle[1] - pivot[1]) < LEAST_LEVER:
        yield FieldProblem(
            ("lid", "handle"), "lies on the pivot: a hand there turns nothing",
            "write where the lid is lifted",
        )  # fmt: skip
