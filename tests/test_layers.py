"""The arrows: who may import whom, and what must stay asleep."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "parts"
BELOW = {
    "tables": set(),
    "place": set(),
    "scenery": {"place"},
    "report": set(),
    "stage": set(),
    "earlier": set(),
    "content": set(),
    "progress": set(),
    "sheet": {"tables", "place", "report"},
    "trade": {"sheet", "tables", "place", "report"},
    "solid": {"scenery", "sheet", "place"},
    "nesting": {"sheet", "tables"},
    "buying": {"nesting", "part", "trade", "sheet"},
    "part": {"scenery", "paper", "nesting", "trade", "solid", "sheet", "tables", "place", "report"},
    "kinds": {"scenery", "part", "trade", "sheet", "tables", "place", "report"},
    "job": {
        "earlier", "kinds", "nesting", "paper", "part", "trade", "sheet", "tables", "place",
        "report",
    },
    "paper": {"sheet"},
    "whole": {"buying", "nesting", "paper", "part", "earlier", "trade"},
    "writers": {"whole", "buying", "nesting", "paper", "part", "trade", "solid", "sheet", "tables",
                "place", "report"},
    "proof": {"whole", "nesting", "paper", "part", "trade", "solid", "sheet", "place", "report"},
    "telling": {"building", "part", "trade", "report"},
    "view": {"part", "scenery", "solid"},
    "make": {"job", "kinds", "whole", "nesting", "part", "trade", "sheet", "report"},
    "building": {"proof", "writers", "whole", "part", "stage", "earlier", "content"},
    "outcome": {"building", "proof", "writers", "whole", "part", "earlier"},
    "matching": {"building", "content", "earlier", "part", "whole"},
    "batch": {"building", "make", "outcome", "part"},
    "__main__": {"make", "job", "kinds", "proof", "writers", "part", "telling", "view",
                 "progress", "tables", "outcome", "batch",
                 "matching"},
    "__init__": {"make"},
}  # fmt: skip
ONE_DOOR = {
    "cadquery": ("solid/",),
    "OCP": ("solid/",),
    "ezdxf": ("writers/dxf",),
    "reportlab": ("paper/pdf.py",),
    "jinja2": ("writers/html_page.py",),
    "pypdf": ("proof/pdf.py",),
    "ocp_vscode": ("view/",),
    "ocp_viewer": ("view/",),
    "websockets": ("view/",),
    "rectpack": ("nesting/",),
    "shapely": ("nesting/",),
    "spyrrow": ("nesting/",),
    "pydantic": ("job/", "kinds/"),
    "click": ("__main__.py",),
}
HEAVY = (
    "cadquery", "OCP", "ezdxf", "jinja2", "reportlab", "pypdf", "shapely", "scipy", "vtkmodules",
    "matplotlib", "rectpack", "spyrrow",
)  # fmt: skip


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


@cache
def imports(path: Path) -> tuple[str, ...]:
    return tuple(_imports(path))


def _imports(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module == "parts":
            yield from (f"parts.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module


def room(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_only_point_down(path: Path) -> None:
    here = room(path)
    for name in imports(path):
        top, _, rest = name.partition(".")
        there = rest.split(".")[0]
        if top == "parts" and there not in (here, ""):
            assert there in BELOW[here], f"{path.relative_to(PACKAGE)} imports parts.{there}"


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(PACKAGE)))
def test_libraries_come_in_by_their_own_door(path: Path) -> None:
    where = path.relative_to(PACKAGE).as_posix()
    for name in imports(path):
        doors = ONE_DOOR.get(name.partition(".")[0])
        assert doors is None or where.startswith(doors), f"{where} imports {name}"


def test_no_kind_imports_another() -> None:
    shared = {"assumed", "bench", "fields", "names", "problems", "sides"}
    kinds = {p.name.removesuffix(".py") for p in (PACKAGE / "kinds").iterdir()} - shared
    for path in (PACKAGE / "kinds").rglob("*.py"):
        parts = path.relative_to(PACKAGE / "kinds").parts
        own = parts[0].removesuffix(".py")
        for name in imports(path):
            if name.startswith("parts.kinds."):
                there = name.split(".")[2]
                assert there in shared | {own} or there not in kinds, f"{path} imports {name}"


def loaded_by(code: str) -> set[str]:
    probe = f"{code}\nimport sys; print(*[m for m in {HEAVY!r} if m in sys.modules])"
    run = subprocess.run(
        [sys.executable, "-c", probe], capture_output=True, text=True, check=True,
        cwd=PACKAGE.parent,
    )  # fmt: skip
    return set(run.stdout.splitlines()[-1].split())


def test_importing_the_package_wakes_nothing() -> None:
    assert loaded_by("import parts") == set()


def test_a_check_wakes_neither_kernel_nor_drawing_libraries() -> None:
    code = (
        "import sys\n"
        "from parts.__main__ import main\n"
        "main(['check', 'configs/tin_wren.toml'], standalone_mode=False) if 0 else None\n"
        "from parts import load\n"
        "job = load('configs/tin_wren.toml')\n"
        "parts = list(job.parts())\n"
        "assert parts and not parts[0].refused"
    )
    assert loaded_by(code) == set()
