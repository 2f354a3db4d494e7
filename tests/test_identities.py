"""What leaves the farm in a shared copy: of each kind of name an alias or nothing, unless that kind was asked to stay."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import pytest
from seasons import season

from template_builder.layout.choices import Action, TreatedFor
from template_builder.layout.columns import NOT_KNOWN, OWN, Row, Value
from template_builder.layout.laying import lay_ready
from template_builder.layout.whole import SHEET
from workbook.season.season import Season
from workbook.sharing.identities import Keep, Shared, without_identities
from workbook.sharing.key import FLOCK, Key, Named

KEY = Key((Named(FLOCK, "Flock 0123abcd", "Quillfeather"),))
EWES: list[Row] = [{"ewe": "77123"}, {"ewe": "77124"}]

# Sheet and column, what stands there, what may leave it as written, and what stands there instead.
NAMES: Sequence[tuple[str, str, str, Keep, str | None]] = (
    ("ewes", "ewe", "77123", Keep.EWE_NUMBERS, "E001"), ("lambing", "ewe", "77123", Keep.EWE_NUMBERS, "E001"),
    ("lambs", "ewe", "77123", Keep.EWE_NUMBERS, "E001"), ("lambs", "foster_ewe", "77123", Keep.EWE_NUMBERS, "E001"),
    ("ewe_check", "ewe", "77123", Keep.EWE_NUMBERS, "E001"), ("weights", "animal", "77123", Keep.EWE_NUMBERS, "E001"),
    ("ewes", "group", "Bramblewick", Keep.GROUP_NAMES, "Group A"),
    ("groups", "group", "Bramblewick", Keep.GROUP_NAMES, "Group A"),
    ("lambing", "turned_out_to", "Bramblewick", Keep.GROUP_NAMES, "Group A"),
    ("counts", "group", "Bramblewick", Keep.GROUP_NAMES, "Group A"), ("lambing", "pen", "Snapdragon", Keep.GROUP_NAMES, "P01"),
    ("ewes", "ram", "Orlando", Keep.RAM_NAMES, "Ram A"), ("ewes", "breed", "Vexley Down", Keep.BREEDS, "Breed A"),
    ("groups", "ram_breed", "Vexley Down", Keep.BREEDS, "Breed A"),
    ("lambing", "recorded_by", "Peregrine", Keep.PEOPLE, "Person A"),
    ("treatments", "given_by", "Peregrine", Keep.PEOPLE, "Person A"),
    ("lambs", "tag", "88451", Keep.TAGS, "L0001"), ("lambs", "electronic_tag", "826012345600045", Keep.TAGS, None),
    ("ewes", "official_tag", "826012345600045", Keep.TAGS, None), ("ewes", "also_known_as", "Mottle", Keep.TAGS, None),
    ("treatments", "product", "Tarragon", Keep.PRODUCTS, None), ("treatments", "batch", "T7", Keep.PRODUCTS, None),
    ("treatments", "amount", "as Zebedee says", Keep.PRODUCTS, None), ("lambing", "notes", "Zebedee helped", Keep.NOTES, None),
    ("ewes", "notes", "from Zebedee", Keep.NOTES, None), ("groups", "notes", "by the bridge", Keep.NOTES, None),
)


def only(shared: Shared, sheet: str) -> Row:
    return shared.rows[sheet][0]


@pytest.mark.parametrize(("sheet", "column", "name", "kept_by", "alias"), NAMES)
@pytest.mark.parametrize("keep", [None, *Keep])
def test_a_name_stays_only_by_the_word_for_it(
    sheet: str, column: str, name: str, kept_by: Keep, alias: str | None, keep: Keep | None,
) -> None:
    rows: dict[str, list[Row]] = {"ewes": EWES, sheet: [{**(EWES[0] if sheet == "ewes" else {}), column: name}]}
    found = without_identities(season(**rows), [keep] if keep else [], KEY)
    heading = f"{SHEET[sheet].title}: {SHEET[sheet].column(column).title}"
    if keep is kept_by:
        assert name == only(found, sheet)[column] and heading not in found.emptied
    else:
        assert alias == only(found, sheet).get(column)
        assert (0 if alias else 1) == found.emptied[heading]


def test_every_cell_left_out_is_counted() -> None:
    found = without_identities(season(ewes=[{**ewe, "notes": "from Zebedee"} for ewe in EWES]), key=KEY)
    assert {"Ewes: Notes": 2} == found.emptied


# Of Season: what stands there, and what goes out by what is kept.
@pytest.mark.parametrize(("setting", "value", "goes_out", "kept_by", "as_kept"), [
    ("flock", "Quillfeather", "Flock 0123abcd", Keep.FLOCK_NAME, "Quillfeather"),
    ("flock", None, "Flock 0123abcd", Keep.PEOPLE, "Flock 0123abcd"),
    ("vet", "Vexley 01632", None, Keep.PEOPLE, "Vexley 01632"), ("vet", "Vexley 01632", None, Keep.FLOCK_NAME, None),
    ("farm", 1632960961, None, Keep.PEOPLE, 1632960961), ("vet", NOT_KNOWN, NOT_KNOWN, Keep.PEOPLE, NOT_KNOWN),
    ("year", 2026, 2026, Keep.PEOPLE, 2026), ("gestation", 99_999, 99_999, Keep.NOTES, 99_999),
    ("gestation", 100_000, NOT_KNOWN, Keep.NOTES, NOT_KNOWN), ("gestation", -100_000, NOT_KNOWN, Keep.NOTES, NOT_KNOWN),
])
def test_a_setting_in_words_stays_only_if_asked_for(
    setting: str, value: Value, goes_out: Value, kept_by: Keep, as_kept: Value,
) -> None:
    of = season(season=[{"row_key": setting, "value": value}])
    assert goes_out == only(without_identities(of, key=KEY), "season").get("value")
    assert as_kept == only(without_identities(of, [kept_by], KEY), "season").get("value")


def test_of_season_and_policy_what_the_farm_set_goes_out_and_rows_nobody_declared_do_not() -> None:
    of = season(season=[{"row_key": "gestation", "value": 146, "why": "Zebedee"}, {"row_key": "Zebedee", "value": 1}],
                policy=[{"row_key": "gummer", "action": Action.CULL, "limit": 2.0, "why": "Zebedee"}])
    found = without_identities(of, key=KEY)
    assert [{"row_key": "gestation", "value": 146}] == found.rows["season"]
    assert [{"row_key": "gummer", "action": Action.CULL, "limit": 2.0}] == found.rows["policy"]


WHOM = season(
    groups=[{"group": "Bramblewick"}, {"group": "77124"}], ewes=EWES,
    lambs=[{"ewe": "77123", "lamb_no": 1, "tag": "88451"}, {"ewe": "77123", "lamb_no": 2}],
    weights=[{"animal": name} for name in ("88451", "77123", "77123-2", "77124", "Bramblewick", "Tarragon", "Tarragon-1")],
    treatments=[{"animal": "77124", "given_to": TreatedFor.GROUP}, {"animal": "77124", "given_to": TreatedFor.EWE},
                {"animal": "77124"}, {"animal": "Tarragon", "given_to": TreatedFor.GROUP}],
)


def test_whichever_animal_a_name_is_of_has_the_alias_of_that_animal() -> None:
    found = without_identities(WHOM, key=KEY)
    assert ["L0001", "E001", "E001-2", "E002", "Group A", "X001", "X002"] == [row["animal"] for row in found.rows["weights"]]
    assert ["Group B", "E002", "E002", "X001"] == [row["animal"] for row in found.rows["treatments"]]


def unreadable(of: Season, sheet: str, column: str, raw: Value) -> Season:
    (row,) = of.rows(sheet)
    read = replace(row, values={**row.values, column: NOT_KNOWN}, raw={column: raw})
    return replace(of, records={**of.records, sheet: (read,)})


@pytest.mark.parametrize(("sheet", "column", "raw"), [
    ("lambing", "help", "Zebedee"), ("lambing", "lambed_on", "when Zebedee came"), ("lambs", "birth_weight", "about 4"),
])
def test_what_could_not_be_read_goes_out_as_not_known(sheet: str, column: str, raw: str) -> None:
    of = unreadable(season(**{sheet: [{"ewe": "77123"}]}), sheet, column, raw)
    assert NOT_KNOWN is only(without_identities(of, key=KEY), sheet)[column]


@pytest.mark.parametrize(("value", "raw", "goes_out"), [(4.5, None, 4.5), (4.5, "4.5kg of Zebedee", "4.5 kg"), (4.536, 10, 10)])
def test_a_weight_goes_out_as_it_was_weighed(value: float, raw: Value, goes_out: Value) -> None:
    of = season(lambs=[{"ewe": "77123", "birth_weight": value}])
    (row,) = of.rows("lambs")
    of = replace(of, records={**of.records, "lambs": (replace(row, raw={} if raw is None else {"birth_weight": raw}),)})
    assert goes_out == only(without_identities(of, key=KEY), "lambs")["birth_weight"]


def test_hidden_keys_are_made_anew_and_columns_of_ones_own_stay_at_home() -> None:
    laid: Mapping[str, Sequence[Row]] = lay_ready([{"ewe": "77123", "scanned": 1}])
    of = season(ewes=[{**row, OWN + "Dog": "Tarragon"} for row in laid["ewes"]], lambing=[*laid["lambing"], {"ewe": "77124"}])
    of = replace(of, own_columns={"Ewes": ("Dog",)}, own_sheets=("Hay", "Barn"))
    found = without_identities(of, key=KEY)
    assert ("1 column of your own on Ewes", "2 sheets of your own") == found.left_out
    known = lay_ready([{"ewe": "E001", "scanned": 1}])["lambing"][0]["row_key"]
    assert [known, None] == [row.get("row_key") for row in found.rows["lambing"]]
    assert not any(column.startswith(OWN) for row in found.rows["ewes"] for column in row)


def test_the_same_names_have_the_same_aliases_in_the_next_copy_and_new_ones_go_on_from_there() -> None:
    first = without_identities(season(ewes=EWES), key=KEY)
    again = without_identities(season(ewes=[{"ewe": "77125"}, *EWES]), [Keep.TAGS, Keep.BREEDS], first.key)
    assert ["E003", "E001", "E002"] == [row["ewe"] for row in again.rows["ewes"]]
    assert ((), ("breeds", "tags")) == (first.key.stays, again.key.stays)
    assert [KEY.names[0], *first.key.names[1:], Named("ewe", "E003", "77125")] == [*again.key.names]


@pytest.mark.parametrize("written", ["e001", "see E001 too", "Group A"])
def test_no_alias_is_a_word_of_the_records(written: str) -> None:
    found = without_identities(season(ewes=[{"ewe": "77123", "group": "Top", "notes": written}]), key=KEY)
    taken = "Group B" if written == "Group A" else "Group A"
    assert ("E001" if written == "Group A" else "E002", taken) == (only(found, "ewes")["ewe"], only(found, "ewes")["group"])
