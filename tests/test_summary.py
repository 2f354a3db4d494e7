"""The summary workbook: what is written is what the result says, and it opens without surprises."""

import re
import zipfile
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from fake_result import AS_OF, HOSTILE, busy_result, empty_result
from openpyxl import load_workbook
from openpyxl.utils import range_boundaries

from template_builder.files.look import SIZE_BODY, WRAPPED
from template_builder.files.room import PRINT_PIXELS, lines_needed
from template_builder.files.writing import WriteError
from template_builder.layout.choices import Verdict
from template_builder.layout.decided import COMMENT, OWN_WORD, WHY
from template_builder.layout.policy import EVIDENCE
from template_builder.layout.summary_tabs import (
    EWE_DECISIONS,
    FLOCK_PLAN,
    HIDDEN_LIVE,
    LAMBS,
    LITTER_ACCOUNT,
    LOSSES,
    MARKS,
    MEETING,
    METHOD,
    MOTHERING,
    POLICY,
    PROBLEM_EWES,
    RECORDS_EWES,
    RECORDS_LAMBING,
    RECORDS_LAMBS,
    RECORDS_OTHER,
    REPLACEMENTS,
    SCANNING,
    TO_CORRECT,
)
from workbook.output.alike import lines_of
from workbook.output.summary.book import write_summary
from workbook.output.summary.charts import lambings_per_day
from workbook.output.summary.flags import flags_of
from workbook.output.summary.litter_account import CLASS_TITLES
from workbook.output.summary.live.ewes import YEARS
from workbook.output.summary.phrases import VERDICT_ORDER, stage_words
from workbook.output.summary.places import places_of
from workbook.output.summary.problem_ewes import AT_END
from workbook.output.summary.records import NOT_PRINTED
from workbook.results.litters.lines import ALL, COUNT, LINE
from workbook.results.pipeline import Result
from workbook.results.scores.comparing import Against, Comparison
from workbook.results.scores.mothering import NOT_ENOUGH, POOR
from workbook.results.scores.rearing import Rearing
from workbook.results.scores.standing import LOWER

TABS = [
    "Meeting", "Ewe decisions", "Marks", "Flock plan", "Replacements", "Lambs", "Losses", "Litter account", "Scanning",
    "Mothering", "Problem ewes",
    "Policy", "To correct", "Records ewes", "Records lambing", "Records lambs", "Records other", "Method", "_live",
]

ERRORS = ("#DIV/0!", "#NAME?", "#REF!", "#VALUE!", "#N/A", "#NUM!", "#NULL!", "####")
READ_TABS = (MEETING, LITTER_ACCOUNT, SCANNING, LOSSES, LAMBS, PROBLEM_EWES, MOTHERING, EWE_DECISIONS, MARKS, POLICY, TO_CORRECT,
             METHOD, FLOCK_PLAN, REPLACEMENTS)
COUNTING = (MEETING, LITTER_ACCOUNT, RECORDS_EWES, RECORDS_LAMBING, RECORDS_LAMBS, EWE_DECISIONS, MARKS, FLOCK_PLAN, REPLACEMENTS,
            POLICY, HIDDEN_LIVE)
CHART = {"c": "http://schemas.openxmlformats.org/drawingml/2006/chart"}
DIGIT, EDGES = 7.0, 5.0  # pixels of a digit and of the edges of a column, at the body type


@pytest.fixture(scope="module")
def result() -> Result:
    return busy_result()


@pytest.fixture(scope="module")
def path(result: Result, tmp_path_factory: pytest.TempPathFactory) -> Path:
    found = tmp_path_factory.mktemp("summary") / "season-summary.xlsx"
    write_summary(result, found)
    return found


@pytest.fixture(scope="module")
def book(path: Path) -> Any:
    """The workbook with the values of its formulas, as they stand in the file."""
    return load_workbook(path, data_only=True)


def texts(sheet: Any) -> list[str]:
    return [cell.value for row in sheet.iter_rows() for cell in row if isinstance(cell.value, str)]


def heading_row(sheet: Any, first: str) -> int:
    """The row of the table whose first heading is `first`."""
    return next(int(row[0].row) for row in sheet.iter_rows(max_col=1) if row[0].value == first and row[0].font.b)


