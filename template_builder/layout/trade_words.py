"""The words this workbook uses, beside others that shepherds use for the same thing."""

TRADE_WORDS: tuple[tuple[str, str], ...] = (
    ("ewe lamb", "gimmer lamb, chilver"),
    ("ram", "tup"),
    ("wether", "wedder, castrate"),
    ("mating", "tupping, service"),
    ("group", "mob, batch, heft"),
    ("empty", "dry, barren, open, geld, yeld, eild"),
    ("spray mark", "keel, raddle, paint mark"),
    ("lay wrong", "malpresented; head only is a hung lamb"),
    ("afterbirth", "cleansing"),
    ("prolapse", "bearing; of the womb: lamb bed out"),
    ("set on", "foster, graft, adopt, mother on"),
    ("pet on the bottle", "cade, orphan, poddy, bummer"),
    ("marking", "tailing, docking"),
    ("thin to fat", "body condition score, BCS"),
    ("draft", "cast for age, sold on to easier ground"),
    ("sleepy or down", "twin-lamb disease, staggers, milk fever"),
)
