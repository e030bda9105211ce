"""The pictures of the README are those that the papers have now."""

import re
from importlib.util import module_from_spec, spec_from_file_location
from itertools import zip_longest
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[1]
GALLERY = ROOT / "output" / "gallery"
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
OFF = 0.0021  # mm on paper: machines may differ in the last decimal


def redraw() -> ModuleType:
    spec = spec_from_file_location("redraw", GALLERY / "redraw.py")
    assert spec and spec.loader
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def drawn() -> dict[str, str]:
    return dict(redraw().pictures())


def same(one: str, other: str) -> bool:
    """Whether two pictures have the same words, and numbers that differ in the last place at
    most."""
    if NUMBER.split(one) != NUMBER.split(other):
        return False
    pairs = zip_longest(NUMBER.findall(one), NUMBER.findall(other), fillvalue="nan")
    return all(abs(float(a) - float(b)) <= OFF for a, b in pairs)


def test_every_picture_is_up_to_date(drawn: dict[str, str]) -> None:
    kept = {path.name for path in GALLERY.glob("*.svg")}
    assert kept == set(drawn), "run: python output/gallery/redraw.py"
    old = [name for name, picture in drawn.items()
           if not same((GALLERY / name).read_text(encoding="utf-8"), picture)]  # fmt: skip
    assert old == [], "run: python output/gallery/redraw.py"


def test_a_picture_that_moved_by_a_hair_on_another_machine_is_the_same_and_by_more_is_not() -> None:
    picture = '<path d="M1.5 2.25L3 4"/>'
    assert same(picture, picture.replace("2.25", "2.251"))
    assert not same(picture, picture.replace("2.25", "2.26"))
    assert not same(picture, picture.replace("L3 4", ""))


def test_the_readme_shows_every_picture_and_no_other() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = set(re.findall(r"output/gallery/(\w+\.svg)", readme))
    assert shown == {path.name for path in GALLERY.glob("*.svg")}


def test_pictures_stand_on_white_and_reach_for_nothing_outside(drawn: dict[str, str]) -> None:
    for picture in drawn.values():
        assert re.search(r'<path d="M0 [\d.]+L[^"]*Z" fill="#ffffff"', picture)
        assert set(re.findall(r"https?:[^\"' ]*", picture)) == {"http://www.w3.org/2000/svg"}
