"""Cells as people fill them in, and files as programs store them: each reads right or gives one problem with what to do."""

from datetime import date, datetime, time
from pathlib import Path

from openpyxl.utils.datetime import CALENDAR_MAC_1904
from openpyxl.workbook import Workbook

from damage.case import Case, OnFile, edited, new_row, part_of, put
from damage.ways import Dated, Error, Formula, by_openpyxl, made, raw, typed
from template_builder.layout.choices import DateOrder, YesNo
from template_builder.layout.columns import NOT_KNOWN
from template_builder.layout.settings import SETTINGS
from template_builder.layout.whole import FIRST_ROW, LAYOUT_VERSION

NBSP, UNSEEN = "\N{NO-BREAK SPACE}", "\N{ZERO WIDTH SPACE}"
LAMBED = date(2026, 3, 29)  # of ewe 0412, in Lambing!D4
WATERS = datetime(2026, 3, 29, 2, 30)


def weight(name: str, value: object, said: str = "", reads: object = NOT_KNOWN) -> Case:
    """Something typed as the birth weight of lamb 0412-1, which was 4.4 kg."""
    return Case(f"birth weight: {name}", typed(("Lambs!F4", value)), (f"{said} Lambs!F4",) if said else (),
                (put("lambs", "0412-1", birth_weight=reads),))


def lambed(name: str, value: object, said: tuple[str, ...] = ("R111",), reads: object = LAMBED) -> Case:
    """Something typed as the lambing date of ewe 0412, 29 March."""
    return Case(f"date: {name}", typed(("Lambing!D4", value)), tuple(f"{one} Lambing!D4" for one in said),
                (put("lambing", "0412", lambed_on=reads),))


def waters(name: str, value: object, said: str = "", reads: object = WATERS) -> Case:
    """Something typed as the time waters were seen at ewe 0412."""
    return Case(f"time: {name}", typed(("Lambing!Y4", value)), (f"{said} Lambing!Y4",) if said else (),
                (put("lambing", "0412", waters_seen=reads),))


def well(name: str, value: object, reads: object, said: str = "") -> Case:
    return Case(f"yes or no: {name}", typed(("Lambing!E4", value)), (f"{said} Lambing!E4",) if said else (),
                (put("lambing", "0412", all_well=reads),))


def weighed(name: str, value: object, reads: object, said: tuple[str, ...] = ()) -> Case:
    """Something typed as the tag of the lamb weighed first, 7001."""
    return Case(f"tag: {name}", typed(("Weights!A4", value)), tuple(f"{one} Weights!A4" for one in said),
                (put("weights", "7001", animal=reads),))


def ewe(name: str, value: object, reads: object, said: tuple[str, ...] = ()) -> Case:
    """Something typed as the ewe looked at on Ewe check, meant for 0412."""
    done = typed(("Ewe check!A5", value), ("Ewe check!B5", Dated(46_174, "B4")))
    return Case(f"ewe: {name}", done, tuple(f"{one} Ewe check!A5" for one in said),
                (new_row("ewe_check", ewe=reads, date=date(2026, 6, 1)),))


