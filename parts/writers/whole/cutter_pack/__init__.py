"""What is sent to a cutter: `JOB-CUTTER.zip` for every cutter of the job, whole in itself.

It holds a DXF of every piece and hand as the cutter's profile asks for it, STEP and a drawing of
one sheet for every piece that the cutter bends, the order as a table to read by machine (CSV) and
by eye (PDF), a README in plain words, and the SHA-256 of every file. No prices, and nothing of the
vehicle but the pieces.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from parts.paper import pdf
from parts.paper.page import Page
from parts.trade.cutter import Cutter
from parts.whole import WholeJob
from parts.writers import dxf
from parts.writers.whole.cutter_pack import order, order_sheet, readme, zipped
from parts.writers.whole.cutter_pack.bending import bending_sheet
from parts.writers.whole.cutter_pack.order import OrderLine

README, SUMS = "README.txt", "SHA256.txt"


def write(whole: WholeJob, folder: Path) -> list[Path]:
    """Write the zip of every cutter; returns them. Wakes the kernel where a piece comes bent."""
    paths = []
    for cutter in whole.cutters:
        path = folder / f"{whole.stem_of(cutter.name)}.zip"
        files = dict(_files(whole, cutter))
        files[SUMS] = sums(files).encode("utf-8")
        zipped.write(path, files, whole.made_on)
        paths.append(path)
    return paths


def sums(files: dict[str, bytes]) -> str:
    """A line for every file: its SHA-256, two spaces, its name."""
    return "".join(f"{hashlib.sha256(data).hexdigest()}  {name}\n" for name, data in files.items())


def _files(whole: WholeJob, cutter: Cutter) -> Iterator[tuple[str, bytes]]:
    lines = order.order_lines(whole, cutter)
    name = whole.stem_of("order")
    yield README, readme.text(whole, cutter, lines, name).encode("utf-8")
    yield f"{name}.csv", order.table(lines).encode("utf-8")
    title = f"Order of job {whole.job}"
    yield f"{name}.pdf", _pdf(order_sheet.pages(whole, cutter, lines), title)
    for line in lines:
        yield line.dxf, dxf.data(line.part, line.piece, cutter.dxf)
        if line.step:
            yield line.step, _step(whole, line)
        if line.pdf:
            page = bending_sheet(line)
            yield line.pdf, _pdf([page], line.pdf.removesuffix(".pdf"))


def _step(whole: WholeJob, line: OrderLine) -> bytes:
    """The STEP file that was proved with the part; where there is none, it is written again."""
    name = f"{line.part.stem(line.piece)}.step"
    found = whole.proved(line.part, name)
    if found is not None:
        return found
    from parts.solid import step
    from parts.writers.step import body

    with TemporaryDirectory() as folder:
        path = Path(folder) / name
        step.write(path, body(line.part, line.piece), line.part.made_on)
        return path.read_bytes()


def _pdf(pages: list[Page], title: str) -> bytes:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "sheet.pdf"
        pdf.write(path, pages, title)
        return path.read_bytes()
