"""What keeps a ewe from being offered another ewe's lamb, as far as it is a value of a list or a limit: said once."""

from datetime import timedelta

from template_builder.layout.choices import Reason, Teats, Udder

BAD_UDDER = (Udder.LUMP, Udder.HARD, Udder.DAMAGED)
BAD_TEATS = (Teats.LARGE, Teats.BLOCKED, Teats.DAMAGED)

# From this mothering score (1 poor, 5 good) down she has lost interest in her own lambs: house rule.
LOST_INTEREST = 2

# Treated so lately for something she has, she is under treatment: house rule. Given to sound ewes too, these are none.
UNDER_TREATMENT = timedelta(days=7)
NO_ILLNESS = (Reason.VACCINE, Reason.WORMS, Reason.FLY)
