"""Exact probabilities, by enumeration of shapes, points and holdings."""
