"""What the review refuses, in a sentence for the user."""


class Refused(Exception):
    """Something can't be signed, read or written; the text is a sentence without its full stop."""


class Damaged(ValueError):
    """The bytes of a file are not what this tool writes; the text says what is wrong with them."""


class Taken(Refused):
    """Somebody else has written the file first."""
