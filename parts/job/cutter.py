"""[cutting] of a job file, and the profile of a cutter: a small file of its own."""

import re
from collections.abc import Iterator, Mapping
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, ValidationError

from parts.job.errors import JobError, Problem, Source
from parts.job.models import file_safe
from parts.job.reading import read_source
from parts.job.validation import problems_of
from parts.kinds.fields import (
    Angle,
    Config,
    FieldProblem,
    FieldProblems,
    MaterialName,
    OneLine,
    PositiveLength,
    did_you_mean,
)
from parts.trade.cutter import NAME_WORDS, Cutter, DxfStyle, Layer, Limits

ENDING = ".toml"
USUAL = "careful"
LAYER_NAME = r"[A-Za-z0-9_-]{1,31}"  # what every version of DXF takes
UNPRINTED = "defpoints"  # the layer that DXF readers leave out of what they cut
TELLS_APART = ("part", "piece", "hand")


def _layer_name(name: str) -> str:
    if re.fullmatch(LAYER_NAME, name) and name.lower() != UNPRINTED:
        return name
    remedy = "use up to 31 letters, digits, - and _, such as CUT"
    raise FieldProblems(FieldProblem((), f"{name!r} cannot name a layer", remedy))


def _least_first(pair: tuple[float, float]) -> tuple[float, float]:
    if pair[0] > pair[1]:
        remedy = f"write the thinner first: [{pair[1]:g}, {pair[0]:g}]"
        raise FieldProblems(FieldProblem((), "begins with the thicker sheet", remedy))
    return pair


def _names(words: tuple[str, ...]) -> tuple[str, ...]:
    for number, word in enumerate(words):
        if word in words[:number]:
            raise FieldProblems(FieldProblem((number,), f"{word!r} is given twice", "keep one"))
    missing = [word for word in TELLS_APART if word not in words]
    if missing:
        message = f"leaves out {', '.join(missing)}: two files could have one name"
        raise FieldProblems(FieldProblem((), message, f"add {', '.join(missing)}"))
    return words


Number = Annotated[int, Field(strict=True, ge=1, le=255)]
LayerOf = tuple[Annotated[str, AfterValidator(_layer_name)], Number]
Sheet = tuple[PositiveLength, PositiveLength]
Range = Annotated[tuple[PositiveLength, PositiveLength], AfterValidator(_least_first)]
Factor = Annotated[float, Field(strict=True, gt=0, le=20)]
Word = Literal["job", "part", "piece", "hand", "material", "thickness", "quantity"]


class CuttingConfig(Config):
    """[cutting]: whom the sheet metal is sent to."""

    cutters: tuple[OneLine, ...] = Field(
        default=(USUAL,),
        description="Whom you send the job to: for each a zip of files as it wants them, in "
        'all_parts. Each is the name of a profile that comes with tinwright ("careful", "marked" '
        'or "oldest_dxf"), or a profile file of your own, its path from this file, such as '
        '"profiles/my_cutter.toml"; tinwright new cutter prints one to begin with. '
        "[] makes no zip.",
        examples=[["careful"]],
    )