def table(sheet: Any, first: str) -> list[dict[str, object]]:
    """The rows under the first heading row that begins so."""
    return table_at(sheet, heading_row(sheet, first))


def headline_rows(sheet: Any) -> list[dict[str, object]]:
    """The headline figures, also where they stand on two pages."""
    tops = [int(row[0].row) for row in sheet.iter_rows(max_col=1) if row[0].value == "Figure" and row[0].font.b]
    return [row for top in tops for row in table_at(sheet, top)]


def table_at(sheet: Any, top: int) -> list[dict[str, object]]:
    """The rows under a heading row, until the first column is blank."""
    names = [cell.value for cell in sheet[top]]
    rows = []
    for row in sheet.iter_rows(min_row=top + 1, values_only=True):
        if row[0] is None:
            break
        rows.append({str(name): value for name, value in zip(names, row, strict=True) if name is not None})
    return rows


def test_tabs_stand_in_their_order_and_the_book_opens_on_the_first(book: Any) -> None:
    assert TABS == book.sheetnames
    assert book.active is not None
    assert MEETING == book.active.title


def test_formulas_stand_only_where_rows_are_counted_or_decided_on_and_nothing_is_an_error(path: Path, book: Any) -> None:
    for sheet in load_workbook(path):
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.data_type != "e", f"{sheet.title}!{cell.coordinate}"
                assert cell.data_type != "f" or sheet.title in COUNTING, f"{sheet.title}!{cell.coordinate}"
    for sheet in book:
        assert not [text for text in texts(sheet) if text.startswith(ERRORS)]


def test_hostile_text_stays_text(book: Any) -> None:
    seen = {text for sheet in book for text in texts(sheet)}
    assert {"=1+1", "+1", "@x", HOSTILE[4], "=9.4", "=1+1, Our mark"} <= seen


def test_an_empty_season_is_written(tmp_path: Path) -> None:
    write_summary(empty_result(), tmp_path / "empty.xlsx")
    book: Any = load_workbook(tmp_path / "empty.xlsx")
    of_ewes = (EWE_DECISIONS, LAMBS, MOTHERING, MARKS, FLOCK_PLAN, REPLACEMENTS, HIDDEN_LIVE)
    assert [tab for tab in TABS if tab not in of_ewes] == book.sheetnames
    assert any("Before lambing" in text for text in texts(book[MEETING]))
    assert [] == book[MEETING]._charts


def without_scores(result: Result) -> Result:
    """The same flock as if too little had been recorded of every ewe for a score."""
    scores = {key: replace(score, score=None, word=NOT_ENOUGH, place=None) for key, score in result.mothering.items()}
    return replace(result, mothering=scores)


def decided_in(result: Result, path: Path) -> tuple[Any, list[dict[str, object]]]:
    write_summary(result, path)
    book: Any = load_workbook(path)
    return book, table(book[EWE_DECISIONS], "Ewe")


def test_where_no_ewe_has_a_score_neither_tab_nor_column_nor_link_speaks_of_mothering(result: Result, tmp_path: Path) -> None:
    bare = replace(without_scores(result), rearing=Rearing())
    book, rows = decided_in(bare, tmp_path / "bare.xlsx")
    assert [tab for tab in TABS if tab not in (LAMBS, MOTHERING)] == book.sheetnames
    assert not [text for text in texts(book[EWE_DECISIONS]) if "Mothering" in text or NOT_ENOUGH in text]
    assert not {"Mothering", "Litter"} & rows[0].keys()
    assert not [link for sheet in book for row in sheet.iter_rows() for cell in row
                if (link := cell.hyperlink) and MOTHERING in (link.location or "")]


def test_litters_stay_beside_the_decisions_where_no_ewe_has_a_score(result: Result, tmp_path: Path) -> None:
    compared = {key: Against(1.5, 0.5, 60, "60 ewes") for key in result.decisions}
    book, rows = decided_in(replace(without_scores(result), rearing=Rearing(comparison=Comparison(compared))),
                            tmp_path / "litters.xlsx")
    assert MOTHERING not in book.sheetnames
    assert {"litter 1.5\N{NO-BREAK SPACE}kg above like ewes"} == {row["Litter"] for row in rows}


