"""The settings of a partnership, and the agreements that are shipped (``*.toml``).

Imports cards and what is below.
"""
