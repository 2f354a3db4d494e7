"""What is written after lambing: weighings, counts, looks at a ewe, treatments, and problems answered."""

from template_builder.layout.choices import (
    CheckOccasion,
    Feet,
    Milk,
    Mouth,
    Reason,
    Stage,
    Teats,
    TreatedFor,
    Trouble,
    Udder,
    Weighed,
)
from template_builder.layout.columns import Column, Kind, Sheet
from template_builder.layout.sides import BOTH_SIDES
from template_builder.layout.weights import KG

WEIGHTS = Sheet(
    id="weights",
    title="Weights",
    one_row_for="a weighing",
    purpose="A row for each weighing. Birth weights are on Lambs.",
    spare_rows=600,
    own_columns=(
        Column("animal", "Animal", Kind.IDENTIFIER, "A lamb's tag, a lamb called 1042-2, or a ewe.", required=True,
               links_to="animals", width=14, printed=True),
        Column("date", "Date", Kind.DATE, "The day it was weighed.", required=True, printed=True),
        Column("kg", "Weight (kg)", Kind.NUMBER, "What the scales said.", least=1, most=150, unit=KG, scale=True,
               required=True, printed=True),
        Column("occasion", "Occasion", Kind.CHOICE, "Which weighing it was.", choices=Weighed, printed=True),
        Column("notes", "Notes", Kind.TEXT, "Anything else.", printed=True),
    ),
)

COUNTS = Sheet(
    id="counts",
    title="Counts",
    one_row_for="a count someone made",
    purpose="Heads counted through a gate. Where the book does not agree, the check says so.",
    spare_rows=40,
    own_columns=(
        Column("date", "Date", Kind.DATE, "The day of the count.", required=True, printed=True, simple=True),
        Column("group", "Group", Kind.IDENTIFIER, "The group counted, as named on Groups; blank is the whole flock.",
               links_to="groups.group", width=14, printed=True, simple=True),
        Column("stage", "Stage", Kind.CHOICE, "On which occasion.", choices=Stage, printed=True, simple=True),
        Column("lambs", "Lambs", Kind.WHOLE, "Lambs counted, alive and present. Lambs on the bottle stand apart: leave them out.",
               least=0, most=20000, unit="lambs",
               printed=True, simple=True),
        Column("ewes", "Ewes", Kind.WHOLE, "Ewes counted, alive and present.", least=0, most=20000, unit="ewes", printed=True,
               simple=True),
        Column("notes", "Notes", Kind.TEXT, "Anything else.", width=30, printed=True, simple=True),
    ),
)

EWE_CHECK = Sheet(
    id="ewe_check",
    title="Ewe check",
    one_row_for="a look at a ewe",
    purpose="Udder, teats, mouth, feet and condition on any day. The looks at weaning and before mating count most.",
    spare_rows=400,
    own_columns=(
        Column("ewe", "Ewe", Kind.IDENTIFIER, "Her number, as on Ewes.", required=True, links_to="ewes.ewe", printed=True,
               simple=True),
        Column("date", "Date", Kind.DATE, "The day you looked.", required=True, printed=True, simple=True),
        Column("occasion", "Occasion", Kind.CHOICE, "On which occasion.", choices=CheckOccasion, printed=True, width=13,
               simple=True),
        Column("milk", "Milk", Kind.CHOICE, "In milk, milked and lost, or dry.", choices=Milk, printed=True, width=13,
               simple=True),
        Column("lambs_at_foot", "Lambs at foot", Kind.WHOLE, "Lambs seen sucking her.", least=0, most=6, unit="lambs",
               printed=True, simple=True),
        Column("sides_in_milk", "Sides in milk", Kind.WHOLE, "2 both, 1 one side only, 0 none.", least=0, most=BOTH_SIDES,
               simple=True),
        Column("udder", "Udder", Kind.CHOICE, "Felt by hand, both sides.", choices=Udder, printed=True, simple=True),
        Column("teats", "Teats", Kind.CHOICE, "The worse of the two.", choices=Teats, printed=True, simple=True),
        Column("mouth", "Mouth", Kind.CHOICE, "Front teeth and jaw.", choices=Mouth, printed=True, simple=True),
        Column("feet", "Feet", Kind.CHOICE, "How she walks.", choices=Feet, printed=True, simple=True),
        Column("condition", "Condition (0 thin to 5 fat)", Kind.NUMBER, "Condition score.", least=0, most=5, printed=True,
               width=11, aliases=("condition score", "BCS"), simple=True),
        Column("trouble", "Trouble", Kind.CHOICE, "The main trouble, if any.", choices=Trouble, printed=True, width=13,
               simple=True),
        Column("notes", "Notes", Kind.TEXT, "Anything else.", width=26, printed=True, simple=True),
    ),
)

TREATMENTS = Sheet(
    id="treatments",
    title="Treatments",
    one_row_for="a treatment",
    purpose="What was given to whom, as the vet prescribed. It does not replace the medicine book the law asks for.",
    spare_rows=150,
    own_columns=(
        Column("date", "Date", Kind.DATE, "The day it was given.", required=True),
        Column("given_to", "For", Kind.CHOICE, "One animal, a group, or all.", choices=TreatedFor, required=True,
               aliases=("given to",)),
        Column("animal", "Animal or group", Kind.IDENTIFIER, "Which ewe, lamb (tag or 1042-2) or group.", width=16),
        Column("product", "Product", Kind.TEXT, "What was given.", width=18),
        Column("batch", "Batch", Kind.IDENTIFIER, "Batch number on the pack.", width=12),
        Column("amount", "Amount", Kind.TEXT, "As the vet prescribed.", width=14),
        Column("reason", "Reason", Kind.CHOICE, "What it was given for.", choices=Reason, width=15),
        Column("withdrawal", "Meat withdrawal (days)", Kind.WHOLE,
               "As on the label or the prescription. Blank means not known: do not send the animal.", least=0, most=365,
               unit="days", width=11.5, aliases=("meat withdrawal days", "withdrawal days")),
        Column("given_by", "Given by", Kind.TEXT, "Who gave it.", width=12),
        Column("notes", "Notes", Kind.TEXT, "Anything else."),
    ),
)

ANSWERS = Sheet(
    id="answers",
    title="Answers",
    one_row_for="a problem answered",
    purpose="A problem you looked into that is right as written. It stays answered until the value changes.",
    spare_rows=60,
    own_columns=(
        Column("rule", "Rule", Kind.IDENTIFIER, "The rule's number as printed with the problem, such as C105.", simple=True),
        Column("sheet", "Sheet", Kind.TEXT, "The sheet the problem names.", width=12, simple=True),
        Column("row_name", "About", Kind.IDENTIFIER, "The ewe, or the lamb as 1042-2, the problem is about.", width=14,
               aliases=("Row",), simple=True),
        Column("value", "Value", Kind.IDENTIFIER, "The value found, as printed.", width=16, simple=True),
        Column("answer", "Answer", Kind.TEXT, "Right as written, and why.", width=30, simple=True),
        Column("answered_by", "Answered by", Kind.TEXT, "Who looked into it.", width=14, simple=True),
    ),
)
