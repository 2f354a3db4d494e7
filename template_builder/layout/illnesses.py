"""Illnesses that go through a flock or come of how it is fed, and how many cases close together are the flock's matter.

Lameness is not among them: feet are treated many on one day.
"""

from typing import NamedTuple

from template_builder.layout.choices import Cause, Choice, LambingTrouble, Prolapse, Reason, Trouble, WhyMoved

# So many animals ill of one thing within so many days are a matter for the flock: common practice, no source.
CASES, WITHIN_DAYS = 3, 7


class Illness(NamedTuple):
    """One illness of lambs or of ewes, with all the words the lists have for it."""

    animals: str
    title: str
    words: tuple[Choice, ...]
    people: bool = False  # whether some of what causes it is caught by people: common practice, no source


LAMBS = (
    Illness("lambs", "watery mouth or scour", (Cause.SCOUR, Reason.SCOUR), people=True),
    Illness("lambs", "joint or navel ill", (Cause.JOINT_ILL, Reason.JOINT_ILL), people=True),
    Illness("lambs", "pneumonia", (Cause.PNEUMONIA, Reason.PNEUMONIA)),
    Illness("lambs", "another infection", (Cause.OTHER_INFECTION,), people=True),
)
EWES = (
    Illness("ewes", "mastitis", (Trouble.MASTITIS, Reason.MASTITIS, WhyMoved.MASTITIS)),
    Illness("ewes", "sleepy or down", (Trouble.SLEEPY, Reason.METABOLIC)),
    Illness("ewes", "prolapse", (Trouble.PROLAPSE, Prolapse.VAGINAL, LambingTrouble.PROLAPSE)),
    Illness("ewes", "scour", (Reason.SCOUR,), people=True),
    Illness("ewes", "pneumonia", (Reason.PNEUMONIA,)),
)
ILLNESSES = (*LAMBS, *EWES)
