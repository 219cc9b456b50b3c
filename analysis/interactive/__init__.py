"""The explorer, the quiz and the question form: widgets, and the local page that serves them.

Imports telling and what is below.
"""
