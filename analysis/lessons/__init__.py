"""Practice boards: cases, search, draw, text, Portable Bridge Notation.

Imports counting, exact and what is below.
"""
