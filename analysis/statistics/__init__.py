"""Intervals and goodness of fit.

Knows no bridge.
Imports errors and vocabulary.
"""
