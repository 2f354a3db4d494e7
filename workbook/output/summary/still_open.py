"""In the pack: what was not recorded, what is provisional, what is to correct, and who needs a look now."""

from template_builder.files.tab import Link
from template_builder.layout.summary_tabs import PROBLEM_EWES, TO_CORRECT
from template_builder.layout.words import sentence, so_many_are
from workbook.output.summary.pack import Around, Part
from workbook.output.summary.phrases import missing_words, problem_words

SOON = 2  # urgency up to which a ewe needs a look today
ALL_WELL = "nothing that the figures rest on was found missing"
CAUTION = ("Made from the records alone: nobody has seen your sheep. The farmer and adviser decide, the vet on health and "
           "medicines. Cautions are on Method.")
PROVISIONAL = "Verdicts are provisional: nothing is recorded at weaning yet."


def still_open(around: Around) -> Part | None:
    """Sentences, each with the tab that says more."""
    result = around.result
    missing = missing_words(result)
    words = problem_words(result)
    first = [*map(sentence, missing or [ALL_WELL]), *([] if result.problems else [words])]
    said: list[str | tuple[str, Link]] = [" ".join(first)]
    if any(decision.provisional for decision in result.decisions.values()):
        said.append(PROVISIONAL)
    urgent = sum(problem.urgency <= SOON for problem in result.problem_ewes)
    if urgent:
        asked = so_many_are(urgent, "alert", "asks", "ask")
        said.append((f"{asked} for a look now or today: see {PROBLEM_EWES}.", Link(PROBLEM_EWES, "A1")))
    if result.problems:
        said.append((words, Link(TO_CORRECT, "A1")))
    return Part(below=[*said, CAUTION])
