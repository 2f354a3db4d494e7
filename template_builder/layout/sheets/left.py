"""The sheet "Left" of a season that follows another: one row for each ewe that did not come back, with how and when."""

from template_builder.layout.columns import Column, Kind, Sheet

LEFT = Sheet(
    id="left",
    title="Left",
    one_row_for="a ewe that is no longer here",
    purpose="Ewes of earlier seasons that died, went or were decided to go. They are on no other sheet of this season.",
    own_columns=(
        Column("ewe", "Ewe", Kind.IDENTIFIER, "Her number, as she was called.", required=True),
        Column("official_tag", "Official tag", Kind.IDENTIFIER, "Her official number.", width=18),
        Column("also_known_as", "Also known as", Kind.IDENTIFIER, "An older number of hers.", width=13),
        Column("born_year", "Born year", Kind.IDENTIFIER, "The year she was born.", width=7),
        Column("season", "Season", Kind.IDENTIFIER, "Her last season.", width=8),
        Column("how", "Left how", Kind.TEXT, "What became of her, or what was decided.", width=16),
        Column("left_on", "When", Kind.TEXT, "The day she left, where it was written.", width=13),
        Column("why", "Why", Kind.TEXT, "Why she died, went or is to go.", width=46),
    ),
)
