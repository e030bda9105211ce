"""Draw the README's picture again: the demo's right bumper mount, as built.

    python output/gallery/redraw.py

Reads the files of a fresh build in a temporary folder, not the model: what is shown is what a
cutter would get. Left the blank from the DXF, right the folded part from the STEP file.
"""

from __future__ import annotations

import math
import re
import tempfile
from pathlib import Path

import cadquery as cq
import ezdxf
from ezdxf.path import make_path

from parts.make import build, load

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
GAP = 60.0


def main() -> None:
    """Write rear_mount.svg beside this file."""
    part = load(ROOT / "configs" / "tin_wren.toml").part("rear_mount")
    with tempfile.TemporaryDirectory() as folder:
        files = build(part, Path(folder), ("step", "dxf")).files
        right = [path for path in files if "-right-" in path.name]
        marked = next(path for path in right if path.name.endswith("-marked.dxf"))
        step = next(path for path in right if path.suffix == ".step")
        flat, (width, height) = drawn_blank(marked)
        solid, (solid_width, solid_height) = drawn_solid(step)
    total = width + GAP + solid_width
    tall = max(height, solid_height)
    (HERE / "rear_mount.svg").write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-10 -10 {total + 20:.1f} '
        f'{tall + 20:.1f}" width="{3 * (total + 20):.0f}" fill="none" stroke="#20303a" '
        'stroke-width="0.7" stroke-linejoin="round" stroke-linecap="round">\n'
        '<rect x="-10" y="-10" width="100%" height="100%" fill="#ffffff" stroke="none"/>\n'
        f'<g transform="translate(0 {(tall - height) / 2:.1f})">\n{flat}</g>\n'
        f'<g transform="translate({width + GAP:.1f} {(tall - solid_height) / 2:.1f})">\n'
        f"{solid}</g>\n</svg>\n",
        encoding="utf-8",
    )


def drawn_blank(path: Path) -> tuple[str, tuple[float, float]]:
    """The marked DXF's lines, as SVG paths with y down, and their size in mm."""
    space = ezdxf.readfile(path).modelspace()
    lines = {"CUT": [], "BEND": [], "MARK": []}
    for entity in space:
        if entity.dxftype() in ("LWPOLYLINE", "CIRCLE", "LINE", "ARC"):
            points = list(make_path(entity).flattening(0.05))
            if points:
                lines[entity.dxf.layer].append([(p.x, p.y) for p in points])
    xs, ys = zip(*(p for run in lines["CUT"] for p in run), strict=True)
    left, top = min(xs), max(ys)
    style = {"CUT": "", "BEND": 'stroke="#b2541e" stroke-dasharray="6 2"', "MARK": "opacity='.6'"}
    drawn = ""
    for layer, runs in lines.items():
        for run in runs:
            path_text = " L ".join(f"{x - left:.2f} {top - y:.2f}" for x, y in run)
            drawn += f'<path d="M {path_text}" {style[layer]}/>\n'
    return drawn, (max(xs) - left, top - min(ys))


def drawn_solid(path: Path) -> tuple[str, tuple[float, float]]:
    """The STEP file's solid seen from above one corner, hidden lines left out."""
    shape = cq.importers.importStep(str(path)).rotate((0, 0, 0), (0, 0, 1), 150)
    options = {"showHidden": False, "showAxes": False, "projectionDir": (1.0, -1.1, 0.75),
               "width": 400, "height": 400, "marginLeft": 0, "marginTop": 0}  # fmt: skip
    text = cq.exporters.getSVG(shape.val(), options)
    number = r"(-?[\d.]+(?:e-?\d+)?)"
    runs = [
        [(float(x), float(y)) for x, y in re.findall(f"{number},{number}", d)]
        for d in re.findall(r'<path d="([^"]+)"', text)
    ]
    runs = [run for run in runs if len(run) > 1]
    xs, ys = zip(*(p for run in runs for p in run), strict=True)
    drawn = ""
    for run in runs:
        drawn += '<path d="M ' + " L ".join(
            f"{x - min(xs):.2f} {max(ys) - y:.2f}" for x, y in run
        ) + '"/>\n'
    size = (max(xs) - min(xs), max(ys) - min(ys))
    assert all(math.isfinite(side) for side in size)
    return drawn, size


if __name__ == "__main__":
    main()
