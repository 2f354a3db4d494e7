"""The marked copy: the person's own file with its problem cells marked, everything else in it byte for byte as it was.

A spreadsheet library that loads a workbook and saves it again loses what it does not know. So the copy is made by cutting
the marks into the parts of the file that need them and copying every other byte.
"""
