"""Make the program one file that Python runs as it is: `python -m workbook.doors.one_file lambing-workbook.pyz`.

All it needs is inside, each package with its licence; pandas is not (compare needs it), nor is the demo (explain
takes its figures from it).
"""

import sys
import tomllib
import zipapp
from collections.abc import Iterator
from importlib.metadata import Distribution, PackageNotFoundError, distribution, version
from pathlib import Path, PurePosixPath
from shutil import copyfile
from tempfile import TemporaryDirectory

NAME = "lambing-workbook"
INSIDE = ("openpyxl", "et-xmlfile", "xlsxwriter", "click")
ENDING = ".pyz"
_ROOT = Path(__file__).parents[2]
_DEMO = PurePosixPath("demo_workbooks/__init__.py")
_OURS = ("workbook", "template_builder")
_LEFT_OUT = ("__pycache__", "public")  # the public face gives frames, which need pandas
_MAIN = 'from workbook.__main__ import run_one_file\n\nif __name__ == "__main__":\n    run_one_file()\n'
_LICENCES = ("LICEN", "COPYING", "AUTHORS")


def make(target: Path) -> Path:
    """Write the one file. FileExistsError for a name that is taken, ValueError for one without its ending."""
    if target.suffix != ENDING:
        raise ValueError(f"{target} is not a name for it: choose one that ends in {ENDING}")
    if target.exists():
        raise FileExistsError(f"{target} is already there and was left as it is: choose another name")
    with TemporaryDirectory() as name:
        folder = Path(name)
        for source, inside in (*_own_files(), *_files_of_others()):
            copy = folder / inside
            copy.parent.mkdir(parents=True, exist_ok=True)
            copyfile(source, copy)
        _own_metadata(folder)
        (folder / "__main__.py").write_text(_MAIN, encoding="utf-8")
        zipapp.create_archive(folder, target, interpreter="/usr/bin/env python3", compressed=True)
    return target


def _own_files() -> Iterator[tuple[Path, PurePosixPath]]:
    yield _ROOT / _DEMO, _DEMO  # what its files are called; they themselves stay outside
    for package in _OURS:
        for path in sorted((_ROOT / package).rglob("*")):
            inside = path.relative_to(_ROOT)
            if path.is_file() and not set(_LEFT_OUT) & set(inside.parts):
                yield path, PurePosixPath(inside.as_posix())


def _files_of_others() -> Iterator[tuple[Path, PurePosixPath]]:
    """The modules of the packages this one needs, with what says their name and version, and their licences."""
    for name in INSIDE:
        found = distribution(name)
        for file in found.files or ():
            if ".." not in file.parts and (_is_code(file) or _is_told(file)):
                yield Path(str(found.locate_file(file))), file
        if not any(_is_licence(file) for file in found.files or ()):
            raise FileNotFoundError(f"{name} as installed here has no licence beside it: install it again first")


def _is_code(file: PurePosixPath) -> bool:
    return file.suffix == ".py" and "__pycache__" not in file.parts


def _is_told(file: PurePosixPath) -> bool:
    return file.parts[0].endswith(".dist-info") and (file.name == "METADATA" or _is_licence(file))


def _is_licence(file: PurePosixPath) -> bool:
    return file.name.upper().startswith(_LICENCES)


def _own_metadata(folder: Path) -> None:
    """Our own name, version and licence, as an installed package has them."""
    number, licence = _version_and_licence()
    info = folder / f"{NAME.replace('-', '_')}-{number}.dist-info"
    info.mkdir()
    (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {NAME}\nVersion: {number}\n", encoding="utf-8")
    (info / "LICENSE").write_text(licence, encoding="utf-8")


def _version_and_licence() -> tuple[str, str]:
    """From pyproject.toml where this runs from its sources, else as installed."""
    page = _ROOT / "pyproject.toml"
    if page.is_file():
        project = tomllib.loads(page.read_text(encoding="utf-8"))["project"]
        return project["version"], project["license"]["text"]
    installed: Distribution = distribution(NAME)
    return version(NAME), str(installed.metadata["License"])


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(f"Say where to write it: python -m workbook.doors.one_file {NAME}{ENDING}")
    try:
        sys.stdout.write(f"Written: {make(Path(sys.argv[1]))}\n")
    except (OSError, ValueError, PackageNotFoundError) as error:
        sys.exit(str(error))
