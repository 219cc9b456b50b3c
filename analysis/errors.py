"""The one error a user may meet: their input cannot be used."""


class InputError(ValueError):
    """Input that cannot be used; the text is one line: what is wrong and what is allowed."""
