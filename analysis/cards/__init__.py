"""Bids, hands, classes of hands, notation, dealing.

Imports vocabulary and errors.
"""
