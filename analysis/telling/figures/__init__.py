"""The study's figures: one function a figure, from a table to a matplotlib figure."""
