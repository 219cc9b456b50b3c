"""Notebooks run and made into pages; front page, handout, citation, templates.

Imports telling, interactive and what is below.
"""
