"""What a dimension and a measure are: order, code, column, wording, description.

Imports nothing of the package but errors.
"""
