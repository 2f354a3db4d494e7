"""The message draft: one workbook attached as what it is, and the words say what was left as written."""

from email import message_from_bytes, policy

import pytest

from workbook.sharing.draft import draft, letter


def test_a_draft_opens_to_be_sent_with_the_workbook_as_a_workbook() -> None:
    message = message_from_bytes(draft("Lambing 2026", "Hello", "copy.xlsx", b"PK of it"), policy=policy.default)
    (attached,) = message.iter_attachments()
    assert ("Lambing 2026", "1", None) == (message["Subject"], message["X-Unsent"], message["To"])
    assert ("copy.xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", b"PK of it") == (
        attached.get_filename(), attached.get_content_type(), attached.get_payload(decode=True))


@pytest.mark.parametrize(("kept", "said"), [
    ((), ""), (("ewe-numbers",), " Left as written: ewe numbers."),
    (("tags", "flock-name"), " Left as written: tags, flock name."),
])
def test_a_letter_says_what_stays_as_written(kept: tuple[str, ...], said: str) -> None:
    words = letter("copy.xlsx", "Flock 0123abcd", "1 Apr 2026", kept, "41 ewes lambed")
    assert f"who is who stays on the farm.{said}\n\n" in words and "\n41 ewes lambed\n" in words
