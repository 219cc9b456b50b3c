"""The explorer and the quiz: widgets.

Imports telling and what is below.
"""
