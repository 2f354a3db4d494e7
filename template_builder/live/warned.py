"""Last year's warning of a ewe, in formulas: as `template_builder.layout.warning` has it."""

from template_builder.layout.warning import ANY_FAULT, ANY_WORDS, COUNTED, IN_WORDS


def warned(at: str, otherwise: str) -> str:
    """Last year's warning of the ewe in this row of Ewes, else what her history says, else these words."""
    def written(column: str) -> str:
        return f'TRIM(INDEX(ewes_{column},{at})&"")'

    words = [f'IF({written(column)}="","",", {before} "&{written(column)})' for column, before in IN_WORDS.items()]
    counted = [f'IF(N(INDEX(ewes_{column},{at}))>0,", {told}","")' for column, told in COUNTED.items()]
    past = "MID(" + "&".join([*words, *counted]) + ",3,250)"
    any_fault = f"OR({','.join(f'N(INDEX(ewes_{column},{at}))>0' for column in ANY_FAULT)})"
    return (f'IF({written("past_warning")}<>"",{written("past_warning")},IF({past}<>"",{past},'
            f'IF({any_fault},"{ANY_WORDS}","{otherwise}")))')
