"""Agreements on the same deals, and settings moved one at a time.

Imports counting, exact and what is below.
"""
