"""What is sent to a cutter, read back out of its zip: each file, and the table against all."""

from __future__ import annotations

import csv
import hashlib
import re
from collections.abc import Mapping
from dataclasses import replace
from io import StringIO
from pathlib import Path
from tempfile import TemporaryDirectory
from zipfile import BadZipFile, ZipFile, ZipInfo

from parts.part import Part, Piece
from parts.proof.drawing import Drawing, read_dxf
from parts.proof.drawings import check_drawing
from parts.proof.flats import check_flat
from parts.proof.ledger import Ledger, Tally
from parts.proof.pdf import sheets_of
from parts.proof.solids import check_step
from parts.sheet import measure
from parts.trade.cutter import Cutter, DxfStyle
from parts.trade.cutter_limits import BENT, comes
from parts.whole import WholeJob

MOST_LETTERS = 120  # of a file's name
PLAIN_FILE = 0o100644 << 16
SIZE, MASS = 0.051, 0.00051  # mm and kg that the table's rounding may leave out
README, SUMS = "README.txt", "SHA256.txt"
TOLD = ("mm", "kerf", "face", "Ask before you change")  # what a README must say
VERSIONS = {  # what $ACADVER says of each
    "R12": "AC1009", "R2000": "AC1015", "R2004": "AC1018", "R2007": "AC1021",
    "R2010": "AC1024", "R2013": "AC1027", "R2018": "AC1032",
}  # fmt: skip
ALWAYS_THERE = ("0", "Defpoints")  # layers that every DXF sets up


def check_pack(path: Path, whole: WholeJob, ledger: Ledger) -> None:
    """Hold the zip of one cutter against all pieces of the job."""
    cutter = next(one for one in whole.cutters if path.name == f"{whole.stem_of(one.name)}.zip")
    try:
        with ZipFile(path) as pack:
            entries = pack.infolist()
            files = {entry.filename: pack.read(entry) for entry in entries}
    except (BadZipFile, OSError, ValueError, EOFError, NotImplementedError) as reason:
        ledger.wrong("the file", "a whole zip", str(reason) or type(reason).__name__)
        return
    if _check_entries(entries, whole, ledger):
        _check_files(files, whole, cutter, ledger)


def _check_entries(entries: list[ZipInfo], whole: WholeJob, ledger: Ledger) -> bool:
    """Names that are safe everywhere and differ, one day and one right for all."""
    names = [entry.filename for entry in entries]
    unsafe = [name for name in names if not _safe(name)]
    good = ledger.same("names that no machine takes", [], unsafe)
    alike = len(names) - len({name.casefold() for name in names})
    good &= ledger.same("names alike but for capitals", 0, alike)
    day = whole.made_on.timetuple()[:3] if whole.made_on and whole.made_on.year >= 1980 else None
    wanted = (*(day or (1980, 1, 1)), 0, 0, 0)
    for entry in entries:
        ledger.same("dates in the zip", wanted, entry.date_time, f"date of {entry.filename}")
        ledger.same("rights in the zip", PLAIN_FILE, entry.external_attr, entry.filename)
    return good


def _safe(name: str) -> bool:
    """Whether a name is that of a plain file, no longer than any machine takes."""
    plain = re.fullmatch(r"\w[\w.-]*", name) is not None and not name.endswith(".")
    return plain and len(name) <= MOST_LETTERS


def _check_files(
    files: Mapping[str, bytes], whole: WholeJob, cutter: Cutter, ledger: Ledger
) -> None:
    order = whole.stem_of("order")
    rows = _rows(files.get(f"{order}.csv"), ledger)
    pieces = [(part, piece) for part in whole.parts for piece in part.pieces]
    if not ledger.same("rows of the order", len(pieces), len(rows)):
        return
    known = {README, SUMS, f"{order}.csv", f"{order}.pdf"}
    with TemporaryDirectory() as folder:
        for name, data in files.items():
            (Path(folder) / name).write_bytes(data)
        for number, ((part, made), row) in enumerate(zip(pieces, rows, strict=True), 1):
            piece = _as_sent(made) if comes(cutter, made.blank) == BENT else made
            _check_row(row, number, part, piece, cutter, ledger)
            _check_names(row, part, piece, cutter, ledger)
            for key in ("dxf", "step", "pdf"):
                name = row.get(key, "")
                if name and ledger.same("files of the order", True, name in files, name):
                    known.add(name)
                    inner = Ledger(f"{ledger.file}: {name}")
                    _check_file(key, Path(folder) / name, part, piece, whole, cutter, inner)
                    _take_over(ledger, inner)
        if ledger.same("the order to read", True, f"{order}.pdf" in files):
            _check_order_sheet(Path(folder) / f"{order}.pdf", rows, ledger)
    ledger.same("files that nothing names", [], sorted(set(files) - known))
    ledger.same("files missing", [], sorted(known - set(files)))
    words = files.get(README, b"").decode("utf-8", "replace")
    for told in (whole.job, cutter.dxf.version, *TOLD):
        ledger.same("words of the README", told, told if told in words else "missing")
    _check_sums(files, ledger)


