"""Ewes: one row for each ewe on the scan list."""

from template_builder.layout.choices import EweLeft, FeedAs
from template_builder.layout.columns import Column, Kind, Sheet

# Her last lambings, the latest first: two of the last three decide whether a fault of hers counts.
_WHICH = ("last lambing", "lambing before that", "third last lambing")


def last_three(id: str) -> tuple[str, ...]:
    """The ids of the three columns of one kind, the latest lambing first."""
    return tuple(f"{id}_{number}" for number in range(1, len(_WHICH) + 1))


def _last_three(id: str, title: str, help: str) -> tuple[Column, ...]:
    """A column for each of her last three lambings, saying 1 or 0."""
    return tuple(
        Column(name, f"{title}, {which} (1 or 0)", Kind.WHOLE, help, least=0, most=1, width=13, outdoors=False, since=2,
               printed=id == "past_fault")
        for name, which in zip(last_three(id), _WHICH, strict=True))


FAULTS, POOR, YEARS = last_three("past_fault"), last_three("past_poor"), last_three("past_year")

EWES = Sheet(
    id="ewes",
    title="Ewes",
    one_row_for="a ewe",
    purpose="Who was scanned, with how many, and when she is due. Filled from the scan list; add bought ewes below.",
    spare_rows=20,
    own_columns=(
        Column("ewe", "Ewe", Kind.IDENTIFIER, "Her number or tag as you call her. Kept as text: 0412 stays 0412.",
               required=True, issued=True, printed=True, aliases=("ewe number", "ewe no"), simple=True),
        Column("scanned", "Scanned", Kind.WHOLE, "Lambs seen at scanning. 0 is empty (dry, barren, open), blank is not scanned.",
               least=0, most=8, unit="lambs", issued=True, printed=True, simple=True),
        Column("due", "Due", Kind.DATE, "When she should lamb: mating date, or first ram day, plus the days on Season.",
               issued=True, printed=True, simple=True),
        Column("group", "Group", Kind.IDENTIFIER, "The group she runs with, as named on Groups.",
               links_to="groups.group", width=12, aliases=("mob",), simple=True),
        Column("mark", "Mark", Kind.TEXT, "Spray mark put on at scanning.", printed=True, width=11,
               aliases=("spray mark",), simple=True),
        Column("breed", "Breed", Kind.TEXT, "Her breed or cross.", width=19),
        Column("born_year", "Born year", Kind.WHOLE, "The year she was born, four digits.", least=2005, most=2100),
        Column("lambings_before", "Lambings before", Kind.WHOLE, "How often she has lambed before this season; 0 is her first.",
               least=0, most=14, unit="lambings", width=10),
        Column("ram", "Ram", Kind.IDENTIFIER, "The ram (tup) she went to, where known.", aliases=("tup", "sire")),
        Column("mated_on", "Mated on", Kind.DATE, "The day she was mated (tupped), where seen.", outdoors=False,
               aliases=("tupped on", "mating date", "tupping date")),
        Column("scanned_on", "Scanned on", Kind.DATE, "The day she was scanned.", outdoors=False),
        Column("condition", "Condition at scanning (0 thin to 5 fat)", Kind.NUMBER, "Condition score, quarter points are fine.",
               least=0, most=5, outdoors=False, width=13, aliases=("condition score", "BCS")),
        Column("feed_as", "Feeding group", Kind.CHOICE,
               "Only where she is not to be fed as her scan says: on Plan she stands in this group, whatever her scan.",
               choices=FeedAs, outdoors=False, width=15, aliases=("feed as",), since=2),
        Column("official_tag", "Official tag", Kind.IDENTIFIER, "The official number, all digits. Kept as text.",
               width=18, outdoors=False),
        Column("also_known_as", "Also known as", Kind.IDENTIFIER, "An older number or tag she is still called by.",
               outdoors=False, width=13),
        Column("past_warning", "Last year's warning", Kind.TEXT, "What to look out for, in a few words.", printed=True,
               width=22, simple=True),
        Column("left_on", "Left on", Kind.DATE, "The day she died or went.", simple=True),
        Column("left_how", "Left how", Kind.CHOICE, "What became of her.", choices=EweLeft, simple=True),
        Column("left_why", "Left why", Kind.TEXT, "Why she died or went, in a few words.", width=18),
        Column("notes", "Notes", Kind.TEXT, "Anything else.", width=30, simple=True),
        Column("past_lambings", "Earlier lambings recorded", Kind.WHOLE,
               "How many of her lambings before this season the next columns speak of.", least=0, most=14, unit="lambings",
               width=12, outdoors=False),
        Column("past_born", "Earlier: lambs born", Kind.WHOLE, "Lambs she bore at those, alive and dead.", least=0, most=60,
               unit="lambs", width=10, outdoors=False, since=2),
        Column("past_reared", "Earlier: lambs reared", Kind.WHOLE, "Lambs she reared from those, set-on lambs among them.",
               least=0, most=60, unit="lambs", width=10, outdoors=False, since=2),
        *_last_three("past_fault", "Fault", "Whether there was any fault of hers: refused or lost lambs, no milk, narrow, "
                     "reared none. 1 yes, 0 no, blank not known."),
        *_last_three("past_poor", "Poor", "Whether she reared none of her live-born lambs, or her litter weighed a third or more "
                     "under those of like ewes. 1 yes, 0 no, blank not known."),
        Column("past_prolapse", "Earlier: prolapse", Kind.TEXT, "Which and in what year, such as vaginal 2025.", width=14,
               outdoors=False, since=2, printed=True),
        Column("past_udder", "Earlier: udder", Kind.TEXT, "What was wrong with udder or teats, and in what year.", width=14,
               outdoors=False, since=2, printed=True),
        Column("past_abortion", "Earlier: abortion", Kind.TEXT, "In what year she aborted, or may have.", width=12,
               outdoors=False, since=2, printed=True),
        Column("past_looks", "Earlier: last looks", Kind.TEXT, "What the last look at each part of her found, and when.",
               width=22, outdoors=False, since=2),
        Column("past_year_1", "Last year in one line", Kind.TEXT, "Scanned, born, reared, and what was against her.", width=30,
               outdoors=False, since=2),
        Column("past_year_2", "The year before that", Kind.TEXT, "The same, one year earlier.", width=30, outdoors=False,
               since=2),
        Column("past_year_3", "Three years back", Kind.TEXT, "The same, one year earlier again.", width=30, outdoors=False,
               since=2),
        # Of workbooks of the first layout, which said in how many lambings and not in which: still read, hidden at first.
        Column("past_refused", "Earlier: refused lambs", Kind.WHOLE, "In how many of her last two lambings she refused a lamb.",
               least=0, most=2, printed=True, width=12, indoors=False, outdoors=False),
        Column("past_lost", "Earlier: lost her lambs", Kind.WHOLE,
               "In how many of her last two lambings she reared none of the lambs she bore alive.", least=0, most=2,
               printed=True, width=12, indoors=False, outdoors=False),
        Column("past_faults", "Earlier lambings with a fault", Kind.WHOLE,
               "In how many of her last two lambings there was any fault of hers, where it is not written in which.",
               least=0, most=2, printed=True, width=13, indoors=False, outdoors=False),
        Column("past_litter_deviation", "Earlier: litter weight against like ewes (kg)", Kind.NUMBER,
               "Mean of her earlier seasons: kilograms her litter weighed above (or, with a minus, below) those of like ewes.",
               least=-60, most=60, unit="kg", width=14, outdoors=False),
        Column("past_litter_seasons", "Earlier: seasons of litter weight", Kind.WHOLE, "Of how many seasons that is the mean.",
               least=0, most=14, unit="seasons", width=13, outdoors=False),
    ),
)
