"""What a dimension and a measure are: order, code, column, wording, description.

Each is declared where it arises (suits with the cards, calls with their rules) and read everywhere.
Imports nothing of the package but errors.
"""
