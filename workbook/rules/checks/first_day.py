"""The first day of a ewe and her lambs: cells on Lambing and Lambs that contradict each other."""

from collections.abc import Iterator

from template_builder.layout.choices import Belly, Colostrum, Help, NextDay, Sucked, TreatedFor
from template_builder.layout.words import shown
from workbook.rules.rule import Found, Severity, declare
from workbook.season.season import Season


@declare("C157", "sucked-without-colostrum", title="Colostrum says none, but a lamb sucked by itself", severity=Severity.WARNING,
         why="Ewes without milk are looked for at selection, and such a lamb needs colostrum from elsewhere.",
         source="house rule",
         uses=("lambing.colostrum", "lambs.sucked"), fix="Correct one of the two cells.")
def sucked_without_colostrum(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        row = ewe.lambing
        if row is None or row.held("colostrum") is not Colostrum.NONE:
            continue
        hers = (lamb for lamb in ewe.lambs if lamb.named and not lamb.set_on)
        alone = [lamb for lamb in hers if lamb.record.held("sucked") is Sucked.ALONE]
        if alone:
            names = ", ".join(lamb.name for lamb in alone)
            yield Found(row.at("colostrum"), f"ewe {ewe.name}: colostrum says none, but {names} sucked alone",
                        shown(Colostrum.NONE), tuple(lamb.record.at("sucked") for lamb in alone), ewe.name)


@declare("C158", "caesarean-without-treatment", title="A caesarean, but no treatment is written", severity=Severity.NOTE,
         why="An operation goes with medicines, and their withdrawal decides when she may go.",
         source="common practice, no source", uses=("lambing.help", "treatments.animal"),
         fix="Copy from the medicine book what she was given; ask your vet for the withdrawal.")
def caesarean_without_treatment(season: Season) -> Iterator[Found]:
    if not any(row["given_to"] is TreatedFor.EWE for row in season.rows("treatments")):
        return  # treatments of single ewes are not kept in this workbook
    for ewe in season.flock.ewes.values():
        if ewe.lambing and ewe.lambing["help"] is Help.CAESAREAN and not ewe.treatments:
            yield Found(ewe.lambing.at("help"), f"ewe {ewe.name} had a caesarean, but no treatment of hers is written",
                        shown(Help.CAESAREAN), (), ewe.name)


@declare("C162", "all-full-but-hollow", title="All lambs were full next day, but one was hollow", severity=Severity.WARNING,
         why="A hollow lamb on the next day is the first sign of too little milk; one of the two cells is a slip.",
         source="house rule", uses=("lambing.next_day", "lambs.belly"), fix="Correct one of the two cells.")
def all_full_but_hollow(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        row = ewe.lambing
        if row is None or row["next_day"] is not NextDay.ALL_FULL:
            continue
        for lamb in ewe.lambs:
            if lamb.named and not lamb.set_on and lamb.record["belly"] is Belly.HOLLOW:
                text = f"lamb {lamb.name} was hollow next day, but the check of ewe {ewe.name} says all full"
                yield Found(lamb.record.at("belly"), text, shown(Belly.HOLLOW), (row.at("next_day"),), lamb.name)