def test_mothering_has_parts_first_then_the_word_then_the_score(result: Result, book: Any) -> None:
    rows = table(book[MOTHERING], "Ewe")
    assert ["Ewe", "lambs taken", "milk and", "full next", "lambs kept", "litter", "Mothering", "Score of"] == [
        heading if heading in ("Ewe", "Mothering") else " ".join(heading.split(" ")[:2]).removesuffix(" growth")
        for heading in list(rows[0])[:8]]
    low = (POOR, LOWER)
    placed = sorted((score for score in result.mothering.values() if score.place),
                    key=lambda score: (score.word not in low, -(score.place or 0)))
    _, _, _, printed = range_boundaries(book[MOTHERING].print_area.rsplit("!", 1)[-1].replace("$", ""))
    assert 0 < sum(score.word in low for score in placed) == printed - heading_row(book[MOTHERING], "Ewe")
    assert [(score.word, round(score.score or 0)) for score in placed] == [
        (row["Mothering"], row["Score of 100"]) for row in rows[: len(placed)]]
    shown = [[str(value) for value in list(row.values())[1:6]] for row in rows[: len(placed)]]
    for score, parts in zip(placed, shown, strict=True):
        assert [part.recorded or part.points is None for part in score.parts] == [not text.startswith("(") for text in parts]


def test_a_season_half_way_says_so(tmp_path: Path) -> None:
    half = busy_result(as_of=AS_OF.replace(month=3, day=20))
    write_summary(half, tmp_path / "half.xlsx")
    book: Any = load_workbook(tmp_path / "half.xlsx")
    assert "so far" == half.stage
    assert any(stage_words(half) in text for text in texts(book[MEETING]))
    lambed = sum(ewe.lambed for ewe in half.season.flock.ewes.values())
    assert f"So far: {lambed} of " in stage_words(half)
    assert "Verdict, so far" in texts(book[EWE_DECISIONS])
    assert "Lambing %, so far" in texts(book[MEETING])


def test_a_file_that_is_there_is_left_alone(result: Result, path: Path) -> None:
    before = path.read_bytes()
    with pytest.raises(WriteError, match="already there"):
        write_summary(result, path)
    assert before == path.read_bytes()


def test_equal_results_give_equal_bytes(result: Result, path: Path, tmp_path: Path) -> None:
    write_summary(result, tmp_path / "again.xlsx")
    assert path.read_bytes() == (tmp_path / "again.xlsx").read_bytes()


# Charts


def charts(path: Path) -> list[ElementTree.Element]:
    with zipfile.ZipFile(path) as parts:
        names = sorted(name for name in parts.namelist() if re.fullmatch(r"xl/charts/chart\d+\.xml", name))
        return [ElementTree.fromstring(parts.read(name)) for name in names]


def values_at(book: Any, reference: str) -> list[object]:
    sheet, cells = reference.replace("$", "").rsplit("!", 1)
    first_column, first_row, last_column, last_row = range_boundaries(cells)
    rows = book[sheet.strip("'")].iter_rows(first_row, last_row, first_column, last_column, values_only=True)
    return [value for row in rows for value in row]


def test_charts_are_drawn_from_numbers_in_sight(book: Any, path: Path) -> None:
    found = charts(path)
    assert 4 == len(found)
    for chart in found:
        series = chart.findall(".//c:ser", CHART)
        assert series
        for one in series:
            values = values_at(book, one.findtext(".//c:val//c:f", namespaces=CHART) or "")
            labels = values_at(book, one.findtext(".//c:cat//c:f", namespaces=CHART) or "")
            assert len(labels) == len(values) > 1
            assert all(isinstance(value, int | float) for value in values)
            assert all(isinstance(label, str) for label in labels)
        drawn = [values_at(book, one.findtext(".//c:val//c:f", namespaces=CHART) or "") for one in series]
        assert any(value for values in drawn for value in values)
    assert [HIDDEN_LIVE] == [sheet.title for sheet in book if sheet.sheet_state != "visible"]


