"""The one error a user may meet: their input cannot be used."""


class InputError(Exception):
    """Input that cannot be used; the text is one line: what is wrong and what is allowed.

    Not a ``ValueError``, which argument parsers and readers of files catch to put their own, less
    helpful words in its place.
    """
