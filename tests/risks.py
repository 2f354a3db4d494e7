"""The relative risk of unrelated animals, as papers and packages give it."""

from workbook.results.statistics.proportions import Ratio, widened_relative_risk


def relative_risk(cases_a: int, total_a: int, cases_b: int, total_b: int) -> Ratio:
    """A design effect of 1 widens nothing."""
    return widened_relative_risk((cases_a, total_a), (cases_b, total_b), 1.0, 1.0)
