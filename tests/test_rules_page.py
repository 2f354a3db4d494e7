"""The shipped page of rules is what the declarations and the case files say now."""

from collections.abc import Callable
from pathlib import Path

from case_files import Case, case_files

import workbook
from workbook.output.rules_page import PAGE, entry, page, section
from workbook.rules.rule import REGISTRY

SHIPPED = Path(workbook.__file__).parent / "rules" / PAGE


def example(case: Case) -> str:
    """A case as a reader of the page sees it: its sheets, and what the rule says of which cell."""
    lines = [line.removeprefix("# ") for line in case.text.splitlines()]
    return "\n".join(f"gives {line.removeprefix('expect ')}" if line.startswith("expect ") else line for line in lines)


def examples() -> dict[str, str]:
    """The first firing case of each rule."""
    firing = {file.rule: next((case for case in file.cases if case.fires), None) for file in case_files()}
    return {rule: example(case) for rule, case in firing.items() if case}


def test_shipped_page_is_up_to_date(golden: Callable[[Path, str], None]) -> None:
    golden(SHIPPED, page(examples()))


def test_every_rule_is_explained_by_id_and_by_slug() -> None:
    for rule in REGISTRY.values():
        found = section(rule.id)
        assert found == section(rule.slug.upper())
        assert found is not None and rule.why in found and rule.fix in found and rule.source in found
        assert 1 == found.count("### ")


def test_a_rule_nobody_declared_is_not_explained() -> None:
    assert section("C998") is None
    assert section("") is None


def test_limits_and_columns_stand_in_words_with_their_source() -> None:
    text = entry(REGISTRY["C110"], "")
    assert "- Looks at: Lambing (Lambed on)" in text
    assert "- Limit: Earliest lambing after mating: 138 days, which can be changed on Season." in text
    assert "- Limit: Fastest growth believed: 600 g a day." in entry(REGISTRY["C129"], "")
    assert "```" not in text
