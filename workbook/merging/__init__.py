"""Several people's copies of one season workbook made one again: nothing written is lost, nothing is chosen for them."""
