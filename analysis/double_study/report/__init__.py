"""Notebooks run and made into pages, the front page and the citation."""