def test_every_bar_bears_its_number_and_every_axis_begins_at_zero(path: Path) -> None:
    for chart in charts(path):
        assert ["bar"] == [one.get("val") for one in chart.findall(".//c:barDir", CHART)]
        assert ["0"] == [one.get("val") for one in chart.findall(".//c:valAx//c:min", CHART)]
        assert len(chart.findall(".//c:ser", CHART)) == len(chart.findall(".//c:dLbls", CHART))


def test_every_picture_is_told_in_words(path: Path) -> None:
    with zipfile.ZipFile(path) as parts:
        drawings = [parts.read(name).decode() for name in parts.namelist() if name.startswith("xl/drawings/drawing")]
    picture = r'<xdr:cNvPr id="\d+" name="Chart \d+"(?: descr="([^"]*)")?'
    told = [words for drawing in drawings for words in re.findall(picture, drawing)]
    assert len(charts(path)) == len(told)
    assert all(re.search(r": .+ \d", words) for words in told)


def test_a_lambing_date_far_off_is_left_out_of_the_picture_and_said(result: Result) -> None:
    days, outside = lambings_per_day(result.season)
    dated = sum(ewe.lambed and ewe.lambed_on is not None for ewe in result.season.flock.ewes.values())
    assert dated == sum(ewes for _, ewes in days) + outside
    assert [day.toordinal() for day, _ in days] == list(range(days[0][0].toordinal(), days[-1][0].toordinal() + 1))


# The account


@pytest.mark.parametrize("line", LINE)
def test_flags_beside_the_records_sum_to_the_account(result: Result, book: Any, line: str) -> None:
    flag = next((flag for flags in flags_of(result, places_of(result.season)).columns.values() for flag in flags
                 if flag.id == line), None)
    rows = [row for tab in (RECORDS_EWES, RECORDS_LAMBS, RECORDS_LAMBING) for row in table(book[tab], "Row")]
    numbers = result.account.lines[line]
    assert numbers[ALL] - numbers[COUNT] == (sum(int(str(row.get(flag.title) or 0)) for row in rows) if flag else 0)


def test_the_sum_over_the_flags_is_their_sum(book: Any) -> None:
    sheet = book[RECORDS_LAMBS]
    top = heading_row(sheet, "Row")
    flagged = [cell.column for cell in sheet[top] if str(cell.value).startswith(("Account:", "Ewe:", "Lamb:"))]
    assert len(flagged) > 10
    for column in flagged:
        below = sum(int(row[0]) for row in sheet.iter_rows(top + 1, sheet.max_row, column, column, values_only=True))
        assert below == sheet.cell(top - 1, column).value


def test_the_account_stands_as_computed(result: Result, book: Any) -> None:
    sheet = book[LITTER_ACCOUNT]
    tops = [cell.row for cell in sheet["A"] if cell.value == "Line"]
    rows = {row["What it counts"]: row for top in tops for row in table_at(sheet, top)}
    assert len(LINE) == len(rows)
    for line in LINE.values():
        row, numbers = rows[line.definition], result.account.lines[line.id]
        assert line.title == row["Line"]
        assert dict(numbers) == {name: row[CLASS_TITLES.get(name, name)] for name in numbers}


def test_one_row_a_ewe_sums_to_the_account_of_known_mothers(result: Result, book: Any) -> None:
    rows = table(book[LITTER_ACCOUNT], "Ewe")
    assert len(result.account.ewes) == len(rows)
    for id in ("scanned", "born_dead", "died"):
        total = sum(ewe.lines[id] for ewe in result.account.ewes.values())
        assert total == sum(int(str(row[LINE[id].title])) for row in rows)


# Links


def test_every_link_leads_to_a_cell_in_use(book: Any) -> None:
    links = [cell.hyperlink.location for sheet in book for row in sheet.iter_rows() for cell in row if cell.hyperlink]
    assert links
    for location in links:
        sheet, cell = location.rsplit("!", 1)
        found = book[sheet.strip("'")][cell]
        assert found.row <= found.parent.max_row and found.column <= found.parent.max_column