def _as_sent(piece: Piece) -> Piece:
    """A piece for another's brake, which must not be told to bend over as ours does."""
    plain = tuple(replace(allowance, over=None) for allowance in piece.allowances)
    return replace(piece, allowances=plain) if plain != piece.allowances else piece


def _rows(data: bytes | None, ledger: Ledger) -> list[dict[str, str]]:
    try:
        text = (data or b"").decode("utf-8")
        return list(csv.DictReader(StringIO(text, newline=""), restval="", strict=True))
    except (ValueError, csv.Error) as reason:
        ledger.wrong("the order", "a table as RFC 4180 has it", str(reason))
        return []


def _check_row(
    row: Mapping[str, str], number: int, part: Part, piece: Piece, cutter: Cutter, ledger: Ledger
) -> None:
    """A line of the order against its piece."""
    blank, where = piece.blank, f"{piece.hand} {piece.name} of {part.name}".strip()
    how = comes(cutter, blank)
    turned = len(blank.bends) if how == BENT else 0
    counted = _whole_number(row.get("bends")) + _whole_number(row.get("rolls"))
    for key, plain in (
        ("no", str(number)), ("part", part.name), ("piece", piece.name), ("hand", piece.hand),
        ("quantity", str(piece.quantity)), ("material", piece.stock.material.name),
        ("comes", how), ("pierces", str(1 + len(blank.cutouts))),
    ):  # fmt: skip
        said = row.get(key, "missing").removeprefix("'")
        ledger.same(f"{key} in the order", plain, said, f"{key} of {where}")
    ledger.same("bends and rolls in the order", turned, counted, f"bends of {where}")
    wide, high = measure.blank_box(piece.folded)
    for key, number_of, off in (
        ("thickness_mm", piece.stock.thickness, MASS), ("blank_x_mm", wide, SIZE),
        ("blank_y_mm", high, SIZE), ("mass_kg_each", piece.mass_kg, MASS),
    ):  # fmt: skip
        found = _number(row.get(key, ""))
        ledger.near(f"{key} in the order", number_of, found, off, "", f"{key} of {where}")


def _check_names(
    row: Mapping[str, str], part: Part, piece: Piece, cutter: Cutter, ledger: Ledger
) -> None:
    """Which files a line names, and what their names tell."""
    bent = comes(cutter, piece.blank) == BENT
    stem = row.get("dxf", "").removesuffix(".dxf")
    words = {
        "job": part.job, "part": part.name, "piece": piece.name, "hand": piece.hand,
        "material": piece.stock.material.name, "quantity": f"{piece.quantity}off",
        "thickness": f"{round(piece.stock.thickness, 3):g}mm",
    }  # fmt: skip
    told = "-".join(words[name] for name in cutter.file_names if words[name])
    said = _letters(stem)[: len(_letters(told))] if len(told) < MOST_LETTERS - 10 else ""
    ledger.same("names of files", _letters(told) if said else "", said, f"name of {stem}")
    for key, wanted in (("dxf", True), ("step", bent and cutter.step),
                        ("pdf", bent and cutter.drawing)):  # fmt: skip
        name = f"{stem}.{key}" if wanted else ""
        ledger.same("files that a line names", name, row.get(key, "missing"), f"{key} of {stem}")


def _letters(words: str) -> str:
    return re.sub(r"[\W_]+", "", words.casefold())