class CutterProfile(Config):
    """The profile of a cutter: how it wants its files, and what it can do."""

    name: Annotated[str, AfterValidator(file_safe)] = Field(
        description="Short name of the cutter; it ends the name of the zip. Letters, digits, - "
        "and _.",
        examples=["my_cutter"],
    )
    note: OneLine = Field(
        default="",
        description="One line to the cutter, written into the zip, such as how you want edges or "
        "packing.",
        examples=["deburr all edges, please"],
    )
    dxf_version: Literal["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"] = Field(
        default="R2010",
        description="Version of DXF that it reads best. R2010 suits most; R12 only where it asks "
        "for that: R12 does not even say that its unit is mm.",
        examples=["R2010"],
    )
    bend_lines: Literal["none", "layer"] = Field(
        default="none",
        description="Whether bends are drawn in the DXF, with their way, turn and radius in words: "
        "none, or on the layer told below. Some cutters cut whatever they find: ask first.",
        examples=["none"],
    )
    marks: bool = Field(
        default=False,
        description="Whether words to etch are drawn, on the layer told below: part, hand and the "
        "face that is up, a cross at x 0, y 0, and an arrow along the grain where it matters.",
        examples=[False],
    )
    cut_layer: LayerOf = Field(
        default=("CUT", 7),
        description="Layer of what is cut: its name, and its colour by number (1 red, 2 yellow, "
        "3 green, 4 cyan, 5 blue, 6 magenta, 7 white or black). Layers of one name are one layer, "
        "on which colours alone tell what is what.",
        examples=[["CUT", 7]],
    )
    bend_layer: LayerOf = Field(
        default=("BEND", 5), description="Layer of bend lines.", examples=[["BEND", 5]]
    )
    mark_layer: LayerOf = Field(
        default=("MARK", 3), description="Layer of words and marks.", examples=[["MARK", 3]]
    )
    file_names: Annotated[tuple[Word, ...], AfterValidator(_names)] = Field(
        default=("job", "part", "piece", "hand", "material", "thickness", "quantity"),
        description="What a file's name tells, in this order. part, piece and hand must be among "
        "them. What is left out of it is still in the order table.",
        examples=[list(NAME_WORDS)],
    )
    step: bool = Field(
        default=True,
        description="Whether a piece that the cutter bends comes as STEP too.",
        examples=[True],
    )
    drawing: bool = Field(
        default=True,
        description="Whether a piece that the cutter bends comes with a drawing of one sheet (PDF)"
        ": its bends, sizes and tolerances.",
        examples=[True],
    )
    bends: bool = Field(
        default=True,
        description="Whether you order pieces bent. With false all come flat and you bend them.",
        examples=[True],
    )
    most_turn: Annotated[Angle, Field(gt=0, lt=180)] | None = Field(
        default=None,
        description="Sharpest turn from flat that it bends, in degrees.",
        examples=[130],
    )
    rolls: bool = Field(
        default=False,
        description="Whether it rolls wide radii. With false such a piece is ordered flat.",
        examples=[False],
    )
    hems: bool = Field(
        default=False,
        description="Whether it folds an edge back onto the sheet. With false such a piece is "
        "ordered flat.",
        examples=[False],
    )
    beyond_limits: Literal["refuse", "mention"] = Field(
        default="refuse",
        description="What becomes of a part with a piece beyond a limit below: refuse, or mention "
        "and write it all the same.",
        examples=["refuse"],
    )
    largest_flat: Sheet | None = Field(
        default=None,
        description="Largest blank that it cuts, either way round.",
        examples=[[2500, 1250]],
    )
    largest_bent: Sheet | None = Field(
        default=None,
        description="Largest blank that it bends, measured flat, either way round.",
        examples=[[1200, 900]],
    )
    sheets: tuple[Sheet, ...] = Field(
        default=(),
        description="Sizes of sheet that it keeps, each [along the grain, across it].",
        examples=[[[2500, 1250], [3000, 1500]]],
    )
    thicknesses: dict[MaterialName, Range] = Field(
        default={},
        description="Materials that it keeps, each with its thinnest and thickest sheet. Left out: "
        "any.",
        examples=[{"S235": [1, 12], "DC01": [0.8, 3]}],
    )
    least_hole: Factor | None = Field(
        default=None,
        description="Smallest hole and narrowest slot, in thicknesses of the sheet. Left out: that "
        "of common practice is mentioned, as always.",
        examples=[1.0],
    )
    least_gap: Factor | None = Field(
        default=None,
        description="Least metal between two cuts, or a cut and the edge, in thicknesses of the "
        "sheet.",
        examples=[1.0],
    )

    @classmethod
    def crossed(cls, keys: Mapping[str, Any]) -> Iterator[FieldProblem]:
        """On one layer in one colour, cuts could not be told from what is only drawn."""
        seen: list[tuple[str, list[object]]] = []
        for key in ("cut_layer", "bend_layer", "mark_layer"):
            written = keys.get(key, cls.model_fields[key].default)
            layer = list(written) if isinstance(written, list | tuple) else []
            if len(layer) != 2 or not isinstance(layer[0], str):
                continue
            for other, same in seen:
                at, of = (key, other) if key in keys else (other, key)
                if layer == same:
                    message = f"has the name and colour of {of}"
                    yield FieldProblem((at,), message, "give each another name, or another colour")
                elif layer[0] != same[0] and layer[0].lower() == str(same[0]).lower():
                    message = f"differs from {of} only in capitals"
                    yield FieldProblem((at,), message, "write it one way: it is one layer to a DXF")
            seen.append((key, layer))

    def as_cutter(self) -> Cutter:
        """The cutter as checks and writers want it."""
        style = DxfStyle(
            self.dxf_version, self.bend_lines == "layer", self.marks, Layer(*self.cut_layer),
            Layer(*self.bend_layer), Layer(*self.mark_layer),
        )  # fmt: skip
        limits = Limits(
            refuses=self.beyond_limits == "refuse",
            largest_flat=self.largest_flat,
            largest_bent=self.largest_bent,
            sheets=self.sheets,
            thicknesses=tuple((name, *ends) for name, ends in self.thicknesses.items()),
            least_hole=self.least_hole,
            least_gap=self.least_gap,
            bends=self.bends,
            most_turn_deg=self.most_turn,
            rolls=self.rolls,
            hems=self.hems,
        )
        return Cutter(self.name, self.note, style, self.file_names, self.step, self.drawing, limits)


def read_profile(path: Path) -> Cutter:
    """Read a profile file; raises `JobError` with everything that is wrong in it."""
    source, data = read_source(path)
    try:
        return CutterProfile.model_validate(data).as_cutter()
    except ValidationError as error:
        raise JobError(problems_of(error, CutterProfile, (), data, source)) from None


def packaged() -> dict[str, Path]:
    """The profiles that come with tinwright, by name."""
    folder = Path(str(files("parts.tables"))) / "cutters"
    return {path.stem: path for path in sorted(folder.glob(f"*{ENDING}"))}


def cutters_of(
    config: CuttingConfig, job: Path, source: Source, problems: list[Problem]
) -> tuple[Cutter, ...]:
    """The cutters of a job, in its order; what is wrong is added to `problems`."""
    found: list[Cutter] = []
    for number, word in enumerate(config.cutters):
        loc = ("cutting", "cutters", number)
        path = packaged().get(word)
        if path is None and word.endswith(ENDING):
            path = job.parent / word
            if not path.is_file():
                message = f"there is no file {word!r} beside this job"
                remedy = "check its path, or begin one with: tinwright new cutter"
                problems.append(source.problem(loc, message, remedy))
                continue
        if path is None:
            remedy = did_you_mean(word, packaged()) + f", or a file that ends in {ENDING}"
            message = f"{word!r} is no profile that comes with tinwright"
            problems.append(source.problem(loc, message, remedy))
            continue
        try:
            cutter = read_profile(path)
        except JobError as error:
            problems += error.problems
            continue
        if cutter.name.lower() in [one.name.lower() for one in found]:
            message = f"is a second cutter called {cutter.name!r}"
            problems.append(source.problem(loc, message, "name one otherwise in its profile"))
            continue
        found.append(cutter)
    return tuple(found)
