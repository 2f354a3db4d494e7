"""Groups of ewes, and the two sheets with one fixed row for each setting or selection rule."""

from template_builder.layout.choices import Action, Compare, HowRecorded, Kept, OnOff, When, YesNo
from template_builder.layout.columns import Column, Kind, Sheet

GROUPS = Sheet(
    id="groups",
    title="Groups",
    one_row_for="a group of ewes",
    purpose="How many ewes went to which ram, and when. Figures per ewe to the ram rest on these numbers.",
    spare_rows=12,
    own_columns=(
        Column("group", "Group", Kind.IDENTIFIER, "A short name.", required=True, width=14, simple=True),
        Column("ewes_to_ram", "Ewes to the ram", Kind.WHOLE, "All ewes that went to the ram (tup), the empty and the sold too.",
               least=0, most=20000, unit="ewes", aliases=("ewes to the tup", "ewes mated"), simple=True),
        Column("ram_in", "Ram in", Kind.DATE, "The first day the ram was with them.", aliases=("tup in", "tups in", "rams in"),
               simple=True),
        Column("ram_out", "Ram out", Kind.DATE, "The last day the ram was with them.",
               aliases=("tup out", "tups out", "rams out"), simple=True),
        Column("ram_breed", "Ram breed", Kind.TEXT, "Breed of the ram.", width=14, aliases=("tup breed",)),
        Column("keep_daughters", "Daughters may be kept", Kind.CHOICE, "Whether ewe lambs of this ram may be kept.",
               choices=YesNo),
        Column("kept", "Indoors or outdoors", Kind.CHOICE, "Where they lamb.", choices=Kept),
        Column("how_recorded", "How recorded", Kind.CHOICE, "Each lamb, each ewe, or counts only.", choices=HowRecorded,
               width=13),
        Column("tally_ewes", "Ewes scanned", Kind.WHOLE, "For a group without ewe numbers: ewes scanned.", least=0,
               most=20000, unit="ewes", indoors=False),
        Column("tally_0", "Scanned empty", Kind.WHOLE, "Ewes scanned empty (dry, barren, open).", least=0, most=20000,
               unit="ewes", indoors=False, aliases=("scanned dry", "scanned barren", "scanned open")),
        Column("tally_1", "Scanned 1", Kind.WHOLE, "Ewes scanned with one.", least=0, most=20000, unit="ewes", indoors=False),
        Column("tally_2", "Scanned 2", Kind.WHOLE, "Ewes scanned with two.", least=0, most=20000, unit="ewes", indoors=False),
        Column("tally_3", "Scanned 3", Kind.WHOLE, "Ewes scanned with three.", least=0, most=20000, unit="ewes",
               indoors=False),
        Column("tally_4", "Scanned 4 or more", Kind.WHOLE, "Ewes scanned with four or more.", least=0, most=20000,
               unit="ewes", indoors=False),
        Column("turnout", "Turnout", Kind.DATE, "The day they went out.", simple=True),
        Column("marking", "Marking", Kind.DATE, "The day their lambs were marked (tailed).", aliases=("tailing", "docking"),
               simple=True),
        Column("weaning", "Weaning", Kind.DATE, "The day their lambs were weaned.", simple=True),
        Column("notes", "Notes", Kind.TEXT, "Anything else.", width=30, simple=True),
    ),
)

SEASON = Sheet(
    id="season",
    title="Season",
    one_row_for="a setting",
    purpose="What the program works with. A blank value means the default beside it.",
    fixed_rows=True,
    own_columns=(
        Column("setting", "Setting", Kind.TEXT, "What is set.", issued=True, width=30, simple=True),
        Column("value", "Value", Kind.SETTING, "Your own value; blank takes the default.", width=17, simple=True),
        Column("unit", "Unit", Kind.TEXT, "The unit it is counted in.", issued=True, width=14, simple=True),
        Column("default", "Default", Kind.SETTING, "What counts while Value is blank.", issued=True, width=10, simple=True),
        Column("why", "Why", Kind.TEXT, "What it does.", issued=True, width=54, simple=True),
        Column("source", "Source", Kind.TEXT, "Where the default comes from.", issued=True, width=44, simple=True),
    ),
)

POLICY = Sheet(
    id="policy",
    title="Policy",
    one_row_for="a selection rule",
    purpose="What makes a ewe leave or stay. Change a limit, an action, or switch a rule off; the defaults are a start.",
    fixed_rows=True,
    own_columns=(
        Column("rule", "Rule", Kind.TEXT, "The fault, in words.", issued=True, width=26, simple=True),
        Column("on", "On or off", Kind.CHOICE, "Off leaves the rule out.", choices=OnOff, width=8, simple=True),
        Column("evidence", "Evidence", Kind.TEXT, "The number the rule looks at.", issued=True, width=33, simple=True),
        Column("compare", "Compare", Kind.CHOICE, "At least or at most the limit.", choices=Compare, width=9, simple=True),
        Column("limit", "Limit", Kind.NUMBER, "The limit; for a score weight, its share.", width=8, simple=True),
        Column("unit", "Unit", Kind.TEXT, "The unit of the evidence.", issued=True, width=13, simple=True),
        Column("action", "Action", Kind.CHOICE, "What the rule asks for.", choices=Action, width=9, simple=True),
        Column("at_mating", "Action at the look before mating", Kind.CHOICE,
               "What the rule asks for when the look before mating says so.", choices=Action, width=13,
               since=2, simple=True),
        Column("when", "When", Kind.CHOICE, "At once, or only in two of her last three lambings.", choices=When, width=12,
               simple=True),
        Column("why", "Why", Kind.TEXT, "Why it matters.", issued=True, width=34, simple=True),
        Column("source", "Source", Kind.TEXT, "Where the rule comes from.", issued=True, width=27, simple=True),
    ),
)
