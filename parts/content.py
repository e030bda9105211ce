"""What something is, as one number: equal for equal content, whatever run or machine it came from.

Data only: dataclasses, the models of a job file, arrays, and what they are made of.
"""

from __future__ import annotations

import hashlib
import platform
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import numpy as np

PACKAGE = Path(__file__).parent
MADE_WITH = ("tinwright", "cadquery", "cadquery-ocp", "ezdxf", "jinja2", "numpy", "pypdf",
             "reportlab", "rectpack", "shapely", "spyrrow")  # fmt: skip


def digest(value: object) -> str:
    """SHA-256 of the content of a value, in hexadecimal.

    Fields that do not count in a comparison (`compare=False`) are left out. -0.0 counts as 0.0.

    >>> digest((1.0, "a")) == digest([1.0, "a"]), digest(1.0) == digest(1)
    (True, False)

    Raises TypeError for a value that is not data, such as a function.
    """
    found = hashlib.sha256()
    for word in _words(value):
        found.update(word)
        found.update(b"\0")
    return found.hexdigest()


def _words(value: object) -> Iterator[bytes]:
    match value:
        case None | bool() | int() | str():
            yield f"{type(value).__name__}:{value}".encode("utf-8", "surrogatepass")
        case float():
            yield f"float:{(value + 0.0).hex()}".encode()
        case Enum() | date():
            yield f"{type(value).__name__}:{value}".encode()
        case np.ndarray() | np.generic():
            array = np.asarray(value)
            yield f"array:{array.dtype}:{array.shape}".encode()
            yield (array + 0.0 if array.dtype.kind == "f" else array).tobytes()
        case Mapping():
            yield f"table:{len(value)}".encode()
            for key, item in value.items():
                yield from _words(key)
                yield from _words(item)
        case tuple() | list():
            yield f"row:{len(value)}".encode()
            for item in value:
                yield from _words(item)
        case _ if is_dataclass(value) and not isinstance(value, type):
            yield type(value).__name__.encode()
            for field in fields(value):
                if field.compare:
                    yield field.name.encode()
                    yield from _words(getattr(value, field.name))
        case _:
            raise TypeError(f"{type(value).__name__} is not data: {value!r:.80}")


@cache
def made_by() -> dict[str, str]:
    """What makes the files: versions of the libraries, and SHA-256 of the code and tables here."""
    return {
        **{name: _version(name) for name in MADE_WITH},
        "python": platform.python_version(),
        "code": _code(),
    }


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "not installed"


def _code() -> str:
    """SHA-256 over every file of the package, with its name."""
    found = hashlib.sha256()
    files = [path for path in PACKAGE.rglob("*") if path.is_file() and path.suffix != ".pyc"]
    for path in sorted(files, key=_name):
        found.update(_name(path).encode())
        found.update(hashlib.sha256(path.read_bytes()).digest())
    return found.hexdigest()


def _name(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()

