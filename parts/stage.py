"""A folder of files that appears whole or not at all; what was there before stays until then."""

from __future__ import annotations

import ctypes
import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

_EXCHANGE = 2  # RENAME_EXCHANGE of renameat2(2), Linux; RENAME_SWAP of renamex_np(2), macOS


@contextmanager
def staged(folder: Path) -> Iterator[Path]:
    """A new empty folder to write into; it takes `folder`'s place when the block ends well.

    On an error, or if the process is killed, `folder` is as it was. Leftovers of killed runs are
    removed, and a folder that was put aside but not replaced is put back. Parents that were made
    for it go again if nothing came of it.
    """
    made = [parent for parent in folder.parents if not parent.exists()]
    folder.parent.mkdir(parents=True, exist_ok=True)
    _tidy(folder)
    new = folder.with_name(f".{folder.name}.new-{os.getpid()}")
    try:
        new.mkdir()
        yield new
        _replace(new, folder)
    finally:
        shutil.rmtree(new, ignore_errors=True)
        for parent in made:
            with suppress(OSError):  # there is something in it
                parent.rmdir()


def _replace(new: Path, folder: Path) -> None:
    if not folder.exists():
        new.rename(folder)
        return
    if _exchanged(new, folder):
        return  # the old files are now in `new`, which the caller removes
    old = folder.with_name(f".{folder.name}.old-{os.getpid()}")
    folder.rename(old)
    try:
        new.rename(folder)
    except OSError:
        old.rename(folder)
        raise
    shutil.rmtree(old, ignore_errors=True)


def _exchanged(a: Path, b: Path) -> bool:
    """Swap two folders in one step, where the system can."""
    names = (os.fsencode(a), os.fsencode(b))
    try:
        libc = ctypes.CDLL(None, use_errno=True)
        if sys.platform.startswith("linux"):
            here = -100  # AT_FDCWD
            return bool(libc.renameat2(here, names[0], here, names[1], _EXCHANGE) == 0)
        if sys.platform == "darwin":
            return bool(libc.renamex_np(names[0], names[1], _EXCHANGE) == 0)
    except (AttributeError, OSError, TypeError):
        pass
    return False


def _tidy(folder: Path) -> None:
    for old in folder.parent.glob(f".{folder.name}.old-*"):
        if not folder.exists():
            with suppress(OSError):
                old.rename(folder)
        elif not _running(old):
            shutil.rmtree(old, ignore_errors=True)
    for new in folder.parent.glob(f".{folder.name}.new-*"):
        if not _running(new) or new.name.endswith(f"-{os.getpid()}"):
            shutil.rmtree(new, ignore_errors=True)


def _running(path: Path) -> bool:
    """Whether the process that a leftover is named after still runs."""
    number = path.name.rpartition("-")[2]
    if not number.isdigit():
        return False
    if sys.platform == "win32":
        return True  # there, asking a process for a sign of life would end it
    try:
        os.kill(int(number), 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True
