"""`python -m workbook` is the same as the command lambing-workbook."""

import gc

from workbook.cli import main
from workbook.output.terminal import show_what_it_can


def run() -> None:
    """One command from start to end."""
    gc.disable()  # looking for cycles takes a tenth of the time, and a season of records has next to none to find
    show_what_it_can()
    main()


if __name__ == "__main__":
    run()
