"""Every setting of a season: its default, unit, why it is there, and where the default comes from."""

from dataclasses import dataclass, replace
from datetime import date, datetime

from template_builder.layout.choices import Choice, DateOrder, WeightUnit
from template_builder.layout.columns import Kind

SettingValue = str | int | float | date | datetime | Choice | None


@dataclass(frozen=True)
class Setting:
    """One row of the Season sheet. `default` None means there is none and the row may stay blank."""

    id: str
    title: str
    kind: Kind
    default: SettingValue
    unit: str
    why: str
    source: str
    least: float | None = None
    most: float | None = None
    choices: type[Choice] | None = None
    since: int = 1  # the layout version it came with
    once: str = ""  # what it was called in older layouts


FARM = "the farm's own"
PAST = "This season is compared with it, in lambs."
HOUSE = "house rule, change it to suit"
WHOM = "Stands on Tonight, for whoever has to call at night."
PRACTICE = "common practice, no source"
ASK = "common practice, ask your vet or adviser"
REVIEW = "NZ J Agric Res review 2019, by summary: twin 81 %, triplet 66 % of a 5.5 kg single"


def _days(id: str, title: str, default: float, why: str, source: str, most: float = 400) -> Setting:
    return Setting(id, title, Kind.NUMBER, default, "days", why, source, least=0, most=most)


def _before(id: str, title: str, default: float, why: str, source: str) -> Setting:
    """Days counted back from the first due day of a feeding group."""
    return Setting(id, title, Kind.WHOLE, default, "days", why, source, least=0, most=150, since=2)


def _kg(id: str, title: str, default: float, why: str, source: str, since: int = 1) -> Setting:
    return Setting(id, title, Kind.NUMBER, default, "kg", why, source, least=0.5, most=12, since=since)


def _weaning(id: str, title: str, default: float, why: str) -> Setting:
    return Setting(id, title, Kind.NUMBER, default, "kg", why, HOUSE, least=1, most=120, since=2)


def _per_cent(id: str, title: str, why: str, most: float = 100, since: int = 1) -> Setting:
    """A figure the farm writes in; blank is none."""
    return Setting(id, title, Kind.NUMBER, None, "%", why, FARM, least=0, most=most, since=since)


def _share(id: str, title: str, default: float, why: str, source: str) -> Setting:
    """What to have ready before lambing is reckoned with it."""
    return Setting(id, title, Kind.NUMBER, default, "%", why, source, least=0, most=100, since=2)


