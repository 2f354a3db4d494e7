"""Write the demo workbooks of this folder anew. All flocks, farms and people in them are invented."""

from pathlib import Path

from workbook.demo.files import write_demo, write_hill

if __name__ == "__main__":
    folder = Path(__file__).parent
    for path, words in (*write_demo(folder, force=True), *write_hill(folder, force=True)):
        print(f"{path.name}: {words}")  # noqa: T201 - a script for a person to run
