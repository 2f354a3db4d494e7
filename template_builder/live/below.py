"""Rows written below those laid ready, or pushed down there by rows inserted: the live lists do not read them, and say so."""

from template_builder.layout.whole import SHEET
from template_builder.live.columns import K, LiveCell, LiveSheet
from template_builder.live.ewe_block import EWES
from template_builder.live.lamb_block import LAMB_LINKS
from template_builder.live.row_links import CHECKS, GROUPS, LAMBING_LINKS, TREATMENTS

READ = (EWES, GROUPS, LAMBING_LINKS, LAMB_LINKS, CHECKS, TREATMENTS)
LOOKED_AT = 500  # so many rows below the last one laid ready
ALL, LAST_AND_BELOW = "all", "below"  # the rows laid ready of an entry sheet; the last of them and those below: "lambs_below"


def _below(sheet: LiveSheet) -> LiveCell:
    """Rows that hold something and that no formula reads. Cells with errors make it a count of cells: never nothing."""
    laid, below = f"{sheet.rows_of}_{ALL}", f"{sheet.rows_of}_{LAST_AND_BELOW}"
    read = f"ROWS({sheet.name(K)})"
    pushed_down = f"IF(ROWS({laid})<={read},0,{_written(sheet, laid, laid, read)})"
    counted = f"{pushed_down}+{_written(sheet, below, laid, f'ROWS({laid})')}"
    return LiveCell(f"below_{sheet.id}", f"IFERROR({counted},COUNTA({below}))")


def _written(sheet: LiveSheet, rows: str, laid: str, read: str) -> str:
    """Of these rows those that hold something and stand more than so many below the first one laid ready."""
    columns = len(SHEET[sheet.rows_of].columns)
    filled = "+".join(f'(INDEX({rows},0,{number})<>"")' for number in range(1, columns + 1))
    return f"SUMPRODUCT((({filled})>0)*(ROW(INDEX({rows},0,1))>=ROW(INDEX({laid},1,1))+{read}))"


BELOW = tuple(_below(sheet) for sheet in READ)
(BELOW_LAMBING,) = (cell for sheet, cell in zip(READ, BELOW, strict=True) if sheet is LAMBING_LINKS)
ALL_BELOW = LiveCell("below", "+".join(cell.name for cell in BELOW))

# For Progress: the same, sheet by sheet.
BELOW_ON = tuple(
    LiveCell(f"below_on_{sheet.id}", cell.name, f"On {SHEET[sheet.rows_of].title}")
    for sheet, cell in zip(READ, BELOW, strict=True)
)
