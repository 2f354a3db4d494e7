"""The demo's files copied into a folder: an invented flock's scan list, its season empty, clean and messy, the summary."""

from pathlib import Path

from demo_workbooks import DEMO, FOLDER, SHIPPED
from template_builder.files.writing import WriteError, refusal, writing


def copy_demo(folder: Path, *, force: bool = False) -> list[tuple[Path, str]]:
    """Copy the files; gives each path with what it is.

    A file that is there and the same is left. WriteError, before any is written, where another may not be replaced.
    """
    if not SHIPPED:
        raise WriteError("The demo is not in this file: install the program, as its README says, and run demo there.")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WriteError(f"{folder} could not be made ({error.strerror}). Choose another folder.") from error
    missing = [name for name in DEMO if not _is_there(folder / name, FOLDER / name)]
    refused = [words for name in missing if (words := refusal(folder / name, force))]
    if refused:
        raise WriteError("\n".join(refused))
    for name in missing:
        with writing(folder / name, force=force) as temporary:
            temporary.write_bytes((FOLDER / name).read_bytes())
    return [(folder / name, words) for name, words in DEMO.items()]


def _is_there(path: Path, shipped: Path) -> bool:
    return path.is_file() and path.read_bytes() == shipped.read_bytes()