NUMBERS = (
    weight("decimal comma", "4,5", "R110", 4.5), weight("unit", "4.5kg", "R110", 4.5),
    weight("comma and unit", "4,5 kg", "R110", 4.5), weight("too large, with unit", "65 kg", "R105", 65.0),
    weight("about", "~60", "R101"), weight("a sum in words", "2+1", "R101"), weight("thousands or a comma", "1,250", "R101"),
    weight("a date instead", Dated(46_174, "Q12"), "R101"), weight("yes", True, "R101"), weight("a share", 0.5, "R105", 0.5),
    weight("not known", " ? "), weight("only spaces", f"  {NBSP}", "", None), weight("an error", Error("#N/A"), "R108"),
    weight("a formula", Formula("=2.2*2|4.4"), "R109", 4.4), weight("no number stored", "1e999", "R101"),
    weight("minus", -4.4, "R105", -4.4),
)
# Settings stand in their order from the first row of data on.
ORDER_CELL = f"Season!B{FIRST_ROW + [setting.id for setting in SETTINGS].index('date_order')}"
DATES = (
    lambed("12/3 with slashes", "29/3"), lambed("dots and two digits", "29.03.26"), lambed("dashes", "29-3-2026"),
    lambed("year first", "2026-03-29"), lambed("month in words", "29 March"), lambed("month first in words", "March 29th"),
    Case("date: with a time", typed(("Lambing!D4", "29/03/2026 02:30")), ("R111 Lambing!D4", "R132 Lambing!D4"),
         (put("lambing", "0412", lambed_on=LAMBED, finished=datetime(2026, 3, 29, 2, 30)),)),
    lambed("with spaces of all kinds", f" 29{NBSP}Mar  2026{UNSEEN}"),
    lambed("no such day", "31/2", ("R103",), NOT_KNOWN), lambed("words", "last Sunday", ("R103",), NOT_KNOWN),
    lambed("a number of days", 4.5, ("R103",), NOT_KNOWN), lambed("a tag", 826012345600012, ("R103",), NOT_KNOWN),
    Case("date: 4/3 settled by Season, which says month first", typed((ORDER_CELL, "month first"), ("Lambs!Q12", "4/3/2026")),
         ("R111 Lambs!Q12",), (put("season", "How dates are written", value=DateOrder.MDY),)),
    Case("date: 3/4 settled by Season, which says day first", typed((ORDER_CELL, "day first"), ("Lambs!Q12", "3/4/2026")),
         ("R111 Lambs!Q12",), (put("season", "How dates are written", value=DateOrder.DMY),)),
    Case("date: 3/4 settled by nothing", typed(("Lambs!Q12", "3/4/2026")), ("R131 Lambs!Q12",)),
    Case("date: day and month taken for each other by the program", typed(("Weights!B4", datetime(2026, 12, 6))),
         ("C112 Weights!B4",), (put("weights", "7001", date=date(2026, 12, 6)),)),
)
TIMES = (
    waters("alone", "02:30", "", time(2, 30)), waters("with a dot", "2.30", "", time(2, 30)),
    waters("half past two in the afternoon", "2.30 pm", "", time(14, 30)), waters("a clock hour", "2pm", "", time(14)),
    waters("day and time", "29/3 2:30", "R111"), waters("day and time of a computer", "2026-03-29T02:30", "R111"),
    waters("a day or a time", "12.03", "R103", NOT_KNOWN), waters("no such time", "25:00", "R103", NOT_KNOWN),
    waters("a time in a cell for times", 0.5, "", time(12)),
)
YES_NO = tuple(
    well(name, value, reads, said) for name, value, reads, said in (
        ("Y", "Y", YesNo.YES, ""), ("YES and a space", f"YES{NBSP}", YesNo.YES, ""), ("TRUE", True, YesNo.YES, ""),
        ("1", 1, YesNo.YES, ""), ("x", "x", YesNo.YES, ""), ("n", "n", YesNo.NO, ""), ("FALSE", False, YesNo.NO, ""),
        ("0", 0, YesNo.NO, ""), ("No", "No", YesNo.NO, ""), ("perhaps", "perhaps", NOT_KNOWN, "R104"),
    )
)
TAGS = (
    weighed("as a number", 7001, "7001"), weighed("with spaces", f" 7001{NBSP}", "7001"),
    weighed("with an apostrophe before it", "'7001", "7001"), weighed("in smart quotes", "“7001”", "7001"),
    weighed("ewe and number", "0412-1", "0412-1"), weighed("with a slash", "0412/1", "0412/1"),
    weighed("shortened by the spreadsheet", "8.26012E+14", NOT_KNOWN, ("R106",)),
    weighed("digits gone", 826012000000000, NOT_KNOWN, ("R106",)),
    weighed("more digits than a number holds", 8260123456000123, NOT_KNOWN, ("R106",)),
    weighed("a date made of it", Dated(46_174, "B4"), NOT_KNOWN, ("R107",)), weighed("unknown", "7999", "7999", ("C123",)),
    ewe("without its zero", 412, "412", ("C108",)), ewe("the official tag as a number", 826012345600412, "826012345600412"),
    ewe("the official tag as a reader shows it", "0826012345600412", "0826012345600412"),
    ewe("the official tag as printed", "UK 0123456 00412", "UK 0123456 00412"),
    ewe("the official tag without its zero", "UK 123456 00412", "UK 123456 00412"),
    ewe("the official tag as one word", "uk012345600412", "uk012345600412"), ewe("unknown", "9999", "9999", ("C105",)),
)


