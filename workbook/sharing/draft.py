"""A message draft with a workbook attached, as any mail program opens it: whom it goes to is left to the person."""

from email.message import EmailMessage
from email.policy import SMTP

_EXCEL = ("application", "vnd.openxmlformats-officedocument.spreadsheetml.sheet")


def draft(subject: str, words: str, name: str, workbook: bytes) -> bytes:
    """The message, ready to be written to a file that ends in .eml."""
    message = EmailMessage(policy=SMTP)
    message["Subject"] = subject
    message["X-Unsent"] = "1"  # mail programs open it to be sent, not as one received
    message.set_content(words)
    message.add_attachment(workbook, maintype=_EXCEL[0], subtype=_EXCEL[1], filename=name)
    return message.as_bytes()
