"""Sentences that read tables and figures: built from the tables, so that they hold for every run.

One module a page or a subject; ``in_words`` puts numbers into words, ``phrases`` has
what they share. Imports the tables and what is below.
"""
