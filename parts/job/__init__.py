"""The job file: one vehicle's measurements, sheets and parts, read with all mistakes at once."""

import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from parts import kinds
from parts.earlier import ALL_PARTS
from parts.job.axle import AxleConfig
from parts.job.cutter import CuttingConfig, cutters_of
from parts.job.errors import ENOUGH, JobError, Problem, Source
from parts.job.models import BendBookRow, JobHead, ShopConfig, StockConfig, file_safe
from parts.job.nesting import NestingConfig
from parts.job.papers import PapersConfig
from parts.job.points import PointConfig
from parts.job.rates import RatesConfig
from parts.job.reading import read_source
from parts.job.shapes import not_a_section
from parts.job.validation import common_problems, problems_of
from parts.kinds.fields import FieldProblems, KindConfig, Loc, did_you_mean
from parts.sheet.allowance import BendBook
from parts.trade.cutter import Cutter

__all__ = ["JobError", "JobFile", "Problem", "read_job"]

SECTIONS = ("job", "shop", "papers", "cutting", "nesting", "rates", "stock", "bend_book",
            "points", "axle", "parts")  # fmt: skip
MOST = {"axle": 20, "parts": 1000}  # sections of a kind; each takes time

_Model = TypeVar("_Model", bound=BaseModel)
_Item = TypeVar("_Item")


@dataclass(frozen=True, slots=True)
class JobFile:
    """A job file that was read without a mistake; sheets, points, axles and parts are by name."""

    path: Path
    head: JobHead
    shop: ShopConfig
    papers: PapersConfig
    cutters: tuple[Cutter, ...]
    nesting: NestingConfig
    rates: RatesConfig | None
    stock: Mapping[str, StockConfig]
    bend_book: tuple[BendBookRow, ...]
    points: Mapping[str, PointConfig]
    axles: Mapping[str, AxleConfig]
    parts: Mapping[str, KindConfig]
    source: Source

    def book(self) -> BendBook:
        """The shop's bend book, with the rule that answers where it is silent."""
        return BendBook(tuple(row.book_row() for row in self.bend_book), self.head.allowance_rule)

    def problem(self, loc: Loc, message: str, remedy: str) -> Problem:
        """A problem found later, at its line, as `loc` ("points", "A1", "tape", "A2") leads to."""
        return self.source.problem(loc, message, remedy)


def read_job(path: Path) -> JobFile:
    """Read a job file; raises `JobError` with everything that is wrong in it."""
    source, data = read_source(path)
    reader = _Reader(source, data)
    job = reader.read(path)
    if reader.problems or job is None:
        raise JobError(reader.problems)
    return job


