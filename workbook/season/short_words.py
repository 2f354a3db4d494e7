"""What short words on Lambing stand for in cells left blank: "all well", and the one word under Trouble."""

from collections.abc import Mapping

from template_builder.layout.choices import (
    Colostrum,
    Help,
    LambingTrouble,
    Presentation,
    Prolapse,
    Sucked,
    Taken,
    Teats,
    Trouble,
    WhyHelped,
    YesNo,
)
from template_builder.layout.columns import Value
from template_builder.layout.sides import BOTH_SIDES
from workbook.season.cells import Record

# What "all well" stands for; any filled cell overrides it.
ALL_WELL_EWE: Mapping[str, Value] = {
    "help": Help.NONE, "sides_in_milk": BOTH_SIDES, "teats": Teats.SOUND, "prolapse": Prolapse.NONE, "afterbirth": YesNo.YES,
}
ALL_WELL_LAMB: Mapping[str, Value] = {
    "helped": YesNo.NO, "presentation": Presentation.NORMAL, "sucked": Sucked.ALONE, "taken": Taken.YES,
}

# What one word of trouble says of her and of her lambs. None: "all well" beside it says nothing of that any more.
TROUBLE_EWE: Mapping[LambingTrouble | None, Mapping[str, Value]] = {
    LambingTrouble.HELPED: {"help": Help.LIGHT},
    LambingTrouble.LAY_WRONG: {"help": None, "why_helped": WhyHelped.LAY_WRONG},
    LambingTrouble.NARROW: {"help": None, "why_helped": WhyHelped.NARROW},
    LambingTrouble.NOT_OPEN: {"help": None, "why_helped": WhyHelped.NOT_OPEN},
    LambingTrouble.PROLAPSE: {"prolapse": None},
    LambingTrouble.NO_MILK: {"colostrum": Colostrum.NONE, "sides_in_milk": None},
    LambingTrouble.BAD_UDDER: {"sides_in_milk": None, "teats": None},
}
TROUBLE_LAMB: Mapping[LambingTrouble | None, Mapping[str, Value]] = {
    LambingTrouble.HELPED: {"helped": None},
    LambingTrouble.LAY_WRONG: {"helped": None, "presentation": None},
    LambingTrouble.NARROW: {"helped": None},
    LambingTrouble.NOT_OPEN: {"helped": None},
    LambingTrouble.NO_MILK: {"sucked": None},
    LambingTrouble.REFUSED: {"taken": None, "sucked": None},
}

# Troubles that a look at a ewe has a word for too, and the column of Lambing that would say more of it.
AT_A_LOOK: Mapping[LambingTrouble, tuple[Trouble, str]] = {
    LambingTrouble.PROLAPSE: (Trouble.PROLAPSE, "prolapse"), LambingTrouble.ABORTED: (Trouble.ABORTED, ""),
}


def trouble_of(lambing: Record | None) -> LambingTrouble | None:
    """The one word of trouble on a row of Lambing."""
    return lambing.choice("trouble", LambingTrouble) if lambing is not None else None


def said_in_short(lambing: Record) -> Record:
    """The row with what its short words stand for. A ewe said not to be helped at all was not helped for a reason either."""
    if lambing["all_well"] is YesNo.YES:
        lambing = lambing.assuming(ALL_WELL_EWE, "all_well")
    assumed = TROUBLE_EWE.get(trouble_of(lambing), {})
    unhelped = lambing.held("help") is Help.NONE and "why_helped" in assumed
    return lambing if unhelped else lambing.assuming(assumed, "trouble")


def said_of_lambs(lambing: Record) -> Mapping[str, Value]:
    """What the short words of a row stand for in the rows of her live lambs."""
    if lambing["all_well"] is not YesNo.YES:
        return {}
    return {**ALL_WELL_LAMB, **TROUBLE_LAMB.get(trouble_of(lambing), {})}
