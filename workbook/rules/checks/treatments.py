"""Treatments whose withdrawal is not written, or that were given to nobody known."""

from collections.abc import Iterator

from template_builder.layout.choices import TreatedFor
from template_builder.layout.words import shown
from workbook.rules.checks.numbers import Known
from workbook.rules.rule import BLANK, Found, Severity, declare
from workbook.season.matching import fold
from workbook.season.mating import groups
from workbook.season.row_names import row_name
from workbook.season.season import Season


@declare("C130", "withdrawal-blank", title="The meat withdrawal of a treatment is not known", severity=Severity.NOTE,
         why="Blank means not known: the animal must not go for meat until it is. The label, your vet and the law decide.",
         source="common practice, no source", uses=("treatments.withdrawal",),
         fix="Write the days as on the label or the prescription; 0 where it says none.")
def withdrawal_blank(season: Season) -> Iterator[Found]:
    for row in season.rows("treatments"):
        if row["withdrawal"] is None and row.filled("product", "date", "animal", "given_to"):
            product, given = row.text("product") or "this treatment", row.day("date")
            when = f" on {shown(given)}" if given else ""
            yield Found(row.at("withdrawal"), f"no meat withdrawal for {product}{when}: do not send the animal",
                        f"{product}{when}", row_name=row_name(row))


@declare("C140", "treated-animal-unknown", title="A treatment was given to a lamb or group nobody knows",
         severity=Severity.WARNING, why="Its withdrawal is shown for no animal.", source="house rule",
         uses=("treatments.given_to", "treatments.animal"),
         fix="Write the lamb's tag, the lamb as 1042-2, or the group as on Groups.")
def treated_animal_unknown(season: Season) -> Iterator[Found]:
    named = groups(season)
    group_names = Known.of(row.words("group") for row in named.values())
    lamb_names = Known.of(lamb.tag or lamb.name for lamb in season.flock.lambs)
    for row in season.rows("treatments"):
        given_to, animal = row["given_to"], row.text("animal")
        text = ""
        if given_to in (TreatedFor.EWE, TreatedFor.LAMB, TreatedFor.GROUP) and not row.filled("animal"):
            text = f"given to one {shown(given_to)}, but no {shown(given_to)} is written"
        elif animal and given_to is TreatedFor.GROUP and fold(animal) not in named:
            text = f"group {animal} is not on Groups{group_names.near(animal)}"
        elif animal and given_to is TreatedFor.LAMB and season.flock.lamb_called(animal) is None:
            text = f"{animal} is not a lamb on Lambs{lamb_names.near(animal)}"
        if text:
            yield Found(row.at("animal"), text, animal or BLANK, row_name=row_name(row))
