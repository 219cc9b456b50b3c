"""What a dimension and a measure are, and how numbers read.

Each column of each table is declared once, where it arises, and read everywhere.
Imports nothing of the package but errors.
"""
