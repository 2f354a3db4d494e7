"""What can be wrong with a ewe: whether the vet is called, how urgent it is, and how that is told."""

import pytest

from template_builder.layout.alerts import ALERTS, END, NOW, SOON, TODAY, UNREAD, URGENCIES, Alert

CALLED = {
    "long labour", "womb prolapse", "prolapse", "aborted", "abortion suspected", "mastitis", "sleepy or down",
    "afterbirth not passed", "bad udder or teats", "rectal prolapse",
}
LEAST_URGENT = {NOW: "trouble next day", TODAY: "rectal prolapse", SOON: "lambing not recorded", END: "withdrawal not known"}


def test_for_which_the_vet_is_called() -> None:
    assert CALLED == {alert.title for alert in ALERTS if alert.call_vet}


@pytest.mark.parametrize("alert", ALERTS, ids=lambda alert: alert.title)
def test_what_is_listed_of_it_names_the_vet_who_is_called(alert: Alert) -> None:
    assert "vet" in alert.first_step or not alert.call_vet
    assert not any(character.isdigit() for character in alert.next_step), "no amounts"


def test_how_urgent_each_is_in_words() -> None:
    words = {UNREAD: "first", NOW: "now", TODAY: "today", SOON: "soon", END: "end of season"}
    assert words == dict(enumerate(URGENCIES))
    assert LEAST_URGENT == {alert.urgency: alert.title for alert in ALERTS}
    assert sorted(alert.urgency for alert in ALERTS) == [alert.urgency for alert in ALERTS]
