"""Random rows of entry sheets, for round trips and for rules that must bear anything."""

from datetime import date, datetime, time

from hypothesis import strategies as st

from template_builder.layout.columns import NOT_KNOWN, OWN, Column, Kind, Row, Sheet, Value
from template_builder.layout.sheets import SHEETS

_TRICKY = ["=x", "=1+1", "+44", "-", "@home", "0412", "0000", "826012345600012", "003", "NA", "None", "TRUE", "a  b", "1042-2"]
_LETTERS = st.characters(codec="utf-8", exclude_categories=("C", "Z"), exclude_characters="_")


def _tidy(text: str) -> bool:
    return text.strip() == text and text not in ("", "?") and not text.casefold().startswith(("total", "sum", "average", "mean"))


texts = st.one_of(
    st.sampled_from(_TRICKY).map(lambda text: " ".join(text.split())),
    st.text(_LETTERS, min_size=1, max_size=12).filter(_tidy),
)
days = st.dates(date(2000, 1, 1), date(2090, 12, 31))
moments = st.one_of(
    st.datetimes(datetime(2000, 1, 1), datetime(2090, 12, 31)).map(lambda moment: moment.replace(second=0, microsecond=0)),
    st.times().map(lambda clock: clock.replace(second=0, microsecond=0, tzinfo=None)).filter(lambda clock: clock != time()),
)


def values(column: Column) -> st.SearchStrategy[Value]:
    """Values a person could write in a column, "?" among them."""
    if column.choices:
        known: st.SearchStrategy[Value] = st.sampled_from(list(column.choices))
    else:
        low, high = column.least or 0, column.most or 1000
        known = {
            Kind.IDENTIFIER: texts, Kind.TEXT: texts, Kind.SETTING: texts, Kind.DATE: days, Kind.MOMENT: moments,
            Kind.WHOLE: st.integers(int(low), int(high)),
            Kind.NUMBER: st.floats(low, high).map(lambda number: round(number, 2)),
        }[column.kind]
    return st.one_of(known, st.just(NOT_KNOWN))


def rows(sheet: Sheet, most: int = 6) -> st.SearchStrategy[list[Row]]:
    """Rows of a sheet, some of them laid ready and untouched, some with columns of a person's own."""
    optional = {column.id: values(column) for column in sheet.columns if column.id != "row_key"}
    own = {f"{OWN}My own note": texts, f"{OWN}Paddock": st.integers(0, 99)}
    keyed = {"row_key": st.just("0123456789")} if sheet.keyed else {}
    row = st.fixed_dictionaries({}, optional={**optional, **own, **keyed})
    return st.lists(row.filter(lambda found: bool(found.keys() - {"row_key"})), max_size=most)


def seasons(most: int = 6) -> st.SearchStrategy[dict[str, list[Row]]]:
    """Rows of every entry sheet that has no fixed rows."""
    return st.fixed_dictionaries({sheet.id: rows(sheet, most) for sheet in SHEETS if not sheet.fixed_rows})

