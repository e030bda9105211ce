"""What must hold of every answer to a job file, whatever stands in the file."""

from __future__ import annotations

import io
import json
import os
import re
import traceback
import unicodedata
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

from parts.__main__ import main

LONGEST = 60_000  # characters of an answer to a file that cannot be read
FOREIGN = re.compile(
    r"NoneType|pydantic|Traceback|Input should|Value error|\bdict\b|\btuple\b|\bstr\b"
    r"|\bdatetime\b|float64|object at 0x|\bnp\.|fault of its own|numpy|Errno"
)
NO_NUMBER = re.compile(r"(?<![A-Za-z'\"_])(?:nan|inf)(?![A-Za-z'\"_])")


@dataclass(frozen=True, slots=True)
class Answer:
    """What a command said and how it left; `fault` is a traceback."""

    words: tuple[str, ...]
    status: int
    out: str
    err: str
    fault: str = ""


def answer(*words: str) -> Answer:
    """Run a command in this process."""
    os.environ["TINWRIGHT_DEBUG"] = "1"
    out, err = io.StringIO(), io.StringIO()
    status, fault = -1, ""
    with redirect_stdout(out), redirect_stderr(err):
        try:
            main.main(args=list(words))
        except SystemExit as left:
            status = left.code if isinstance(left.code, int) else -1
        except (Exception, RecursionError):
            fault = traceback.format_exc()
    return Answer(words, status, out.getvalue(), err.getvalue(), fault)


def complaints(found: Answer, text: str) -> Iterator[str]:
    """What is wrong with an answer to a job file of `text`: nothing, if all is well."""
    if found.fault:
        last = [line.strip() for line in found.fault.splitlines() if "/parts/" in line][-1:]
        where = re.sub(r'File ".*/parts/', "parts/", last[0]) if last else "outside"
        yield f"{found.fault.strip().splitlines()[-1][:60]} in {where}"
        return
    if found.status not in (0, 1, 2):
        yield f"left with {found.status}"
    whole = found.out + found.err
    if "\ufffd" not in whole and not _encodes(whole):
        yield "cannot be encoded"
    if odd := {c for c in whole if unicodedata.category(c) in ("Cc", "Cs") and c != "\n"}:
        yield f"unprintable characters {sorted(odd)!r}"
    said = "\n".join(line for line in whole.splitlines() if not line.startswith("  "))
    if (foreign := FOREIGN.search(said)) and foreign[0] not in text:
        yield f"the word {foreign[0]}"
    if "--json" in found.words:
        yield from _of_document(found)
    elif found.status != 2 and (word := NO_NUMBER.search(found.out)) and word[0] not in text:
        yield f"the number {word[0]}"
    if found.status == 2:
        yield from _of_refusal(found)


def _of_refusal(found: Answer) -> Iterator[str]:
    file = next((word for word in found.words if word.endswith(".toml")), "")
    if len(found.err) > LONGEST:
        yield "an answer without end"
    for one in found.err.strip().split("\n\n"):
        first = one.split("\n", 1)[0]
        if not first.startswith((file, "and ", "--")):
            yield "a message that does not name the file"
        if "; " not in first:
            yield "a message without a remedy"
        if first.endswith((":", "; ")):
            yield "a message cut short"


def _of_document(found: Answer) -> Iterator[str]:
    def refuse(word: str) -> float:
        raise ValueError(f"{word} in the document")

    try:
        json.loads(found.out, parse_constant=refuse)
    except ValueError as error:
        yield str(error)[:60]


def _encodes(text: str) -> bool:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True


def strangers(folder: Path, allowed: Path) -> list[Path]:
    """Files under `folder` that do not lie in `allowed`."""
    return [file for file in folder.rglob("*") if file.is_file() and allowed not in file.parents]