class _Reader:
    """Reads section after section and gathers the problems of all."""

    def __init__(self, source: Source, data: dict[str, Any]) -> None:
        self.source = source
        self.data = data
        self.problems: list[Problem] = []
        self.context: dict[str, Any] = {
            section: {name: name for name in self._table(section)}
            for section in ("stock", "points", "axle", "parts")
        }

    def read(self, path: Path) -> JobFile | None:
        self._check_sections()
        head = self._head()
        if head is not None:
            self.context["tools"] = head.tools
        shop = self._model(ShopConfig, ("shop",), self.data.get("shop", {}))
        papers = self._model(PapersConfig, ("papers",), self.data.get("papers", {}))
        cutting = self._model(CuttingConfig, ("cutting",), self.data.get("cutting", {}))
        cutters = cutters_of(cutting, path, self.source, self.problems) if cutting else ()
        nesting = self._model(NestingConfig, ("nesting",), self.data.get("nesting", {}))
        rates = None
        if "rates" in self.data:
            rates = self._model(RatesConfig, ("rates",), self.data["rates"])
        stock = self._models(StockConfig, "stock")
        book = self._bend_book()
        points = self._models(PointConfig, "points")
        self.problems += islice(_point_problems(self._table("points"), self.source), ENOUGH)
        axles = self._models(AxleConfig, "axle")
        parts = dict(self._parts())
        if head is None or shop is None or papers is None or nesting is None:
            return None
        return JobFile(
            path, head, shop, papers, cutters, nesting, rates, stock, book, points, axles, parts,
            self.source,
        )  # fmt: skip

    def _check_sections(self) -> None:
        for name in self.data:
            if name not in SECTIONS:
                remedy = did_you_mean(name, SECTIONS)
                self._add((name,), "is no section of a job file", remedy)
        for name in ("stock", "points", "axle", "parts"):
            if not isinstance(self.data.get(name, {}), Mapping):
                value = self.data[name]
                self.problems.append(not_a_section((name, "NAME"), self.source, value))
        for name, most in MOST.items():
            if (count := len(self._table(name))) > most:
                remedy = f"a job has at most {most}: make two jobs of it"
                self._add((name,), f"there are {count} [{name}.NAME]", remedy)
                self.data[name] = {}

    def _head(self) -> JobHead | None:
        if "job" not in self.data:
            self._add(("job",), "is missing", "begin the file with [job] and a name for the job")
            return None
        return self._model(JobHead, ("job",), self.data["job"])

    def _bend_book(self) -> tuple[BendBookRow, ...]:
        rows = self.data.get("bend_book", [])
        if not isinstance(rows, list):
            self._add(("bend_book",), "is one section", "write [[bend_book]] for each of its rows")
            return ()
        numbered = self._until_enough(enumerate(rows))
        read = [self._model(BendBookRow, ("bend_book", i), row) for i, row in numbered]
        return tuple(row for row in read if row is not None)

    def _parts(self) -> Iterator[tuple[str, KindConfig]]:
        taken: dict[str, str] = {}
        for name, keys in self._until_enough(self._table("parts").items()):
            at = ("parts", name)
            try:
                file_safe(name)
            except FieldProblems as error:
                self._add_all(at, error)
            if name.lower() == ALL_PARTS:
                remedy = (
                    "name it otherwise: the papers of the whole job go to a folder of that name"
                )
                self._add(at, "is the name of no part", remedy)
            if other := taken.get(name.lower()):
                remedy = "their folders would be one: name one otherwise"
                self._add(at, f"differs from {other!r} only in capitals", remedy)
            taken[name.lower()] = name
            model = self._kind(at, keys)
            part = self._model(model, at, keys) if model else None
            if model is None and isinstance(keys, Mapping):
                self.problems += common_problems(at, keys, self.context, self.source)
            if part is not None:
                yield name, part

    def _kind(self, at: Loc, keys: object) -> type[KindConfig] | None:
        if not isinstance(keys, Mapping):
            self.problems.append(not_a_section(at, self.source, keys))
        elif not isinstance(keys.get("kind"), str):
            what = "must be a text" if "kind" in keys else "is missing"
            remedy = f'say what the part is: kind = "...", one of {", ".join(kinds.KINDS)}'
            self._add((*at, "kind"), what, remedy)
        else:
            try:
                return kinds.kind_config(keys["kind"])
            except FieldProblems as error:
                self._add_all((*at, "kind"), error)
        return None

    def _table(self, name: str) -> Mapping[str, Any]:
        table = self.data.get(name, {})
        return table if isinstance(table, Mapping) else {}

    def _models(self, model: type[_Model], section: str) -> dict[str, _Model]:
        read = {}
        looks: dict[str, str] = {}
        for name, keys in self._until_enough(self._table(section).items()):
            if not (name.isprintable() and name.strip()):
                self._add((section, name), "is no name", "name it with letters or digits")
            if looks.setdefault(unicodedata.normalize("NFC", name), name) != name:
                self._add((section, name), "looks the same as another name", "name one otherwise")
            read[name] = self._model(model, (section, name), keys)
        return {name: found for name, found in read.items() if found is not None}

    def _model(self, model: type[_Model], at: Loc, keys: object) -> _Model | None:
        if not isinstance(keys, Mapping):
            self.problems.append(not_a_section(at, self.source, keys))
            return None
        try:
            return model.model_validate(keys, context=self.context)
        except ValidationError as error:
            self.problems += problems_of(error, model, at, keys, self.source)
        return None

    def _until_enough(self, items: Iterable[_Item]) -> Iterator[_Item]:
        """The items, as long as not so much is wrong that nobody would read on."""
        first = len(self.problems)
        for item in items:
            if len(self.problems) - first > ENOUGH:
                return
            yield item

    def _add(self, loc: Loc, message: str, remedy: str) -> None:
        self.problems.append(self.source.problem(loc, message, remedy, at_key=True))

    def _add_all(self, at: Loc, error: FieldProblems) -> None:
        for problem in error.problems:
            self.problems.append(
                self.source.problem(at + problem.loc, problem.message, problem.remedy)
            )


def _point_problems(points: Mapping[str, Any], source: Source) -> Iterator[Problem]:
    """Distances to the point itself or given twice, and mirrors of mirrors."""
    seen: set[frozenset[str]] = set()
    for name, keys in points.items():
        if not isinstance(keys, Mapping):
            continue
        tape = keys.get("tape")
        for other in tape if isinstance(tape, Mapping) else ():
            loc = ("points", name, "tape", other)
            pair = frozenset((name, other))
            if other == name:
                message, remedy = "is the point itself", "name another point"
                yield source.problem(loc, message, remedy, at_key=True)
            elif isinstance(at := points.get(other), Mapping) and at.get("mirror_of") is not None:
                message = f"leads to {other}, the mirror image of a point"
                yield source.problem(loc, message, "measure to one that is no image", at_key=True)
            elif pair in seen:
                message = f"is given at {other} already"
                yield source.problem(loc, message, "write each distance once", at_key=True)
            seen.add(pair)
        if (mirrored := keys.get("mirror_of")) is None:
            continue
        at, original = ("points", name, "mirror_of"), points.get(str(mirrored))
        if mirrored == name:
            yield source.problem(at, "is the point itself", "name the point on the other side")
        elif isinstance(original, Mapping) and "mirror_of" in original:
            yield source.problem(at, "is a mirror itself", "name a point that was measured")
