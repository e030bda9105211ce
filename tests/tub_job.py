"""A job file with one wheel tub, and the part it gives."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from parts.make import load
from parts.part import Part

POINTS = {
    "LLC": (-628, -450, 300), "LLA": (-68, -450, 290), "LRC": (-628, 450, 300),
    "LRA": (-68, 450, 290), "ULC": (-612, -430, 480), "ULA": (-52, -430, 470),
    "URC": (-612, 430, 480), "URA": (-52, 430, 470), "BC": (120, -390, 331), "BA": (120, 330, 331),
    "P1": (-200, 944, 500), "P2": (0, 944, 600), "P3": (200, 944, 700), "P4": (100, 950, 400),
}  # fmt: skip
JOB = (
    '[job]\nname = "tub"\ndate = 2026-05-04\n'
    + "".join(
        f'[points.{name}]\nat = ["{x} ± 2", "{y} ± 2", "{z} ± 2"]\n'
        for name, (x, y, z) in POINTS.items()
    )
    + """
[axle.rear]
left_face = "-780 ± 1.5"
right_face = "780 ± 1.5"
z = "331 ± 2"
bump = 95
droop = 85

[axle.rear.tyre]
size = "275/45R18"
diameter = "704.7 ± 1"
width = "280 ± 1"

[axle.rear.rim]
width = "9.5 in"
offset = "20 ± 1"

[axle.rear.links]
"lower left" = ["LLC", "LLA"]
"lower right" = ["LRC", "LRA"]
"upper left" = ["ULC", "ULA"]
"upper right" = ["URC", "URA"]
"lateral bar" = ["BC", "BA"]

[stock.tub]
material = "DC01"
thickness = 1.2
die = 8
inside_radius = 1.3
sheet = [2500, 1250]

[parts.tub]
kind = "wheel_tub"
stock = "tub"
axle = "rear"
hand = "right"
disc_face = 560
band_radius = 395
band_center = [-3, 426]
side_clearance = 3
crown_clearance = 10
skin_clearance = 2
rail_clearance = 3

[parts.tub.right]
front_floor = 400
rear_floor = 500
body_side = { y = 960, height = 426 }
rail = [
    { x = -640, top = 380, bottom = 280, outer = 570 },
    { x = -340, top = 580, bottom = 480, outer = 570 },
    { x = 330, top = 580, bottom = 480, outer = 570 },
    { x = 600, top = 500, bottom = 400, outer = 570 },
]
"""
)


@cache
def laid(*changes: tuple[str, str]) -> Part:
    """The part of the job with some of its words changed; each is there once."""
    text = JOB
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "tub.toml"
        path.write_text(text, encoding="utf-8")
        return load(path).part("tub")
