"""Write the demo workbooks of this folder anew. All flocks, farms and people in them are invented."""

from demo_workbooks import DEMO, FOLDER, HILL
from demo_workbooks.simulation.writing import write_demo, write_hill

if __name__ == "__main__":
    write_demo(FOLDER)
    write_hill(FOLDER)
    for name, words in {**DEMO, **HILL}.items():
        print(f"{name}: {words}")  # noqa: T201 - a script for a person to run
