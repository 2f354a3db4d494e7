"""What can go wrong with a file, as one sentence for a person."""


class Told(Exception):
    """The text is a whole sentence: which file, what is wrong, what to do."""
