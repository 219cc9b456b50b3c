"""The commands of ``double-study``, one module each.

A command module has a ``NAME``, a one-line ``HELP``, an ``EXAMPLE``, ``add_options(parser)``
and ``run(options)``, which returns the exit status and raises
:class:`~analysis.errors.InputError` for bad input.
"""
