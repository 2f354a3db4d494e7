"""Put a file in its place whole or not at all: the old one stays until the new one is finished."""

import errno
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from template_builder.told import Told

# What a run that was broken off leaves beside its target: .season.xlsx-x7f3k2ab.unfinished
UNFINISHED = ".unfinished"
LONGEST_STEM = 100  # characters of the target's name repeated in it
LOCKS = ("~${}", ".~lock.{}#")  # the files spreadsheet programs keep beside a workbook that is open
FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
LOCKED = (errno.EACCES, errno.EPERM, errno.EBUSY, errno.ETXTBSY)


class WriteError(Told):
    """A workbook could not be written; the sentence says which, why, and what to do."""


@contextmanager
def writing(path: Path, *, force: bool = False) -> Iterator[Path]:
    """Give a temporary file beside `path`, and put it in place only when the block ends well: all or nothing.

    WriteError where `path` exists and `force` is not given, where it is open in a spreadsheet program, or where the folder
    cannot be written to.
    """
    _refuse(path, force)
    temporary: Path | None = None
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name[:LONGEST_STEM]}-", suffix=UNFINISHED, dir=path.parent)
        os.close(handle)
        temporary = Path(name)
        yield temporary
        with temporary.open("rb+") as written:
            os.fsync(written.fileno())
        temporary.chmod(0o666 & ~_umask())
        temporary.replace(path)
    except OSError as error:
        raise WriteError(f"{path} could not be written ({_reason(error)}). {_what_to_do(error)} {_left(path)}") from error
    finally:
        if temporary is not None:
            temporary.unlink(missing_ok=True)


def _refuse(path: Path, force: bool) -> None:
    if _is_there(path) and not force:
        raise WriteError(f"{path} is already there and was left as it is. Choose another name with -o, or add --force.")
    if not path.parent.is_dir():
        raise WriteError(f"{path}: there is no folder {path.parent}. Make it first, or choose another name with -o.")
    if _is_there(path) and path.is_dir():
        raise WriteError(f"{path} is a folder. Choose the name of a file with -o.")
    for lock in LOCKS:
        if _is_there(beside := path.with_name(lock.format(path.name))):
            raise WriteError(
                f"{path} is open in a spreadsheet program and was left as it is. Close it there and try again; "
                f"if it is not open anywhere, delete {beside.name} beside it."
            )


def _reason(error: OSError) -> str:
    return error.strerror or str(error)


def _what_to_do(error: OSError) -> str:
    if error.errno in FULL:
        return "Make room on the disk, or choose another folder with -o, and try again."
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
