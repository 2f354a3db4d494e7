"""The parts of a workbook in its zip: which one lists the sheets, which is each sheet's, and what else the zip may be."""

import posixpath
import re
import zipfile
from collections.abc import Mapping
from typing import NamedTuple

from template_builder.files import refusals
from template_builder.files.parsed import MAIN, TRUE, Attributes, parse
from template_builder.files.refusals import Refused, fit
from template_builder.files.zipped import Parts, unpacked

ZIP_KINDS = (
    (refusals.NUMBERS, re.compile(r"\.iwa$", re.I)),
    (refusals.DOCUMENT, re.compile(r"^word/")),
    (refusals.SLIDES, re.compile(r"^ppt/")),
    (refusals.PACKED, re.compile(r"\.xls[xm]$", re.I)),
)
ODS_TYPE = b"application/vnd.oasis.opendocument.spreadsheet"
ODF_TYPE = b"application/vnd.oasis.opendocument."

CONTENT_TYPES = "[Content_Types].xml"
USUAL_WORKBOOK = "xl/workbook.xml"
BINARY_WORKBOOK = "xl/workbook.bin"
SHEET_LINK = "http://schemas.openxmlformats.org/officeDocument/2006/relationships id"
STRICT_START = "http://purl.oclc.org/ooxml/"
WORKBOOK_TYPES = (  # in the order in which openpyxl looks for them, so that both read the same part
    "application/vnd.ms-excel.template.macroEnabled.main+xml",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.template.main+xml",
    "application/vnd.ms-excel.sheet.macroEnabled.main+xml",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml",
)
BINARY_TYPE = "application/vnd.ms-excel.sheet.binary.macroEnabled.main"
TEXTS_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
STYLES_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"
STATES = ("visible", "hidden", "veryHidden")


class Contents(NamedTuple):
    """The parts that are no sheets and are read."""

    workbook: str  # the part that lists the sheets
    texts: str | None  # the part that holds the text of cells
    styles: str | None


class Tabs(NamedTuple):
    """The sheets in the order of their tabs."""

    links: Mapping[str, str]  # sheet name -> its id in the list of links to parts
    date1904: bool


def contents_of(archive: zipfile.ZipFile, parts: Parts) -> Contents:
    """Find the workbook in the zip by the list of its contents, or say what else the zip is."""
    if CONTENT_TYPES not in parts or not any(name.startswith("xl/") for name in parts):
        raise Refused(_other_zip(archive, parts))
    overrides: dict[str, str] = {}
    defaults: set[str] = set()

    def start(name: str, attributes: Attributes) -> None:
        kind = attributes.get("ContentType", "")
        if name.endswith(" Override"):
            overrides.setdefault(kind, attributes.get("PartName", "")[1:])
        elif name.endswith(" Default"):
            defaults.add(kind)

    parse(unpacked(archive, parts[CONTENT_TYPES]), start)
    usual = USUAL_WORKBOOK if defaults.intersection(WORKBOOK_TYPES) else ""
    workbook = next((overrides[kind] for kind in WORKBOOK_TYPES if kind in overrides), usual)
    if workbook not in parts and (BINARY_TYPE in overrides or (BINARY_TYPE in defaults and BINARY_WORKBOOK in parts)):
        raise Refused(refusals.BINARY_XLSB)
    if workbook not in parts:
        raise Refused(refusals.WORKBOOK_LOST)
    texts = overrides.get(TEXTS_TYPE)
    if texts is not None and texts not in parts:
        raise Refused(refusals.TEXTS_LOST)
    styles = overrides.get(STYLES_TYPE)
    return Contents(workbook, texts, styles if styles in parts else None)


def _other_zip(archive: zipfile.ZipFile, parts: Parts) -> str:
    """Say what a zip is that holds no workbook."""
    if "mimetype" in parts:
        kind = unpacked(archive, parts["mimetype"])
        if kind.startswith(ODF_TYPE):
            return refusals.OPEN_DOCUMENT if kind.startswith(ODS_TYPE) else refusals.OPEN_DOCUMENT_OTHER
    for reason, belongs in ZIP_KINDS:
        if any(belongs.search(name) for name in parts):
            return reason
    return refusals.PLAIN_ZIP


def tabs_of(data: bytes) -> Tabs:
    """Read the list of sheets, in the order of their tabs."""
    links: dict[str, str] = {}
    states: set[str] = set()
    folded: set[str] = set()
    from_1904 = False

    def start(name: str, attributes: Attributes) -> None:
        nonlocal from_1904
        if name.startswith(STRICT_START):
            raise Refused(refusals.STRICT)
        if name == f"{MAIN} workbookPr":
            from_1904 = attributes.get("date1904") in TRUE
        if name == f"{MAIN} sheet":
            sheet = attributes.get("name", "")
            if sheet.casefold() in folded:
                raise Refused(refusals.SAME_SHEET.format(sheet=fit(sheet)))
            folded.add(sheet.casefold())
            links[sheet] = attributes.get(SHEET_LINK, "")
            states.add(attributes.get("state", STATES[0]))

    parse(data, start)
    if not links:
        raise Refused(refusals.NO_SHEETS)
    if not states.issubset(STATES):
        raise Refused(refusals.DAMAGED)
    return Tabs(links, from_1904)


def sheet_parts_of(archive: zipfile.ZipFile, parts: Parts, workbook: str, tabs: Tabs) -> dict[str, str]:
    """Follow each sheet's link to its part; openpyxl would drop a sheet without a part and say nothing."""
    folder, name = posixpath.split(workbook)
    links = posixpath.join(folder, "_rels", f"{name}.rels")
    targets: dict[str, str] = {}

    def start(name: str, attributes: Attributes) -> None:
        if name.endswith(" Relationship") and attributes.get("TargetMode") != "External":
            target = posixpath.join("/", folder, attributes.get("Target", ""))
            targets[attributes.get("Id", "")] = posixpath.normpath(target)[1:]

    if links in parts:
        parse(unpacked(archive, parts[links]), start)
    found = {sheet: targets.get(link, "") for sheet, link in tabs.links.items()}
    for sheet, part in found.items():
        if part not in parts:
            raise Refused(refusals.SHEET_LOST.format(sheet=fit(sheet)))
    if len(found) > len(set(found.values())):
        raise Refused(refusals.DAMAGED)
    return found