SETTINGS: tuple[Setting, ...] = (
    Setting("flock", "Flock name", Kind.TEXT, None, "", "Printed on every page.", FARM),
    Setting("year", "Lambing year", Kind.WHOLE, None, "year", "The year most ewes lamb in; completes dates written without one.",
            FARM, least=2000, most=2100),
    *(Setting(id, title, Kind.TEXT, None, "name, number", WHOM, FARM, since=2) for id, title in (
        ("vet", "Vet"), ("vet_at_night", "Vet out of hours"), ("farm", "Farm"), ("helper", "Helper"))),
    Setting("as_of", "As of", Kind.MOMENT, None, "date, time", "The moment the figures are for; blank is now.", FARM),
    Setting("date_order", "How dates are written", Kind.CHOICE, DateOrder.DMY, "", "How a date typed as text is read.",
            HOUSE, choices=DateOrder),
    Setting("weights_in", "Weights are in", Kind.CHOICE, WeightUnit.KG, "",
            "How a weight written without its unit is read on Lambs and Weights; weights on this sheet are in kg.", HOUSE,
            choices=WeightUnit, since=2),
    _days("gestation", "Gestation", 147, "Mating date plus this is the due date.",
          "Mean of common breeds 144 to 151; farm handbooks use 147", most=170),
    replace(_days("gestation_spread", "Days before or after the due day", 2,
                  "Of ewes mated on one day, two in three lamb within so many days of their due day.",
                  "About 2 % of gestation between ewes is published for mixed breeds; 2 days is a guess", most=10),
            once="Gestation spread (SD)"),
    _days("gestation_least", "Earliest lambing after mating", 138, "A lambing before this is queried.",
          "Single ewes 138 to 159 days, state handbook as quoted by others", most=170),
    _days("gestation_most", "Latest lambing after mating", 160, "A lambing after this is queried; later she is overdue.",
          "Single ewes 138 to 159 days, state handbook as quoted by others; one day allowed", most=180),
    _days("cycle", "Days between heats", 17, "How long one round of matings takes.", "16 to 17 days, Merck Veterinary Manual",
          most=25),
    Setting("conception", "Share in lamb per heat", Kind.NUMBER, 0.7, "share",
            "Of ewes that come to the ram at a heat, the share that hold.",
            "no source; published shares vary widely", least=0.05, most=1),
    Setting("pens", "Lambing pens", Kind.WHOLE, None, "pens", "Compared with the pens the forecast needs.", FARM, least=0,
            most=2000),
    _days("pen_days_1", "Days in a pen, single", 1, "Stay of a ewe with one lamb.", PRACTICE, most=20),
    _days("pen_days_2", "Days in a pen, twins", 2, "Stay of a ewe with two lambs.", PRACTICE, most=20),
    _days("pen_days_3", "Days in a pen, triplets or more", 3, "Stay of a ewe with three or more.", PRACTICE, most=20),
    Setting("next_look", "Next look after lambing", Kind.NUMBER, 24, "hours", "When each ewe and her lambs are looked at again.",
            PRACTICE, least=1, most=96),
    Setting("labour_look", "First look in labour", Kind.NUMBER, 1, "hours", "Waters seen and no lamb after this: go and see.",
            PRACTICE, least=0.25, most=24, since=2),
    Setting("long_labour", "Long labour", Kind.NUMBER, 2, "hours", "Waters seen and no lamb after this: look at her now.",
            PRACTICE, least=0.25, most=24),
    Setting("feeding_groups", "Feeding groups the farm can keep", Kind.WHOLE, 3, "groups",
            "Plan splits the ewes in lamb into so many, by scan and due day.", FARM, least=1, most=6, since=2),
    _before("mineral_check", "Before lambing: minerals and feed with the adviser", 56,
            "Feed is analysed and the ration talked over in time to buy.", ASK),
    _before("thin_look", "Before lambing: second look at thin ewes", 49,
            "Most growth of the lambs is still to come, and a thin ewe can be moved.",
            f"Most growth falls in the last 60 days, state agriculture page; the day is {PRACTICE}"),
    _before("booster", "Before lambing: booster", 35,
            "A booster protects the lambs through colostrum; the label and your vet decide whether, which and when.",
            "4 to 6 weeks in farm press and practice pages; the label and your vet decide"),
    _before("housing", "Before lambing: housing or moving", 28, "Ewes settle, and pens and lambing fields are got ready.", ASK),
    _before("helpers", "Before lambing: helpers turn in", 7, "Shifts, keys and telephone numbers are settled before the first "
            "ewe.", ASK),
    Setting("thin_below", "Thin in lamb: condition below", Kind.NUMBER, 2.5, "score", "Plan names thinner ewes, those with most "
            "lambs first.", "Cranston and others 2017, Anim Biosci 30(9), by abstract: aim for 2.5 to 3 in late pregnancy",
            least=0, most=5, since=2),
    Setting("fat_above", "Fat single: condition above", Kind.NUMBER, 3.5, "score", "Plan names fatter ewes that carry one lamb: "
            "it may be large.", ASK, least=0, most=5, since=2),
    _share("big_litter_alive", "Lambs of big litters born alive", 90,
           "How many lambs of litters of three and more will want another ewe or a bottle: those alive beyond two. Left blank, "
           "last season's own figure is taken where there is one.", HOUSE),
    Setting("target_ewes", "Ewes wanted next year", Kind.WHOLE, None, "ewes", "How many ewes the flock should have.", FARM,
            least=0, most=20000),
    _per_cent("target_loss", "Own target: total loss", "Scanned lamb to weaning, all losses."),
    _per_cent("target_reared", "Own target: lambs reared per 100 ewes", "Per 100 ewes to the ram.", 400),
    _per_cent("target_loss_triplets", "Own target: loss of live-born triplets", "Triplets or more, born alive and lost."),
    _per_cent("target_stillborn", "Own target: born dead", "Born dead, of all lambs born."),
    _per_cent("target_empty", "Own target: empty ewes", "Scanned empty, of all ewes scanned."),
    _per_cent("last_loss", "Last season: total loss", PAST),
    _per_cent("last_loss_singles", "Last season: loss of live-born singles", PAST),
    _per_cent("last_loss_twins", "Last season: loss of live-born twins", PAST),
    _per_cent("last_loss_triplets", "Last season: loss of live-born triplets", f"Triplets or more. {PAST}"),
    _per_cent("last_stillborn", "Last season: born dead", f"Of all lambs born. {PAST}"),
    _per_cent("last_empty", "Last season: empty ewes", f"Scanned empty, of all scanned. {PAST}"),
    _per_cent("last_reared", "Last season: lambs reared per 100 ewes", f"Per 100 ewes to the ram. {PAST}", 400),
    _days("early_age", "Early weighing, age", 60, "Early weights are brought to this age.",
          "Boggess and others 1991, J Anim Sci 69:3190: adequate at 60 days, 7 either way"),
    _days("weaning_age", "Weaning weighing, age", 90, "Weaning weights are brought to this age.",
          "Boggess and others 1991, J Anim Sci 69:3190: adequate at 90 days, 28 either way"),
    _kg("single_least", "Single, birth weight from", 3.0, "A lighter single is queried.", HOUSE),
    _kg("single_most", "Single, birth weight to", 7.5, "A heavier single is queried.", HOUSE),
    _kg("twin_least", "Twin, birth weight from", 2.0, "A lighter twin is queried.", HOUSE),
    _kg("twin_most", "Twin, birth weight to", 6.0, "A heavier twin is queried: 6 to 7 kg is large for a twin.", PRACTICE),
    _kg("triplet_least", "Triplet or more, birth weight from", 1.5, "A lighter one is queried.", HOUSE),
    _kg("triplet_most", "Triplet or more, birth weight to", 5.5, "A heavier one is queried.", HOUSE),
    _kg("small_lamb", "Small lamb of a big litter", 3.0, "A lighter lamb of three or more is looked at.", PRACTICE,
        since=2),
    _weaning("weaning_least", "Weaning weight from", 15, "If most weaning weights are lighter, they may be in another unit."),
    _weaning("weaning_most", "Weaning weight to", 50, "If most weaning weights are heavier, they may be in another unit."),
    _kg("single_constant", "Birth weight of a single not weighed", 5.5, "Stands in when a weight is brought to an age.", REVIEW),
    _kg("twin_constant", "Birth weight of a twin not weighed", 4.5, "Stands in when a weight is brought to an age.", REVIEW),
    _kg("triplet_constant", "Birth weight of a triplet not weighed", 3.6, "Stands in when a weight is brought to an age.",
        REVIEW),
    _share("small_litter_alive", "Lambs of singles and twins born alive", 95, "How many lambs, and so tags, there will be. Left "
           "blank, last season's lambs born dead are taken where that is written.",
           "4.7 % of lambs stillborn in Norway in 2010, Holmoy and Waage 2015"),
    _share("stored_colostrum", "Lambs that may want colostrum from the store", 5, "How much to have in the house: for this "
           "share of the first two lambs of every ewe, and for each lamb beyond two.", PRACTICE),
    _per_cent("last_big_alive", "Last season: lambs of big litters born alive", "Of lambs scanned in litters of three and "
              "more. Plan reckons with it until you write your own.", since=2),
    Setting("two_people", "A night for two people: ewes lambing from", Kind.WHOLE, 10, "ewes",
            "So many ewes lambing in a day and night are too many for one: the forecast names those nights.", PRACTICE,
            least=1, most=1000, since=2),
)

CALL = ("vet", "vet_at_night", "farm", "helper")  # whom to call
SETTING = {setting.id: setting for setting in SETTINGS}
