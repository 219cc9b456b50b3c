"""Counts compared with exact values, family by family; published claims.

Imports counting, exact and what is below.
"""
