"""A folder of files that appears whole or not at all; what was there before stays until then.

On Linux and macOS the old and the new folder change places in one step. On a file system that
cannot do that there is a moment with neither: a run killed in it leaves the old one put aside,
and the next puts it back. Files are on the disk before they are put in place, so that a power
cut leaves one of the two as well.
"""

from __future__ import annotations

import ctypes
import errno
import os
import shutil
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

if sys.platform != "win32":
    import fcntl

PATIENCE_S = 10.0  # with another run that is about to put its files in place
TRIES = 20  # where another run puts its own folder in place at the same moment
_EXCHANGE = 2  # RENAME_EXCHANGE of renameat2(2), Linux; RENAME_SWAP of renamex_np(2), macOS


@contextmanager
def staged(folder: Path) -> Iterator[Path]:
    """A new empty folder to write into; it takes `folder`'s place when the block ends well.

    On an error, or if the process is killed, `folder` is as it was. Leftovers of killed runs are
    removed, and a folder that was put aside but not replaced is put back. Parents that were made
    for it go again if nothing came of it. Raises FileExistsError where a file or a link stands in
    its place: it is somebody's, and what a link leads to lies elsewhere.
    """
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        what = "a link is in its place" if folder.is_symlink() else "a file is in its place"
        raise FileExistsError(errno.EEXIST, what, str(folder))
    made = [parent for parent in folder.parents if not parent.exists()]
    folder.parent.mkdir(parents=True, exist_ok=True)
    tidy(folder)
    new = folder.with_name(f".{folder.name}.new-{os.getpid()}")
    held: int | None = None
    try:
        held = _begun(new)
        yield new
        _save(new)
        _replace(new, folder)
        _save_names(folder.parent)
    finally:
        shutil.rmtree(new, ignore_errors=True)
        if held is not None:
            os.close(held)
        for parent in made:
            with suppress(OSError):  # there is something in it
                parent.rmdir()


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Keep other runs from putting anything into `folder` meanwhile; they wait in here.

    Whoever waited PATIENCE_S goes on all the same: the one that is in may have been halted.
    """
    held = _opened(folder)
    try:
        until = time.monotonic() + PATIENCE_S
        while _locked(held) is False and time.monotonic() < until:
            time.sleep(0.02)
        yield
    finally:
        if held is not None:
            os.close(held)


def _begun(new: Path) -> int | None:
    """Make a folder and hold it while it is written, against other runs that tidy up."""
    for _ in range(TRIES):
        new.mkdir(exist_ok=True)
        held = _opened(new)
        if _locked(held) is not False and new.is_dir():
            return held
        if held is not None:  # another run takes it for a leftover, and is about to remove it
            os.close(held)
        time.sleep(0.02)
    raise OSError(errno.EBUSY, "another run is at work there", str(new))


def _opened(folder: Path) -> int | None:
    """A folder, opened; None where the system opens none. To be closed."""
    try:
        return os.open(folder, os.O_RDONLY)
    except OSError:
        return None


def _locked(held: int | None) -> bool | None:
    """Whether a folder that was opened is now ours; None where nobody can tell.

    It is let go when it is closed, and so when the process ends, however it ends.
    """
    if held is None or sys.platform == "win32":
        return None
    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        return None
    return True


def _save(folder: Path) -> None:
    """Have everything in a folder on the disk itself; raises OSError where it cannot be."""
    for at, _, names in os.walk(folder):
        for name in names:
            path = Path(at, name)
            if path.is_file() and not path.is_symlink():
                held = os.open(path, os.O_RDWR if sys.platform == "win32" else os.O_RDONLY)
                try:
                    os.fsync(held)
                finally:
                    os.close(held)
        _save_names(Path(at))


def _save_names(folder: Path) -> None:
    """Have a folder's list of names on the disk, where the system can."""
    held = _opened(folder)
    if held is not None:
        with suppress(OSError):
            os.fsync(held)
        os.close(held)


def _replace(new: Path, folder: Path) -> None:
    """Put `new` where `folder` is, or is not; another run may do the same just now."""
    for left in reversed(range(TRIES)):
        try:
            if not folder.exists():
                new.rename(folder)
            elif not _exchanged(new, folder):
                _put_aside(new, folder)
            return  # old files, if they are now in `new`, go with it
        except OSError as error:
            raced = error.errno in (errno.ENOTEMPTY, errno.EEXIST, errno.ENOENT)
            if not raced or not left or not new.exists():
                raise


def _put_aside(new: Path, folder: Path) -> None:
    old = folder.with_name(f".{folder.name}.old-{os.getpid()}")
    folder.rename(old)
    try:
        new.rename(folder)
    except OSError:
        if not folder.exists():
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


def tidy(folder: Path) -> None:
    """Remove what killed runs left beside a folder, or put it back where it is missing."""
    for old in folder.parent.glob(f".{folder.name}.old-*"):
        if not folder.exists():
            with suppress(OSError):
                old.rename(folder)
        else:
            _remove_left(old)
    for new in folder.parent.glob(f".{folder.name}.new-*"):
        _remove_left(new)


def _remove_left(path: Path) -> None:
    """Remove a leftover, unless the run that makes it still holds it."""
    held = _opened(path)
    try:
        free = _locked(held)
        if free or (free is None and not _running(path)):
            shutil.rmtree(path, ignore_errors=True)
    finally:
        if held is not None:
            os.close(held)


def _running(path: Path) -> bool:
    """Whether the process that a leftover is named after still runs, and is not this one."""
    number = path.name.rpartition("-")[2]
    if not number.isdigit() or int(number) == os.getpid():
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
