"""What farms are compared in: each figure once, what it counts, how far a season must be for it, and what makes it alike."""

from collections.abc import Mapping
from enum import Enum
from typing import NamedTuple

from workbook.results.litters.figures import ALIVE, EWES_LAMBED, HELP_KNOWN
from workbook.results.litters.gaps import SIZES
from workbook.results.litters.lamb_classes import AGE_CLASSES
from workbook.results.litters.to_ram import WORDS as TO_RAM


class Since(Enum):
    """How far a season has to be for a figure, and so which farms may stand side by side in it.

    What the scan found does not hang on how lambs are recorded or where ewes lamb; what was born hangs on where; what was
    lost later also on whether each lamb, each ewe or only a count tells it.
    """

    SCANNED = "scan"
    BORN = "birth"
    WEANED = "weaning"


class Measure(NamedTuple):
    """One figure. `counted` and `of` are what stands above and below the line; `loss` says that it has a funnel plot.

    `published` is a range met in print, as low, high and source; None where none was read that counts the same way, and then
    `instead` may say what is met beside print.
    """

    id: str
    title: str
    counted: str
    of: str
    since: Since
    loss: bool = False
    published: tuple[float, float, str] | None = None
    instead: str = ""


OF_SIZE: Mapping[str, str] = {f"loss_{id}": id for id in SIZES}  # each with the litter sizes it is of
AGES: Mapping[str, str] = {f"loss_age_{least}": label for least, label in reversed(AGE_CLASSES)}
FIRST_DAYS = "loss_first_days"
LOST = "died, missing or short at the last count"

MEASURES: tuple[Measure, ...] = (
    Measure("scanning_pct_ram", "Scanning %, per ewe to the ram", "lambs scanned", TO_RAM, Since.SCANNED),
    Measure("scanning_pct_scanned", "Scanning %, per ewe scanned", "lambs scanned", "ewes scanned", Since.SCANNED),
    Measure("litter_scanned", "Litter size scanned", "lambs scanned", "ewes scanned in lamb", Since.SCANNED),
    Measure("empty_pct", "Empty ewes", "ewes scanned empty", "ewes scanned", Since.SCANNED, loss=True, published=(
        5.0, 7.0, "ewes of two years and over, lowland Clun Forest flock 1955 to 1966")),
    Measure("ewes_lambed_pct", "Ewes lambed", EWES_LAMBED, TO_RAM, Since.BORN, published=(
        90.0, 100.0, "good to excellent, Oregon State University Extension")),
    Measure("lambing_pct", "Lambing %", "lambs born, alive or dead", TO_RAM, Since.BORN),
    Measure("litter_born", "Litter size born", "lambs born, alive or dead", EWES_LAMBED, Since.BORN, published=(
        1.55, 1.75, "ewes of two years and over, lowland Clun Forest flock 1955 to 1966")),
    Measure("aborted_pct", "Ewes that aborted", "ewes that aborted", "ewes scanned in lamb", Since.BORN, loss=True, published=(
        1.0, 5.0, "called usual, vetrepropath.com")),
    Measure("stillbirth_pct", "Born dead", "lambs born dead", "lambs born, alive or dead", Since.BORN, loss=True, published=(
        3.3, 4.7, "Norway 2000 to 2010, Holmoy and Waage 2015")),
    Measure("assisted_pct", "Ewes helped", "ewes that were helped", HELP_KNOWN, Since.BORN, instead=(
        "5 to 25 % are spoken of (no source); of lambs in research flocks 23 to 56 %, SRUC")),
    Measure("loss_live_born_pct", "Live-born lambs lost", f"lambs {LOST}", ALIVE, Since.WEANED, loss=True, published=(
        11.2, 13.8, "USDA NAHMS Sheep 2011 (6.3 % to marking and 4.9 % later); Griffiths and others 2019, NZ Vet J")),
    Measure(FIRST_DAYS, "Lost on the day of birth or the next", "lambs lost by the day after birth", ALIVE, Since.WEANED,
            loss=True),
    *(Measure(id, f"Live-born {name} lost", f"{name} that died or are missing", f"{name} born alive", Since.WEANED, loss=True)
      for id, name in ((id, SIZES[of][0]) for id, of in OF_SIZE.items())),
    *(Measure(id, f"Lambs lost, age of ewe: {label}", f"lambs that died or are missing, age of ewe: {label}",
              f"lambs born alive, age of ewe: {label}", Since.WEANED, loss=True) for id, label in AGES.items()),
    Measure("total_loss_pct", "Total loss, scan to weaning", "scanned lambs that were not born, lambs born dead or lost later",
            "lambs scanned, born beyond the scan, or of ewes without a scan", Since.WEANED, loss=True, instead=(
                "15 % is called good, 25 % poor (no source)")),
    Measure("pet_pct", "Pet lambs", "lambs put on the bottle", ALIVE, Since.WEANED),
    Measure("rearing_none_pct", "Ewes rearing none", "ewes that lambed and rear no lamb", EWES_LAMBED, Since.WEANED, loss=True),
    Measure("ewe_deaths_pct", "Ewe deaths", "ewes that died", TO_RAM, Since.WEANED, loss=True, published=(
        4.0, 5.0, "Hansard, 19 January 1994; USDA NAHMS Sheep 2011, farms with losses")),
    Measure("reared_pct", "Reared %", "home-born lambs here at weaning or sold alive", TO_RAM, Since.WEANED, published=(
        125.0, 140.0, "lambs reared per 100 ewes to the ram, Ireland, Teagasc National Farm Survey (second hand)")),
    Measure("kg_weaned_per_ewe", "Kilograms weaned per ewe", "kilograms of weaned lambs", TO_RAM, Since.WEANED),
)
MEASURE: Mapping[str, Measure] = {measure.id: measure for measure in MEASURES}
