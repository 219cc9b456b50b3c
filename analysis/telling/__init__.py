"""Counts told: tables, the sentences that read them, figures.

Imports checking, comparing, asking, lessons and what is below.
"""
