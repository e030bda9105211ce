"""Every package that tinwright needs when it runs, with its licence: python .ci/licences.py

Follows the dependencies of the installed distribution (`view`, `nest` as extras if named as
arguments) and ends with status 1 where a licence is neither permissive nor one of the few that
are known and noted here.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, distribution, metadata

from packaging.requirements import Requirement

PERMISSIVE = re.compile(
    r"\b(MIT|BSD|Apache|ISC|PSF|Python Software Foundation|Zlib|Unlicense|0BSD|HPND|CC0|Boost|"
    r"BSL-1\.0|MIT-CMU)\b",
    re.IGNORECASE,
)
FORBIDDEN = re.compile(r"\b(AGPL|Affero)\b", re.IGNORECASE)
NOTED = {
    "casadi": "LGPL-3.0: a library that cadquery's assemblies load; tinwright never does",
    "certifi": "MPL-2.0: a list of certificates, unchanged; only the viewer's packages want it",
    "cadquery-ocp": "LGPL-2.1 with the OCCT exception: the kernel, linked as a library",
    "cadquery-ocp-novtk": "LGPL-2.1 with the OCCT exception: the kernel, linked as a library",
}


def main() -> int:
    found = {name: licence_of(name) for name in sorted(needed("tinwright", tuple(sys.argv[1:])))}
    wide = max(map(len, found))
    doubtful = []
    for name, licence in found.items():
        noted = NOTED.get(name)
        print(f"{name:<{wide}}  {noted or licence}")
        if FORBIDDEN.search(licence) or not (noted or PERMISSIVE.search(licence)):
            doubtful.append(name)
    if doubtful:
        print(f"not permissive, or not known: {', '.join(doubtful)}", file=sys.stderr)
    return 1 if doubtful else 0


def needed(name: str, extras: tuple[str, ...] = ()) -> set[str]:
    """Names of all distributions that one needs, here and now, itself left out."""
    seen: set[str] = set()
    waiting = [(name, extras)]
    while waiting:
        one, wanted = waiting.pop()
        for requirement in requirements(one, wanted):
            other = plain(requirement.name)
            if other not in seen:
                seen.add(other)
                waiting.append((other, tuple(requirement.extras)))
    return seen


def requirements(name: str, extras: tuple[str, ...]) -> Iterator[Requirement]:
    try:
        lines = distribution(name).requires or []
    except PackageNotFoundError:
        return
    for line in lines:
        requirement = Requirement(line)
        marker = requirement.marker
        if marker is None or any(marker.evaluate({"extra": extra}) for extra in ("", *extras)):
            yield requirement


def licence_of(name: str) -> str:
    """What the package says of itself: its licence field, else its classifiers."""
    try:
        about = metadata(name)
    except PackageNotFoundError:
        return "not installed"
    said = about.get("License-Expression") or ""
    classes = [line.rpartition(" :: ")[2] for line in about.get_all("Classifier") or ()
               if line.startswith("License ::")]  # fmt: skip
    field = (about.get("License") or "").strip().splitlines()
    return said or ", ".join(classes) or (field[0] if field else "not stated")


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


if __name__ == "__main__":
    sys.exit(main())
