"""The rules of family R: what can be wrong with a cell, a heading or a sheet before anyone asks what it says."""

from workbook.rules.rule import REGISTRY, Found, Problem, Rule, Severity, register
from workbook.season.cells import CellRef

HOUSE = "house rule"
ERROR, WARNING, NOTE = Severity.ERROR, Severity.WARNING, Severity.NOTE


def _rule(id: str, slug: str, title: str, severity: Severity, why: str, fix: str) -> Rule:
    return register(Rule(id, slug, title, severity, why, HOUSE, fix))


READING_RULES: tuple[Rule, ...] = (
    _rule("R101", "not-a-number", "A number cell holds something else", ERROR,
          "The value cannot be counted with.", "Write a number, or ? for not known."),
    _rule("R102", "not-a-whole-number", "A whole number cell holds something else", ERROR,
          "The value cannot be counted with.", "Write a whole number, or ? for not known."),
    _rule("R103", "not-a-date", "A date cell holds something else", ERROR,
          "Nothing that depends on the day can be worked out.", "Write a date such as 12 Mar 2026, or ? for not known."),
    _rule("R104", "not-in-the-list", "A value is not in its list", ERROR,
          "Another word cannot be counted with the others.", "Choose from the list, or ? for not known."),
    _rule("R105", "outside-limits", "A number is outside its limits", WARNING,
          "Likely a slip of the finger; it is counted as written.", "Correct it."),
    _rule("R106", "tag-digits-lost", "Digits of a tag are lost", ERROR,
          "A spreadsheet has turned the tag into a rounded number; the lost digits cannot be guessed.",
          "Copy the tag again from the animal or the scan file into a cell formatted as text."),
    _rule("R107", "not-a-tag", "A number or tag was changed by the spreadsheet", ERROR,
          "The spreadsheet turned what was typed into a date or something else.", "Type it again, with an apostrophe in front."),
    _rule("R108", "error-value", "A cell holds an error", ERROR,
          "A formula in this cell failed or was never worked out; there is no value.", "Replace the formula with its value."),
    _rule("R109", "formula-in-cell", "A cell holds a formula", NOTE,
          "Its last computed value was taken; it may be out of date.", "Replace the formula with its value."),
    _rule("R110", "number-as-text", "A number is written as text", NOTE,
          "It was read, decimal comma and unit included; other programs may not.", "Write the number alone."),
    _rule("R111", "date-as-text", "A date is written as text", NOTE,
          "It was read the way its column, or Season, says dates run; other programs may not.",
          "Nothing need be done. A date typed as 12 Mar 2026 becomes a real one."),
    _rule("R112", "required-blank", "A cell that must be filled is blank", ERROR,
          "The row says something, but not about whom or when.", "Fill the cell in."),
    _rule("R113", "sheet-missing", "A sheet is not there", ERROR,
          "Nothing on it can be counted.", "Put the sheet back from the workbook as it was built."),
    _rule("R114", "column-missing", "A column is not there", ERROR,
          "Nothing in it can be counted.", "Put the column back, with its heading, from the workbook as it was built."),
    _rule("R115", "columns-disagree", "Two cells claim to be one column", ERROR,
          "The heading stands in one place and its hidden mark in another; guessing could mix up two columns.",
          "Move the heading back over its own column."),
    _rule("R116", "heading-changed", "A heading was changed", NOTE,
          "The column was recognised by its hidden mark and read.", "Nothing need be done."),
    _rule("R117", "sheet-twice", "Two sheets look alike", WARNING,
          "Only one was read: adding both up would count twice.", "Delete the copy, or rename its headings."),
    _rule("R118", "merged-cells", "Cells are merged", ERROR,
          "A spreadsheet shows one value for all of them; what the other cells hold is out of sight or gone.",
          "Unmerge them and fill in each."),
    _rule("R119", "totals-row", "A totals row stands among the records", NOTE,
          "It was left out.", "Delete it, or keep totals on a sheet of your own."),
    _rule("R120", "unknown-setting", "A row is not a setting or rule", WARNING,
          "The row was not read.", "Put settings of your own on a sheet of your own."),
    _rule("R121", "hidden-rows", "Rows are hidden", NOTE,
          "A filter or somebody has hidden them. They were read all the same.", "Clear the filter to see what they say."),
    _rule("R122", "column-twice", "A column stands twice", WARNING,
          "Only one was read: nobody can tell from outside which of the two is kept up.",
          "Delete the copy, or give it a heading of your own."),
    _rule("R123", "text-too-long", "A text is longer than a cell can hold", WARNING,
          "A spreadsheet would not open it whole; only its beginning was read.", "Shorten it, or keep it in a file of its own."),
    _rule("R124", "drop-downs-missing", "Drop-downs are missing", NOTE,
          "Everything was read, but what is typed there is not checked as it is typed. Pasting over cells takes their drop-downs "
          "away, and rows below those laid ready have none.",
          "Copy a cell of the column that has its drop-down and paste it over the others as validation alone (Paste Special). "
          "Paste records as values only: then drop-downs stay."),
    _rule("R125", "rows-above-headings", "Rows stand above the headings", WARNING,
          "They were read, but the lists inside the workbook and the marks made while typing leave them out. Sorting a whole "
          "sheet does this.",
          "Undo the sorting, or move the rows below the headings again. Sort with the arrows in the headings."),
    _rule("R126", "row-keys-missing", "The hidden column of row keys is missing", NOTE,
          "Rows are known by what stands in them, so a column sorted without the rest is not noticed.",
          "Nothing need be done."),
    _rule("R127", "older-layout", "The workbook has an older layout", NOTE,
          "Everything in it was read. What has come since stands at its default, or is not there to be filled in.",
          "Nothing need be done. A workbook merged from copies of it has the newest layout."),
    _rule("R128", "row-keys-left-behind", "Hidden row keys stayed behind when rows were sorted", NOTE,
          "Rows are taken as they are seen; the hidden key of another row beside them was dropped. Whole rows sorted without "
          "the hidden last column look like this, and so do ewe numbers sorted without what was written about them.",
          "Where whole rows were sorted, nothing need be done. Where only the first columns were, undo the sorting: records "
          "stand beside other ewes."),
    _rule("R129", "dates-both-ways", "Dates of a column are written both ways", ERROR,
          "Some can only be day first, others only month first, or not as Season says: the rest could be either of two days.",
          "Say on Season how dates are written, or write the months in letters. What could be either is not read until then."),
    _rule("R130", "date-as-number", "A date stands as a plain number", NOTE,
          "A program dropped how the cells look. All numbers of the column are days of the season, or times of a day, so they "
          "were read as such.",
          "Nothing need be done. Format the column as dates to see them as such."),
    _rule("R131", "date-order-not-said", "A written date could be another day", WARNING,
          "Nothing in the workbook says whether the day or the month stands first; it was read day first.",
          "Say on Season how dates are written."),
    _rule("R132", "time-beside-day", "A time is written beside a day", NOTE,
          "The cell is for the day alone; the time was kept where the sheet has a place for it.",
          "Nothing need be done."),
    _rule("R133", "heading-in-other-unit", "A heading names another unit than Season", WARNING,
          "Weights without a unit of their own are read in the unit Season names; somebody may have gone by the heading.",
          "Write the unit into the heading that the weights are in, or correct Weights are in on Season."),
)

BY_SLUG = {rule.slug: rule for rule in READING_RULES}


def reading_problem(
    slug: str, place: CellRef, text: str, value: str = "", also: tuple[CellRef, ...] = (), row_name: str = "",
) -> Problem:
    """The problem of a reading rule at a cell; KeyError for an unknown slug."""
    return BY_SLUG[slug].problem(Found(place, text, value, also, row_name))


__all__ = ["BY_SLUG", "READING_RULES", "REGISTRY", "reading_problem"]
