"""Put a file in its place whole or not at all: the old one stays until the new one is finished."""

import errno
import os
import shutil
import signal
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from template_builder.files.locks import lock_beside
from template_builder.files.told import Told
from template_builder.files.written import WORKBOOK_ENDINGS, as_written

# What a run that was broken off leaves beside its target: .season.xlsx-x7f3k2ab.unfinished
UNFINISHED = ".unfinished"
LONGEST_STEM = 100  # characters of the target's name repeated in it
FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
STOPS = (signal.SIGINT, signal.SIGTERM)
LOCKED = (errno.EACCES, errno.EPERM, errno.EBUSY, errno.ETXTBSY)


ANOTHER_NAME = "Choose another name with -o."


class WriteError(Told):
    """A workbook could not be written; the sentence says which, why, and what to do."""


@contextmanager
def unstopped() -> Iterator[None]:
    """Hold back whoever stops the work until what is being made has a name by which it can be cleared away again."""
    if not hasattr(signal, "pthread_sigmask"):  # Windows
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, STOPS)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


@contextmanager
def writing(path: Path, *, force: bool = False, anew: bool = False) -> Iterator[Path]:
    """Give a temporary file beside `path`, and put it in place only when the block ends well: all or nothing.

    A workbook that was there is kept as `NAME (before DATE TIME).xlsx`. `anew` is for what the program itself brings up to
    date, as the index of a folder: it is replaced without being asked, and only what somebody has saved since is kept.

    WriteError where `path` exists and `force` is not given, where it is not as this program wrote it, where it is open in a
    spreadsheet program, or where the folder cannot be written to.
    """
    if words := refusal(path, force, anew=anew):
        raise WriteError(words)
    temporary: Path | None = None
    kept: Path | None = None
    tempfile.gettempdir()  # found by trying a file, which must not be left by whoever stops the work a moment later
    try:
        with unstopped():
            handle, name = tempfile.mkstemp(prefix=f".{path.name[:LONGEST_STEM]}-", suffix=UNFINISHED, dir=path.parent)
            temporary = Path(name)
            os.close(handle)
        yield temporary
        with temporary.open("rb+") as written:
            os.fsync(written.fileno())
        temporary.chmod(0o666 & ~_umask())
        kept = None if anew and as_written(path) else _keep(path)
        temporary.replace(path)
        kept = None
    except OSError as error:
        raise WriteError(f"{path} could not be written ({_reason(error)}). {_what_to_do(error)} {_left(path)}") from error
    finally:
        for left_over in (temporary, kept):
            if left_over is not None:
                left_over.unlink(missing_ok=True)


def refusal(path: Path, force: bool, held: Callable[[Path], str] = lambda _: "", *, anew: bool = False) -> str | None:
    """Why `path` may not be written, in a sentence; None where it may. `held` says what a person would lose with a file."""
    if not path.parent.is_dir():
        return f"{path}: there is no folder {path.parent}. Make it first, or choose another name with -o."
    if _is_there(path):
        if path.is_dir():
            return f"{path} is a folder. Choose the name of a file with -o."
        if not path.is_file():
            return f"{path} is not an ordinary file and is never replaced. {ANOTHER_NAME}"
        if not (anew or _is_empty(path) or as_written(path)):
            return _never_replaced(path, held(path))
        if not (force or anew):
            return f"{path} is already there and was left as it is. Choose another name with -o, or add --force."
    if beside := lock_beside(path):
        return (
            f"{path} is open in a spreadsheet program and was left as it is. Close it there and try again; "
            f"if it is not open anywhere, delete {beside.name} beside it."
        )
    return None


def _never_replaced(path: Path, holds: str) -> str:
    why = f"{path} is another file, or one saved by somebody since this program wrote it"
    if holds:
        why = f"{path} was saved by somebody since this program wrote it, and {holds} would be lost"
    return f"{why}: it is never replaced, not even with --force. {ANOTHER_NAME}"


def _is_empty(path: Path) -> bool:
    return path.stat().st_size == 0


def _keep(path: Path) -> Path | None:
    """Keep the workbook that is about to be replaced beside it; no kept one is ever replaced itself."""
    if not (_is_there(path) and path.suffix.casefold() in WORKBOOK_ENDINGS):
        return None
    moment = datetime.now().strftime("%Y-%m-%d %H.%M.%S")
    for number in range(1, 1_000):
        again = "" if number == 1 else f" {number}"
        beside = path.with_name(f"{path.stem} (before {moment}{again}){path.suffix}")
        try:
            _doubled(path, beside)
            return beside
        except FileExistsError:
            continue
    raise OSError(errno.EEXIST, "too many copies of the same second")


def _doubled(path: Path, beside: Path) -> None:
    """A second name for the file, at once; a copy where the disk knows no second names. FileExistsError if it is taken."""
    try:
        os.link(path, beside)
    except FileExistsError:
        raise
    except OSError:
        with path.open("rb") as old, beside.open("xb") as kept:
            shutil.copyfileobj(old, kept)


def _reason(error: OSError) -> str:
    return error.strerror or str(error)


def _what_to_do(error: OSError) -> str:
    if error.errno in FULL:
        return "Make room on the disk, or choose another folder with -o, and try again."
    if error.errno == errno.ENAMETOOLONG:
        return "Choose a shorter name with -o, and try again."
    if error.errno in LOCKED:
        return "Close it where it is open, or choose a folder you may write in with -o, and try again."
    return "Close it where it is open, check the disk and the folder, and try again."


def _left(path: Path) -> str:
    return "The file that was there is unchanged." if _is_there(path) else "Nothing was written."


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except OSError:  # a name that no file can have
        return False


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
