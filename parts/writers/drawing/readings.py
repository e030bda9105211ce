"""What is read along each border of the blank, and what of it finds room."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import floor
from typing import TypeAlias

from parts.paper.dimensions import OFF, PITCH, Border, Reading, text_of
from parts.sheet.curve import Point
from parts.writers.drawing.marks import Kind, Spot
from parts.writers.drawing.scaled import Scaled, axis_of, first_border, second_border

CROSS = 1.5  # mm that a centre mark stands out of its hole


Row: TypeAlias = tuple[Reading, ...]


def row(sheet: Scaled, border: Border) -> Row:
    """The readings along one border, in rising order of place; a kind that finds no room beside
    the others is left to its table."""
    axis = axis_of(border)
    groups = _groups(sheet, border, axis)
    if border == second_border(axis):
        first = _groups(sheet, first_border(axis), axis)
        groups = {
            text: group
            for text, group in groups.items()
            if text not in first or any(spot.kind is Kind.HOLE for spot, _ in group)
        }
    low, high = sheet.ends(border)
    room = floor((high - low) / PITCH + 1e-9) + 1
    zero = 0 if "0" in groups else 1
    kept = _kept(groups, room - zero)
    readings = [_reading(sheet, border, axis, text, groups[text]) for text in kept]
    if zero and readings:
        readings.append(_origin(sheet, border))
    return tuple(sorted(readings, key=lambda one: one.at))


def _kept(groups: Mapping[str, Sequence[tuple[Spot, Point]]], room: int) -> list[str]:
    """The readings that find room; of a kind all or none, so that none is missed unseen."""
    kept: list[str] = []
    for kind in Kind:
        more = [text for text, group in groups.items() if min(s.kind for s, _ in group) == kind]
        if len(kept) + len(more) <= room:
            kept += more
    return kept


def _groups(sheet: Scaled, border: Border, axis: int) -> dict[str, list[tuple[Spot, Point]]]:
    """What is read along a border, with the points nearest to it, by the words of the reading."""
    start = sheet.datum(border)
    groups: dict[str, list[tuple[Spot, Point]]] = {}
    for spot in sheet.laid.spots:
        if (spot.along_x, spot.along_y)[axis] and _border(sheet, spot, axis) == border:
            point = min(spot.points, key=lambda p: sheet.depth(border, p))
            groups.setdefault(text_of(start.reading(point[axis])), []).append((spot, point))
    return groups


def _border(sheet: Scaled, spot: Spot, axis: int) -> Border:
    """Which border a reading belongs to."""
    first, second = first_border(axis), second_border(axis)
    if not sheet.both or spot.kind in (Kind.SIZE, Kind.BEND):
        return first
    point = spot.points[0]
    return first if sheet.depth(first, point) <= sheet.depth(second, point) + 1e-6 else second


def _reading(
    sheet: Scaled, border: Border, axis: int, text: str, group: Sequence[tuple[Spot, Point]]
) -> Reading:
    """One value, its extension line long enough for the farthest hole that shares it."""
    place = sheet.put(group[0][1])[axis]
    depth = min(sheet.depth(border, point) for _, point in group)
    for spot, point in group:
        if spot.kind in (Kind.HOLE, Kind.CENTRE):
            clear = sheet.scale * spot.reach + CROSS - OFF
            depth = max(depth, sheet.depth(border, point) - clear)
    whole = any(spot.kind is Kind.SIZE for spot, _ in group) and text != "0"
    return Reading(place, text, depth, bold=whole)


def _origin(sheet: Scaled, border: Border) -> Reading:
    """The 0 of a row in which nothing else reads 0; from the edge where one lies near."""
    _, at = sheet.bounds(border)
    axis = axis_of(border)
    start = sheet.datum(border).at
    near = [
        sheet.depth(border, p)
        for outline in sheet.laid.outlines[:1]
        for p in outline.corners
        if abs(p[axis] - start) < 0.05
    ]
    return Reading(at, "0", min(near, default=0.0))


def left_over(sheet: Scaled, rows: Mapping[Border, Row]) -> tuple[Point, ...]:
    """Points of the edge, in their order, that no row tells in full; holes have a table anyway."""
    told = [
        {one.text for border, found in rows.items() if axis_of(border) == axis
         for one in found}
        for axis in (0, 1)
    ]  # fmt: skip
    points = [
        spot.points[0]
        for spot in sheet.laid.spots
        if spot.kind is not Kind.HOLE
        and any(
            along and _text(sheet, axis, spot.points[0]) not in told[axis]
            for axis, along in ((0, spot.along_x), (1, spot.along_y))
        )
    ]
    return tuple(dict.fromkeys(points))


def _text(sheet: Scaled, axis: int, point: Point) -> str:
    return text_of((sheet.laid.x, sheet.laid.y)[axis].reading(point[axis]))
