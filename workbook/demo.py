"""The demo's files copied into a folder: an invented flock's scan list, its season empty, clean and messy, the summary."""

from pathlib import Path

from demo_workbooks import DEMO, FOLDER
from template_builder.files.writing import WriteError, writing


def copy_demo(folder: Path, *, force: bool = False) -> list[tuple[Path, str]]:
    """Copy the files; gives each path with what it is. WriteError where one is there already without `force`."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WriteError(f"{folder} could not be made ({error.strerror}). Choose another folder.") from error
    for name in DEMO:
        with writing(folder / name, force=force) as temporary:
            temporary.write_bytes((FOLDER / name).read_bytes())
    return [(folder / name, words) for name, words in DEMO.items()]
