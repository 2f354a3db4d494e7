"""A message draft with a workbook attached, as any mail program opens it: whom it goes to is left to the person."""

from collections.abc import Sequence
from email.message import EmailMessage
from email.policy import SMTP

_EXCEL = ("application", "vnd.openxmlformats-officedocument.spreadsheetml.sheet")


def letter(name: str, flock: str, moment: str, kept: Sequence[str], figures: str) -> str:
    """The words of the message: what is attached, what its names are, what it comes to, and what to do with it."""
    left = f" Left as written: {', '.join(word.replace('-', ' ') for word in kept)}." if kept else ""
    return "\n\n".join([
        "Hello,",
        f"attached is {name}, the lambing season workbook of {flock} as of {moment}. It opens in any spreadsheet program.",
        f"Names in it are replaced, and who is who stays on the farm.{left}",
        f"What the records in it come to:\n{figures}",
        f"For the summary: lambing-workbook analyse {name}",
        "Please write your answers, notes and corrections into the workbook itself, leave the names in it as they are, and send "
        "it back: they then go to the animals they are about.",
    ]) + "\n"


def draft(subject: str, words: str, name: str, workbook: bytes) -> bytes:
    """The message, ready to be written to a file that ends in .eml."""
    message = EmailMessage(policy=SMTP)
    message["Subject"] = subject
    message["X-Unsent"] = "1"  # mail programs open it to be sent, not as one received
    message.set_content(words)
    message.add_attachment(workbook, maintype=_EXCEL[0], subtype=_EXCEL[1], filename=name)
    return message.as_bytes()
