"""Job files of link tabs: the demo's axle, tabs on tubes, flat faces and folded feet."""

from __future__ import annotations

from pathlib import Path

from parts import load
from parts.kinds.link_tab.config import LinkTab
from parts.kinds.link_tab.hands import hands_of
from parts.kinds.link_tab.laid import Laid
from parts.make import Job
from parts.part import Part

STOCK = """
[job]
name = "tabs"

[stock.s6]
material = "S355"
thickness = 6
die = 40
inside_radius = 7

[stock.s8]
material = "S355"
thickness = 8

[stock.s5]
material = "S235"
thickness = 5
die = 32
inside_radius = 6

[stock.s2]
material = "S235"
thickness = 2
die = 12
inside_radius = 2.5

[stock.alu]
material = "6061-T6"
thickness = 6
"""

POINTS = """
[points]
LLC = { at = ["-628 ± 2", "-450 ± 2", "300 ± 2"] }
LLA = { at = ["-68 ± 2", "-450 ± 2", "290 ± 2"] }
LRC = { at = ["-628 ± 2", "450 ± 2", "300 ± 2"] }
LRA = { at = ["-68 ± 2", "450 ± 2", "290 ± 2"] }
ULC = { at = ["-612 ± 2", "-430 ± 2", "480 ± 2"] }
ULA = { at = ["-52 ± 2", "-430 ± 2", "470 ± 2"] }
URC = { at = ["-612 ± 2", "430 ± 2", "480 ± 2"] }
URA = { at = ["-52 ± 2", "430 ± 2", "470 ± 2"] }
BC = { at = ["120 ± 2", "-390 ± 2", "331 ± 2"] }
BA = { at = ["120 ± 2", "330 ± 2", "331 ± 2"] }
H = { at = [-68, 450, 290] }
C = { at = [-628, 450, 300] }
T1 = { at = [0, 0, 331] }
T2 = { at = [0, 600, 331] }
F1 = { at = [-68, 450, 360] }
F2 = { at = [-168, 450, 360] }
F3 = { at = [-68, 550, 360] }
"""

AXLE = """
[axle.rear]
left_face = -780
right_face = 780
z = "331 ± 2"
bump = 95
droop = 85

[axle.rear.tyre]
size = "275/45R18"

[axle.rear.rim]
width = "9.5 in"
offset = 20

[axle.rear.links]
"lower left" = ["LLC", "LLA"]
"lower right" = ["LRC", "LRA"]
"upper left" = ["ULC", "ULA"]
"upper right" = ["URC", "URA"]
"lateral bar" = ["BC", "BA"]
"""

CAR = """
[axle.rear.car]
mass = 1420
share = 0.46
wheelbase = 2700
mass_height = 560
"""

JOINT = {
    "bore": 16, "ball_width": 21, "body_width": 15, "head_diameter": 42, "spacer": 8,
    "tilt_limit": 16,
}  # fmt: skip

ON_TUBE = {
    "stock": "s6", "hand": "right", "joint": JOINT, "tube": {"od": 76.1, "wall": 6.3},
    "force": 20000, "edge": 26, "root": 70, "right": {"hole": "H", "axis": ["T1", "T2"]},
}  # fmt: skip

ON_FACE = {
    "stock": "s6", "hand": "right", "joint": JOINT, "plate": {"wall": 5}, "force": 10000,
    "edge": 26, "root": 80,
    "right": {"hole": "H", "face": {"point": "F1", "out": [0, 0, -1]}},
}  # fmt: skip

SMALL_JOINT = {
    "bore": 12, "ball_width": 14, "body_width": 10, "head_diameter": 30, "spacer": 6,
}  # fmt: skip

ON_FOOT = {
    "stock": "s6", "hand": "right", "joint": SMALL_JOINT, "bolt": "M12", "force": 4000,
    "edge": 22, "root": 90, "foot": {"wall": 5, "length": 55, "fixing": "welded"},
    "right": {"hole": "H", "face": {"points": ["F1", "F2", "F3"]}},
}  # fmt: skip

ON_LINK = {
    "stock": "s6", "hand": "pair", "axle": "rear", "joint": JOINT, "edge": 26, "root": 70,
    "tube": {"od": 76.1, "wall": 6.3}, "right": {"link": "lower right"},
    "left": {"link": "lower left"},
}  # fmt: skip


def text_of(value: object) -> str:
    """A value as TOML writes it, tables in one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"'{value}'"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {text_of(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(text_of, value)) + "]"
    return repr(value)


def job_text(part: dict, axle: bool = False, car: bool = True, points: str = "") -> str:
    """A job with one link tab, `tab`; keys that are None are left out."""
    keys = [f"{k} = {text_of(v)}" for k, v in part.items() if v is not None]
    sections = [STOCK, POINTS + points, AXLE if axle else "", CAR if axle and car else ""]
    return "\n".join([*sections, "[parts.tab]", 'kind = "link_tab"', *keys, ""])


def write_job(folder: Path, part: dict, **more: object) -> Path:
    path = folder / "job.toml"
    path.write_text(job_text(part, **more), encoding="utf-8")
    return path


def job_of(folder: Path, part: dict, **more: object) -> Job:
    return load(write_job(folder, part, **more))


def part_of(folder: Path, part: dict, **more: object) -> Part:
    return job_of(folder, part, **more).part("tab")


def laids(folder: Path, part: dict, **more: object) -> tuple[Laid, ...]:
    """Every hand as the kind lays it out, for what is not told in the part itself."""
    job = job_of(folder, part, **more)
    config = job.file.parts["tab"]
    assert isinstance(config, LinkTab)
    return hands_of(config, job.bench).laids


def told(part: Part) -> str:
    return "\n".join(map(str, part.findings))


def figure(part: Part, name: str) -> float:
    """The value of the part's figure of that name, or of its first piece's."""
    for found in (*part.figures, *(f for piece in part.pieces for f in piece.figures)):
        if found.name == name:
            return found.value
    raise KeyError(name)
