"""A standalone CadQuery script for every piece: a second way to the same solid, to read and keep.

It needs CadQuery alone. Profiles are in flat-blank coordinates, as in the DXF; the places of the
flanges are worked out in the script from its own bend table, not copied from here. It holds
itself to one valid solid of the expected volume, and writes a STEP file only when told where.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from parts.part import Part, Piece, thickness_words
from parts.sheet.collide import region_names
from parts.sheet.curve import SAME_POINT, Arc, Curve, distance
from parts.sheet.fold import Chain, Folded, Region, neighbours
from parts.sheet.loop import Loop
from parts.writers import script_text


def write(part: Part, folder: Path) -> list[Path]:
    """Write `STEM.py` for every piece; returns the files."""
    files = []
    for piece in part.pieces:
        path = folder / f"{part.stem(piece)}.py"
        path.write_text(text(part, piece), encoding="utf-8", newline="\n")
        files.append(path)
    return files


def text(part: Part, piece: Piece) -> str:
    """The whole script."""
    folded = piece.folded
    bends = _unique([f"{_identifier(bend.name).upper()}" for bend in folded.blank.bends])
    beside = neighbours(folded)
    order = [(i, beside.chains[i]) for i in beside.order]  # from the base outward
    trimmed = {i for i, _ in order if folded.regions[i].bend is not None and not _plain(folded, i)}
    plain = any(folded.regions[i].bend is not None for i, _ in order if i not in trimmed)
    places = _place_names(folded, [chain for _, chain in order], bends)
    regions = _region_names(folded)
    head = script_text.HEAD.format(
        title=_words(_title(part, piece)),
        imports=script_text.KERNEL_IMPORTS if trimmed else "",
        from_math="from math import atan2, pi, radians\n" if trimmed else "",
        functions=_functions(len(order) > 1, bool(trimmed)),
    )
    blocks = [head]
    blocks.append(f"THICKNESS = {_n(folded.blank.thickness)}\n")
    blocks += [_bend_table(folded, i, name) for i, name in enumerate(bends)]
    blocks.append(f"EXPECTED_VOLUME = {piece.volume!r}  # mm3\n")
    if bends:
        blocks.append(script_text.HINGE)
        blocks += [script_text.STRIP] if plain else []
        blocks += [script_text.ROLLED] if trimmed else []
    blocks.append("\n# where flat coordinates go, from the base outward\n" + _places(places, bends))
    for i, chain in order:
        blocks.append(_made(folded, i, regions[i], bends, places[chain]))
    zones = "".join(f"    {regions[i]},\n" for i, _ in order)
    blocks.append(f"zones = [\n{zones}]")
    whole = 'fuse(*zones, glue="full").Solids()' if len(order) > 1 else "zones"
    blocks.append(script_text.TAIL.format(whole=whole))
    return "\n".join(blocks)


def _functions(fuse: bool, solid: bool) -> str:
    names = (["fuse"] if fuse else []) + (["solid"] if solid else [])
    return f"from cadquery.func import {', '.join(names)}\n" if names else ""


def _title(part: Part, piece: Piece) -> str:
    hand = f", {piece.hand} hand" if piece.hand else ""
    stock = f"{piece.stock.material.name} {thickness_words(piece.stock.thickness)} mm"
    return f"{part.job}, {part.name}, {piece.name}{hand}: {stock}"


def _bend_table(folded: Folded, number: int, name: str) -> str:
    bend = folded.blank.bends[number]
    line = f"(({_xy(bend.start)}), ({_xy(bend.end)}))"
    way = "up, toward the reader" if bend.up else "down, away from the reader"
    return (
        f"# bend {_words(bend.name)}: {way}; what swings lies left of its line\n"
        f"{name}_LINE = {line}\n"
        f"{name}_RADIUS = {_n(bend.radius)}\n"
        f"{name}_TURN = {_n(bend.turn_deg)}\n"
        f"{name}_ALLOWANCE = {bend.allowance!r}\n"
    )


def _place_names(folded: Folded, chains: list[Chain], bends: list[str]) -> dict[Chain, str]:
    """A variable for every place that a region or a further place needs."""
    distinct = list(dict.fromkeys(chains))
    words = []
    for chain in distinct:
        if not chain:
            words.append("on_base")
            continue
        number, forward = chain[-1]
        words.append(f"{'past' if forward else 'before'}_{bends[number].lower()}")
    return dict(zip(distinct, _unique(words), strict=True))


def _places(places: dict[Chain, str], bends: list[str]) -> str:
    lines = []
    for chain, name in places.items():
        if not chain:
            lines.append(f"{name} = cq.Location()\n")
            continue
        number, forward = chain[-1]
        b = bends[number]
        move = f"past({b}_LINE, {b}_RADIUS, {b}_TURN, {b}_ALLOWANCE)"
        lines.append(f"{name} = {places[chain[:-1]]} * {move}{'' if forward else '.inverse'}\n")
    return "".join(lines)


def _region_names(folded: Folded) -> list[str]:
    """`base`, `foot_bend`, `foot_flange`."""
    words = []
    for name in region_names(folded):
        kind, _, bend = name.partition(" ")
        words.append(f"{_identifier(bend).lower()}_{kind}" if bend else name)
    return _unique(words)


def _made(folded: Folded, number: int, name: str, bends: list[str], place: str) -> str:
    """The lines that make one region in its place."""
    region = folded.regions[number]
    if region.bend is None:
        return f"{name} = (\n{_profile(folded, region)}).val().moved({place})\n"
    b = bends[region.bend]
    if not _plain(folded, number):
        return (
            f"{name}_flat = (\n{_profile(folded, region)})\n"
            f"{name} = rolled({name}_flat, {b}_LINE, {b}_RADIUS, {b}_TURN, {b}_ALLOWANCE)"
            f".moved({place})\n"
        )
    bend = folded.blank.bends[region.bend]
    along = [bend.beside(curve.start) for curve in region.curves[0]]
    low, high = _n(min(along)), _n(max(along))
    return f"{name} = strip({b}_LINE, {b}_RADIUS, {b}_TURN, {low}, {high}).moved({place})\n"


def _plain(folded: Folded, number: int) -> bool:
    """Whether a bent region is the whole rectangle between its lines and two square cuts."""
    region = folded.regions[number]
    bend = folded.bend_of(region)
    assert bend is not None
    if len(region.loops) > 1 or any(isinstance(curve, Arc) for curve in region.curves[0]):
        return False
    along = [bend.beside(curve.start) for curve in region.curves[0]]
    whole = (max(along) - min(along)) * bend.allowance
    return abs(whole - region.area) < 1e-9 * whole


def _profile(folded: Folded, region: Region) -> str:
    """The region as a chain of CadQuery calls, one a line."""
    lines = ["    cq.Workplane()\n"]
    for loop in region.curves:
        note = _note(folded, loop)
        first = loop[0]
        if len(loop) == 1 and isinstance(first, Arc):
            lines.append(f"    .moveTo({_xy(first.center)}).circle({_n(first.radius)}){note}\n")
            continue
        lines.append(f"    .moveTo({_xy(first.start)}){note}\n")
        lines += [f"    {call}\n" for call in _calls(loop)]
        lines.append("    .close()\n")
    lines.append("    .extrude(THICKNESS)\n")
    return "".join(lines)


def _calls(loop: Loop) -> Iterator[str]:
    last = len(loop) - 1
    for i, curve in enumerate(loop):
        if isinstance(curve, Arc):
            yield f".threePointArc(({_xy(curve.at(0.5))}), ({_xy(curve.end)}))"
        elif i != last:  # close() draws the last line
            yield f".lineTo({_xy(curve.end)})"


def _note(folded: Folded, loop: Loop) -> str:
    """Which opening a loop is, as a comment; nothing for an outline."""
    for cutout in folded.blank.cutouts:
        if all(_on(cutout.loop, curve) for curve in loop):
            return f"  # {_words(cutout.name)}"
    return ""


def _on(loop: Loop, curve: Curve) -> bool:
    middle = curve.at(0.5)
    return any(distance(own.nearest(middle), middle) < SAME_POINT for own in loop)


def _identifier(name: str) -> str:
    word = re.sub(r"\W+", "_", name, flags=re.ASCII).strip("_") or "bend"
    return f"b{word}" if word[0].isdigit() else word


def _unique(words: list[str]) -> list[str]:
    """The words, numbered from the second of a kind on."""
    seen: dict[str, int] = {}
    taken = set(words)
    done = []
    for word in words:
        seen[word] = seen.get(word, 0) + 1
        name = word
        while seen[word] > 1 and (name == word or name in taken):
            name = f"{word}_{seen[word]}"
            if name in taken:
                seen[word] += 1
        taken.add(name)
        done.append(name)
    return done


def _words(text: str) -> str:
    """A name fit for a comment or a docstring: one line, no quotes, no backslashes."""
    return re.sub(r"[\\\"\x00-\x1f\x7f-\x9f\u2028\u2029]+", " ", text).strip()


def _n(value: float) -> str:
    return repr(round(float(value), 12) + 0.0)


def _xy(point: tuple[float, float]) -> str:
    return f"{_n(point[0])}, {_n(point[1])}"