def _check_file(
    key: str, path: Path, part: Part, piece: Piece, whole: WholeJob, cutter: Cutter,
    ledger: Ledger,
) -> None:  # fmt: skip
    if key == "dxf":
        _check_dxf(path, part, piece, cutter.dxf, ledger)
    elif key == "pdf":
        sheets = check_drawing(path, part, piece, ledger, path.stem)
        ledger.same("sheets of a drawing", 1, sheets)
    else:
        stem = part.stem(piece)
        proved = whole.proved(part, f"{stem}.step")
        if proved is None:
            check_step(path, piece, stem, None, ledger)
        else:
            same = "the part's own" if path.read_bytes() == proved else "another"
            ledger.same("STEP files", "the part's own", same)


def _check_dxf(path: Path, part: Part, piece: Piece, style: DxfStyle, ledger: Ledger) -> None:
    """The version asked for, no layers but those named, and the blank itself."""
    try:
        drawing = read_dxf(path)
    except (ValueError, OSError) as reason:
        ledger.wrong("the file", "a whole DXF file", str(reason))
        return
    heading = {"$ACADVER": VERSIONS[style.version]}
    if style.version != "R12":  # which has no words for a unit
        heading |= {"$INSUNITS": "4", "$MEASUREMENT": "1"}
    for name, wanted in heading.items():
        ledger.same(f"{name} of a DXF", wanted, drawing.header.get(name, "nothing"))
    wanted_layers: dict[str, str] = {}
    for layer in style.drawn.values():
        wanted_layers.setdefault(layer.name, str(layer.colour))
    layers = {name: colour for name, colour in drawing.layers
              if name in wanted_layers or name not in ALWAYS_THERE}  # fmt: skip
    ledger.same("layers with their colours", wanted_layers, layers)
    ours = {(layer.name, str(layer.colour)): name for name, layer in style.drawn.items()}
    kind = "POLYLINE" if style.version == "R12" else "LWPOLYLINE"
    marked = [name for name in style.drawn if name != "CUT"]
    check_flat(_relayered(drawing, ours), part, piece, marked, ledger, kind)


def _relayered(drawing: Drawing, names: Mapping[tuple[str, str], str]) -> Drawing:
    """The drawing with our own names for the cutter's layers and colours; what is on none of them
    keeps the name of its layer."""
    of_layer = dict(drawing.layers)

    def ours(layer: str, colour: str) -> str:
        seen = colour or of_layer.get(layer, "no colour")
        return names.get((layer, seen), f"layer {layer}, colour {seen}")

    return replace(
        drawing,
        contours=tuple(replace(c, layer=ours(c.layer, c.colour)) for c in drawing.contours),
        lines=tuple(replace(line, layer=ours(line.layer, line.colour)) for line in drawing.lines),
        words=tuple(replace(w, layer=ours(w.layer, w.colour)) for w in drawing.words),
    )


def _check_order_sheet(path: Path, rows: list[dict[str, str]], ledger: Ledger) -> None:
    """The order to read names every file."""
    text = _letters(" ".join(sheet.text for sheet in sheets_of(path, ledger)))
    for row in rows:
        name = row.get("dxf", "").removesuffix(".dxf")
        found = name if _letters(name) in text else "missing"
        ledger.same("lines of the order to read", name, found)


def _check_sums(files: Mapping[str, bytes], ledger: Ledger) -> None:
    text = files.get(SUMS, b"").decode("utf-8", "replace")
    said = dict(line.split("  ", 1)[::-1] for line in text.splitlines() if "  " in line)
    for name, data in files.items():
        if name != SUMS:
            digest = hashlib.sha256(data).hexdigest()
            ledger.same("SHA-256 sums", digest, said.pop(name, "nothing"), f"sum of {name}")
    ledger.same("sums of no file", [], sorted(said))


def _take_over(ledger: Ledger, inner: Ledger) -> None:
    """Write what was found of a file in the zip down with the zip."""
    ledger.disagreements += inner.disagreements
    for kind, tally in inner.tallies.items():
        ours = ledger.tallies.setdefault(kind, Tally(allowed=tally.allowed, unit=tally.unit))
        ours.count += tally.count
        worst = [one for one in (ours.worst, tally.worst) if one is not None]
        ours.worst = max(worst, default=None)


def _number(words: str) -> float:
    try:
        return float(words)
    except ValueError:
        return float("nan")


def _whole_number(words: str | None) -> int:
    return int(words) if words and words.isdecimal() else -1000