def _retyped(book: Workbook) -> None:
    book["Lambs"]["F4"] = 4.5


def _formula(book: Workbook) -> None:
    book["Lambs"]["F4"] = "=2.2*2"


def _sums(book: Workbook) -> None:
    book["Lambs"]["F90"] = "=SUM(F4:F14)"


def _in_per_cent(book: Workbook) -> None:
    """A target, a share and a weight typed with a per cent sign: the program stores a hundredth and shows per cent."""
    settings = {row[0].value: row[1] for row in book["Season"].iter_rows(min_row=4)}
    for cell, stored in ((settings["Own target: total loss"], 0.12), (settings["Share in lamb per heat"], 0.65),
                         (book["Lambs"]["F4"], 0.045)):
        cell.value, cell.number_format = stored, "0.0%"


def _from_1904(book: Workbook) -> None:
    book.epoch = CALENDAR_MAC_1904


def _layout(version: int) -> OnFile:
    return raw("_meta", lambda sheet: sheet.replace(f"<v>{LAYOUT_VERSION}</v>", f"<v>{version}</v>", 1))


MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
STRICT = "http://purl.oclc.org/ooxml/spreadsheetml/main"


def _without_lambs(source: Path, target: Path) -> None:
    edited(source, target, {part_of(source, "Lambs"): None})


FILES = (
    Case("saved by openpyxl", by_openpyxl(_retyped), (), (put("lambs", "0412-1", birth_weight=4.5),)),
    Case("numbers typed in per cent", by_openpyxl(_in_per_cent), ("R101 Lambs!F4",),
         (put("season", "Own target: total loss", value=12.0), put("season", "Share in lamb per heat", value=0.65),
          put("lambs", "0412-1", birth_weight=NOT_KNOWN))),
    Case("a formula whose value was never computed", by_openpyxl(_formula), ("R108 Lambs!F4",),
         (put("lambs", "0412-1", birth_weight=NOT_KNOWN),)),
    Case("a totals row whose sums were never computed", by_openpyxl(_sums), ("R119 Lambs!90:90",)),
    Case("dates counted from 1904 from the start", by_openpyxl(_from_1904)),
    Case("an older layout", _layout(1), said=("R127 Tonight",)),
    Case("a newer layout", _layout(99), refused="was built by a newer version of this program"),
    Case("a line break from another program", typed(("Lambs!W4", "quiet_x000D_")), (), ()),
    Case("text that looks like a formula", typed(("Lambs!W4", "=1+1")), (), (put("lambs", "0412-1", notes="=1+1"),)),
    Case("a heading with a non-breaking space", typed(("Lambs!E3", f"Lamb{NBSP}tag "))),
    Case("a sheet whose part is missing", OnFile(_without_lambs),
         refused="has lost its sheet 'Lambs'"),
    Case("a password", made(lambda _: bytes.fromhex("d0cf11e0a1b11ae1") + bytes(504) + "EncryptedPackage".encode("utf-16-le")),
         refused="has a password"),
    Case("Strict Open XML", raw("xl/workbook.xml", lambda text: text.replace(MAIN, STRICT)),
         refused="is saved as a Strict Open XML workbook"),
    Case("cut short", made(lambda data: data[: len(data) // 2]), refused="has been cut short"),
    Case("the last bytes missing", made(lambda data: data[:-40]), refused="has been cut short"),
    Case("empty", made(lambda _: b""), refused="is an empty file"),
    Case("a web page", made(lambda _: b"<!DOCTYPE html><html><table></table></html>"), refused="is a web page"),
)


CONTENTS: tuple[Case, ...] = (*NUMBERS, *DATES, *TIMES, *YES_NO, *TAGS, *FILES)
