"""Animals that fall ill of one thing: each counts once, on the day it was first written to be ill of it.

A row that tells of a case holds its key: which illness, which animal, which day. The row counts where no other row tells of the
same animal and illness on an earlier day; of several on one day, the sheet named first in `_TELL` and the upper row count.
"""

from template_builder.layout.alerts import ILLNESS_FADES
from template_builder.layout.choices import Choice
from template_builder.layout.illnesses import CASES, ILLNESSES, LAMBS, WITHIN_DAYS, Illness
from template_builder.live.columns import LiveColumn, LiveSheet, first_that_holds, place
from template_builder.live.formulas import DAY, FIRST

ILLNESS = 10**12  # so far apart stand the keys of two illnesses, with room for animals and days
TREATED_ONLY = FIRST  # added to the row in which a lamb is first treated that is no dead lamb of the list
OF_LAMBS, OF_EWES = range(1, len(LAMBS) + 1), range(len(LAMBS) + 1, len(ILLNESSES) + 1)
# The columns of keys and of which illnesses; of two cases on one day the one that stands first here counts.
_TELL = {
    "live_treatments_case": (*OF_LAMBS, *OF_EWES), "live_checks_case": OF_EWES, "live_ewes_case": OF_EWES,
    "live_lambs_case": OF_EWES, "live_lambs_died_case": OF_LAMBS,
}
FELL_ILL = tuple(keys.replace("case", "fell_ill") for keys in _TELL)


def illness_of(cell: str, choices: type[Choice], among: tuple[Illness, ...]) -> str:
    """The number of the illness that a word of a list stands for, 0 where it stands for none of these."""
    cases = [(f"{cell}={place(word)}", ILLNESSES.index(illness) + 1)
             for illness in among for word in illness.words if isinstance(word, choices)]
    return first_that_holds(cases, 0)


def case_key(illness: str, animal: str, day: str) -> str:
    """The key of a case, 0 where it is none or bears no date."""
    return f"IF(IF({animal}<1,0,{illness})=0,0,IF(ISNUMBER({day}),{illness}*{ILLNESS}+{animal}*{DAY}+INT({day}),0))"


def fell_ill(block: str, column: str = "case") -> LiveColumn:
    """Illness and day of a row's case where it is the first of its animal, else 0; `column` holds its key."""
    key, own = f"{{{column}}}", f"live_{block}_{column}"
    start = f"INT({key}/{DAY})*{DAY}"
    counts, signs = [f"IF(MATCH({key},{own},0)={{k}},0,1)"], "<="
    for other, illnesses in _TELL.items():
        signs = "<" if other == own else signs
        if set(illnesses) & set(_TELL[own]):
            counts.append(f'COUNTIF({other},"{signs}"&{key})-COUNTIF({other},"<"&{start})')
    return LiveColumn(column.replace("case", "fell_ill"), f"IF({key}=0,0,IF({'+'.join(counts)}=0,"
                      f"INT({key}/{ILLNESS})*{DAY}+{key}-{start},0))")


def _ago(days: int) -> str:
    """How many fell ill of it so many days ago; not reckoned day by day where all together are too few."""
    return f"IF({{lately}}<{CASES},0," + "+".join(f"COUNTIF({keys},{{today}}-{days})" for keys in FELL_ILL) + ")"


# An illness goes round while three fell ill of it within a week and the last of them no longer ago than an illness is looked at.
_LOOKED_BACK = ILLNESS_FADES.days
LOOKED_OVER = _LOOKED_BACK + WITHIN_DAYS
_DAYS = range(LOOKED_OVER + 1)


def _fell_ill(ago: range) -> str:
    return "+".join(f"{{ago_{one}}}" for one in ago)


_WEEKS = (f"IF({{ago_{last}}}=0,FALSE,{_fell_ill(range(last, last + WITHIN_DAYS + 1))}>={CASES})"
          for last in range(_LOOKED_BACK + 1))

GOING_ROUND = LiveSheet("illness", (
    LiveColumn("today", f"{{k}}*{DAY}+INT(live_now)"),
    LiveColumn("lately", "+".join(
        f'COUNTIF({keys},"<="&{{today}})-COUNTIF({keys},"<"&{{today}}-{LOOKED_OVER})' for keys in FELL_ILL)),
    *(LiveColumn(f"ago_{ago}", _ago(ago)) for ago in _DAYS),
    LiveColumn("ill", f"IF(OR({','.join(_WEEKS)}),{_fell_ill(_DAYS)},0)"),
), rows=len(ILLNESSES))