def test_a_source_cell_is_repeated_where_its_link_leads(result: Result, book: Any) -> None:
    places = places_of(result.season)
    for sheet_id, column in (("lambs", "birth_weight"), ("ewes", "ewe"), ("weights", "kg"), ("ewe_check", "udder")):
        for record in result.season.rows(sheet_id)[:5]:
            link = places.link(record.at(column))
            assert link is not None
            written = record[column]
            assert (str(written) if column == "udder" else written) == book[link.sheet][link.cell].value


def test_a_number_with_a_link_stays_a_number(book: Any) -> None:
    row = next(row for row in headline_rows(book[MEETING]) if row["Figure"] == "Born dead %")
    cell = next(cell for line in book[MEETING].iter_rows() for cell in line if cell.hyperlink and cell.value == row["Counted"])
    assert "n" == cell.data_type


# Decisions and what else the meeting reads


def test_decisions_stand_strictest_first_with_room_for_the_final_word(result: Result, book: Any) -> None:
    sheet = book[EWE_DECISIONS]
    rows = table(sheet, "Ewe")
    assert len(result.decisions) == len(rows)
    order = [verdict.label for verdict in VERDICT_ORDER]
    places = [(order.index(str(row["Verdict"])), int(str(row["Ewe"]))) for row in rows]
    assert sorted(places) == places
    assert {None} == {row[title] for row in rows for title in (OWN_WORD, WHY, COMMENT)}
    [choice] = sheet.data_validations.dataValidation
    assert '"cull,draft,watch,keep"' == choice.formula1
    top = heading_row(sheet, "Ewe")
    column = next(cell.column_letter for cell in sheet[top] if cell.value == OWN_WORD)
    assert f"{column}{top + 1}:{column}{top + len(rows)}" == str(choice.sqref)


def test_the_evidence_of_each_reason_stands_beside_the_page_and_links_to_its_row(result: Result, book: Any) -> None:
    sheet = book[EWE_DECISIONS]
    top = heading_row(sheet, "Ewe")
    column = {str(cell.value): cell.column for cell in sheet[top]}
    by_name = {decision.name: decision for decision in result.decisions.values()}
    linked = 0
    for row in range(top + 1, top + 1 + len(by_name)):
        decision = by_name[str(sheet.cell(row, 1).value)]
        for evidence in EVIDENCE:
            cell = sheet.cell(row, column[evidence.title])
            assert decision.evidence[evidence.id] == cell.value
            assert bool(cell.value) == (cell.hyperlink is not None)
            linked += bool(cell.hyperlink)
        assert all(str(reason.cells[0].cell) in str(sheet.cell(row, column["Cells"]).value) for reason in decision.reasons)
    assert linked > 5


def test_verdicts_differ_in_looks_that_follow_the_words(book: Any) -> None:
    sheet = book[EWE_DECISIONS]
    looks: dict[str, set[object]] = {}
    for area in sheet.conditional_formatting:
        for rule in area.rules:
            word = rule.formula[0].partition("=")[2].strip('"')
            looks.setdefault(word, set()).add((rule.dxf.fill.bgColor.rgb, rule.dxf.fill.patternType, rule.dxf.font.i))
    told = {verdict.label for verdict in (Verdict.CULL, Verdict.DRAFT, Verdict.WATCH, Verdict.UNKNOWN)}
    assert told <= looks.keys()
    assert len(told) == len({look for word in told for look in looks[word]})


def test_queries_name_every_problem_skipped_check_and_own_column(result: Result, book: Any) -> None:
    rows = table(book[TO_CORRECT], "Rule")
    listed = [line.first for line in lines_of(result.problems)]
    assert len(result.problems) == len(listed)  # no habit among them
    assert [problem.found.text for problem in listed] == [row["What is wrong"] for row in rows]
    assert [problem.place.cell or None for problem in listed] == [row["Cell"] for row in rows]
    assert {"Lambs: Electronic tag", "Hay", "the whole sheet"} <= set(texts(book[TO_CORRECT]))


