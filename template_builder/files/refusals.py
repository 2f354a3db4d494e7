"""What is refused, in words: the limits of a file, and the rest of a sentence that begins with its name."""

MEGABYTE = 1_000_000
MOST_BYTES = 300 * MEGABYTE  # all parts unpacked, and the file itself; 10,000 ewes take about 21 MB
MOST_BYTES_A_PART = 150 * MEGABYTE
MOST_PARTS = 5_000
MOST_SHOWN = 100  # characters of a stranger's name repeated in a sentence

PROGRAM = "a spreadsheet program"
SAVE_AS = f"open it in {PROGRAM}, save it as an Excel workbook (.xlsx), then run this again"
SEND_AGAIN = "ask for it to be sent again"
SAVE_AFRESH = f"ask the sender to open it in {PROGRAM}, save a fresh copy as .xlsx and send that"
DO_NOT_OPEN = "do not open it, and ask the sender what it is"

MISSING = "was not found: check the name and the folder"
FOLDER = "is a folder: give the name of the workbook inside it"
NOT_A_FILE = "is not an ordinary file: give the name of a workbook"
NOT_ALLOWED = "may not be read: close it wherever it is open, or ask its owner for access, then run this again"
UNREACHABLE = "could not be read ({reason}): copy it to this computer, then run this again"
LOCK_FILE = "is the lock file of an open workbook: save and close that workbook, then give its own name"
EMPTY = f"is an empty file: {SEND_AGAIN}"
PDF = "is a PDF, not a workbook: ask for the workbook it was made from"
PICTURE = "is a picture, not a workbook: ask for the workbook itself"
WEB_PAGE = f"is a web page, not a workbook: {SAVE_AS}"
XML_FILE = f"is an XML file, not a workbook: {SAVE_AS}"
TEXT = f"is a text file (a CSV, perhaps), not a workbook: {SAVE_AS}"
NO_WORKBOOK = f"is not a workbook: {SAVE_AS}"
PASSWORD = f"has a password: open it in {PROGRAM}, save a copy without the password, then run this again"
OLD_XLS = f"is an old .xls workbook: {SAVE_AS}"
BINARY_XLSB = f"is a binary workbook (.xlsb): {SAVE_AS}"
OPEN_DOCUMENT = f"is an OpenDocument spreadsheet (.ods): {SAVE_AS}"
OPEN_DOCUMENT_OTHER = "is an OpenDocument file but not a spreadsheet: ask for the workbook itself"
NUMBERS = "is an Apple Numbers spreadsheet: export it from Numbers to Excel (.xlsx), then run this again"
DOCUMENT = "is a text document, not a workbook: ask for the workbook itself"
SLIDES = "is a slide show, not a workbook: ask for the workbook itself"
PACKED = "is a zip folder with a workbook in it: take the workbook out, then give its name"
PLAIN_ZIP = "is a zip file without a workbook in it: ask for the workbook itself"
STRICT = (f"is saved as a Strict Open XML workbook: open it in {PROGRAM}, save it as an ordinary "
          "Excel workbook (.xlsx, without the word Strict), then run this again")
CUT_SHORT = f"has been cut short: {SEND_AGAIN}"
DAMAGED = f"was damaged on the way: {SEND_AGAIN}"
LOCKED_PART = "is a zip file with a password: ask for the workbook without a password"
UNKNOWN_PACKING = f"is packed in a way no workbook uses: {SAVE_AFRESH}"
TOO_LARGE = f"holds more than {MOST_BYTES // MEGABYTE} MB, far more than a season's records: {DO_NOT_OPEN}"
PART_TOO_LARGE = ("holds the part '{part}', which unpacks to more than "
                  f"{MOST_BYTES_A_PART // MEGABYTE} MB: {DO_NOT_OPEN}")
TOO_MANY_PARTS = f"holds more than {MOST_PARTS:,} parts, far more than a season's records: {DO_NOT_OPEN}"
UNSAFE_NAME = "holds a part with an unsafe name ('{part}'): " + SAVE_AFRESH
SAME_NAME = "holds the part '{part}' more than once: " + SAVE_AFRESH
DOCTYPE = "holds a document type declaration (DOCTYPE), which no workbook needs: " + DO_NOT_OPEN
WORKBOOK_LOST = f"has lost the list of its sheets: {SEND_AGAIN}"
NO_SHEETS = f"has no sheets in it: {SAVE_AFRESH}"
SHEET_LOST = "has lost its sheet '{sheet}', which is listed but not in the file: " + SEND_AGAIN
TEXTS_LOST = f"has lost the text of its cells (the shared strings): {SEND_AGAIN}"
SAME_SHEET = "has two sheets called '{sheet}': give one of them another name, save it, then run this again"

OPEN_ELSEWHERE = "is open in a spreadsheet program: what is not saved there is not read"
MACROS = "macros are present and were not run"
OUTSIDE_LINKS = "links to other workbooks are present and were not followed"


class Refused(Exception):
    """The sentence so far, without the file's name."""


def fit(text: str) -> str:
    """A stranger's name made fit for a sentence: no line breaks or control codes, and not endless."""
    plain = "".join(character if character.isprintable() else "?" for character in text)
    return plain if len(plain) <= MOST_SHOWN else plain[:MOST_SHOWN] + "…"
