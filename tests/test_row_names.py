"""What a person calls a row: its lamb, its ewe, or what else it is about."""

import pytest
from seasons import records

from template_builder.layout.choices import TreatedFor
from template_builder.layout.columns import Row
from workbook.season.row_names import row_name


@pytest.mark.parametrize(("sheet", "row", "name"), [
    ("lambs", {"ewe": "0412", "lamb_no": 2, "tag": "7001"}, "0412-2"), ("lambing", {"ewe": "0412"}, "0412"),
    ("weights", {"animal": "7001"}, "7001"), ("groups", {"group": "Hill"}, "Hill"), ("counts", {"group": "Hill"}, "Hill"),
    ("season", {"setting": "Lambing year"}, "Lambing year"), ("policy", {"rule": "Refused a lamb"}, "Refused a lamb"),
    ("treatments", {"animal": "0412", "given_to": TreatedFor.EWE}, "0412"),
    ("treatments", {"given_to": TreatedFor.ALL_EWES}, "all ewes"), ("treatments", {}, "row 4"), ("lambing", {}, "row 4"),
    ("ewes", {"ewe": "0412", "group": "Hill"}, "0412"), ("ewes", {"group": "Hill"}, "row 4"),  # a ewe without number is no group
])
def test_what_a_row_is_called(sheet: str, row: Row, name: str) -> None:
    assert name == row_name(records(sheet, [row])[0])
