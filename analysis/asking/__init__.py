"""A hand and an auction: the call, why, and the odds.

Imports counting, exact and what is below.
"""
