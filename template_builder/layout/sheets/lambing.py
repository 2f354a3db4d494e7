"""Lambing: one row for each ewe that lambs."""

from template_builder.layout.choices import Colostrum, Help, LambingTrouble, NextDay, Prolapse, Teats, WhyHelped, YesNo
from template_builder.layout.columns import LINE, Column, Kind, Sheet
from template_builder.layout.sides import BOTH_SIDES

# Where any of these is filled a ewe has lambed: for records, for live formulas and for paper alike.
LAMBED = ("lambed_on", "finished", "born_alive", "born_dead", "all_well", "next_day", "afterbirth")
# Where any of these is filled she has lambed, so the day is asked for. Pen, notes, waters seen or a prolapse do not say so.
AFTER_LAMBING = (
    "all_well", "born_alive", "born_dead", "help", "why_helped", "mothering", "colostrum", "afterbirth", "finished", "next_day",
    "sides_next_day", "turned_out_on",
)

LAMBING = Sheet(
    id="lambing",
    title="Lambing",
    one_row_for="a ewe lambing",
    purpose="What happened to each ewe at lambing and on the next day. One row for each ewe.",
    spare_rows=30,
    own_columns=(
        Column("ewe", "Ewe", Kind.IDENTIFIER, "Her number, as on Ewes.", required=True, issued=True, printed=True,
               links_to="ewes.ewe", simple=True),
        Column("scanned", "Scanned", Kind.WHOLE, "As on Ewes when this row was laid ready.", least=0, most=8, unit="lambs",
               issued=True, printed=True, day_book=False),
        Column("due", "Due", Kind.DATE, "As on Ewes when this row was laid ready.", issued=True, printed=True,
               day_book=False),
        Column("lambed_on", "Lambed on", Kind.DATE, "The day she lambed; a time beside it, as in 15/3 3am, is taken as finished.",
               printed=True, clock_to="finished", simple=True),
        Column("all_well", "All well", Kind.CHOICE,
               "Yes means no help, both sides in milk, teats sound, no prolapse, afterbirth passed, lambs taken "
               "and sucking, normal presentation. Any filled cell overrides it.", choices=YesNo, printed=True,
               width=8),
        Column("born_alive", "Born alive", Kind.WHOLE, "Lambs that breathed. May stay blank where Lambs has a row for each.",
               least=0, most=8, unit="lambs", width=8, printed=True, simple=True),
        Column("born_dead", "Born dead", Kind.WHOLE, "Lambs born dead, fresh or decayed; not mummified or aborted.",
               least=0, most=8, unit="lambs", width=8, printed=True, simple=True),
        Column("trouble", "Trouble", Kind.CHOICE, "One word, for those who write no more than that. It says what the columns of "
               "its own would (help, prolapse, colostrum ...); what is filled there stands before it.", choices=LambingTrouble,
               indoors=False, outdoors=False, since=2, printed=True, simple=True),
        Column("pen", "Pen", Kind.IDENTIFIER, "The pen she stands in.", outdoors=False, width=8, printed=True, simple=True),
        Column("next_day", "Check next day", Kind.CHOICE, "What the next day's look found.", choices=NextDay, printed=True),
        Column("sides_next_day", "Sides in milk next day", Kind.WHOLE, "2 both, 1 one side only, 0 none.", least=0,
               most=BOTH_SIDES, outdoors=False),
        Column("help", "Help given", Kind.CHOICE, "The most help any of her lambs needed.", choices=Help, printed=True,
               aliases=("assistance", "assisted")),
        Column("why_helped", "Why helped", Kind.CHOICE, "Why help was needed.", choices=WhyHelped, printed=True, width=13),
        Column("mothering", "Mothering (1 poor, 5 good)", Kind.WHOLE,
               "How she behaves while her lambs are handled on the first day. 1 leaves or butts them, 5 stays close. "
               "The five steps are on Guide.", least=1, most=5, width=11),
        Column("colostrum", "Colostrum", Kind.CHOICE, "How much there was.", choices=Colostrum),
        Column("sides_in_milk", "Sides in milk", Kind.WHOLE, "2 both, 1 one side only, 0 none.", least=0, most=BOTH_SIDES,
               printed=True),
        Column("teats", "Teats", Kind.CHOICE, "The worse of the two.", choices=Teats, printed=True),
        Column("prolapse", "Prolapse", Kind.CHOICE, "Before or after lambing (bearing, lamb bed). Call your vet.",
               choices=Prolapse),
        Column("afterbirth", "Afterbirth passed", Kind.CHOICE, "Whether the afterbirth (cleansing) has come away.", choices=YesNo,
               width=12, outdoors=False, aliases=("cleansed", "cleansing passed")),
        Column("condition", "Condition (0 thin to 5 fat)", Kind.NUMBER, "Condition score at lambing.", least=0, most=5,
               outdoors=False, width=11, aliases=("condition score", "BCS")),
        Column("turned_out_on", "Turned out on", Kind.DATE, "The day she and her lambs went out."),
        Column("turned_out_to", "Turned out to", Kind.IDENTIFIER, "The group she went out with, as named on Groups.",
               links_to="groups.group", width=12),
        Column("notes", "Notes", Kind.TEXT, "Anything else.", printed=True, width=44, simple=True),
        Column("recorded_by", "Recorded by", Kind.TEXT, "Who wrote this row.", width=11, outdoors=False),
        Column("waters_seen", "Waters seen", Kind.MOMENT, "Date and time; a time alone is taken on the lambing day.",
               outdoors=False),
        Column("first_helped", "First helped", Kind.MOMENT, "When help began.", outdoors=False),
        Column("finished", "Finished", Kind.MOMENT, "When the last lamb was born.", outdoors=False),
        LINE,
    ),
)
