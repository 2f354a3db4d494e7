"""The tabs of a comparison of farms, in their order, and how one is told from every other workbook."""

from collections.abc import Iterable

GROUP, SIDE_BY_SIDE, FUNNELS, QUARTILES, ALL_FIGURES = "Group", "Side by side", "Funnel plots", "Quartiles", "All figures"
BESIDE, FARMS_IN, HOW = "Beside targets", "Farms in the group", "How compared"
KEY = "Key of letters"
YOUR_FARM, YOUR_FUNNELS = "Your farm", "Your funnel plots"
POINTS = "_points"  # hidden: what the funnel plots are drawn from


def is_comparison(tabs: Iterable[str]) -> bool:
    """Whether a workbook with these tabs is what compare wrote: of the group, of one farm, or the key of the letters."""
    found = set(tabs)
    return found == {KEY} or HOW in found and (GROUP in found or YOUR_FARM in found)
