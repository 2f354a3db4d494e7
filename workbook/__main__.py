"""`python -m workbook` is the same as the command lambing-workbook."""

from workbook.cli import main

main()
