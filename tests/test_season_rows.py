"""What is worked out from a scanning list before the season is built: due days, the lambing year, the newest date."""

from datetime import date

import pytest

from template_builder.scan.lines import ScanRow
from template_builder.scan.season_rows import Mating, due_date, lambing_year, newest_date

SCANNED = date(2025, 12, 28)


@pytest.mark.parametrize(("rows", "mating", "year"), [
    ([ScanRow(2, "1", scanned_on=SCANNED, due=date(2026, 3, 20))], Mating(), 2026),
    ([ScanRow(2, "1", scanned_on=SCANNED, mated_on=date(2025, 10, 24))], Mating(), 2026),
    ([ScanRow(2, "1", scanned_on=SCANNED)], Mating(), 2025),
    ([ScanRow(2, "1", scanned_on=SCANNED, due=date(2026, 3, 20))], Mating(year=2024), 2024),
    ([ScanRow(2, "1")], Mating(), None),
    ([ScanRow(2, "1", mated_on=date(2025, 8, 6))], Mating(), 2025),  # 147 days later is 31 December
    ([ScanRow(2, "1", mated_on=date(2025, 8, 7))], Mating(), 2026),
    ([ScanRow(n, str(n), due=date(2025 + (n > 1), 3, 20)) for n in range(5)], Mating(), 2026),  # three of five
], ids=["due", "mated", "scanned", "given", "none", "last of December", "first of January", "most"])
def test_the_lambing_year_is_that_of_the_due_days_before_that_of_the_scan(
    rows: list[ScanRow], mating: Mating, year: int | None,
) -> None:
    assert year == lambing_year(rows, mating)


def test_the_due_day_is_147_days_after_mating_or_as_many_as_the_farm_says() -> None:
    assert (date(2026, 3, 20), date(2026, 3, 18)) == (due_date(date(2025, 10, 24)), due_date(date(2025, 10, 24), 145))


def test_the_newest_date_is_of_scanning_or_mating_whichever_is_later() -> None:
    rows = [ScanRow(2, "1", scanned_on=SCANNED, mated_on=date(2025, 10, 24), due=date(2026, 3, 20)), ScanRow(3, "2")]
    assert (SCANNED, None) == (newest_date(rows), newest_date(rows[1:]))


@pytest.mark.parametrize(("out", "refused"), [(date(2025, 10, 19), True), (date(2025, 10, 20), False), (None, False)])
def test_rams_cannot_come_out_before_they_went_in(out: date | None, refused: bool) -> None:
    if refused:
        with pytest.raises(ValueError, match="before they went in"):
            Mating(date(2025, 10, 20), out)
    else:
        assert out == Mating(date(2025, 10, 20), out).ram_out
