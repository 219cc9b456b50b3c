"""The study's figures: one function a figure, from a table to a matplotlib figure.

One module a page or a subject; ``style`` has colours, markers and how a figure is shown,
``captions`` what stands below it. Imports sentences, tables and what is below.
"""