def test_what_is_for_the_screen_stands_right_of_the_printed_page(book: Any) -> None:
    """Cells are read at the desk; on paper their room goes to what is said of the ewe."""
    sheet = book[EWE_DECISIONS]
    last = range_boundaries(sheet.print_area.rsplit("!", 1)[-1].replace("$", ""))[2]
    table = next(iter(sheet.tables.values()))
    titles = [column.name for column in table.tableColumns]
    assert {"Cells", *YEARS} <= set(titles[last:]) and {"Ewe", "Reasons", "Final decision"} <= set(titles[:last])


def test_rows_of_records_are_for_the_screen(book: Any) -> None:
    """Thirty columns on one page of paper are too small to read, and thirty pages nobody asked for; the own file prints them."""
    for tab in (RECORDS_EWES, RECORDS_LAMBING, RECORDS_LAMBS, RECORDS_OTHER):
        assert 1 == range_boundaries(book[tab].print_area.rsplit("!", 1)[-1].replace("$", ""))[3]
        assert book[tab]["A1"].value == f"{tab}: {NOT_PRINTED}"


def test_numbers_at_the_right_are_not_wrapped(book: Any) -> None:
    """LibreOffice forgets the space at the edge of a number that might wrap."""
    wrapped = [f"{sheet.title}!{cell.coordinate}" for sheet in book for row in sheet.iter_rows() for cell in row
               if isinstance(cell.value, int | float) and cell.alignment.wrap_text and cell.alignment.horizontal == "right"]
    assert [] == wrapped


def test_each_ewe_has_her_season_in_words_those_to_talk_about_on_paper(result: Result, book: Any) -> None:
    sheet = book[PROBLEM_EWES]
    lines = [row for row in sheet.iter_rows() if row[1].value == AT_END]
    assert {ewe.name for ewe in result.season.flock.ewes.values()} == {row[0].value for row in lines}
    assert all(str(row[3].value).endswith(".") for row in lines)
    _, _, _, printed = range_boundaries(sheet.print_area.rsplit("!", 1)[-1].replace("$", ""))
    talked_about = [decision.name for decision in result.decisions.values() if decision.verdict is not Verdict.KEEP]
    assert talked_about and sorted(talked_about) == sorted(row[0].value for row in lines if row[0].row <= printed)


def test_the_figure_value_is_the_result_value(result: Result, book: Any) -> None:
    by_label = {row["Figure"]: row for row in headline_rows(book[MEETING])}
    figure = next(figure for figure in result.figures if figure.id == "total_loss_pct")
    row = by_label[figure.label]
    assert figure.value == pytest.approx(row["Value"])
    assert (figure.numerator, figure.denominator, "15 %") == (row["Counted"], row["Of"], row["Own target"])


# Print and fit


@pytest.mark.parametrize("tab", READ_TABS)
def test_pages_the_meeting_reads_fit_the_paper(book: Any, tab: str) -> None:
    sheet = book[tab]
    last = sheet.max_column
    if sheet.print_area:
        _, _, last, _ = range_boundaries(sheet.print_area.rsplit("!", 1)[-1].replace("$", ""))
    widths = {number: held.width for held in sheet.column_dimensions.values() for number in range(held.min, held.max + 1)}
    hidden = {number for held in sheet.column_dimensions.values() if held.hidden for number in range(held.min, held.max + 1)}
    characters = sum(widths[column] - EDGES / DIGIT for column in range(1, last + 1) if column not in hidden)
    assert PRINT_PIXELS + last >= characters * DIGIT + last * EDGES, "widths are kept to the nearest pixel"
    assert "landscape" == sheet.page_setup.orientation
    assert "season.xlsx" in str(sheet.oddFooter.left.text) and "20 Aug 2026" in str(sheet.oddFooter.left.text)


@pytest.mark.parametrize(("text", "characters", "lines"), [
    ("", 10.0, 1), ("short", 10.0, 1), ("two\nlines", 10.0, 2), ("word " * 20, 10.0, 10), ("x" * 30, 10.0, 3),
])
def test_lines_needed(text: str, characters: float, lines: int) -> None:
    """By hand: 10 characters of width hold 11 letters of running text, so two words of four, or 11 of a long one."""
    assert lines == lines_needed(text, characters, WRAPPED)
    assert lines_needed(text, characters, WRAPPED.with_(size=2 * SIZE_BODY)) >= lines
